//! What each item of the watch is called on the display, and what to do.
//!
//! A name has 16 signs at most. What to do is broken between words: into three rows of 20, or into rows of 16 that are
//! shown one after the other.

use super::line::Line;
use crate::watch::Item;

/// Rows of 20 signs that what to do may take.
pub const ADVICE_ROWS: usize = 3;

/// Every item, by number.
pub const ITEMS: [Item; 27] = [
    Item::SpeedLost,
    Item::SpeedImplausible,
    Item::ShaftSilent,
    Item::ShaftTurnsAtRest,
    Item::ShaftDoesNotFollow,
    Item::TargetAbove,
    Item::TargetBelow,
    Item::InputsStale,
    Item::SettingsInvalid,
    Item::TickLate,
    Item::SpeedByHand,
    Item::SourceMissing,
    Item::SourcesDisagree,
    Item::Gap,
    Item::HopperEmpty,
    Item::NoSeedInTubes,
    Item::LiftUnknown,
    Item::StopPressed,
    Item::RoadSpeed,
    Item::RaisedLong,
    Item::ShaftBackwards,
    Item::OpenedTooFar,
    Item::CorrectionAtLimit,
    Item::RateOff,
    Item::ByMap,
    Item::BoxLow,
    Item::BoxWillNotLast,
];

/// What a person is told of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Advice {
    /// Its name on the display.
    pub name: &'static str,
    /// What to do.
    pub act: &'static str,
}

impl Advice {
    /// The name and what to do. Oil comes first wherever a hand may go near a shaft.
    pub const fn of(item: Item) -> Self {
        let (name, act) = match words_of_speed(item) {
            Some(words) => words,
            None => words_of_drive(item),
        };
        Self { name, act }
    }

    /// Row `wanted` of what to do, broken between words at `width` signs; none after the last.
    pub(super) fn row<const N: usize>(&self, wanted: usize, width: usize) -> Option<Line<N>> {
        let mut row = Line::default();
        let mut index = 0_usize;
        for word in self.act.split_ascii_whitespace() {
            let taken = if row.len() == 0 { 0 } else { row.len().saturating_add(1) };
            if taken > 0 && taken.saturating_add(word.len()) > width {
                if index == wanted {
                    return Some(row);
                }
                index = index.saturating_add(1);
                row = Line::default();
            } else if taken > 0 {
                row.text(" ");
            }
            row.text(word);
        }
        (index == wanted && row.len() > 0).then_some(row)
    }

    /// Rows of what to do at `width` signs.
    pub(super) fn rows(&self, width: usize) -> usize {
        (0..8)
            .take_while(|row| self.row::<24>(*row, width).is_some())
            .fold(0_usize, |rows, _| rows.saturating_add(1))
    }
}

/// Name and act of what concerns speed, seed and place; none of what concerns the drive and the board.
const fn words_of_speed(item: Item) -> Option<(&'static str, &'static str)> {
    Some(match item {
        Item::SpeedLost => {
            ("no ground speed", "Check speed sensor, wire, antenna. Master off, on.")
        }
        Item::SpeedImplausible => ("speed jumps", "Check speed sensor, its gap and its plug."),
        Item::TargetAbove => ("too fast", "Drive slower or set a lower rate."),
        Item::TargetBelow => ("shaft too slow", "Drive faster or set a higher rate."),
        Item::SpeedByHand => ("speed by hand", "Hold the set speed. Master off before you stop."),
        Item::SourceMissing => ("source missing", "Sows by another one. Check the sensors."),
        Item::SourcesDisagree => ("sources differ", "Check wheel slip and the speed sensors."),
        Item::RoadSpeed => ("road speed", "Disarmed. In the field: master off, on."),
        Item::Gap => ("gap", "Ground was left bare. See the list of gaps."),
        Item::HopperEmpty => ("box empty", "Stop. Fill the box, then press filled."),
        Item::NoSeedInTubes => ("no seed in tubes", "Stop, oil off, then look for blocked tubes."),
        Item::LiftUnknown => ("lift unknown", "Check lift switch, its wire or the bus."),
        Item::RaisedLong => ("raised for long", "Disarmed. To sow on: master off, on."),
        Item::BoxLow => ("box low", "Fill the box soon, then press filled."),
        Item::BoxWillNotLast => {
            ("box ends in pass", "Empty before this pass ends. Fill before it.")
        }
        Item::ShaftSilent
        | Item::ShaftTurnsAtRest
        | Item::ShaftDoesNotFollow
        | Item::ShaftBackwards
        | Item::OpenedTooFar
        | Item::CorrectionAtLimit
        | Item::RateOff
        | Item::ByMap
        | Item::InputsStale
        | Item::SettingsInvalid
        | Item::TickLate
        | Item::StopPressed => return None,
    })
}

