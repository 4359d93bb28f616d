//! Time since power-up for the log and the lamps, from instants that wrap.

use crate::quantity::{Instant, Micros};

/// Milliseconds since the first reading; holds at 49.7 days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Clock {
    last: Option<Instant>,
    millis: u32,
    rest: Micros,
}

impl Clock {
    /// Reads the instant; milliseconds since the first reading.
    pub(super) fn read(&mut self, now: Instant) -> u32 {
        let passed = self.last.map_or(Micros::ZERO, |last| now.since_or_zero(last));
        // An instant that lies behind is the same once more: time does not run back.
        if self.last.is_none_or(|last| !now.is_before(last)) {
            self.last = Some(now);
        }
        let sum = self.rest.get().saturating_add(passed.get());
        self.millis = self.millis.saturating_add(sum / 1_000);
        self.rest = Micros::new(sum % 1_000);
        self.millis
    }
}
