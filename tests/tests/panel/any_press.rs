//! Laws of the panel under any readings and any presses.

use crate::drill::{STEPS, any_buttons, any_drill, any_size, any_units, panel};
use controller::panel::{Buttons, Panel, Seen, Why, Wish};
use controller::quantity::{Instant, Micros};
use controller::seed::{Lot, Product};
use controller::{Act, Controller, Settings};
use proptest::collection::vec;
use proptest::prelude::*;

/// What comes in one look.
#[derive(Clone, Debug)]
struct Look {
    buttons: Buttons,
    /// Looks for which the buttons stay so.
    held: u32,
    /// Time between looks, ms.
    span: u32,
    answer: Option<bool>,
}

fn any_look() -> impl Strategy<Value = Look> {
    let span = prop_oneof![6 => 50_u32..250, 1 => 0_u32..10_000, 1 => any::<u32>()];
    (any_buttons(), 1_u32..4, span, any::<Option<bool>>())
        .prop_map(|(buttons, held, span, answer)| Look { buttons, held, span, answer })
}

/// Whether all that is shown is whole lines of printable ASCII of the exact width.
fn is_shown_right(panel: &Panel) -> Result<(), TestCaseError> {
    let screen = panel.screen();
    let printable = |text: &str| text.bytes().all(|sign| (b' '..=b'~').contains(&sign));
    prop_assert_eq!(screen.rows().count(), screen.size().rows());
    for row in screen.rows() {
        prop_assert_eq!(row.len(), screen.size().width(), "{:?}", row);
        prop_assert!(printable(row), "{:?}", row);
    }
    let status = panel.status();
    let last = status.rsplit(' ').next().unwrap_or_default();
    prop_assert!(printable(&status) && status.starts_with("state="), "{}", status);
    // The last key is whole: nothing was cut off.
    let numbers = last.strip_prefix("corrected=").unwrap_or("none");
    let whole = numbers == "-" || numbers.split(',').all(|number| number.parse::<f64>().is_ok());
    prop_assert!(whole, "{}", status);
    let _lamps = panel.lamps();
    Ok(())
}

/// Whether a wish is one that may be.
fn is_allowed(panel: &Panel, wish: Wish, seen: &Seen) -> Result<(), TestCaseError> {
    match wish {
        Wish::Rate { product, rate } => {
            let steps = STEPS[product];
            prop_assert!(product < seen.boxes && (steps.low..=steps.high).contains(&rate));
            let apart = rate.to_bits().abs_diff(seen.rates[product].to_bits());
            let was_within = (steps.low..=steps.high).contains(&seen.rates[product]);
            prop_assert!(apart > 0 && (!was_within || apart <= steps.step.to_bits()));
        }
        Wish::Lot(index) => prop_assert!(panel.lots().get(index).is_some()),
        Wish::Filled { product, content_ug } => {
            prop_assert!(product < seen.boxes.max(1));
            prop_assert!((25_000_000_000..=1_200_000_000_000).contains(&content_ug));
        }
        Wish::FieldBegins => prop_assert!(!panel.field().open),
        Wish::FieldEnds => prop_assert!(panel.field().open),
        Wish::ByMap(_) | Wish::Mended => prop_assert!(!seen.master),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn whatever_is_read_and_pressed_lines_are_whole_and_wishes_allowed(
        looks in vec((any_look(), any_drill()), 1..60),
        units in any_units(),
        size in any_size(),
        origin in any::<u32>(),
    ) {
        let mut panel = panel(units, size);
        let mut now = Instant::from_micros(origin);
        let (mut last, mut missing) = (0, 0);
        for (look, seen) in looks {
            for _ in 0..look.held {
                now = now.plus(Micros::from_millis(look.span));
                let wish = panel.update(seen, look.buttons, now);
                if let Some(wish) = wish {
                    is_allowed(&panel, wish, &seen)?;
                }
                if let Some(done) = look.answer {
                    panel.answer(if done { Ok(()) } else { Err(Why::NotHere) });
                }
                is_shown_right(&panel)?;
                // A board that is slow to take events.
                while look.span % 3 > 0 && let Some(event) = panel.take_event() {
                    missing += event.number - last - 1;
                    last = event.number;
                    prop_assert!(event.line().len() < 128);
                }
            }
        }
        while let Some(event) = panel.take_event() {
            missing += event.number - last - 1;
            last = event.number;
        }
        prop_assert!(missing <= panel.events_dropped(), "numbers are left out by drops alone");
    }

    #[test]
    fn no_press_changes_the_machine_but_for_its_rate(
        looks in vec(any_look(), 1..200),
        size in any_size(),
    ) {
        let settings = tests::demo_scenario("ramp-0.5-physical");
        let settings = Settings::new(&sim::bench::settings(&settings)).expect("settings are right");
        let before = settings.clone();
        let mut controller = Controller::new(settings);
        let mut panel = panel(controller::panel::Units::Metric, size);
        let mut now = Instant::from_micros(0);
        for look in looks {
            for _ in 0..look.held {
                now = now.plus(Micros::from_millis(look.span.clamp(50, 200)));
                let inputs = controller::Inputs { now, ..controller::Inputs::default() };
                let outputs = controller.tick(&inputs);
                let seen = Seen::of(&controller, &inputs, &outputs);
                if let Some(wish) = panel.update(seen, look.buttons, now) {
                    if let Some(act) = wish.act() {
                        let known = matches!(act, Act::Rate { .. } | Act::Filled { .. });
                        prop_assert!(known || act == Act::ForgetCorrections, "{:?}", act);
                    }
                    panel.answer(wish.perform(&mut controller, panel.lots(), now));
                }
            }
        }
        let after = controller.settings().expect("settings").clone();
        let rate = after.rate(Product::First);
        let limits = STEPS[0].low..=STEPS[0].high;
        prop_assert!(rate == before.rate(Product::First) || limits.contains(&rate), "{rate:?}");
        // All lots of the book have the same curve.
        let meter = panel.lots().get(0).expect("a lot").meter().points().iter().copied().collect();
        let lot = Lot { product: Product::First, rate, meter };
        let lotted = before.with_lot(&lot).expect("a lot of the book");
        let rated = before.with_rate(Product::First, rate).expect("a rate in the limits");
        prop_assert!(after == lotted || after == rated, "more than rate and lot has changed");
    }
}
