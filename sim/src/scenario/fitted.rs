//! What is fitted beyond the first speed source, and what happens to it.
//!
//! ```text
//!  [[also]]  further sources, in order of preference     [slip]  the wheel's slip over time; corrected or not
//!  yaw = "gyro" | "course" | "none"                      direction = "known" | "unknown"
//!  [lines] + [[line]]  lines across the path             [[silence]]  a source falls silent
//! ```

use super::Source;

/// What is fitted.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fitted {
    /// Further speed sources after the first, in order of preference; up to three.
    pub also: Vec<Source>,
    /// The ground wheel's slip.
    pub slip: Slip,
    /// Where the yaw rate comes from.
    pub yaw: YawFrom,
    /// The controller is told which way the drill goes.
    pub direction_known: bool,
    /// Lines across the path.
    pub lines: Lines,
    /// Sources that fall silent.
    pub silences: Vec<Silence>,
    /// The speed that the operator set by hand as the last resort, m/s.
    pub by_hand_mps: Option<f64>,
}

/// The ground wheel's slip, beside the constant one of the machine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Slip {
    /// The controller corrects it by a source over ground.
    pub corrected: bool,
    /// `[point](instant s, share of pulses missing)`, linear between, held outside; none for no slip.
    pub points: Vec<(f64, f64)>,
}

impl Slip {
    /// Share of pulses missing at `t_s`.
    pub fn at(&self, t_s: f64) -> f64 {
        let after = self.points.iter().position(|point| point.0 > t_s);
        match (after, self.points.last()) {
            (_, None) => 0.0,
            (Some(0), _) => self.points[0].1,
            (None, Some(last)) => last.1,
            (Some(index), _) => {
                let ((t0, s0), (t1, s1)) = (self.points[index - 1], self.points[index]);
                s0 + (s1 - s0) * (t_s - t0) / (t1 - t0)
            }
        }
    }
}

/// Where the controller's yaw rate comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum YawFrom {
    /// A gyro, where the path has curves.
    #[default]
    Gyro,
    /// The course of the receiver.
    Course,
    /// It is told of no curves.
    None,
}

/// Lines across the path.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lines {
    /// How the controller is told of them; none when it is not.
    pub input: Option<LineInput>,
    /// The lines, in order of travel. Before the first the opposite of what is beyond it holds.
    pub lines: Vec<Line>,
}

/// The line input of the controller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineInput {
    /// Time between samples, s.
    pub interval_s: f64,
    /// Age of a sample when it arrives, s.
    pub latency_s: f64,
    /// Noise of a sample, m rms.
    pub noise_m: f64,
}

/// A line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Travel of the openers at which they cross it, m.
    pub at_m: f64,
    /// Seed is wanted beyond it.
    pub sow_beyond: bool,
}

impl Lines {
    /// Whether seed is wanted at a travel of the openers.
    pub fn want(&self, travel_m: f64) -> bool {
        let passed = self.lines.iter().rev().find(|line| line.at_m <= travel_m);
        match (passed, self.lines.first()) {
            (Some(line), _) => line.sow_beyond,
            (None, Some(first)) => !first.sow_beyond,
            (None, None) => true,
        }
    }

    /// The line that lies next ahead of a travel, or the last one.
    pub fn ahead(&self, travel_m: f64) -> Option<Line> {
        let next = self.lines.iter().find(|line| line.at_m > travel_m);
        next.or(self.lines.last()).copied()
    }
}

/// A source that falls silent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Silence {
    /// Place of the source in the order of preference, from 0.
    pub source: usize,
    /// Instant, s.
    pub at_s: f64,
    /// For how long, s.
    pub for_s: f64,
}

impl Fitted {
    /// Whether a source is silent at `t_s`.
    pub fn is_silent(&self, source: usize, t_s: f64) -> bool {
        self.silences
            .iter()
            .any(|it| it.source == source && t_s >= it.at_s && t_s < it.at_s + it.for_s)
    }
}

#[cfg(test)]
mod tests {
    use super::{Line, Lines, Slip};

    #[test]
    fn slip_is_linear_between_its_points_and_held_outside() {
        let slip = Slip { corrected: true, points: vec![(10.0, 0.0), (20.0, 0.1)] };
        let off = |t: f64, want: f64| (slip.at(t) - want).abs() < 1e-12;
        assert!(off(0.0, 0.0) && off(15.0, 0.05) && off(99.0, 0.1), "{slip:?}");
        assert!(Slip::default().at(5.0).abs() < 1e-12);
    }

    #[test]
    fn seed_is_wanted_between_the_lines() {
        let line = |at_m, sow_beyond| Line { at_m, sow_beyond };
        let lines = Lines { input: None, lines: vec![line(10.0, true), line(50.0, false)] };
        assert_eq!([5.0, 10.0, 49.0, 50.0].map(|at| lines.want(at)), [false, true, true, false]);
        assert_eq!(lines.ahead(20.0).map(|line| line.sow_beyond), Some(false));
        assert!(Lines::default().want(1.0), "no line, no bound");
    }
}
