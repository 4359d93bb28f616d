//! The standard profiles. Frozen: they keep results comparable, and are not changed.

use super::{Piece, Profile, Sample};

/// Speeds and 5 s stages of ISO 5682-3, with 0.5 m/s² between: `[point](s, m/s)`.
const STAIRCASE: [(f64, f64); 11] = [
    (0.0, 0.0),
    (4.0, 1.5),
    (9.0, 1.5),
    (10.0, 2.0),
    (15.0, 2.0),
    (16.0, 2.5),
    (21.0, 2.5),
    (22.0, 2.0),
    (27.0, 2.0),
    (28.0, 1.5),
    (33.0, 1.5),
];

/// Start, 1 m/s, up to 3 m/s and down again with `acceleration` (m/s²).
pub fn ramp(acceleration: f64) -> Profile {
    let change_s = 2.0 / acceleration;
    linear(&[
        (0.0, 0.0),
        (3.0, 1.0),
        (13.0, 1.0),
        (13.0 + change_s, 3.0),
        (33.0, 3.0),
        (33.0 + change_s, 1.0),
        (50.0, 1.0),
    ])
}

/// Start, then stages of 1.5, 2, 2.5, 2 and 1.5 m/s.
pub fn staircase() -> Profile {
    linear(&STAIRCASE)
}

/// One piece through `points` (s, m/s).
fn linear(points: &[(f64, f64)]) -> Profile {
    let sample = |&(t_s, speed_mps)| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
    Profile { pieces: vec![Piece { samples: points.iter().map(sample).collect() }] }
}
