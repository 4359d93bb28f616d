//! Faults of the beat: ticks late, doubled, missing.

/// What is wrong with the beat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TickKind {
    /// Of six ticks one comes: 60 ms apart.
    Late,
    /// Every tick comes twice, with the same inputs.
    Doubled,
    /// No tick comes.
    Missing,
}

/// What becomes of a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beat {
    /// It comes.
    Once,
    /// It comes twice.
    Twice,
    /// It does not come.
    Never,
}

/// A beat with a fault.
#[derive(Clone, Copy, Debug)]
pub struct TickFault {
    kind: TickKind,
    skipped: u8,
}

impl TickFault {
    /// A beat with a fault.
    #[must_use]
    pub const fn new(kind: TickKind) -> Self {
        Self { kind, skipped: 0 }
    }

    /// What becomes of the next tick.
    pub const fn beat(&mut self, active: bool) -> Beat {
        match (active, self.kind) {
            (false, _) => Beat::Once,
            (true, TickKind::Doubled) => Beat::Twice,
            (true, TickKind::Missing) => Beat::Never,
            (true, TickKind::Late) if self.skipped == 5 => {
                self.skipped = 0;
                Beat::Once
            }
            (true, TickKind::Late) => {
                self.skipped += 1;
                Beat::Never
            }
        }
    }
}
