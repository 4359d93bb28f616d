//! Pulse sensors: a rotating or rolling part that gives an edge at equal steps of its travel.
//!
//! The edge falls where the travel crosses `k / edges_per_unit`, moved by the jitter of that edge; its
//! instant is found by linear interpolation within the step.

use crate::machine::noise::Noise;

/// Cumulative edge count and the instant of the last edge.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Edges {
    /// Edges so far.
    pub count: u64,
    /// Instant of the last one, s; zero before the first.
    pub last_s: f64,
}

/// A pulse sensor on a travel in turns or metres.
#[derive(Clone, Debug)]
pub struct EdgeSensor {
    edges_per_unit: f64,
    jitter: f64,
    tooth: f64,
    noise: Noise,
    next: f64,
    edges: Edges,
    /// Instants of the edges of the last step, s.
    passed: Vec<f64>,
}

/// The tooth that may be off its place.
const BAD_TOOTH: u64 = 5;

impl EdgeSensor {
    /// A sensor with `edges_per_unit`; each edge is displaced by `jitter` (share of an edge, rms).
    pub fn new(edges_per_unit: f64, jitter: f64, seed: u64) -> Self {
        let mut sensor = Self {
            edges_per_unit,
            jitter,
            tooth: 0.0,
            noise: Noise::new(seed),
            next: 0.0,
            edges: Edges::default(),
            passed: Vec::new(),
        };
        sensor.next = sensor.edge_after(0);
        sensor
    }

    /// The same with one tooth of each turn off its place by so much of a pulse.
    #[must_use]
    pub fn with_tooth(self, displaced: f64) -> Self {
        Self { tooth: displaced, ..self }
    }

    /// What it shows now.
    pub const fn edges(&self) -> Edges {
        self.edges
    }

    /// The instants of the edges that passed in the last step, s.
    pub fn passed(&self) -> &[f64] {
        &self.passed
    }

    /// The travel moved from `from` to `to` units during the `step_s` that ends at `t`.
    pub fn step(&mut self, from: f64, to: f64, t: f64, step_s: f64) {
        let (from, to) = (from * self.edges_per_unit, to * self.edges_per_unit);
        self.passed.clear();
        while self.next <= to {
            let share =
                if to > from { ((self.next - from) / (to - from)).clamp(0.0, 1.0) } else { 1.0 };
            self.edges.last_s = self.edges.last_s.max(t - step_s * (1.0 - share));
            self.passed.push(self.edges.last_s);
            self.edges.count += 1;
            self.next = self.edge_after(self.edges.count);
        }
    }

    /// Where the edge after `count` edges falls, in edges.
    fn edge_after(&mut self, count: u64) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "a run has far fewer than 2^52 edges")]
        let nominal = (count + 1) as f64;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "pulses of a turn, rounded"
        )]
        let per_turn = (self.edges_per_unit as u64).max(1);
        let bad = self.tooth != 0.0 && (count + 1) % per_turn == BAD_TOOTH % per_turn;
        let nominal = nominal + if bad { self.tooth } else { 0.0 };
        if self.jitter == 0.0 { nominal } else { nominal + self.jitter * self.noise.gauss() }
    }
}

#[cfg(test)]
mod tests {
    use super::EdgeSensor;

    #[test]
    fn the_edges_of_a_step_are_told_with_their_instants() {
        let mut sensor = EdgeSensor::new(10.0, 0.0, 1);
        sensor.step(0.0, 0.25, 1.0, 1.0);
        assert_eq!(sensor.passed().len(), 2);
        assert!(
            (sensor.passed()[0] - 0.4).abs() < 1e-12 && (sensor.passed()[1] - 0.8).abs() < 1e-12
        );
        sensor.step(0.25, 0.25, 2.0, 1.0);
        assert!(sensor.passed().is_empty(), "at rest nothing passes");
        assert_eq!(sensor.edges().count, 2);
    }
}
