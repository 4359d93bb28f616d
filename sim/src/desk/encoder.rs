//! What an encoder and an integer integral can tell apart.

/// Speed step when edges are counted in a window, share of the speed: `1 / (N n Ts)`.
pub fn count_step(pulses_per_turn: u32, turns_per_s: f64, window_s: f64) -> f64 {
    1.0 / edges_in_window(pulses_per_turn, turns_per_s, window_s)
}

/// Edges that fall in a window on the mean.
pub fn edges_in_window(pulses_per_turn: u32, turns_per_s: f64, window_s: f64) -> f64 {
    f64::from(pulses_per_turn) * turns_per_s * window_s
}

/// Speed step when the time between two edges is measured by a clock, share of the speed: `N n / f`.
pub fn period_step(pulses_per_turn: u32, turns_per_s: f64, clock_hz: f64) -> f64 {
    f64::from(pulses_per_turn) * turns_per_s / clock_hz
}

/// Edge rate at which counting and timing tell equally much apart, Hz: `sqrt(f / Ts)`.
pub fn equal_edge_rate_hz(clock_hz: f64, window_s: f64) -> f64 {
    (clock_hz / window_s).sqrt()
}

/// Speed by M/T, turns/s: `edges` whole edges took `ticks` of the clock.
pub fn edges_over_time_turns_per_s(
    edges: u32,
    ticks: u32,
    pulses_per_turn: u32,
    clock_hz: f64,
) -> f64 {
    f64::from(edges) * clock_hz / (f64::from(pulses_per_turn) * f64::from(ticks))
}

/// Largest error that an integral with this step never sees: `LSB / (Ki Ts)`.
pub const fn integral_dead_zone(step: f64, ki_per_s: f64, sample_s: f64) -> f64 {
    step / (ki_per_s * sample_s)
}

/// Constant error that rounding down at every step is worth: half the dead zone, negative.
pub const fn floor_bias(step: f64, ki_per_s: f64, sample_s: f64) -> f64 {
    -0.5 * integral_dead_zone(step, ki_per_s, sample_s)
}
