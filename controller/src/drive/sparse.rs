//! Edges that are far apart: a model of the shaft between them, and what two of them say of the map.
//!
//! ```text
//!  command ─► map ─► lag τ1 ─► m, the shaft a dead time ahead     wanted · (1 + g) + b − m ─► × 4
//!                      └─► mean of m over the window, a dead time late ─► c
//!  edges ─► mean shaft speed s over the window                        e = c − (s (1 + g) + b) ─► g, b
//! ```
//!
//! Below two edges per τ1 a loop on measured speed would come too late: an edge tells of a mean speed half an edge
//! interval ago. What it tells *of the map* does not age: the turns that were commanded, over the turns that were
//! made, are the gain, whatever the speed did meanwhile. So the trim is not in a loop here; it is a measurement, and
//! the dead time cannot make it swing. The quick answer comes from a gain on the model, where there is
//! no dead time either (`docs/decisions/010-few-edges.md`). Where edges are close the model does not run: it is taken to have
//! come to its command, and counts turns again from the next edge that opens a window.

use super::row::HALF_TICK;
use crate::quantity::{Micros, Reciprocal, clamp_i32, mul_shift};

/// Most of what a window says that the trim takes, Q24: seven eighths, for the edges of a wheel are not quite even.
const FOLLOW: u32 = 7 << 21;

/// A tick, µs.
const TICK: u32 = 10_000;

/// A model of the shaft.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct Sparse {
    /// Share of the way to the command in a tick, Q16.
    share: i32,
    /// Dead time and half a tick: the shaft is so far behind the model.
    late: Micros,
}

/// What a window's edges could be expected to show.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foretold {
    /// Mean shaft speed over the window that the commands stood for, Q21.
    pub(super) mean: i32,
    /// Share of it that the trim takes, Q24.
    pub(super) share: u32,
}

impl Sparse {
    pub(super) fn new([lag, dead_time]: [Micros; 2]) -> Self {
        let tau = lag.get().saturating_add(HALF_TICK);
        let share = clamp_i32(i64::from(Reciprocal::of(tau).times(TICK, 16)));
        Self { share, late: dead_time.saturating_add(Micros::new(HALF_TICK)) }
    }

    /// The model after a tick in which the command stood for `given`, Q21.
    pub(super) const fn step(&self, model: i32, given: i32) -> i32 {
        let off = given.saturating_mul(8).saturating_sub(model);
        model.saturating_add(part_of(off, self.share))
    }

    /// What is added to the command that the shaft comes to `wanted`, five times as fast as it would by itself.
    pub(super) const fn push(wanted: i32, model: i32) -> i32 {
        wanted.saturating_sub(model.wrapping_shr(3)).saturating_mul(4)
    }

    /// Counts the model's turns, in turns/s Q21 · µs / 2^14, from edge to edge. An edge that opened
    /// or closed a window comes with its age; the turns up to it are returned.
    pub(super) fn count(
        &self,
        model: i32,
        turned: &mut u32,
        (edge, elapsed): (Option<Micros>, Micros),
    ) -> Option<u32> {
        *turned = turned.saturating_add(turns(model, elapsed));
        let age = edge?;
        let after = turns(model, age.saturating_add(self.late));
        let over = turned.saturating_sub(after);
        *turned = after;
        Some(over)
    }

    /// What a window could be expected to show over which the model made so many turns.
    pub(super) fn foretold(&self, span: Micros, over: u32) -> Foretold {
        let span = span.get();
        let mean = Reciprocal::of(span).times(over, 14);
        let told = span.saturating_add(self.late.get());
        let share = Reciprocal::of(told).times(span, 24).min(FOLLOW);
        Foretold { mean: i32::try_from(mean).unwrap_or(i32::MAX), share }
    }
}

/// A share, Q16, of what the model is off by, Q24: one product of 32 bits unless it is far off.
pub(super) const fn part_of(off: i32, share: i32) -> i32 {
    // 0.004 and 2 turns/s, and a share of at most 16 and of 14 bits.
    let magnitude = off.unsigned_abs();
    if magnitude < 1 << 15 {
        return off.wrapping_mul(share).wrapping_add(1 << 15).wrapping_shr(16);
    }
    if magnitude < 1 << 25 && share < 1 << 14 {
        return off.wrapping_shr(9).wrapping_mul(share).wrapping_add(1 << 6).wrapping_shr(7);
    }
    mul_shift::<16>(off, share)
}

