//! Faults of a pulse wire: ground pulses or a shaft encoder.
//!
//! ```text
//!  sensor ─┬─ one edge a tooth ──┐
//!          ├─ both flanks ───────┤
//!          └─ every second tooth ┴─► PulseFault ─► count, instant of the last edge
//! ```
//!
//! The count that comes out goes on from where it was, before, during and after: a capture counter never falls but
//! where it is told to, by two channels.

use crate::machine::Noise;
use controller::quantity::{Instant, Micros};
use controller::sense::Pulses;

/// What is wrong with the wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PulseKind {
    /// Edges go missing at random, this share of them.
    Lost(f64),
    /// Every second tooth gives no edge.
    Halved,
    /// The count falls: a two-channel encoder on a shaft that turns backwards.
    Backwards,
    /// No edge comes through.
    Stuck,
    /// Both flanks of every tooth are counted.
    Doubled,
    /// So many false edges a second at random.
    Noisy(f64),
    /// The wheel has so many teeth and one of them is missing.
    BrokenTooth(u32),
}

/// What one sensor wheel gives: an edge a tooth, both flanks of every tooth, every second tooth.
pub type Sensor = [Pulses; 3];

/// A pulse wire with a fault.
#[derive(Clone, Debug)]
pub struct PulseFault {
    kind: PulseKind,
    noise: Noise,
    /// What the sensor showed last.
    last: Option<Sensor>,
    shown: Pulses,
}

/// Length of a tick, µs.
const TICK_US: f64 = 10_000.0;

impl PulseFault {
    /// A wire whose chances follow from `seed`.
    pub fn new(kind: PulseKind, seed: u64) -> Self {
        Self { kind, noise: Noise::new(seed), last: None, shown: Pulses::default() }
    }

    /// What comes through in a tick; where the wheel gives `sensor`.
    pub fn pass(&mut self, sensor: Sensor, now: Instant, active: bool) -> Pulses {
        let Some(last) = self.last.replace(sensor) else {
            self.shown = sensor[0];
            return self.shown;
        };
        let edges = sensor[0].count.wrapping_sub(last[0].count);
        let span = sensor[0].edge_at.since(last[0].edge_at);
        match (active, self.kind) {
            (false, _) => self.show(edges, sensor[0].edge_at),
            (true, PulseKind::Stuck) => {}
            (true, PulseKind::Backwards) => {
                self.show(edges, sensor[0].edge_at);
                self.shown.count = self.shown.count.wrapping_sub(edges.wrapping_mul(2));
            }
            (true, PulseKind::Doubled) => self.show_all(last[1], sensor[1]),
            (true, PulseKind::Halved) => self.show_all(last[2], sensor[2]),
            (true, PulseKind::Lost(share)) => {
                for edge in 1..=edges {
                    if self.noise.uniform() >= share {
                        self.show(1, between(last[0].edge_at, span, edge, edges));
                    }
                }
            }
            (true, PulseKind::BrokenTooth(teeth)) => {
                for edge in 1..=edges {
                    if !last[0].count.wrapping_add(edge).is_multiple_of(teeth) {
                        self.show(1, between(last[0].edge_at, span, edge, edges));
                    }
                }
            }
            (true, PulseKind::Noisy(per_s)) => {
                self.show(edges, sensor[0].edge_at);
                self.add_noise(per_s, now);
            }
        }
        self.shown
    }

    const fn show(&mut self, edges: u32, at: Instant) {
        if edges > 0 {
            self.shown.count = self.shown.count.wrapping_add(edges);
            // Instants never fall.
            if !at.is_before(self.shown.edge_at) {
                self.shown.edge_at = at;
            }
        }
    }

    const fn show_all(&mut self, last: Pulses, sensor: Pulses) {
        self.show(sensor.count.wrapping_sub(last.count), sensor.edge_at);
    }

    fn add_noise(&mut self, per_s: f64, now: Instant) {
        let mut left = 2.0 * per_s * TICK_US * 1e-6 * self.noise.uniform();
        while left > self.noise.uniform() {
            left -= 1.0;
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a tick")]
            let back = (TICK_US * self.noise.uniform()) as u32;
            self.show(1, now.minus(Micros::new(back)));
        }
    }
}

/// The instant of edge `edge` of `edges` that came within `span` after `from`.
fn between(from: Instant, span: Micros, edge: u32, edges: u32) -> Instant {
    let share = u64::from(span.get()) * u64::from(edge) / u64::from(edges.max(1));
    from.plus(Micros::new(u32::try_from(share).unwrap_or(u32::MAX)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(count: u32, micros: u32) -> Pulses {
        Pulses { count, edge_at: Instant::from_micros(micros) }
    }

    #[test]
    fn a_stuck_wire_holds_its_count_and_goes_on_from_there() {
        let mut wire = PulseFault::new(PulseKind::Stuck, 1);
        let now = Instant::from_micros;
        wire.pass([at(5, 900); 3], now(1_000), true);
        let stuck = wire.pass([at(9, 10_900); 3], now(11_000), true);
        assert_eq!(stuck, at(5, 900));
        let after = wire.pass([at(11, 20_900); 3], now(21_000), false);
        assert_eq!(after, at(7, 20_900), "two edges since, no more and no less");
    }

    #[test]
    fn one_tooth_in_so_many_is_missing() {
        let mut wire = PulseFault::new(PulseKind::BrokenTooth(10), 1);
        for tick in 0..=100_u32 {
            let sensor = at(3 * tick, 10_000 * tick);
            let shown = wire.pass([sensor; 3], sensor.edge_at, true);
            assert!(3 * tick - shown.count <= 30, "tick {tick}: {shown:?}");
        }
        assert_eq!(wire.shown.count, 270, "of 300 edges");
    }
}
