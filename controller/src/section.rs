//! Sections: whether a side lays seed.
//!
//! ```text
//!   power-up, latched fault
//!            │
//!            ▼        master off→on
//!        ┌─Stopped ────────────────────┐
//!        │   ▲                         ▼           switch on
//!        │   │ fault latched     ┌── Off ◄──────────────────────┐
//!        │   │                   └──────┐                       │ master or switch off
//!        │   └───── from every state    ▼                       │
//!        │           Lifted, Outside ◄──► Slow ◄──► Sowing ───┤
//!        │                  │   lift, lines    speed            │
//!        │                  └────────── Lost ◄──────────────────┘
//!        │                Slow, Lost ◄──► ByHand   hold button, 3 s at most
//!        │                              source lost, at most 2 s
//!        └─ (a run is at standstill with the master off: see `run`)
//! ```
//!
//! *Pause* (Lifted, Outside, Slow, Lost) resumes by itself. *Stop* (Off, Stopped) does not: only the operator's
//! switch leaves it, and Stopped only a fresh off→on of the master. Stop acts in the tick that reads it.

use crate::quantity::{Instant, MetresPerSecond, Micros};
use crate::sense::GroundStatus;

/// State of a side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum SideState {
    /// Power-up or a latched fault: at rest until a fresh off→on of the master.
    #[default]
    Stopped,
    /// The operator has it off.
    Off,
    /// Pause: the implement is lifted.
    Lifted,
    /// Pause: the openers are not in the ground yet, or before the line at which sowing begins, or beyond that at
    /// which it ends.
    Outside,
    /// Pause: below the lowest sowing speed.
    Slow,
    /// Pause: the ground speed source is lost, for at most 2 s.
    Lost,
    /// Seed is laid.
    Sowing,
    /// Seed is laid at the set speed, by the hold button, until the ground speed is trusted.
    ByHand,
    /// The shaft turns for a run at standstill.
    Run,
}

impl SideState {
    /// The shaft is wanted to turn.
    #[must_use]
    pub const fn turns(self) -> bool {
        match self {
            Self::Stopped | Self::Off | Self::Lifted | Self::Outside | Self::Slow | Self::Lost => {
                false
            }
            Self::Sowing | Self::ByHand | Self::Run => true,
        }
    }

    /// Seed is laid.
    #[must_use]
    pub const fn lays(self) -> bool {
        matches!(self, Self::Sowing | Self::ByHand)
    }

    /// Oil may be wanted soon: the shut-off may stay on, for a minute at most.
    #[must_use]
    pub const fn is_armed(self) -> bool {
        match self {
            Self::Stopped | Self::Off => false,
            Self::Lifted
            | Self::Outside
            | Self::Slow
            | Self::Lost
            | Self::Sowing
            | Self::ByHand
            | Self::Run => true,
        }
    }
}

/// The operator's wish and the machine's posture, as believed.
#[expect(clippy::struct_excessive_bools, reason = "each is a wish or a posture of its own")]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Asked {
    /// The master is on and was switched on since the last stop.
    pub(crate) operator: bool,
    /// This side's switch is on.
    pub(crate) switch: bool,
    /// A stop is in force: power-up or latched fault.
    pub(crate) stopped: bool,
    /// The implement is in work.
    pub(crate) lowered: bool,
    /// The openers will be in the ground and inside the lines where the seed will lie.
    pub(crate) wanted: bool,
    /// What the ground sense says.
    pub(crate) ground: GroundStatus,
    /// The side is above its lowest sowing speed.
    pub(crate) moving: bool,
    /// The operator starts it by hand.
    pub(crate) by_hand: bool,
}

/// The state of a side for what is asked: a pure function, read from the top down.
pub(crate) const fn decide(asked: Asked) -> SideState {
    if asked.stopped {
        return SideState::Stopped;
    }
    if !asked.operator || !asked.switch {
        return SideState::Off;
    }
    if !asked.wanted {
        return if asked.lowered { SideState::Outside } else { SideState::Lifted };
    }
    match asked.ground {
        GroundStatus::Moving if asked.moving => SideState::Sowing,
        GroundStatus::Lost | GroundStatus::Moving | GroundStatus::Standing if asked.by_hand => {
            SideState::ByHand
        }
        GroundStatus::Lost => SideState::Lost,
        GroundStatus::Moving | GroundStatus::Standing => SideState::Slow,
    }
}

/// Lowest sowing speed with hysteresis: on above it, off below four fifths of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct LowestSpeed {
    on: MetresPerSecond,
    off: MetresPerSecond,
}

impl LowestSpeed {
    /// The threshold.
    pub const fn new(lowest: MetresPerSecond) -> Self {
        let on = lowest.to_bits();
        Self { on: lowest, off: MetresPerSecond::from_bits(on.saturating_sub(on / 5)) }
    }