/// Turns in a time, turns/s Q24 · µs / 2^17.
pub(super) fn turns(model: i32, time: Micros) -> u32 {
    let (speed, micros) = (model.max(0).unsigned_abs(), time.get());
    // Below 16 turns/s and 16 ms the product fits 32 bits.
    if speed < 1 << 24 && micros < 1 << 14 {
        return speed.wrapping_shr(6).wrapping_mul(micros).wrapping_shr(11);
    }
    if speed < 1 << 28 && micros < 1 << 14 {
        return speed.wrapping_shr(10).wrapping_mul(micros).wrapping_shr(7);
    }
    mul_shift::<17>(model, clamp_i32(i64::from(time.get()))).max(0).unsigned_abs()
}

#[cfg(test)]
mod tests {
    use super::Sparse;
    use crate::drive::{Drive, DriveState, Feedback, MapPoint, Numbers, ValveKind, ValveMap};
    use crate::quantity::{Command, Instant, Micros, TurnsPerSecond};
    use crate::sense::{Closing, Pulses, Quality};
    use crate::settings::LimitsConfig;

    const LAG: Micros = Micros::from_millis(150);
    const DEAD_TIME: Micros = Micros::from_millis(50);

    #[test]
    fn the_model_comes_to_the_command_and_the_push_ends_there() {
        let sparse = Sparse::new([LAG, DEAD_TIME]);
        let mut model = 0;
        for _ in 0..200 {
            model = sparse.step(model, 42_000);
        }
        assert!(Sparse::push(42_000, model).abs() <= 4, "model {model}");
        assert_eq!(Sparse::push(42_000, 0), 168_000, "four times what is lacking");
    }

    /// Asks a shaft that turns as its map says for half its full speed, an edge every half second, for twelve seconds; one
    /// edge is lost. Its least and its greatest speed after the first three seconds, in commands.
    fn driven(lost: i64) -> [i64; 2] {
        let full = TurnsPerSecond::from_bits(1 << 21);
        let point = |command, shaft| MapPoint { command: Command::from_bits(command), shaft };
        let map = ValveMap::new(&[point(0, TurnsPerSecond::ZERO), point(60_000, full)]).unwrap();
        let valve = ValveKind::Proportional;
        let (two_channel, correction) = (false, LimitsConfig::default());
        let (lag, dead_time) = (LAG, DEAD_TIME);
        let numbers = Numbers {
            lag,
            dead_time,
            edges_per_turn: 4,
            two_channel,
            valve,
            correction,
            closing: Closing::Odd,
        };
        let drive = Drive::new(map, numbers, Quality::Pulses);
        let half = TurnsPerSecond::from_bits(1 << 20);
        let feedback =
            Feedback { ahead: half, lead: TurnsPerSecond::ZERO, wanted: half, learns: true };
        let (mut state, mut pulses) = (DriveState::default(), Pulses::default());
        // Turns in commands · ticks: 100 ticks at 60 000 are a turn.
        let (mut turned, mut seen, mut command, mut speed) = (0_i64, 0, 0, 0);
        let mut ends = [i64::MAX, 0];
        for tick in 1..1_200_u32 {
            let now = Instant::from_micros(tick.wrapping_mul(10_000));
            let off = i64::from(command).saturating_sub(speed);
            speed = speed.saturating_add(off.saturating_mul(10) / 155);
            turned = turned.saturating_add(speed);
            let edge = turned / 1_500_000;
            if edge > seen && edge != lost {
                pulses = Pulses { count: pulses.count.wrapping_add(1), edge_at: now };
            }
            seen = edge;
            drive.measure(&mut state, pulses, (now, Micros::from_millis(10)));
            command = drive.update(&mut state, feedback, now).command.to_bits();
            if tick > 300 {
                ends = [ends[0].min(speed), ends[1].max(speed)];
            }
        }
        ends
    }

    #[test]
    fn edges_as_the_map_foretells_them_leave_the_map_alone() {
        let [least, greatest] = driven(0);
        assert!(least > 28_500 && greatest < 31_500, "{least} to {greatest} for 30 000");
    }

    #[test]
    fn a_lost_edge_moves_the_shaft_by_a_quarter_at_most() {
        let [least, greatest] = driven(12);
        assert!(least > 28_000 && greatest < 38_000, "{least} to {greatest} for 30 000");
        assert!(greatest > 33_000, "the edge was lost: {greatest}");
    }
}
