//! Ground speed over a planned way, within what a tractor can speed up and slow down.
//!
//! ```text
//!  v(s)² ≤ limit(s)²      v(s + ds)² ≤ v(s)² + 2 a ds      v(s)² ≤ v(s + ds)² + 2 a ds
//!  dt = 2 ds / (v(s) + v(s + ds))
//! ```

use super::plan::Route;
use crate::bench::{STEP_S, speeds};
use crate::ground::real;
use crate::profile::{Piece, Sample};
use crate::scenario::{Act, Event};

/// Speeds of work and turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// In work, m/s.
    pub work_mps: f64,
    /// In turns and corners, m/s.
    pub headland_mps: f64,
    /// Speeding up and slowing down, m/s².
    pub acceleration_mps2: f64,
}

/// Way between two speeds, m.
const STEP_M: f64 = 0.05;

/// Time between two samples of the profile, s.
const SAMPLE_S: f64 = 0.1;

/// Time standing at the begin and at the end, s.
const STAND_S: f64 = 3.0;

impl Pace {
    /// The speed profile of a route, from rest to rest.
    pub fn profile(&self, route: &Route) -> Piece {
        let (step_m, speeds) = self.speeds(route);
        let sample =
            |t_s: f64, speed_mps: f64| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
        let mut samples = vec![sample(0.0, 0.0), sample(STAND_S, 0.0)];
        let (mut t, mut last) = (STAND_S, STAND_S);
        for pair in speeds.windows(2) {
            t += 2.0 * step_m / (pair[0] + pair[1]);
            if t - last >= SAMPLE_S {
                samples.push(sample(t, pair[1]));
                last = t;
            }
        }
        if t > last {
            samples.push(sample(t, 0.0));
        }
        samples.push(sample(t + STAND_S, 0.0));
        Piece { samples }
    }

    /// When the implement is lowered and lifted in a piece that drives a route; it begins lifted.
    pub fn lifts(route: &Route, piece: &Piece) -> Vec<Event> {
        let speeds = speeds(piece);
        let mut changes =
            route.works.iter().flat_map(|&(from, to)| [(from, true), (to, false)]).peekable();
        let mut events = vec![Event { at_s: piece.start_s(), act: Act::Lower(false) }];
        let mut s = 0.0;
        for (index, pair) in speeds.windows(2).enumerate() {
            let at_s = piece.start_s() + real(index) * STEP_S;
            while let Some((_, down)) = changes.next_if(|change| change.0 <= s) {
                events.push(Event { at_s, act: Act::Lower(down) });
            }
            s += f64::midpoint(pair[0], pair[1]) * STEP_S;
        }
        events
    }

    /// Speed at every step of the way, and the step, m.
    fn speeds(&self, route: &Route) -> (f64, Vec<f64>) {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a length")]
        let count = libm::ceil(route.path.length_m() / STEP_M) as usize + 1;
        let step_m = route.path.length_m() / real(count - 1);
        let mut squares = vec![self.work_mps * self.work_mps; count];
        for &(from, to) in &route.slow {
            let held = squares
                .iter_mut()
                .enumerate()
                .filter(|(index, _)| (from..=to).contains(&(real(*index) * step_m)));
            held.for_each(|(_, square)| *square = self.headland_mps * self.headland_mps);
        }
        squares[0] = 0.0;
        squares[count - 1] = 0.0;
        let gain = 2.0 * self.acceleration_mps2 * step_m;
        for index in 1..count {
            squares[index] = squares[index].min(squares[index - 1] + gain);
        }
        for index in (0..count - 1).rev() {
            squares[index] = squares[index].min(squares[index + 1] + gain);
        }
        (step_m, squares.into_iter().map(f64::sqrt).collect())
    }
}
