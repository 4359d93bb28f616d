//! The arrival of an epoch without the jitter of the port.
//!
//! ```text
//!  arrival of the epoch's first $  ─┐
//!  UTC since the last epoch ───────►┴─► the earlier of: the arrival; the last one + UTC + a thousandth of it
//! ```
//!
//! A port delays, it never hurries: the earliest arrival is the truest, and the UTC carries it on. The thousandth lets it
//! follow clocks that drift apart (parts in ten thousand at the worst) and a receiver that answers later from now on. A UTC
//! that stands, runs back or leaps against the arrival by more than half a second begins anew with the arrival.

use super::utc::UtcTime;
use crate::quantity::{Instant, Micros};

/// An arrival that is later than foretold by more than this, or earlier, begins anew.
const LEAP: u32 = 500_000;

/// What is remembered of the arrivals.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Arrival {
    last: Option<(UtcTime, Instant)>,
}

impl Arrival {
    /// The arrival of the epoch of `utc` whose first byte came at `seen`: never later than that.
    pub(super) fn of(&mut self, utc: UtcTime, seen: Instant) -> Instant {
        let foretold = self.last.and_then(|(last, at)| {
            let since = utc.since(last)?;
            let foretold = at.plus(since);
            let late = seen.micros().wrapping_sub(foretold.micros()).cast_signed();
            let late = u32::try_from(late).ok().filter(|late| *late <= LEAP)?;
            Some(foretold.plus(Micros::new(late.min(since.get() / 1_000))))
        });
        let at = foretold.unwrap_or(seen);
        self.last = Some((utc, at));
        at
    }
}

#[cfg(test)]
mod tests {
    use super::{Arrival, UtcTime};
    use crate::quantity::Instant;

    /// Feeds (UTC in ms, arrival in ms) and returns the arrivals that it makes of them, µs.
    fn fed<const N: usize>(arrival: &mut Arrival, pairs: [(u32, u32); N]) -> [u32; N] {
        pairs.map(|(utc, seen)| {
            let seen = Instant::from_micros(seen.wrapping_mul(1_000));
            arrival.of(UtcTime::from_millis(utc), seen).micros()
        })
    }

    #[test]
    fn a_late_arrival_is_carried_on_from_the_one_before() {
        let have = fed(&mut Arrival::default(), [(1_000, 5_000), (1_100, 5_130), (1_200, 5_200)]);
        assert_eq!(have, [5_000_000, 5_100_100, 5_200_000], "the third is earlier than foretold");
    }

    #[test]
    fn midnight_goes_on() {
        let have = fed(&mut Arrival::default(), [(86_399_900, 5_000), (0, 5_140)]);
        assert_eq!(have, [5_000_000, 5_100_100]);
    }

    #[test]
    fn a_utc_that_leaps_stands_or_runs_back_begins_anew() {
        let leaps = [(1_000, 5_000), (631_100, 5_130), (631_000, 5_230), (631_000, 5_330)];
        let have = fed(&mut Arrival::default(), leaps);
        assert_eq!(have, [5_000_000, 5_130_000, 5_230_000, 5_330_000]);
    }

    #[test]
    fn an_hour_of_silence_begins_anew_wherever_the_counter_stands() {
        let mut arrival = Arrival::default();
        let have = fed(&mut arrival, [(1_000, 4_294_000), (3_601_000, 3_599_900)]);
        assert_eq!(have[1], 3_599_900_000);
    }
}
