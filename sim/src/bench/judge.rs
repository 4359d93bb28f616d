//! Runs a scenario for every noise seed and gives the verdict.
//!
//! Each figure of the verdict is that of the seed that is worst in it.

use super::brain::{Brain, Driven, Own};
use super::notes::notes;
use super::{Law, Look, Ours, Outcome, run_piece, settings};
use crate::carry::Image;
use crate::fault::WrongBuild;
use crate::field::{FieldFigures, Survey};
use crate::ground::real;
use crate::rival::{Chain, Limit, Plain};
use crate::scenario::{Bound, BusGroup, Scenario, Source};
use crate::score::{Score, Tallies, score};
use crate::trace::{Cell, SideTick, Tick, Trace};
use crate::unit::{LENGTH, SPEED, System};
use crate::verdict::{LoggedGap, Miss, Place, Rivals, Verdict, Words};
use controller::SettingsError;
use controller::gap::{Cause, Gap};
use controller::watch::Item;

/// The chain's sprockets are chosen for this ground speed where the meter's delivery depends on it, m/s.
const CHAIN_MPS: f64 = 2.0;

/// A law's run over all pieces of a scenario.
#[derive(Clone, Debug)]
pub struct Run {
    /// Noise seed.
    pub seed: u64,
    /// Its figures.
    pub score: Score,
    /// Its cells.
    pub cells: Vec<Cell>,
    /// How the field was sown, if there is one.
    pub field: Option<FieldFigures>,
    /// When and by which item of the watch it first stopped for good, s and number.
    pub stopped: Option<(f64, Item)>,
    /// The gaps it logged, `(piece, gap)`.
    pub gaps: Vec<(usize, Gap)>,
}

/// Runs the controller over a scenario with one noise seed.
///
/// # Errors
///
/// That of the settings.
pub fn run(scenario: &Scenario, seed: u64) -> Result<Run, SettingsError> {
    run_build(scenario, seed, None, &mut Own)
}

fn run_build(
    scenario: &Scenario,
    seed: u64,
    wrong: Option<&'static WrongBuild>,
    brain: &mut dyn Brain,
) -> Result<Run, SettingsError> {
    brain.repeat(false);
    let mut run = run_seen(scenario, seed, wrong, brain, &mut |_, _| {})?;
    if let Some(smooth) = smooth(scenario) {
        brain.repeat(true);
        let alone = run_seen(&smooth, seed, wrong, brain, &mut |_, _| {})?.score;
        let both = run.score.rms_pct;
        run.score.control_within_5_pct = alone.within_5_pct;
        run.score.control_within_10_pct = alone.within_10_pct;
        run.score.control_rms_pct = alone.rms_pct;
        run.score.meter_rms_pct = (both * both - alone.rms_pct * alone.rms_pct).max(0.0).sqrt();
    }
    Ok(run)
}

/// The scenario with a smooth meter, if its meter scatters. The controller sees no seed, only the shaft:
/// its run is the same, and what is left on the soil is the control's own part.
fn smooth(scenario: &Scenario) -> Option<Scenario> {
    let meter = &scenario.drill.truth.meter;
    if meter.pulsation == 0.0 && meter.wander == 0.0 {
        return None;
    }
    let mut smooth = scenario.clone();
    smooth.drill.truth.meter.pulsation = 0.0;
    smooth.drill.truth.meter.wander = 0.0;
    Some(smooth)
}

