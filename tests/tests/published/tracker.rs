//! α-β trackers: steady gains, fading memory, lag, and one step by hand.

use crate::near;
use sim::desk::tracker::{AlphaBeta, Tracked, fading, steady_alpha, steady_beta};

/// Kalata's steady state as documented at
/// <https://help.juliahub.com/dyad/DiscreteComponents/stable/components/AlphaBetaFilter/>.
#[test]
fn steady_beta_belongs_to_alpha() {
    near("β for α = 0.5", steady_beta(0.5), 0.172, 0.0005);
}

/// Tracking index of Kalata 1984; computed figures.
#[test]
fn the_tracking_index_gives_both_gains() {
    let alpha = steady_alpha(0.242_640_7);
    near("α", alpha, 0.5, 5e-7);
    near("β", steady_beta(alpha), 0.171_572_9, 5e-7);
}

/// Fading memory (Brookner; Polge and Bhagavan): <https://docs.rs/filter/0.2.0/filter/gh/index.html>.
#[test]
fn a_fading_memory_has_the_tabulated_gains() {
    let table = [(0.5, 0.75, 0.25), (0.7, 0.51, 0.09), (0.8, 0.36, 0.04), (0.9, 0.19, 0.01)];
    for (share, alpha, beta) in table {
        let have = fading(share);
        near("α", have.0, alpha, 1e-12);
        near("β", have.1, beta, 1e-12);
    }
}

/// Lag under constant acceleration: the formula's figures, and a tracker run to its steady state.
#[test]
fn the_lag_of_a_running_tracker_is_that_of_the_formula() {
    let cases = [
        (
            AlphaBeta { alpha: 0.5, beta: 0.171_572_9, interval_s: 0.1 },
            0.5,
            [0.014_571, 0.029_142, 0.120_71],
            5e-6,
        ),
        (AlphaBeta { alpha: 0.2, beta: 0.1, interval_s: 5.0 }, 8.0, [1600.0, 2000.0, 60.0], 1e-9),
    ];
    for (tracker, accel, [value, innovation, rate], step) in cases {
        let lag = tracker.lag(accel);
        near("value", lag.value, value, step);
        near("innovation", lag.innovation, innovation, step);
        near("rate", lag.rate, rate, step);
        let run = run_lag(tracker, accel);
        near("value, run", run[0], lag.value, 1e-9 * lag.value.max(1.0));
        near("innovation, run", run[1], lag.innovation, 1e-9 * lag.innovation.max(1.0));
        near("rate, run", run[2], lag.rate, 1e-9 * lag.rate.max(1.0));
    }
}

/// Value, innovation and rate behind after 300 samples of constant acceleration.
fn run_lag(tracker: AlphaBeta, accel: f64) -> [f64; 3] {
    let mut state = Tracked::default();
    let mut behind = [0.0; 3];
    for sample in 1..=300 {
        let t = f64::from(sample) * tracker.interval_s;
        let truth = 0.5 * accel * t * t;
        let innovation = truth - tracker.predict(state);
        state = tracker.update(state, truth);
        behind = [truth - state.value, innovation, accel * t - state.rate];
    }
    behind
}

/// The example that α-β tutorials open with (<https://www.kalmanfilter.net/alphabeta.html>); figures computed.
#[test]
fn two_steps_by_hand() {
    let tracker = AlphaBeta { alpha: 0.2, beta: 0.1, interval_s: 5.0 };
    let first = tracker.update(Tracked { value: 30_000.0, rate: 40.0 }, 30_110.0);
    near("value", first.value, 30_182.0, 1e-9);
    near("rate", first.rate, 38.2, 1e-9);
    near("prediction", tracker.predict(first), 30_373.0, 1e-9);
    let second = tracker.update(first, 30_265.0);
    near("value", second.value, 30_351.4, 1e-9);
    near("rate", second.rate, 36.04, 1e-9);
    near("prediction", tracker.predict(second), 30_531.6, 1e-9);
}
