//! The drive of a side: what both kinds of valve share, and the law of the kind that is fitted.

use super::correction::{Corrected, Correction};
use super::motorised::{AHEAD, Motorised, MotorisedConfig, MotorisedState};
use super::pi::{Proportional, ProportionalState};
use super::row::HALF_TICK;
use super::shaft::{ShaftMeter, ShaftState};
use super::{ValveMap, ValveTurn};
use crate::quantity::{Command, Instant, Micros, TurnsPerSecond, clamp_i32, mul_shift};
use crate::sense::{Closing, Pulses, Quality};
use crate::settings::LimitsConfig;

/// The valve that drives a side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum ValveKind {
    /// Held where its command holds it; shut without one.
    #[default]
    Proportional,
    /// Opened and closed by a gear motor; stays where it is without one. The map's command is its place.
    Motorised(MotorisedConfig),
}

/// Numbers of a drive that have been checked.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Numbers {
    pub(crate) lag: Micros,
    pub(crate) dead_time: Micros,
    pub(crate) edges_per_turn: u32,
    pub(crate) two_channel: bool,
    pub(crate) valve: ValveKind,
    pub(crate) correction: LimitsConfig,
    /// In which ticks its windows close, and its trim learns.
    pub(crate) closing: Closing,
}

/// A drive, its numbers checked and its law worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Drive {
    map: ValveMap,
    lag: Micros,
    dead_time: Micros,
    /// The lag in seconds, Q14.
    lag_seconds: u16,
    /// Dead time and twice the lag; dead time, five times the lag and 0.1 s.
    answer: Micros,
    run_out: Micros,
    shaft: ShaftMeter,
    law: Law,
}

#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
enum Law {
    Proportional(Proportional),
    Motorised(Motorised),
}

/// What a drive remembers; `Default` is a proportional one at rest with nothing learnt.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DriveState {
    shaft: ShaftState,
    law: LawState,
}

#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
enum LawState {
    Proportional(ProportionalState),
    Motorised(MotorisedState),
}

impl Default for LawState {
    fn default() -> Self {
        Self::Proportional(ProportionalState::default())
    }
}

/// What the loop compares, at the instant of the measurement.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Feedback {
    /// Shaft speed wanted for the soil, τd + θ ahead.
    pub ahead: TurnsPerSecond,
    /// τ1 · dn/dt at that instant.
    pub lead: TurnsPerSecond,
    /// Shaft speed that was wanted at the measurement's instant.
    pub wanted: TurnsPerSecond,
    /// The trim learns in this tick: it does in every second one.
    pub learns: bool,
}

/// What a drive gives its valve: a command or a turn, the other at rest.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Driven {
    /// Of a proportional valve.
    pub command: Command,
    /// Of a motorised valve.
    pub turn: ValveTurn,
}

impl Driven {
    const fn command(command: Command) -> Self {
        Self { command, turn: ValveTurn::Hold }
    }

    /// A command with no law between.
    pub(crate) const fn by(command: Command) -> Self {
        Self::command(command)
    }

    const fn turn(turn: ValveTurn) -> Self {
        Self { command: Command::ZERO, turn }
    }
}

impl Drive {
    /// Works out the law of a drive whose numbers have been checked.
    pub(crate) fn new(map: ValveMap, numbers: Numbers, quality: Quality) -> Self {
        let Numbers { lag, dead_time, edges_per_turn, two_channel, valve, correction, closing } =
            numbers;
        let shaft = ShaftMeter::new(edges_per_turn, two_channel, closing);
        let times = [lag, dead_time];
        let law = match valve {
            ValveKind::Proportional => {
                let correction = Correction::new(map.full(), correction);
                Law::Proportional(Proportional::new(correction, times, &shaft, quality))
            }
            ValveKind::Motorised(config) => Law::Motorised(Motorised::new(config, times)),
        };
        // 2^14 / 10^6 is 17 592 / 2^30.
        let lag_seconds = mul_shift::<30>(clamp_i32(i64::from(lag.get())), 17_592_186);
        let lag_seconds = u16::try_from(lag_seconds).unwrap_or(1 << 15).min(1 << 15);
        let lags =
            |times: u32| dead_time.saturating_add(Micros::new(lag.get().saturating_mul(times)));
        let run_out = lags(5).saturating_add(Micros::from_millis(100));
        Self { map, lag, dead_time, lag_seconds, answer: lags(2), run_out, shaft, law }
    }