fn run_seen(
    scenario: &Scenario,
    seed: u64,
    wrong: Option<&'static WrongBuild>,
    brain: &mut dyn Brain,
    look: &mut dyn FnMut(usize, &Look<'_>),
) -> Result<Run, SettingsError> {
    let mut tallies = Tallies::default();
    let mut pieces = Vec::new();
    let mut stopped = None;
    let mut gaps = Vec::new();
    for (index, piece) in scenario.profile.pieces.iter().enumerate() {
        let ours = Ours::built(scenario, wrong)?;
        brain.begin();
        let mut driven = Driven { ours, brain };
        pieces.push(run_piece(scenario, piece, seed, &mut driven, &mut |seen| look(index, seen)));
        let law = driven.ours;
        brain.end(law.counted());
        stopped = stopped.or(law.stopped());
        gaps.extend(law.gaps().iter().map(|gap| (index, *gap)));
        tallies = tallies.plus(law.tallies());
    }
    let (score, cells) = score(&scenario.drill, &pieces, Some(tallies));
    let bounded = scenario.field.as_ref().is_some_and(|field| field.boundary.is_some());
    let field = Survey::of(scenario, &pieces).map(|survey| survey.figures(bounded));
    Ok(Run { seed, score, cells, field, stopped, gaps })
}

fn run_rival(scenario: &Scenario, seed: u64, make: &dyn Fn() -> Box<dyn Law>) -> Score {
    let pieces: Vec<Outcome> = scenario
        .profile
        .pieces
        .iter()
        .map(|piece| run_piece(scenario, piece, seed, &mut *make(), &mut |_| {}))
        .collect();
    score(&scenario.drill, &pieces, None).0
}

/// The noise seeds of a scenario.
fn seeds(scenario: &Scenario) -> Vec<u64> {
    scenario.noise_seeds().map_or_else(|| vec![1], <[u64]>::to_vec)
}

/// The verdict on a scenario; `progress` is told the share done.
///
/// # Errors
///
/// That of the settings: a scenario that the controller refuses cannot be judged.
pub fn judge(scenario: &Scenario, progress: &dyn Fn(f64)) -> Result<Verdict, SettingsError> {
    judge_build(scenario, None, progress)
}

/// The verdict on a wrong build of the control path, or on the right one.
///
/// # Errors
///
/// That of the settings.
pub fn judge_build(
    scenario: &Scenario,
    wrong: Option<&'static WrongBuild>,
    progress: &dyn Fn(f64),
) -> Result<Verdict, SettingsError> {
    judge_with(scenario, wrong, &mut Own, progress)
}

/// The verdict on a controller outside of the bench.
///
/// # Errors
///
/// That of the settings.
pub fn judge_outside(scenario: &Scenario, brain: &mut dyn Brain) -> Result<Verdict, SettingsError> {
    judge_with(scenario, None, brain, &|_| {})
}

fn judge_with(
    scenario: &Scenario,
    wrong: Option<&'static WrongBuild>,
    brain: &mut dyn Brain,
    progress: &dyn Fn(f64),
) -> Result<Verdict, SettingsError> {
    let seeds = seeds(scenario);
    let parts = real(2 * seeds.len() + 2);
    let mut done = 0.0;
    let mut step = || {
        done += 1.0;
        progress(done / parts);
    };
    let first = seeds.first().copied().unwrap_or(1);
    let sprockets = scenario
        .drill
        .sides
        .iter()
        .map(|side| scenario.lot(side.product).turns_per_m(side.width_m, CHAIN_MPS));
    let sprockets: Vec<f64> = sprockets.collect();
    let chain = run_rival(scenario, first, &|| Box::new(Chain::new(sprockets.clone())));
    step();
    let limit = run_rival(scenario, first, &|| Box::new(Limit::new(scenario)));
    step();
    let floor = smooth(scenario).map_or(limit.rms_pct, |smooth| {
        run_rival(&smooth, first, &|| Box::new(Limit::new(&smooth))).rms_pct
    });
    let mut plain: Option<Score> = None;
    let mut runs = Vec::new();
    for &seed in &seeds {
        let rival = run_rival(scenario, seed, &|| Box::new(Plain::new(scenario)));
        plain = Some(plain.map_or_else(|| rival.clone(), |worst| worst.worse(&rival)));
        step();
        let mut run = run_build(scenario, seed, wrong, brain)?;
        run.score.floor_ratio = run.score.control_rms_pct / floor;
        runs.push(run);
        step();
    }
    let rivals = Rivals { chain, plain: plain.unwrap_or_default(), limit };
    Ok(verdict(scenario, &runs, rivals))
}

fn verdict(scenario: &Scenario, runs: &[Run], rivals: Rivals) -> Verdict {
    let score = runs
        .iter()
        .skip(1)
        .fold(runs.first().map(|run| run.score.clone()).unwrap_or_default(), |worst, run| {
            worst.worse(&run.score)
        });
    let fields = runs.iter().filter_map(|run| run.field.as_ref());
    let field = fields.max_by(|a, b| a.wrong_m2().total_cmp(&b.wrong_m2())).cloned();
    let misses = misses(scenario, runs, &score, field.as_ref());
    let stopped = runs.iter().find_map(|run| run.stopped);
    let [metric, us] = notes(scenario, &score, stopped);
    Verdict {
        scenario: scenario.name.clone(),
        title: scenario.title.clone(),
        drill: scenario.drill.name.clone(),
        numbers: scenario.drill.numbers(),
        seed_lot: scenario.lots().map(|lot| lot.name.as_str()).collect::<Vec<_>>().join(" and "),
        demo: scenario.drill.demo || scenario.lots().any(|lot| lot.demo),
        source: source(scenario, System::Metric),
        fingerprint: fingerprint(scenario),
        pass: misses.is_empty(),
        runs: runs.len(),
        notes: metric,
        us: Words { source: source(scenario, System::Us), notes: us },
        gaps: runs.first().map(|run| gaps(scenario, &run.gaps)).unwrap_or_default(),
        score,
        rivals,
        field,
        misses,
    }
}

/// The fingerprint of what the controller was told.
fn fingerprint(scenario: &Scenario) -> String {
    // A scenario that the controller refuses is not judged.
    Image::of(&settings(scenario)).map_or_else(|_| String::new(), |image| image.fingerprint())
}

/// The gaps that the controller logged, for a person.
fn gaps(scenario: &Scenario, logged: &[(usize, Gap)]) -> Vec<LoggedGap> {
    let name = |side: u8| scenario.drill.sides.get(usize::from(side)).map(|side| side.name.clone());
    let gap = |&(piece, gap): &(usize, Gap)| LoggedGap {
        piece,
        side: name(gap.side).unwrap_or_default(),
        cause: cause(gap.cause).to_owned(),
        start_m: f64::from(gap.start_mm) / 1e3,
        length_m: f64::from(gap.length_mm) / 1e3,
        latitude_deg: gap.position.map(|place| f64::from(place.latitude()) / 1e7),
        longitude_deg: gap.position.map(|place| f64::from(place.longitude()) / 1e7),
    };
    logged.iter().map(gap).collect()
}

/// Why ground was left bare, in words.
pub(crate) const fn cause(cause: Cause) -> &'static str {
    match cause {
        Cause::SwitchedOff => "switched off",
        Cause::Stopped => "stopped by a fault or at power-up",
        Cause::SpeedLost => "speed source lost",
        Cause::TooSlow => "below the lowest sowing speed",
        Cause::Shaft => "shaft at less than half the wanted speed",
        Cause::NoSeed => "no seed passed the sensor",
        Cause::LiftUnknown => "nothing known of the lift",
        _ => "another cause",
    }
}