    /// Whether a side at `speed` that was `moving` still is.
    #[must_use]
    pub fn moving(self, moving: bool, speed: MetresPerSecond) -> bool {
        if moving { speed > self.off } else { speed > self.on }
    }
}

/// The master switch: a stop is left by a fresh off→on alone.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct MasterState {
    stopped: bool,
    was_on: bool,
    on_since: Option<Instant>,
    /// A fault was latched: off must be steady too, or a shaken contact would answer it.
    faulted: bool,
    off_since: Instant,
}

impl Default for MasterState {
    fn default() -> Self {
        // Power-up is a stop, and a switch found on was not switched on.
        Self {
            stopped: true,
            was_on: true,
            on_since: None,
            faulted: false,
            off_since: Instant::default(),
        }
    }
}

impl MasterState {
    /// Reads the switch; `true` while the operator wants to work.
    pub(crate) fn update(&mut self, on: bool, steady_for: Micros, now: Instant) -> bool {
        if !on {
            if self.was_on {
                self.off_since = now;
            }
            self.on_since = None;
            if now.since(self.off_since) >= steady_for {
                self.faulted = false;
            }
        } else if !self.was_on && !self.faulted {
            self.on_since = Some(now);
        }
        self.was_on = on;
        let fresh = self.on_since.is_some_and(|since| now.since(since) >= steady_for);
        if fresh {
            self.stopped = false;
        }
        on && !self.stopped
    }

    /// Latches a stop.
    pub(crate) const fn stop(&mut self) {
        self.stopped = true;
        self.faulted = true;
        self.on_since = None;
    }

    /// Whether the switch was last read on; before the first reading it is taken for on.
    pub(crate) const fn reads_on(&self) -> bool {
        self.was_on
    }

    /// Whether a stop is in force.
    pub(crate) const fn stopped(&self) -> bool {
        self.stopped
    }
}

#[cfg(test)]
mod tests {
    use super::{Asked, MasterState, SideState, decide};
    use crate::quantity::{Instant, Micros};
    use crate::sense::GroundStatus;

    const SOWING: Asked = Asked {
        operator: true,
        switch: true,
        stopped: false,
        lowered: true,
        wanted: true,
        ground: GroundStatus::Moving,
        moving: true,
        by_hand: false,
    };

    #[test]
    fn each_condition_alone_takes_a_side_out_of_sowing() {
        // N + 1 vectors for N conditions: each changes the decision by itself.
        assert_eq!(decide(SOWING), SideState::Sowing);
        assert_eq!(decide(Asked { stopped: true, ..SOWING }), SideState::Stopped);
        assert_eq!(decide(Asked { operator: false, ..SOWING }), SideState::Off);
        assert_eq!(decide(Asked { switch: false, ..SOWING }), SideState::Off);
        assert_eq!(decide(Asked { wanted: false, ..SOWING }), SideState::Outside);
        let lifted = Asked { lowered: false, wanted: false, ..SOWING };
        assert_eq!(decide(lifted), SideState::Lifted);
        assert_eq!(decide(Asked { ground: GroundStatus::Lost, ..SOWING }), SideState::Lost);
        assert_eq!(decide(Asked { ground: GroundStatus::Standing, ..SOWING }), SideState::Slow);
        assert_eq!(decide(Asked { moving: false, ..SOWING }), SideState::Slow);
        let by_hand = Asked { by_hand: true, ..SOWING };
        assert_eq!(decide(by_hand), SideState::Sowing, "the ground speed is trusted");
        assert_eq!(decide(Asked { moving: false, ..by_hand }), SideState::ByHand);
        assert_eq!(decide(Asked { ground: GroundStatus::Lost, ..by_hand }), SideState::ByHand);
        let raised = Asked { lowered: false, wanted: false, moving: false, ..by_hand };
        assert_eq!(decide(raised), SideState::Lifted, "not in the air");
    }

    #[test]
    fn a_switch_found_on_at_power_up_starts_nothing() {
        let mut master = MasterState::default();
        let wait = Micros::from_millis(20);
        for tick in 0..100_u32 {
            assert!(
                !master.update(true, wait, Instant::from_micros(tick * 10_000)),
                "started by itself"
            );
        }
        master.update(false, wait, Instant::from_micros(1_000_000));
        master.update(true, wait, Instant::from_micros(1_010_000));
        assert!(!master.update(true, wait, Instant::from_micros(1_020_000)), "10 ms are a bounce");
        assert!(
            master.update(true, wait, Instant::from_micros(1_030_000)),
            "a fresh off to on starts"
        );
        master.stop();
        assert!(
            !master.update(true, wait, Instant::from_micros(1_040_000)),
            "a stop holds while on"
        );
        master.update(false, wait, Instant::from_micros(1_050_000));
        for tick in 0..10_u32 {
            let at = Instant::from_micros(1_060_000 + tick * 10_000);
            assert!(!master.update(true, wait, at), "a shaken contact answered a fault");
        }
    }
}
