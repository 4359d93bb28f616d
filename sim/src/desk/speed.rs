//! Ground speed by the clock, and what a late or lagging drive makes of it.

/// Speed over a timed course, m/s.
pub const fn timed_mps(distance_m: f64, time_s: f64) -> f64 {
    distance_m / time_s
}

/// Time that a course takes, s.
pub const fn course_s(distance_m: f64, speed_mps: f64) -> f64 {
    distance_m / speed_mps
}

/// Rate error right after a *step* of acceleration, share: no drive without preview can be better.
/// `a θ / (v + a θ)` for acceleration a from speed v and total latency θ.
pub const fn onset_floor(accel_mps2: f64, speed_mps: f64, latency_s: f64) -> f64 {
    accel_mps2 * latency_s / (speed_mps + accel_mps2 * latency_s)
}

/// Longest total latency with which the error at the onset of acceleration stays within `share`, s.
pub const fn onset_latency_s(accel_mps2: f64, speed_mps: f64, share: f64) -> f64 {
    share * speed_mps / (accel_mps2 * (1.0 - share))
}

/// Rate at a lateral offset of a section that is turned by one drive on a curve, over the target:
/// `R / (R + y)`, R the radius at the section's centre, y positive to the outside.
pub const fn curve_rate(radius_m: f64, offset_m: f64) -> f64 {
    radius_m / (radius_m + offset_m)
}