/// The speed source in words.
fn source(scenario: &Scenario, system: System) -> String {
    let words: Vec<String> =
        scenario.sources().map(|source| source_words(scenario, source, system)).collect();
    words.join("; then ")
}

fn source_words(scenario: &Scenario, source: &Source, system: System) -> String {
    match source {
        Source::Pulses => {
            let (per_m, length) = (scenario.drill.ground_pulses_per_m, LENGTH.preferred(system));
            let own = length.filter(|_| system == System::Us).map_or(1.0, |unit| unit.to_own(1.0));
            let length = if system == System::Us { "foot" } else { "metre" };
            format!("pulses, {} per {length}", libm::round(per_m * own * 10.0) / 10.0)
        }
        Source::Gnss(gnss) => format!(
            "GNSS {} Hz, {} s late, {} noise",
            libm::round(10.0 / gnss.interval_s) / 10.0,
            gnss.latency_s,
            SPEED.show(gnss.noise_mps, system, 3)
        ),
        Source::Bus(bus) => {
            let group = match bus.group {
                BusGroup::Wheel => "wheel-based",
                BusGroup::Ground => "ground-based",
                BusGroup::Selected => "machine selected",
            };
            format!("{group} speed of the bus, {} s late", bus.latency_s)
        }
    }
}

