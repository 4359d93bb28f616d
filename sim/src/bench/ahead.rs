//! What only the limit law may know: the truth that is still to come.

use super::clock::{STEPS_PER_TICK, seconds, steps};
use super::senses::Ahead;
use super::side::SideRun;
use super::world::World;

impl World<'_> {
    /// Of a side at step `k`, `t` seconds.
    pub(super) fn ahead(&self, k: usize, t: f64, side: &SideRun) -> Ahead {
        let drill = &self.scenario.drill;
        // A command is held for a tick: aim at its end.
        let tick_s = seconds(STEPS_PER_TICK);
        let dead_s = drill.truth.drive.dead_time_s;
        let lead =
            usize::try_from(steps(drill.true_delivery_delay_s() + dead_s + tick_s)).unwrap_or(0);
        let at = (k + lead).min(self.speeds.len() - 1);
        let now_mps = self.speeds[k] * (1.0 - self.curvatures[k] * side.offset_m);
        Ahead {
            moving: now_mps > drill.lowest_speed_mps,
            speed_mps: self.speeds[at] * (1.0 - self.curvatures[at] * side.offset_m),
            rate_kg_per_ha: self.hands.rate_at(t + dead_s, side.product),
            gain: side.drive.gain(t + dead_s + tick_s / 2.0),
            coil: side.drive.coil_factor(t + drill.truth.drive.dead_time_s),
            place: side.drive.place(),
            shaft_turns_per_s: side.drive.turns_per_s(),
        }
    }
}
