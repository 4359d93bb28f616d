//! Faults of the bus: a node that babbles, and silence.

use crate::machine::Noise;
use controller::quantity::{Instant, MetresPerSecond};
use controller::sense::{SpeedReport, SpeedSample};

/// What is wrong with the bus.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BusKind {
    /// A node sends any value in every tick: speeds up to 65 m/s, "error", "not available", reserved codes.
    Babble,
    /// No message comes.
    Silence,
}

/// A bus with a fault.
#[derive(Clone, Debug)]
pub struct BusFault {
    kind: BusKind,
    noise: Noise,
}

impl BusFault {
    /// A bus whose chances follow from `seed`.
    pub fn new(kind: BusKind, seed: u64) -> Self {
        Self { kind, noise: Noise::new(seed) }
    }

    /// What arrives in a tick in which `report` should have.
    pub fn pass(
        &mut self,
        report: Option<SpeedReport>,
        now: Instant,
        active: bool,
    ) -> Option<SpeedReport> {
        match (active, self.kind) {
            (false, _) => report,
            (true, BusKind::Silence) => None,
            (true, BusKind::Babble) => Some(self.babble(now)),
        }
    }

    fn babble(&mut self, now: Instant) -> SpeedReport {
        let draw = self.noise.uniform();
        // The last 6 of 65 536 values are the three answers that are no speed, by far too few to be met: one
        // message in eight is one of them here.
        if draw < 0.042 {
            return SpeedReport::Error;
        }
        if draw < 0.083 {
            return SpeedReport::NotAvailable;
        }
        if draw < 0.125 {
            return SpeedReport::OutOfRange;
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a word")]
        let millimetres = (65_535.0 * self.noise.uniform()) as u32;
        SpeedReport::Speed(SpeedSample {
            speed: MetresPerSecond::from_millimetres(millimetres),
            at: now,
        })
    }
}