fn misses(
    scenario: &Scenario,
    runs: &[Run],
    score: &Score,
    field: Option<&FieldFigures>,
) -> Vec<Miss> {
    let floor =
        crate::scenario::Tolerance { figure: "floor_ratio".into(), bound: least_ratio(scenario) };
    // Where nothing ran there is no floor to compare with.
    let floor = score.floor_ratio.is_finite().then_some(&floor);
    let bounds = scenario.tolerances.iter().chain(floor);
    let mut misses = Vec::new();
    for tolerance in bounds {
        let of_field = field.and_then(|field| field.figure(&tolerance.figure));
        let Some(have) = score.figure(&tolerance.figure).or(of_field) else { continue };
        if !tolerance.bound.holds(have) {
            let bound = words(tolerance.bound);
            let blamed = || place(runs, &tolerance.figure, have);
            let place = if of_field.is_some() { None } else { blamed() };
            misses.push(Miss { figure: tolerance.figure.clone(), bound, have, place });
        }
    }
    misses
}

/// Nothing is better than the limit. With a motorised valve it may be, by a little: where the stroke leaves a cell
/// half empty, a valve that overshoots fills it better than one that goes to its place.
const fn least_ratio(scenario: &Scenario) -> Bound {
    let motorised = scenario.drill.truth.drive.motor.is_some();
    Bound::AtLeast(if motorised { 0.98 } else { 1.0 })
}

fn words(bound: Bound) -> String {
    match bound {
        Bound::AtLeast(limit) => format!("at least {limit}"),
        Bound::AtMost(limit) => format!("at most {limit}"),
        Bound::Within(limit) => format!("within ±{limit}"),
    }
}

/// The worst cell of the run to which a figure belongs.
fn place(runs: &[Run], figure: &str, have: f64) -> Option<Place> {
    let run = runs
        .iter()
        .find(|run| run.score.figure(figure).is_some_and(|value| value.total_cmp(&have).is_eq()))
        .or_else(|| runs.first())?;
    let all = figure == "all_within_10_pct";
    let cells = run.cells.iter().filter(|cell| cell.running || (all && cell.counted));
    let cell = cells.max_by(|a, b| a.error_pct.abs().total_cmp(&b.error_pct.abs()))?;
    Some(Place {
        seed: (runs.len() > 1).then_some(run.seed),
        piece: cell.piece,
        side: cell.side,
        start_m: cell.start_m,
        entered_s: cell.entered_s,
        laid_kg_per_ha: cell.laid_kg_per_ha,
        target_kg_per_ha: cell.target_kg_per_ha,
        error_pct: cell.error_pct,
    })
}

/// Runs the controller once and keeps every tick and cell.
///
/// # Errors
///
/// That of the settings.
pub fn trace(scenario: &Scenario, seed: u64) -> Result<Trace, SettingsError> {
    let mut ticks = Vec::new();
    let run =
        run_seen(scenario, seed, None, &mut Own, &mut |piece, look| ticks.push(tick(piece, look)))?;
    Ok(Trace { ticks, cells: run.cells })
}

fn tick(piece: usize, look: &Look<'_>) -> Tick {
    let first = look.shown.first().copied().unwrap_or_default();
    let sides = look.shown.iter().enumerate().map(|(index, shown)| SideTick {
        wanted_turns_per_s: shown.wanted_turns_per_s,
        measured_turns_per_s: shown.measured_turns_per_s,
        true_turns_per_s: look.shafts_turns_per_s[index],
        command: look.commands[index],
        state: shown.state,
    });
    Tick {
        piece,
        t_s: look.senses.t_s,
        travel_m: look.travel_m,
        speed_mps: look.speed_mps,
        believed_mps: first.believed_mps,
        yaw_rad_per_s: look.senses.yaw_rad_per_s,
        asked: look.asked,
        alarm: first.alarm,
        supply: first.supply,
        sides: sides.collect(),
    }
}