/// Name and act of what concerns the drive and the board.
const fn words_of_drive(item: Item) -> (&'static str, &'static str) {
    match item {
        Item::ShaftSilent => ("shaft silent", "Oil off first. Then check shaft, encoder, plug."),
        Item::ShaftTurnsAtRest => ("shaft turns", "Keep hands away. Shut off the oil supply."),
        Item::ShaftDoesNotFollow => ("shaft lags", "Check oil flow, load of the shaft, map."),
        Item::ShaftBackwards => ("shaft backwards", "Oil off first. Then check hoses, encoder."),
        Item::OpenedTooFar => ("valve opens far", "Stiff shaft, wet seed or wrong oil? Look soon."),
        Item::CorrectionAtLimit => {
            ("map at its limit", "Finish this pass, then measure the drive anew.")
        }
        Item::RateOff => ("rate is off", "Check seed, meter and oil flow; catch anew."),
        Item::ByMap => ("no encoder", "Sows by the map, rate unsure. Mend the encoder."),
        Item::InputsStale => ("board was late", "Master off, on. If it comes again: workshop."),
        Item::SettingsInvalid => {
            ("settings wrong", "Load the settings anew, compare the fingerprint.")
        }
        Item::TickLate => ("tick late", "Note the time. If it stays: workshop."),
        Item::StopPressed => ("stop pressed", "When it is safe: release it, master off, on."),
        // The rest has been answered above; a new item does not compile there.
        Item::SpeedLost
        | Item::SpeedImplausible
        | Item::TargetAbove
        | Item::TargetBelow
        | Item::SpeedByHand
        | Item::SourceMissing
        | Item::SourcesDisagree
        | Item::RoadSpeed
        | Item::Gap
        | Item::HopperEmpty
        | Item::NoSeedInTubes
        | Item::LiftUnknown
        | Item::RaisedLong
        | Item::BoxLow
        | Item::BoxWillNotLast => ("see the manual", "Stop and read the manual."),
    }
}

#[cfg(test)]
mod tests {
    use super::{ADVICE_ROWS, Advice, ITEMS};

    #[test]
    fn every_item_has_a_name_and_an_act_that_fit_both_displays() {
        for (number, item) in (1_u8..).zip(ITEMS) {
            assert_eq!(item.number(), number, "{item:?} out of order");
            let advice = Advice::of(item);
            assert!((1..=16).contains(&advice.name.len()), "name of {item:?}: {}", advice.name);
            let rows = advice.rows(20);
            assert!((1..=ADVICE_ROWS).contains(&rows), "{item:?} takes {rows} rows");
            assert!(advice.act.split(' ').all(|word| word.len() <= 16), "a word of {item:?}");
            let text = |text: &str| text.bytes().all(|sign| (b' '..=b'~').contains(&sign));
            assert!(text(advice.name) && text(advice.act), "ASCII of {item:?}");
            assert_ne!(advice.name, "see the manual", "{item:?}");
        }
    }

    #[test]
    fn no_two_items_have_one_name() {
        for (place, item) in ITEMS.iter().enumerate() {
            let others = ITEMS[..place].iter();
            let same = others.filter(|it| Advice::of(**it).name == Advice::of(*item).name);
            assert_eq!(same.count(), 0, "{item:?}");
        }
    }

    #[test]
    fn rows_hold_every_word_in_order_at_either_width() {
        for item in ITEMS {
            for width in [16, 20] {
                let advice = Advice::of(item);
                let mut words = advice.act.split(' ');
                for row in 0..advice.rows(width) {
                    let row = advice.row::<24>(row, width).expect("a row");
                    assert!(row.len() <= width, "{row:?}");
                    for word in row.as_str().split(' ') {
                        assert_eq!(Some(word), words.next(), "{item:?} at {width}");
                    }
                }
                assert_eq!(words.next(), None, "a word of {item:?} is lost at {width}");
            }
        }
    }
}
