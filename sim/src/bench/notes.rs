//! Known floors, printed beside the result.
//!
//! After a step of acceleration `a` from speed `v`, with total latency `θt = τd + θ + sensing age` and no
//! preview, the rate on the soil is off by `a θt / (v + a θt)`. A course held with one motor across a width
//! `W` at radius `R` leaves `±W / 2R` across it.

use crate::field::path::Path;
use crate::fit::reduce;
use crate::machine::PhysicalConfig;
use crate::scenario::{Act, Drill, Scenario, Source};
use crate::score::Score;
use crate::unit::{ACCELERATION, LENGTH, SPEED, System};
use controller::watch::Item;

/// Speeds of the example of a start, in the shown unit of metric and US customary readers: 1 m/s, 2 mph; and three times that.
const SLOW: [f64; 2] = [1.0, 2.0];

/// Remarks on a result, each a sentence: for metric readers and for those of US customary units.
pub(super) fn notes(
    scenario: &Scenario,
    score: &Score,
    stopped: Option<(f64, Item)>,
) -> [Vec<String>; 2] {
    let alike = |note: Option<String>| note.map(|note| [note.clone(), note]);
    let each =
        |note: &dyn Fn(System) -> Option<String>| Some([note(System::Metric)?, note(System::Us)?]);
    let notes = [
        alike(stopped.map(stop)),
        alike(
            (score.running_cells == 0)
                .then(|| "Nothing to judge: no seed was asked for at a working speed.".to_owned()),
        ),
        alike(uncaught(scenario)),
        alike(physical(scenario)),
        each(&|system| onset(scenario, system)),
        each(&|system| start(scenario, system)),
        each(&|system| across(scenario, system)),
        each(&|system| meter(scenario, score, system)),
    ];
    let (metric, us) = notes.into_iter().flatten().map(|[metric, us]| (metric, us)).unzip();
    [metric, us]
}

/// That it stopped for good.
fn stop((t, item): (f64, Item)) -> String {
    let number = item.number();
    format!("STOPPED at {t:.1} s by item {number} of the watch: {}.", words(item))
}

/// Seed whose mass per turn nobody has noted to have weighed; demo seed is nobody's.
fn uncaught(scenario: &Scenario) -> Option<String> {
    let lots = scenario.lots().filter(|lot| lot.caught.is_none() && !lot.demo);
    let names: Vec<&str> = lots.map(|lot| lot.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "Seed lot {} has no [caught]: its mass per turn stands for a guess. Catch and weigh before you sow by it.",
            names.join(" and ")
        )
    })
}

/// The reduced form fitted to a drive that is run in its physical form.
fn physical(scenario: &Scenario) -> Option<String> {
    if !scenario.drill.truth.physical {
        return None;
    }
    Some(match reduce(&PhysicalConfig::REFERENCE) {
        Ok(fit) => format!(
            "Physical drive; by its own step log it opens at {:.3} of command and has {:.3} turns/s at full command, \
             a lag of {:.0} ms and a dead time of {:.0} ms.",
            fit.opening.value,
            fit.drive().full_turns_per_s(),
            1e3 * fit.lag_s.value,
            1e3 * fit.dead_time_s.value
        ),
        Err(error) => format!("Physical drive; no reduced form fits it: {error}."),
    })
}

/// The steepest onset of acceleration in the profile and what it must cost.
fn onset(scenario: &Scenario, system: System) -> Option<String> {
    let drill = &scenario.drill;
    let sensing = match &scenario.source {
        Source::Pulses => 0.02,
        Source::Gnss(gnss) => gnss.latency_s + gnss.interval_s / 2.0,
        Source::Bus(bus) => bus.latency_s + 0.05,
    };
    let latency = drill.true_delivery_delay_s() + drill.truth.drive.dead_time_s + sensing;
    let pieces = scenario.profile.pieces.iter();
    let slopes = pieces.flat_map(|piece| piece.samples.windows(2)).filter_map(|pair| {
        let a = (pair[1].speed_mps - pair[0].speed_mps).abs() / (pair[1].t_s - pair[0].t_s);
        (pair[0].speed_mps >= 0.4 && a > 0.0).then_some((a, pair[0].speed_mps))
    });
    let cost = |(a, v): (f64, f64)| a * latency / (v + a * latency);
    let (a, v) = slopes.max_by(|x, y| cost(*x).total_cmp(&cost(*y)))?;
    Some(format!(
        "Floor for a bare step of {} at {}: {:.0} % for a moment, {latency:.2} s from sensing to soil; the tractor's own lag \
         and the length of a cell soften it.",
        ACCELERATION.fixed(a, system, 2),
        SPEED.fixed(v, system, 2),
        100.0 * cost((a, v))
    ))
}

