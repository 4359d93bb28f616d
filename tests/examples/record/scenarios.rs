//! Demo scenarios as the controller hears them.

use crate::trace::Trace;
use sim::bench::{Law, Ours, Senses, Shown, run_piece, settings};

/// Ticks of each at most.
const MOST: u32 = 1_500;

/// What differs in sensors, valves, paths, acts or sizes.
const SCENARIOS: [&str; 26] = [
    "ramp-0.5-pulses",
    "ramp-1.0-gnss",
    "staircase-gnss",
    "circles-left",
    "circles-right-course",
    "headland-two-sides",
    "headland-gnss",
    "demo-field-gnss",
    "motorised-headland-pulses",
    "motorised-circles-left-course",
    "motorised-ramp-0.5-gnss",
    "rate-steps",
    "sides-off-and-on",
    "two-products",
    "outlets-shut",
    "slip-corrected",
    "bus-and-pulses",
    "bus-wheel",
    "line-ahead-gnss",
    "opener-ways",
    "reversing",
    "speed-by-hand",
    "small-seed-ramp",
    "slow-shaft-60-ramp-0.5",
    "ramp-0.5-curve",
    "start-stop-restart-gnss",
];

/// The law of the bench with an ear.
struct Heard<'a> {
    ours: Ours,
    trace: &'a mut Trace,
    end: u32,
    wrong: Option<String>,
}

impl Law for Heard<'_> {
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        self.ours.tick(senses, commands);
        if self.trace.ticks() < self.end && self.wrong.is_none() {
            self.wrong = self.trace.heard(self.ours.heard()).err();
        }
    }

    fn supply(&self) -> bool {
        self.ours.supply()
    }

    fn show(&self, side: usize) -> Shown {
        self.ours.show(side)
    }
}

pub(crate) fn record(trace: &mut Trace) -> Result<(), String> {
    for name in SCENARIOS {
        let scenario = tests::demo_scenario(name);
        let piece = scenario.profile.pieces.first().ok_or("a scenario without a piece")?;
        let ours = Ours::new(&scenario).map_err(|error| error.to_string())?;
        trace.begin(&settings(&scenario))?;
        let end = trace.ticks() + MOST;
        let mut heard = Heard { ours, trace, end, wrong: None };
        let _soil = run_piece(&scenario, piece, 1, &mut heard, &mut |_| {});
        heard.wrong.map_or(Ok(()), Err)?;
    }
    Ok(())
}
