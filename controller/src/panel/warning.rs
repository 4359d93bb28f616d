//! Warnings short of a stop that the panel finds itself: a box that is low, a box that will not last this pass.
//!
//! ```text
//!  last pass        ├───────────── length ─────────────┤
//!  this pass        ├──── gone ────┤······ ahead ······┤     need = ahead · width · rate;   told while left < need
//! ```
//!
//! Both with hysteresis: a low box is low until it holds a tenth more, a box that will not last until it holds a
//! twentieth more than is needed. A pass shorter than 10 m is no measure for the next. Passes of a field differ: what is
//! foretold is right as far as this pass is as long as the last.

use super::boxes::{BOXES, BoxConfig};
use super::seen::Seen;
use crate::quantity::divide_wide;
use crate::watch::Item;

/// A shorter pass is no measure, mm.
const LEAST_PASS_MM: u32 = 10_000;

/// What is remembered for the warnings.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Warnings {
    in_work: bool,
    start_mm: u32,
    /// Length of the last pass; none before the first.
    last_mm: Option<u32>,
    low: [bool; BOXES],
    short: [bool; BOXES],
}

impl Warnings {
    /// What is to be told now.
    pub(super) fn update(&mut self, seen: &Seen, boxes: &[BoxConfig; BOXES]) -> Option<Item> {
        let ahead_mm = self.pass(seen);
        let told = self.low.iter_mut().zip(&mut self.short).zip(boxes);
        let read = seen.left_ug.iter().zip(seen.widths_um).zip(seen.rates).take(seen.boxes);
        for (((low, short), config), ((left_ug, width_um), rate)) in told.zip(read) {
            let Some(left_ug) = *left_ug else {
                (*low, *short) = (false, false);
                continue;
            };
            let low_ug = if *low { with(config.low_ug, 10) } else { config.low_ug };
            *low = left_ug < low_ug;
            let need_ug = ahead_mm.map_or(0, |ahead| need(ahead, width_um, rate.to_bits()));
            let need_ug = if *short { with(need_ug, 20) } else { need_ug };
            *short = left_ug < need_ug;
        }
        // The box that runs out first.
        if self.short.contains(&true) {
            return Some(Item::BoxWillNotLast);
        }
        self.low.contains(&true).then_some(Item::BoxLow)
    }

    /// Way that this pass still goes if it is as long as the last; none outside a pass.
    fn pass(&mut self, seen: &Seen) -> Option<u32> {
        let gone = seen.way_mm.saturating_sub(self.start_mm);
        if seen.in_work && !self.in_work {
            self.start_mm = seen.way_mm;
        } else if self.in_work && !seen.in_work && gone >= LEAST_PASS_MM {
            self.last_mm = Some(gone);
        }
        self.in_work = seen.in_work;
        let last_mm = self.last_mm.filter(|_| seen.in_work)?;
        Some(last_mm.saturating_sub(seen.way_mm.saturating_sub(self.start_mm)))
    }
}

/// A value and a part of it.
fn with(value: u64, part: u64) -> u64 {
    value.saturating_add(value.checked_div(part).unwrap_or(0))
}

/// Mass that a way takes, µg: mm · µm · mg/m² are 10^-6 µg, the rate in 2^-16.
fn need(ahead_mm: u32, width_um: u32, rate_bits: u32) -> u64 {
    let area = u128::from(ahead_mm).saturating_mul(u128::from(width_um));
    let mass = area.saturating_mul(u128::from(rate_bits));
    u64::try_from(divide_wide(mass, 1_000_000 << 16).unwrap_or(0)).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::Warnings;
    use crate::panel::{BoxConfig, Seen};
    use crate::quantity::MilligramsPerSquareMetre;
    use crate::watch::Item;

    /// 4 m at 110 kg/ha: 44 g a metre, 4.4 kg in 100 m.
    const BOX: BoxConfig =
        BoxConfig { full_ug: 1_000_000_000_000, bag_ug: 25_000_000_000, low_ug: 50_000_000_000 };

    fn seen(in_work: bool, way_m: u32, left_g: u64) -> Seen {
        Seen {
            boxes: 1,
            sides: 1,
            in_work,
            way_mm: way_m.wrapping_mul(1_000),
            widths_um: [4_000_000, 0],
            rates: [MilligramsPerSquareMetre::from_whole(11_000); 2],
            left_ug: [Some(left_g.wrapping_mul(1_000_000)), None],
            ..Seen::default()
        }
    }

    /// Warnings after a pass of so many metres, box without a low mark.
    fn after(pass_m: u32) -> (Warnings, [BoxConfig; 2]) {
        let boxes = [BoxConfig { low_ug: 0, ..BOX }; 2];
        let mut warnings = Warnings::default();
        for (in_work, way) in [(true, 0), (true, pass_m), (false, pass_m)] {
            assert_eq!(warnings.update(&seen(in_work, way, 4_400), &boxes), None, "first pass");
        }
        (warnings, boxes)
    }

    #[test]
    fn a_box_is_low_below_its_mark_and_until_a_tenth_above() {
        let mut warnings = Warnings::default();
        let boxes = [BOX; 2];
        let steps = [(50_000, false), (49_999, true), (50_001, true), (54_999, true)];
        for (left, low) in steps.into_iter().chain([(55_000, false), (50_001, false)]) {
            let told = warnings.update(&seen(false, 0, left), &boxes);
            assert_eq!(told.is_some(), low, "{left} g: {told:?}");
        }
    }

    #[test]
    fn a_box_that_lasts_the_pass_is_never_told_and_one_that_does_not_is_at_its_begin() {
        // 100 m take 4 400 g: a gram more or less decides, all the way.
        for (spare, told) in [(1, false), (-1, true)] {
            let (mut warnings, boxes) = after(100);
            for way in 0..100 {
                let left = u64::try_from(4_400 - 44 * i64::from(way) + spare).unwrap();
                let item = warnings.update(&seen(true, 100 + way, left), &boxes);
                assert_eq!(item, told.then_some(Item::BoxWillNotLast), "{spare} g, at {way} m");
            }
            let beyond = warnings.update(&seen(true, 230, 10), &boxes);
            assert_eq!(beyond, None, "further than the last pass nothing is known");
        }
    }

    #[test]
    fn it_is_told_until_a_twentieth_more_is_there_or_the_pass_ends() {
        let (mut warnings, boxes) = after(100);
        for (left, told) in [(4_399, true), (4_410, true), (4_619, true), (4_620, false)] {
            let item = warnings.update(&seen(true, 100, left), &boxes);
            assert_eq!(item.is_some(), told, "{left} g");
        }
        assert!(warnings.update(&seen(true, 100, 100), &boxes).is_some());
        assert_eq!(warnings.update(&seen(false, 150, 100), &boxes), None, "lifted");
    }

    #[test]
    fn a_short_lift_is_no_pass_and_without_a_fill_nothing_is_told() {
        let (mut warnings, boxes) = after(100);
        for (in_work, way) in [(true, 100), (true, 109), (false, 109)] {
            warnings.update(&seen(in_work, way, 9_000), &boxes);
        }
        assert!(warnings.update(&seen(true, 109, 4_000), &boxes).is_some(), "100 m are ahead");
        let unfilled = Seen { left_ug: [None; 2], ..seen(true, 109, 0) };
        assert_eq!(warnings.update(&unfilled, &[BOX; 2]), None);
    }
}