    /// What this drive remembers at power-up.
    pub(crate) fn fresh(&self) -> DriveState {
        let law = match self.law {
            Law::Proportional(_) => LawState::default(),
            Law::Motorised(_) => LawState::Motorised(MotorisedState::default()),
        };
        DriveState { shaft: ShaftState::default(), law }
    }

    /// Shaft speed at full command.
    pub const fn full(&self) -> TurnsPerSecond {
        self.map.full()
    }

    /// Lag τ1.
    pub const fn lag(&self) -> Micros {
        self.lag
    }

    /// Lag τ1 in seconds, Q14, and at most two.
    pub(crate) const fn lag_seconds(&self) -> u16 {
        self.lag_seconds
    }

    /// Dead time θ and half a tick, for a motorised valve half a cycle: how far ahead a command is felt.
    pub const fn reach(&self) -> Micros {
        match self.law {
            Law::Proportional(_) => self.dead_time.saturating_add(Micros::new(HALF_TICK)),
            Law::Motorised(_) => self.dead_time.saturating_add(AHEAD),
        }
    }

    /// Time from shut until the valve is half-way to where the shaft turns so fast.
    pub(crate) fn opens_in(&self, shaft: TurnsPerSecond) -> Micros {
        let Law::Motorised(law) = &self.law else { return Micros::ZERO };
        let half = self.map.command(TurnsPerSecond::from_bits(shaft.to_bits() / 2));
        // 1 / 1.2 of the time in which it shuts, rounded to 54 613 / 2^16.
        let share = mul_shift::<16>(i32::from(half.to_bits()), 54_613);
        let time = mul_shift::<16>(share, clamp_i32(i64::from(law.shut_in().get())));
        Micros::new(time.max(0).unsigned_abs())
    }

    /// Time in which a valve of this kind shuts.
    pub(crate) const fn shut_in(&self) -> Micros {
        match &self.law {
            Law::Proportional(_) => Micros::ZERO,
            Law::Motorised(law) => law.shut_in(),
        }
    }

    /// Whether the valve is shut as soon as it is told to; if not, the shut-off must help.
    pub(crate) const fn shuts_at_once(&self) -> bool {
        matches!(self.law, Law::Proportional(_))
    }

    /// Time in which a shaft that was told to turn must show it: dead time and twice the lag, and the time in
    /// which the valve would cross its travel.
    pub const fn answer(&self) -> Micros {
        self.answer.saturating_add(self.shut_in())
    }

    /// Time after which a shaft that was told to stop must stand.
    pub const fn run_out(&self) -> Micros {
        self.run_out.saturating_add(self.shut_in())
    }

    /// Edges that a turning shaft still gives when it is told to stop now: speed × (dead time + lag).
    pub(crate) fn edges_to_come(&self, state: &DriveState, edges_per_turn: u32) -> u32 {
        // In seconds, Q20: 2^20 / 10^6 is 68 719 / 2^16.
        let time = clamp_i32(i64::from(self.dead_time.saturating_add(self.lag).get()));
        let seconds = mul_shift::<16>(time, 68_719);
        let turns = mul_shift::<20>(state.measured().to_bits().max(0), seconds);
        let edges_per_turn = i32::try_from(edges_per_turn).unwrap_or(i32::MAX);
        mul_shift::<21>(turns, edges_per_turn).max(0).unsigned_abs()
    }

