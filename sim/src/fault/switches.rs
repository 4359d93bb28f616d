//! Faults of the lift switch.

use crate::machine::Noise;

/// What is wrong with the switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SwitchKind {
    /// It reads "in work", whatever the implement does.
    StuckInWork,
    /// It reads "lifted", whatever the implement does.
    StuckLifted,
    /// It reads either, at random, in every tick.
    Bouncing,
}

/// A lift switch with a fault.
#[derive(Clone, Debug)]
pub struct SwitchFault {
    kind: SwitchKind,
    noise: Noise,
}

impl SwitchFault {
    /// A switch whose chances follow from `seed`.
    pub fn new(kind: SwitchKind, seed: u64) -> Self {
        Self { kind, noise: Noise::new(seed) }
    }

    /// What it reads where it should read `in_work`.
    pub fn pass(&mut self, in_work: bool, active: bool) -> bool {
        match (active, self.kind) {
            (false, _) => in_work,
            (true, SwitchKind::StuckInWork) => true,
            (true, SwitchKind::StuckLifted) => false,
            (true, SwitchKind::Bouncing) => self.noise.uniform() < 0.5,
        }
    }
}
