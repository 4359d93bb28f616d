//! Every figure on the display is that of the drill, rounded to its last digit, or says that it is too large.

use crate::drill::{STATES, any_drill, any_size, any_units, panel};
use controller::panel::{Advice, Buttons, ITEMS, Panel, Seen, Size, Units, reason_of};
use controller::quantity::{Instant, Micros};
use proptest::prelude::*;

/// A panel that is looked at.
struct Eye {
    panel: Panel,
    seen: Seen,
    now: Instant,
}

impl Eye {
    fn of(units: Units, size: Size, seen: Seen) -> Self {
        let mut eye = Self { panel: panel(units, size), seen, now: Instant::from_micros(0) };
        eye.look(false);
        eye
    }

    fn look(&mut self, next: bool) {
        self.now = self.now.plus(Micros::from_millis(50));
        let buttons = Buttons { next, ..Buttons::default() };
        self.panel.update(self.seen, buttons, self.now);
    }

    fn turn(&mut self) {
        for next in [true, true, false, false] {
            self.look(next);
        }
    }

    fn rows(&self) -> Vec<String> {
        self.panel.screen().rows().map(str::to_owned).collect()
    }
}

/// Whether a text is a value and its unit.
fn says(text: &str, value: f64, unit: &str) -> Result<(), TestCaseError> {
    let number = text.strip_suffix(unit);
    let number = number.ok_or_else(|| TestCaseError::fail(format!("{text}: no {unit}")))?.trim();
    if let Some(nines) = number.strip_prefix('>') {
        let most: f64 = nines.parse().expect("nines");
        prop_assert!(nines.bytes().all(|sign| sign == b'9'), "{}", text);
        // One more digit had room without the sign.
        prop_assert!(value >= most, "{} for {}", text, value);
        return Ok(());
    }
    let decimals = number.split_once('.').map_or(0, |(_, part)| part.len());
    let shown: f64 = number.parse().map_err(|_| TestCaseError::fail(format!("{text}: cut")))?;
    let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals).expect("few"));
    let off = (shown - value).abs();
    prop_assert!(off <= half + value * 1e-12, "{} for {}", text, value);
    Ok(())
}

#[expect(clippy::cast_precision_loss, reason = "15 digits are more than any row has")]
const fn real(value: u64) -> f64 {
    value as f64
}

/// Checks a row by its label; whether it had a figure.
fn is_right(row: &str, product: usize, seen: &Seen, us: bool) -> Result<bool, TestCaseError> {
    let row = row.trim();
    let (label, rest) = row.split_once(' ').unwrap_or((row, ""));
    let rest = rest.trim();
    let numbered = || {
        let (place, figure) = rest.split_once(' ').unwrap_or((rest, ""));
        let place: usize = place.parse().expect("a number");
        (place - 1, figure.trim().to_owned())
    };
    let mass = |ug: u64| if us { real(ug) / 453_592_370.0 } else { real(ug) / 1e9 };
    let (kg, ha, m) = if us { ("lb", "ac", "ft") } else { ("kg", "ha", "m") };
    match label {
        "Shaft" => {
            let (side, figure) = numbered();
            let turns = f64::from(seen.shafts[side].to_bits().unsigned_abs()) / f64::from(1 << 21);
            says(&figure, turns * 60.0, "/min")?;
        }
        "Map" => {
            let (side, figure) = numbered();
            let percent = f64::from(seen.corrections[side]) / 10.0;
            prop_assert_eq!(figure.starts_with('-'), percent < 0.0, "{}", figure);
            says(figure.trim_start_matches(['+', '-']), percent.abs(), " %")?;
        }
        "Box" => {
            let (product, figure) = numbered();
            if let Some(left) = seen.left_ug[product] {
                says(&figure, mass(left), kg)?;
            } else {
                prop_assert_eq!(figure, "not set");
            }
        }
        "Sown" => {
            let (product, figure) = numbered();
            says(&figure, mass(seen.accounts[product].mass_ug), kg)?;
        }
        "Area" => {
            let area = real(seen.whole.area_mm2);
            says(rest, if us { area / 4_046_856_422.4 } else { area / 1e10 }, ha)?;
        }
        "Way" => {
            let way = real(seen.whole.distance_um);
            says(rest, if us { way / 304_800.0 } else { way / 1e6 }, m)?;
        }
        _ if row.ends_with("/ha") || row.ends_with("/ac") => rates(row, product, seen, us)?,
        _ if row.ends_with("km/h") || row.ends_with("mph") => {
            let speed = f64::from(seen.speed.to_bits().unsigned_abs()) / f64::from(1 << 20);
            let figure = row.rsplit(' ').next().unwrap_or_default();
            let (factor, unit) = if us { (3_600.0 / 1_609.344, "mph") } else { (3.6, "km/h") };
            says(figure, speed * factor, unit)?;
        }
        _ => return Ok(false),
    }
    Ok(true)
}

