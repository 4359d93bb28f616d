//! What a journal should hold and does not: numbers that are left out, and counts older than what happened.

use controller::gap::Gap;
use controller::panel::Event;
use controller::snapshot::Snapshot;

/// Way that a drill goes in the second by which a count may be old, mm: 15 m/s, and some to spare.
const SECOND_MM: u32 = 20_000;

/// So many of the last gaps and events are kept at the least: a first number above 1 with fewer is no old one that had to go.
const KEPT_GAPS: usize = 200;
const KEPT_EVENTS: usize = 150;

/// Sentences on what is missing.
pub(super) fn missing(gaps: &[Gap], events: &[Event], snapshot: &Snapshot) -> Vec<String> {
    let mut said = Vec::new();
    let of_gaps: Vec<u32> = gaps.iter().map(|gap| gap.number.into()).collect();
    let last = of_gaps.last().copied().unwrap_or_default();
    // A gap may have been kept in the second after the last count.
    let uncounted = u32::from(snapshot.gaps).saturating_sub(last);
    let gone = before(&of_gaps, KEPT_GAPS) + between(&of_gaps, 1 << 16) + uncounted;
    said.extend(told(gone, "gap", "counted"));
    let of_events: Vec<u32> = events.iter().map(|event| event.number).collect();
    let gone = before(&of_events, KEPT_EVENTS) + between(&of_events, 0);
    said.extend(told(gone, "event", "numbered"));
    let ways = gaps.iter().map(|gap| gap.start_mm).chain(events.iter().map(|event| event.way_mm));
    let ahead = ways.max().unwrap_or_default().saturating_sub(snapshot.way_mm);
    if ahead > SECOND_MM {
        let metres = f64::from(ahead) / 1e3;
        said.push(format!(
            "The newest count that can be read is {metres:.0} m older than the newest entry."
        ));
    }
    said
}

/// A sentence on so many, if there are any.
fn told(lost: u32, noun: &str, how: &str) -> Option<String> {
    match lost {
        0 => None,
        1 => Some(format!("1 {noun} was {how} and is not in the journal.")),
        _ => Some(format!("{lost} {noun}s were {how} and are not in the journal.")),
    }
}

/// Numbers that are left out before the first, where fewer than the last `kept` are there.
fn before(numbers: &[u32], kept: usize) -> u32 {
    let first = numbers.first().copied().unwrap_or_default();
    if numbers.len() < kept { first.saturating_sub(1) } else { 0 }
}

/// Numbers that are left out between the first and the last; `around` is the number at which they begin again, 0 for none.
fn between(numbers: &[u32], around: u32) -> u32 {
    let step = |pair: &[u32]| {
        let (one, next) = (pair[0], pair[1]);
        let next = if next < one { next.saturating_add(around) } else { next };
        next.saturating_sub(one).saturating_sub(1)
    };
    numbers.windows(2).map(step).fold(0, u32::saturating_add)
}

#[cfg(test)]
mod tests {
    use super::{before, between};

    #[test]
    fn numbers_that_are_left_out_are_counted_also_around_the_end() {
        assert_eq!((before(&[], 9), before(&[1, 2], 9), before(&[3, 4], 9)), (0, 0, 2));
        assert_eq!(before(&[3, 4], 2), 0, "the old had to go");
        assert_eq!(between(&[], 0), 0);
        assert_eq!(between(&[3, 4, 5], 0), 0);
        assert_eq!(between(&[3, 5, 9], 0), 4);
        assert_eq!(between(&[65_534, 65_535, 0, 1], 65_536), 0);
        assert_eq!(between(&[65_534, 1], 65_536), 2);
    }
}