/// What a start without a line ahead must skip: nothing tells of it before the openers are there.
fn start(scenario: &Scenario, system: System) -> Option<String> {
    let lowered = scenario.events.iter().any(|event| event.act == Act::Lower(true));
    let unseen = scenario.fitted.lines.input.is_none() && !scenario.fitted.lines.lines.is_empty();
    if !(lowered || unseen) {
        return None;
    }
    let drill = &scenario.drill;
    let Drill { truth, lift_debounce_s, .. } = drill;
    let delivery_delay_s = drill.true_delivery_delay_s();
    // The lag has half the rate after τ1 ln 2.
    let half_s = truth.drive.lag_s * core::f64::consts::LN_2;
    let slow = SPEED
        .preferred(system)
        .map_or(1.0, |unit| unit.to_own(SLOW[usize::from(system == System::Us)]));
    let latency = lift_debounce_s + delivery_delay_s + truth.drive.dead_time_s + half_s;
    Some(format!(
        "Floor without a line ahead: seed begins and ends {latency:.2} s after the lift, which is {} at {} and {} at {}.",
        LENGTH.fixed(slow * latency, system, 2),
        SPEED.fixed(slow, system, 0),
        LENGTH.fixed(3.0 * slow * latency, system, 2),
        SPEED.fixed(3.0 * slow, system, 0),
    ))
}

/// What one motor leaves across its width in the tightest curve.
fn across(scenario: &Scenario, system: System) -> Option<String> {
    let turns = scenario.turns.iter().map(|turn| turn.curvature_per_m.abs());
    let path = scenario.field.iter().filter_map(|field| field.path()).map(Path::tightest_per_m);
    let tightest = turns.chain(path).fold(0.0, f64::max);
    let width = scenario.drill.sides.iter().map(|side| side.width_m).fold(0.0, f64::max);
    (tightest > 0.0).then(|| {
        format!(
            "Floor: one motor across {} leaves ±{:.1} % across it at a radius of {}.",
            LENGTH.fixed(width, system, 1),
            100.0 * width * tightest / 2.0,
            LENGTH.fixed(1.0 / tightest, system, 0)
        )
    })
}

/// What the meter scatters, and what the control adds to it.
fn meter(scenario: &Scenario, score: &Score, system: System) -> Option<String> {
    let meter = &scenario.drill.truth.meter;
    if meter.flutes == 0 && meter.wander == 0.0 {
        return None;
    }
    Some(format!(
        "The meter itself scatters {:.2} % over the cells; the control adds {:.2} % (rms; {:.1} % of the ground within \
         ±5 % if the meter were smooth). One flute passes every {}.",
        score.meter_rms_pct,
        score.control_rms_pct,
        score.control_within_5_pct,
        LENGTH.fixed(travel_per_flute_m(scenario), system, 2)
    ))
}

/// Travel of the first side in which one flute of its meter passes, m.
fn travel_per_flute_m(scenario: &Scenario) -> f64 {
    let turns_per_m = scenario.seed_lot.turns_per_m(scenario.drill.sides[0].width_m, 2.0);
    1.0 / (turns_per_m * f64::from(scenario.drill.truth.meter.flutes.max(1)))
}

/// An item of the watch in words.
const fn words(item: Item) -> &'static str {
    match item {
        Item::SpeedLost => "the ground speed source fell silent",
        Item::SpeedImplausible => "the ground speed jumped",
        Item::ShaftSilent => "the valve is driven and the shaft shows no edges",
        Item::ShaftTurnsAtRest => "the shaft turns although the valve is at rest",
        Item::ShaftDoesNotFollow => "the shaft does not follow",
        Item::TargetAbove => "more is asked for than the drive can turn",
        Item::TargetBelow => "less is asked for than the drive can turn smoothly",
        Item::InputsStale => "no tick came for too long",
        Item::SettingsInvalid => "the settings are invalid",
        Item::TickLate => "a tick came late",
        Item::SpeedByHand => "the speed set by hand is used",
        Item::SourceMissing => "a speed source is missing",
        Item::SourcesDisagree => "the speed sources disagree",
        Item::Gap => "ground was left bare",
        Item::HopperEmpty => "the hopper is empty",
        Item::NoSeedInTubes => "no seed passes the tube sensor",
        Item::LiftUnknown => "the hitch says nothing of the lift, or its switch chatters",
        Item::StopPressed => "the stop button is pressed",
        Item::RoadSpeed => "faster than the road speed: disarmed",
        Item::RaisedLong => "lifted for long: disarmed",
        Item::ShaftBackwards => "the shaft turns backwards",
        Item::OpenedTooFar => "the valve must open further than its map says",
        Item::CorrectionAtLimit => "the correction of the map is at its limit",
        Item::RateOff => "the rate is off for longer than the set way",
        Item::ByMap => "a side runs by its map alone, without encoder",
        Item::BoxLow => "the box is low",
        Item::BoxWillNotLast => "the box will be empty before this pass ends",
        _ => "see docs/safety.md",
    }
}