    /// Reads the shaft's encoder at `now`, `elapsed` after the last time.
    pub fn measure(
        &self,
        state: &mut DriveState,
        pulses: Pulses,
        (now, elapsed): (Instant, Micros),
    ) {
        let silent = state.shaft.is_silent();
        let window = self.shaft.measure(&mut state.shaft, pulses, now);
        let opened = silent && !state.shaft.is_silent();
        match (&self.law, &mut state.law) {
            (Law::Proportional(law), LawState::Proportional(memory)) => {
                let edge = (opened || window.is_some()).then(|| now.since_or_zero(pulses.edge_at));
                law.measure((memory, &mut state.shaft), (edge, window), elapsed);
            }
            (Law::Motorised(law), LawState::Motorised(memory)) => {
                law.measure(&self.map, (memory, &state.shaft), (window, opened), elapsed);
            }
            (_, _) => {}
        }
    }

    /// What the valve is given in a tick in which the drive shall turn.
    #[inline(never)]
    pub fn update(&self, state: &mut DriveState, feedback: Feedback, now: Instant) -> Driven {
        let shaft = &mut state.shaft;
        match (&self.law, &mut state.law) {
            (Law::Proportional(law), LawState::Proportional(memory)) => {
                Driven::command(law.update(&self.map, (memory, shaft), feedback, now))
            }
            (Law::Motorised(law), LawState::Motorised(memory)) => {
                Driven::turn(law.update(&self.map, (memory, shaft), feedback, now))
            }
            // A memory of the other kind is none: at rest.
            (Law::Proportional(_), LawState::Motorised(_))
            | (Law::Motorised(_), LawState::Proportional(_)) => Driven::default(),
        }
    }

    /// What the valve is given in a tick in which the drive rests.
    pub fn rest(&self, state: &mut DriveState) -> Driven {
        match (&self.law, &mut state.law) {
            (Law::Motorised(law), LawState::Motorised(memory)) => Driven::turn(law.rest(memory)),
            (_, _) => state.stop(),
        }
    }
}

impl DriveState {
    /// A stop: no command, a motorised valve driven shut. What was learnt is kept.
    pub const fn stop(&mut self) -> Driven {
        match &mut self.law {
            LawState::Proportional(memory) => {
                memory.rest();
                Driven::command(Command::ZERO)
            }
            LawState::Motorised(memory) => Driven::turn(memory.shut()),
        }
    }

    /// Whether a motorised valve is driven to where the shaft turns.
    pub(crate) const fn is_driven(&self) -> bool {
        match &self.law {
            LawState::Proportional(_) => false,
            LawState::Motorised(memory) => memory.is_driven(),
        }
    }

    /// What is wanted changed of a sudden: a trim waits as after a start.
    pub const fn restart(&mut self, now: Instant) {
        if let LawState::Proportional(memory) = &mut self.law {
            memory.restart(now);
        }
    }

    /// Shaft speed by the last window.
    pub const fn measured(&self) -> TurnsPerSecond {
        self.shaft.measured()
    }

    /// The instant at which it was true.
    pub const fn measured_at(&self) -> Instant {
        self.shaft.measured_at()
    }

    /// Edges since the reading before.
    #[must_use]
    pub const fn edges(&self) -> u32 {
        self.shaft.edges()
    }

    /// Edges by which the shaft stands behind where it was: it turned backwards.
    #[must_use]
    pub const fn behind(&self) -> u32 {
        self.shaft.behind()
    }

    /// By how much the map is corrected; nothing of a motorised valve, which learns its travel instead.
    pub const fn corrected(&self) -> Corrected {
        match &self.law {
            LawState::Proportional(memory) => memory.corrected(),
            LawState::Motorised(_) => Corrected::NONE,
        }
    }

    /// Forgets what was learnt of the map.
    pub(crate) const fn forget(&mut self) {
        if let LawState::Proportional(memory) = &mut self.law {
            memory.forget();
        }
    }
}
