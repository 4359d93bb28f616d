//! Out in the field: several speed sources, slip, curves, lines ahead, gaps, backwards.

mod curves;
mod fusion;
mod gaps;
mod lines;
mod reverse;
mod sources;

use sim::bench::{Law, Look, Ours, run_piece};
use sim::profile::{Piece, Profile, Sample};
use sim::scenario::{Gnss, Scenario, Source};

/// The reference drill on points of instant and speed, speed from pulses.
pub(crate) fn driven(points: &[(f64, f64)]) -> Scenario {
    let mut scenario = tests::demo_scenario("ramp-0.5-pulses");
    let sample = |&(t_s, speed_mps): &(f64, f64)| Sample {
        t_s,
        speed_mps,
        in_work: None,
        heading_deg: None,
    };
    let samples = points.iter().map(sample).collect();
    scenario.profile = Profile { pieces: vec![Piece { samples }] };
    scenario.tolerances.clear();
    scenario
}

/// A receiver at 10 Hz, 0.1 s late, 0.02 m/s of noise, seeds 1 to 20.
pub(crate) fn receiver() -> Source {
    Source::Gnss(Gnss {
        interval_s: 0.1,
        latency_s: 0.1,
        noise_mps: 0.02,
        seeds: (1..=20).collect(),
    })
}

/// Runs the controller over the first piece and shows every tick to `look`.
pub(crate) fn watch(scenario: &Scenario, seed: u64, look: &mut dyn FnMut(&Look<'_>)) -> Ours {
    let mut ours = Ours::new(scenario).expect("the settings are right");
    let piece = &scenario.profile.pieces[0];
    run_piece(scenario, piece, seed, &mut ours as &mut dyn Law, look);
    ours
}
