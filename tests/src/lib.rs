//! Verification suite of Meterwright: the checks are in `tests/tests`, the measurements in `tests/benches`.
//!
//! Here is only what several of them need: where the demo data and the recorded tracks are.

use sim::scenario::{Scenario, Source};
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// The project's folder.
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// A file of the demo data.
pub fn demo(file: &str) -> PathBuf {
    project().join("demo-data").join(file)
}

/// A scenario of the demo data.
///
/// # Panics
///
/// When it cannot be read: the demo data is part of the project.
pub fn demo_scenario(name: &str) -> Scenario {
    let file = demo("scenarios").join(format!("{name}.toml"));
    sim::scenario::read::scenario(&file).unwrap_or_else(|error| panic!("{error}"))
}

/// A recorded track, or a word that it is skipped.
///
/// A relative `METERWRIGHT_TRACKS` is meant from the project's folder, whatever the test's own folder is.
pub fn track(name: &str) -> Option<PathBuf> {
    let Some(folder) = std::env::var_os("METERWRIGHT_TRACKS") else {
        // Past the capture of the test runner: a person must see it.
        let word = "skipped: METERWRIGHT_TRACKS does not name the folder of the recorded tracks\n";
        let _told = std::io::stderr().write_all(word.as_bytes());
        return None;
    };
    Some(project().join(PathBuf::from(folder)).join(format!("{name}.csv")))
}

/// A recorded track on the reference drill, or a word that it is skipped.
///
/// # Panics
///
/// When `METERWRIGHT_TRACKS` is set and the track is not there.
pub fn track_scenario(name: &str, source: Source) -> Option<Scenario> {
    let file = track(name)?;
    let drill = demo("drills/reference.toml");
    let lot = demo("seeds/demo-110.toml");
    let scenario = sim::scenario::read::replay(&file, &drill, &lot, source);
    Some(scenario.unwrap_or_else(|error| panic!("{error}")))
}

/// A way in which a drive is told wrong.
#[derive(Debug)]
pub struct WronglyTold {
    /// What is wrong.
    pub name: &'static str,
    /// Tells it so.
    pub tell: fn(&mut Scenario),
}

/// Every way of the project's promise: gain, lag, dead time, opening command, a warm coil, all together.
pub fn wrongly_told() -> [WronglyTold; 11] {
    [
        WronglyTold { name: "gain × 0.8", tell: |s| gain(s, 0.8) },
        WronglyTold { name: "gain × 1.2", tell: |s| gain(s, 1.2) },
        WronglyTold { name: "lag × 0.7", tell: |s| s.drill.told.lag_s *= 0.7 },
        WronglyTold { name: "lag × 1.3", tell: |s| s.drill.told.lag_s *= 1.3 },
        WronglyTold { name: "dead time × 0.5", tell: |s| s.drill.told.dead_time_s *= 0.5 },
        WronglyTold { name: "dead time × 1.5", tell: |s| s.drill.told.dead_time_s *= 1.5 },
        WronglyTold { name: "opening 0.16", tell: |s| s.drill.told.map[0].0 = 0.16 },
        WronglyTold { name: "opening 0.24", tell: |s| s.drill.told.map[0].0 = 0.24 },
        WronglyTold { name: "coil + 40 %", tell: coil },
        WronglyTold { name: "all low", tell: |s| all(s, [0.8, 0.7, 0.5, 0.16]) },
        WronglyTold { name: "all high", tell: |s| all(s, [1.2, 1.3, 1.5, 0.24]) },
    ]
}

/// Tells the map's gain times `factor`.
fn gain(scenario: &mut Scenario, factor: f64) {
    scenario.drill.told.map.iter_mut().for_each(|point| point.1 *= factor);
}

/// Warms the coil up by 40 % within some minutes.
const fn coil(scenario: &mut Scenario) {
    scenario.drill.truth.coil_rise = 0.4;
    scenario.drill.truth.coil_warm_s = 300.0;
}

/// Gain, lag, dead time and opening command wrong at once, on a coil that warms.
fn all(scenario: &mut Scenario, [map, lag, dead_time, opening]: [f64; 4]) {
    gain(scenario, map);
    scenario.drill.told.lag_s *= lag;
    scenario.drill.told.dead_time_s *= dead_time;
    scenario.drill.told.map[0].0 = opening;
    coil(scenario);
}
