//! Steps of the physics and ticks of the law.

/// Step of the physics, s.
pub const STEP_S: f64 = 0.001;

/// Steps of the physics in a tick of the law.
pub const STEPS_PER_TICK: u64 = 10;

/// Whole steps in `seconds`.
pub(super) fn steps(seconds: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "times of a run, not negative"
    )]
    let steps = libm::round(seconds / STEP_S) as u64;
    steps
}

/// Seconds in `steps`.
pub(super) fn seconds(steps: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a run has far fewer than 2^52 steps")]
    let steps = steps as f64;
    steps * STEP_S
}
