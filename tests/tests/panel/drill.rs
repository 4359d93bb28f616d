//! Panels and drills for these tests.

use controller::panel::{
    BOXES, BoxConfig, Buttons, ITEMS, LotBook, LotConfig, Panel, PanelConfig, RateSteps, Seen,
    Size, Units,
};
use controller::quantity::{
    MetresPerSecond, MicrogramsPerTurn, MilligramsPerSquareMetre, Position, TurnsPerSecond,
};
use controller::section::SideState;
use controller::seed::MeterPoint;
use controller::tally::Account;
use controller::watch::Item;
use proptest::prelude::*;

/// Every state of a side.
pub(crate) const STATES: [SideState; 9] = [
    SideState::Stopped,
    SideState::Off,
    SideState::Lifted,
    SideState::Outside,
    SideState::Slow,
    SideState::Lost,
    SideState::Sowing,
    SideState::ByHand,
    SideState::Run,
];

/// A rate, kg/ha times 100.
pub(crate) const fn rate(whole: u16) -> MilligramsPerSquareMetre {
    MilligramsPerSquareMetre::from_whole(whole)
}

/// Limits of the rate buttons, by box.
pub(crate) const STEPS: [RateSteps; BOXES] = [
    RateSteps { step: rate(500), low: rate(9_000), high: rate(13_000) },
    RateSteps { step: rate(25), low: rate(50), high: rate(2_000) },
];

pub(crate) const fn config(units: Units, size: Size) -> PanelConfig {
    let kg = 1_000_000_000;
    let one = BoxConfig { full_ug: 1_200 * kg, bag_ug: 25 * kg, low_ug: 60 * kg };
    PanelConfig { units, size, rates: STEPS, boxes: [one; BOXES] }
}

pub(crate) fn lots() -> LotBook {
    let lot = |(name, product): (&str, u8)| LotConfig {
        name: name.try_into().expect("short"),
        product,
        rate: rate(11_000),
        meter: core::iter::once(MeterPoint {
            shaft: TurnsPerSecond::from_bits(1 << 21),
            mass: MicrogramsPerTurn::new(120_000_000),
        })
        .collect(),
    };
    let lots = [("winter wheat", 0), ("rye", 0), ("red clover", 1)].map(lot);
    LotBook::new(&lots).expect("lots are valid")
}

pub(crate) fn panel(units: Units, size: Size) -> Panel {
    Panel::new(config(units, size), lots()).expect("a valid panel")
}

pub(crate) fn any_units() -> impl Strategy<Value = Units> {
    prop_oneof![Just(Units::Metric), Just(Units::Us)]
}

pub(crate) fn any_size() -> impl Strategy<Value = Size> {
    prop_oneof![Just(Size::Two16), Just(Size::Four20)]
}

/// Whole numbers of any length, the ends among them.
fn any_length() -> impl Strategy<Value = u64> {
    prop_oneof![
        8 => (0_u32..64, any::<u64>()).prop_map(|(shift, bits)| bits >> shift),
        1 => Just(0),
        1 => Just(u64::MAX),
    ]
}

fn any_item() -> impl Strategy<Value = Option<Item>> {
    (0_usize..40).prop_map(|place| ITEMS.get(place).copied())
}

fn any_account() -> impl Strategy<Value = Account> {
    [any_length(), any_length(), any_length()]
        .prop_map(|[distance_um, area_mm2, mass_ug]| Account { distance_um, area_mm2, mass_ug })
}

/// A drill in any state, possible or not; more sides than there are, too.
pub(crate) fn any_drill() -> impl Strategy<Value = Seen> {
    let states = proptest::array::uniform4(0_usize..STATES.len())
        .prop_map(|places| places.map(|it| STATES[it]));
    let words = any::<([i32; 4], i32, [u32; 2], [u32; 2], [i32; 4])>();
    let counts = ([any_account(), any_account(), any_account()], [any_length(), any_length()]);
    let rest = (0_usize..6, 0_usize..=3, any::<[bool; 4]>(), any::<[bool; 4]>(), any::<u32>());
    (states, words, counts, rest, any_item()).prop_map(|(states, words, counts, rest, alarm)| {
        let ([one, two, whole], left) = counts;
        let (sides, boxes, switches, [in_work, master, hold, filled], way_mm) = rest;
        Seen {
            sides,
            boxes,
            states,
            shafts: words.0.map(TurnsPerSecond::from_bits),
            corrections: words.4,
            lost: (words.4[0] % 7 == 0).then_some(sides),
            speed: MetresPerSecond::from_bits(words.1),
            alarm,
            rates: words.2.map(MilligramsPerSquareMetre::from_bits),
            widths_um: words.3,
            accounts: [one, two],
            whole,
            left_ug: left.map(|left| filled.then_some(left)),
            way_mm,
            in_work,
            position: Position::new(words.1 % 900_000_000, words.0[0] % 1_800_000_000),
            master,
            hold,
            switches,
        }
    })
}

/// Buttons; one at a time as a rule.
pub(crate) fn any_buttons() -> impl Strategy<Value = Buttons> {
    let buttons = |bits: u8| Buttons {
        up: bits & 1 != 0,
        down: bits & 2 != 0,
        next: bits & 4 != 0,
        choose: bits & 8 != 0,
        filled: bits & 16 != 0,
        field: bits & 32 != 0,
    };
    prop_oneof![
        6 => (0_u8..6).prop_map(move |place| buttons(1 << place)),
        4 => Just(Buttons::default()),
        1 => (0_u8..64).prop_map(buttons),
    ]
}
