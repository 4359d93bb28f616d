//! What a healthy drill keeps in the trial run, by speed source and kind of valve.
//!
//! The bounds are promises of the trial, not what your drill happened to reach. With every default the figures in the
//! bench's own oil are better by a margin that leaves room for other drills: measured over both systems of units, one and
//! two sides, the worst are, in the order of [`bounds`], pulses 99.5, 100, 0.7 (motorised 98.5, 99.7, 1.9), bus 96.7, 99.3,
//! 1.8 (94.0, 98.0, 2.7), receiver 89.6, 97.3, 2.8 (81.2, 93.1, 4.4). A wheel of 27 pulses a metre made 98.4, 100, 1.3 of the
//! first.

use super::super::answers::Answers;

/// A figure, its bound, and what it means.
pub(super) type Bound = (&'static str, &'static str, &'static str);

const FIVE: &str = "Share of the ground within 5 % of the rate, per cent.";
const TEN: &str = "Share of the ground within 10 % of the rate, per cent.";
const TYPICAL: &str = "Typical miss of the rate (root mean square), per cent.";
const MASS: &str = "Seed laid in all against seed owed, per cent.";
const AREA: &str = "Area that the controller counts against the true one, per cent.";
const SEED: &str = "Seed that the controller counts against what the meter delivered, per cent.";

const START: &str = "Most by which a start came later than speed and delays explain, m.";
const STOP: &str = "The same for stops, m.";

/// What must hold; `stops` is whether the run starts and stops in the row's ends.
pub(super) fn bounds(answers: &Answers, stops: bool) -> Vec<Bound> {
    let motorised = answers.is("drive_kind", "motorised");
    let (five, ten, typical) = match (answers.text("source"), motorised) {
        ("pulses", false) => ("{ at_least = 97.5 }", "{ at_least = 99.5 }", "{ at_most = 1.8 }"),
        ("pulses", true) => ("{ at_least = 97.0 }", "{ at_least = 99.0 }", "{ at_most = 2.5 }"),
        ("gnss", false) => ("{ at_least = 87.0 }", "{ at_least = 95.5 }", "{ at_most = 3.5 }"),
        ("gnss", true) => ("{ at_least = 78.0 }", "{ at_least = 91.0 }", "{ at_most = 5.5 }"),
        (_, false) => ("{ at_least = 95.0 }", "{ at_least = 98.5 }", "{ at_most = 2.5 }"),
        (_, true) => ("{ at_least = 92.0 }", "{ at_least = 96.5 }", "{ at_most = 3.5 }"),
    };
    let mass = if motorised { "{ within = 1.5 }" } else { "{ within = 1.0 }" };
    let mut bounds = vec![
        ("within_5_pct", five, FIVE),
        ("within_10_pct", ten, TEN),
        ("rms_pct", typical, TYPICAL),
        ("mass_pct", mass, MASS),
        ("tally_area_pct", "{ within = 0.3 }", AREA),
        ("tally_mass_pct", "{ within = 0.1 }", SEED),
    ];
    if stops {
        // A motorised valve runs from shut to its place: seconds, not tenths.
        let late = if motorised { "{ at_most = 0.6 }" } else { "{ at_most = 0 }" };
        bounds
            .extend([("start_excess_m", late, START), ("stop_excess_m", "{ at_most = 0 }", STOP)]);
    }
    bounds
}