fn rates(row: &str, product: usize, seen: &Seen, us: bool) -> Result<(), TestCaseError> {
    // The wide display has the number of the box where there are two.
    let mut words: Vec<&str> = row.split_whitespace().collect();
    let mut product = product;
    if words.len() > 1 && (words[0] == "1" || words[0] == "2") {
        product = usize::from(words.remove(0) == "2");
    }
    let text = words.concat();
    let (asked, laid) = text.split_once('/').expect("two figures");
    let laid = laid.strip_suffix(if us { "lb/ac" } else { "kg/ha" }).expect("a unit");
    let factor = if us { 4_046.856_422_4 / 453_592.37 } else { 0.01 };
    let rate = f64::from(seen.rates[product].to_bits()) / 65_536.0;
    says(asked, rate * factor, "")?;
    let account = seen.accounts[product];
    if account.area_mm2 == 0 {
        prop_assert_eq!(laid, "--");
        return Ok(());
    }
    says(laid, real(account.mass_ug) * 1e3 / real(account.area_mm2) * factor, "")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    #[test]
    fn every_figure_is_that_of_the_drill(
        drill in any_drill(),
        units in any_units(),
        size in any_size(),
        boxes in 1_usize..=2,
        sides in 1_usize..=4,
    ) {
        // Boxes that are not low: an alarm would hide the page.
        let left_ug = drill.left_ug.map(|left| left.map(|left| left.max(1 << 40)));
        let seen = Seen { alarm: None, left_ug, boxes, sides, ..drill };
        let mut eye = Eye::of(units, size, seen);
        let mut figures = 0;
        for _ in 0..9 {
            let rows = eye.rows();
            // The narrow display has a page for the second box.
            let product = usize::from(size == Size::Two16 && rows[0].starts_with("Box 2"));
            for row in &rows {
                figures += usize::from(is_right(row, product, &seen, units == Units::Us)?);
            }
            eye.turn();
        }
        prop_assert!(figures >= 6 + 2 * sides, "have {}", figures);
    }
}

#[test]
fn every_state_and_every_alarm_is_said_on_both_displays() {
    for size in [Size::Two16, Size::Four20] {
        for state in STATES {
            let seen = Seen { sides: 1, boxes: 1, states: [state; 4], ..Seen::default() };
            let eye = Eye::of(Units::Us, size, seen);
            let rows = eye.rows();
            assert!(rows[0].starts_with(reason_of(state)), "{state:?}: have {rows:?}");
        }
        for item in ITEMS {
            let seen = Seen { sides: 1, boxes: 1, alarm: Some(item), ..Seen::default() };
            let mut eye = Eye::of(Units::Metric, size, seen);
            let mut said = Vec::new();
            // The narrow display takes two seconds for a row.
            for _ in 0..400 {
                let rows = eye.rows();
                assert_eq!(rows[0].trim_end(), Advice::of(item).name);
                for row in &rows[1..] {
                    if said.last() != Some(row) && !row.trim().is_empty() {
                        said.push(row.clone());
                    }
                }
                eye.look(false);
                if size == Size::Four20 {
                    break;
                }
            }
            let said: Vec<&str> = said.iter().flat_map(|row| row.split_whitespace()).collect();
            let said = said.join(" ");
            assert!(said.contains(Advice::of(item).act), "{item:?} on {size:?}: {said}");
        }
    }
}
