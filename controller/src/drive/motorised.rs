//! The law of a motorised valve: a gear motor that opens, holds and closes for a time.
//!
//! ```text
//!  wanted at t + τd + θ + 90 ms, + τ1 · dn/dt ─► map⁻¹ ─► − ─► beyond the zone? ─► open, hold, close
//!                                                         ▲
//!               place by dead reckoning ◄── corrected ────┘
//!                  │                           ▲
//!                  └► θ ago ─► map ─► lag τ1 ─► − ◄── measured shaft, over the same edges
//! ```
//!
//! The valve's place integrates, so a loop that pushes on the error would wait for dead time and lag at every
//! push and swing. Here a model of the drive runs along: what the shaft shows and the model did not foretell
//! moves the *place* (and the model), and the motor is driven to the place that is wanted:
//!
//! ```text
//!  n̂' = (map(place(t − θ)) − n̂) / τ1 + ω e      place += 2/3 e · dplace/dn      e = measured − n̂
//! ```
//!
//! `e` is the mean over a window of whole edges, the model's turns being counted over the very same time: no age
//! of the measurement enters. `docs/decisions/009-motorised-valve-law.md`.

use super::shaft::ShaftState;
use super::sparse::{part_of, turns};
use super::travel::{OPEN, TICK, Travel, TravelState};
use super::{Feedback, ValveMap, ValveTurn};
use crate::quantity::{Instant, Micros, Reciprocal, TurnsPerSecond, clamp_i32, mul_shift};
use crate::sense::Window;

/// A motorised valve as a person sets it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct MotorisedConfig {
    /// Time of the full travel from shut to open: 0.5 to 20 s.
    pub stroke: Micros,
    /// Running time that is lost to play when the motor turns round: 0 to 0.5 s.
    pub play: Micros,
}

/// Runs are planned so far ahead beyond the dead time: half a cycle of running and standing, and the motor's run-up.
pub(super) const AHEAD: Micros = Micros::from_millis(90);

/// ω, 1/µs Q16 · 2^10: 4.5 rad/s.
const FOLLOW: u32 = 300;

/// Share of an error that one window corrects in the place, Q16: two thirds.
const DEEP: i32 = 43_691;

/// A run from standing begins beyond this share of a tick's travel, Q14: 0.6.
const ZONE: i32 = 9_830;

/// Most of an error that one window corrects in the model, Q16: 0.4.
const MOST: u32 = 26_214;

/// The law, its numbers worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct Motorised {
    travel: Travel,
    /// As many ones as the dead time has ticks.
    dead_ticks: u32,
    /// Share of a tick in the lag, Q16.
    share: i32,
}

/// What it remembers; `Default` is at rest and has not been at its stop.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct MotorisedState {
    travel: TravelState,
    /// Shaft speed of the model, Q21.
    model: i32,
    /// Turns of the model since the last edge that closed or opened a window, turns/s Q21 · µs / 2^14.
    turned: u32,
    driven: bool,
    /// The window that is open began before the model ran.
    fresh: bool,
}

impl Motorised {
    pub(super) fn new(config: MotorisedConfig, [lag, dead_time]: [Micros; 2]) -> Self {
        let ticks = dead_time.get().saturating_add(5_000) / 10_000;
        let tau = lag.get().saturating_add(5_000);
        Self {
            travel: Travel::new(config.stroke, config.play),
            dead_ticks: 1_u32.checked_shl(ticks).unwrap_or(0).wrapping_sub(1),
            share: clamp_i32(i64::from(Reciprocal::of(tau).times(TICK.unsigned_abs(), 16))),
        }
    }

    /// Time in which the valve shuts, wherever it stands.
    pub(super) const fn shut_in(&self) -> Micros {
        self.travel.shut_in()
    }

    /// Carries the place and the model on to `now`, and corrects them if a window closed.
    pub(super) fn measure(
        &self,
        map: &ValveMap,
        (state, shaft): (&mut MotorisedState, &ShaftState),
        (window, opened): (Option<Window>, bool),
        elapsed: Micros,
    ) {
        self.travel.advance(&mut state.travel, elapsed);
        if !state.driven {
            state.model = shaft.measured().to_bits();
            state.turned = 0;
            return;
        }
        let aim = map.at(state.travel.before(self.dead_ticks).wrapping_shr(8)).0;
        let was = state.model;
        state.model = was.saturating_add(part_of(aim.saturating_sub(was), self.share));
        let mean = was.saturating_add(state.model) / 2;
        state.turned = state.turned.saturating_add(turns(mean.saturating_mul(8), elapsed));
        if window.is_none() && !opened {
            return;
        }
        let after = turns(state.model.saturating_mul(8), shaft.waited());
        if let (Some(window), false) = (window, state.fresh) {
            let over = state.turned.saturating_sub(after);
            Self::correct(map, state, shaft.measured().to_bits(), (over, window.span));
        }
        state.fresh = opened;
        state.turned = after;
    }

    /// Moves model and place by what the model did not foretell.
    fn correct(
        map: &ValveMap,
        state: &mut MotorisedState,
        measured: i32,
        (turned, span): (u32, Micros),
    ) {
        let over = Reciprocal::of(span.get());
        let error = measured.saturating_sub(word(over.times(turned, 14)));
        let part = span.get().min(1 << 20).wrapping_mul(FOLLOW).wrapping_shr(10).min(MOST);
        let part = word(part);
        state.model = state.model.saturating_add(mul_shift::<16>(error, part));
        let (_, slope) = map.at(state.travel.place().wrapping_shr(8));
        state.travel.correct(mul_shift::<18>(mul_shift::<16>(error, DEEP), slope));
    }

    /// The turn for a tick in which the drive shall turn.
    pub(super) fn update(
        &self,
        map: &ValveMap,
        (state, shaft): (&mut MotorisedState, &mut ShaftState),
        feedback: Feedback,
        now: Instant,
    ) -> ValveTurn {
        if !state.travel.homed() {
            return self.rest(state);
        }
        if !state.driven {
            state.driven = true;
            state.fresh = true;
            if shaft.stands() {
                shaft.begin(now);
                state.model = 0;
            }
        }
        let fed = feedback.ahead.saturating_add(feedback.lead).max(TurnsPerSecond::ZERO);
        let wanted = i32::from(map.command(fed).to_bits()).wrapping_shl(8).min(OPEN);
        // Sixteen bits of the travel in a tick and fourteen of the share.
        let zone = state.travel.step().wrapping_shr(4).wrapping_mul(ZONE).wrapping_shr(10);
        let off = wanted.saturating_sub(state.travel.place());
        state.travel.aim(off, zone)
    }

    /// The turn of a drive that rests: driven shut for 120 % of the stroke, then held.
    pub(super) fn rest(&self, state: &mut MotorisedState) -> ValveTurn {
        state.driven = false;
        self.travel.rest(&mut state.travel)
    }
}

impl MotorisedState {
    /// A stop without the settings at hand: driven shut.
    pub(super) const fn shut(&mut self) -> ValveTurn {
        self.driven = false;
        self.travel.shut()
    }

    /// Whether it is driven to where the shaft turns.
    pub(super) const fn is_driven(&self) -> bool {
        self.driven
    }
}

fn word(value: u32) -> i32 {
    i32::try_from(value).unwrap_or(i32::MAX)
}
