//! From the bench's f64 to the controller's words, and back. The only file that does so.

use super::Edges;
use super::senses::{LineSense, SampleSense, Samples};
use crate::scenario::{BusGroup, BusSpeed, Drill, Gnss, Limits, Scenario, Source};
use controller::drive::{MapPoint, MotorisedConfig, ValveKind, ValveTurn};
use controller::quantity::{
    Command, Course, Instant, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros,
    MilligramsPerSquareMetre, PerMille, Position, PulsesPerMetre, RadiansPerSecond, TurnsPerSecond,
};
use controller::section::SideState;
use controller::seed::{MeterPoint, Product};
use controller::sense::{
    CourseSample, Direction, LineSample, PositionSample, Pulses, Sampled, SpeedReport,
    SpeedReports, SpeedSample, SpeedSource,
};
use controller::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};

/// Edges a second that the bench's board captures on one channel.
pub const CAPTURE_RATE: u32 = 100_000;

/// Scaled and rounded to the nearest whole number, held at the ends of 32 bits.
#[expect(clippy::cast_possible_truncation, reason = "a float cast to an integer holds at the ends")]
fn whole(value: f64, scale: f64) -> i32 {
    libm::round(value * scale) as i32
}

/// The same for numbers that are not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float cast holds at the ends"
)]
fn natural(value: f64, scale: f64) -> u32 {
    libm::round(value * scale) as u32
}

/// 2^20, 2^21, 2^24.
const Q20: f64 = 1_048_576.0;
const Q21: f64 = 2_097_152.0;
const Q24: f64 = 16_777_216.0;

/// The instant of `t` seconds, `start` µs after the clock's zero; wraps as the clock does.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the counter wraps")]
pub(super) fn instant(t: f64, start: u32) -> Instant {
    let micros = libm::floor(t * 1e6 + 1e-3) as i64;
    Instant::from_micros((micros as u32).wrapping_add(start))
}

pub(super) fn micros(seconds: f64) -> Micros {
    Micros::new(natural(seconds, 1e6))
}

/// A speed in the bus's step of 1 mm/s would be coarser; a receiver's text has 0.001 kn.
pub(super) fn speed(mps: f64) -> MetresPerSecond {
    MetresPerSecond::from_bits(whole(mps, Q20))
}

pub(super) fn yaw(rad_per_s: f64) -> RadiansPerSecond {
    RadiansPerSecond::from_bits(whole(rad_per_s, Q24))
}

pub(super) fn shaft(turns_per_s: f64) -> TurnsPerSecond {
    TurnsPerSecond::from_bits(whole(turns_per_s, Q21))
}

/// 1 kg/ha is 100 mg/m².
pub(super) fn rate(kg_per_ha: f64) -> MilligramsPerSquareMetre {
    MilligramsPerSquareMetre::from_bits(natural(kg_per_ha * 100.0, 65_536.0))
}

pub(super) fn command(word: Command) -> f64 {
    f64::from(word.to_bits()) / 65_535.0
}

/// Run of a motorised valve's motor.
pub(super) const fn run(turn: ValveTurn) -> f64 {
    match turn {
        ValveTurn::Hold => 0.0,
        ValveTurn::Open => 1.0,
        ValveTurn::Close => -1.0,
    }
}

pub(super) fn turns_per_s(word: TurnsPerSecond) -> f64 {
    f64::from(word.to_bits()) / Q21
}

pub(super) fn mps(word: MetresPerSecond) -> f64 {
    f64::from(word.to_bits()) / Q20
}

/// What a capture channel holds.
pub(super) fn pulses(edges: Edges, start: u32) -> Pulses {
    #[expect(clippy::cast_possible_truncation, reason = "the capture counter wraps")]
    let count = edges.count as u32;
    Pulses { count, edge_at: instant(edges.last_s, start) }
}

/// Which way the drill goes.
pub(super) const fn direction(backwards: bool) -> Direction {
    if backwards { Direction::Reverse } else { Direction::Forward }
}

/// A state in a word.
pub(super) const fn word(state: SideState) -> &'static str {
    match state {
        SideState::Stopped => "stopped",
        SideState::Off => "off",
        SideState::Lifted => "lifted",
        SideState::Outside => "outside",
        SideState::Slow => "slow",
        SideState::Lost => "lost",
        SideState::Sowing => "sowing",
        SideState::ByHand => "by hand",
        SideState::Run => "run",
    }
}

fn sample(sense: SampleSense, start: u32) -> SpeedReport {
    SpeedReport::Speed(SpeedSample {
        speed: speed(sense.speed_mps),
        at: instant(sense.at_s, start),
    })
}

/// Samples by source.
pub(super) fn reports(samples: &Samples, start: u32) -> SpeedReports {
    let report = |sense: Option<SampleSense>| sense.map(|sense| sample(sense, start));
    SpeedReports {
        receiver: report(samples.receiver),
        bus_wheel: report(samples.bus_wheel),
        bus_ground: report(samples.bus_ground),
        bus_selected: report(samples.bus_selected),
    }
}

/// The course of a receiver's sample.
pub(super) fn course(sense: SampleSense, start: u32) -> Option<CourseSample> {
    let turns = sense.course_rad? / (2.0 * core::f64::consts::PI);
    let course = Course::from_bits(natural(turns - libm::floor(turns), 4_294_967_296.0));
    Some(CourseSample { course, speed: speed(sense.speed_mps), at: instant(sense.at_s, start) })
}

/// Where the bench's field lies: an invented place, 10^-7 degrees.
const ORIGIN: [f64; 2] = [520_000_000.0, 100_000_000.0];

/// 10^-7 degrees on a sphere of 6 378 137 m in one metre.
const STEPS_PER_METRE: f64 = 89.831_528_4;

/// The place of a receiver's sample.
pub(super) fn position(sense: SampleSense, start: u32) -> Option<PositionSample> {
    let [east, north] = sense.place_m?;
    let latitude = ORIGIN[0] + north * STEPS_PER_METRE;
    let narrow = libm::cos(ORIGIN[0] * 1e-7 * core::f64::consts::PI / 180.0);
    let longitude = ORIGIN[1] + east * STEPS_PER_METRE / narrow;
    let position = Position::new(whole(latitude, 1.0), whole(longitude, 1.0))?;
    Some(PositionSample { position, at: instant(sense.at_s, start) })
}

/// A distance to a line.
pub(super) fn line(sense: LineSense, start: u32) -> LineSample {
    LineSample {
        distance: length(sense.distance_m),
        sow_beyond: sense.sow_beyond,
        at: instant(sense.at_s, start),
    }
}

fn length(metres: f64) -> Micrometres {
    Micrometres::new(whole(metres, 1e6))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "checked by the settings"
)]
fn mass(kg: f64) -> MicrogramsPerTurn {
    MicrogramsPerTurn::new(libm::round(kg * 1e9) as u64)
}

/// What a person would have written for this scenario.
pub fn settings(scenario: &Scenario) -> SettingsConfig {
    let Scenario { drill, source, fitted, .. } = scenario;
    let [first, second] = scenario.rates_kg_per_ha();
    let catch = |&(n, kg): &(f64, f64)| MeterPoint { shaft: shaft(n), mass: mass(kg) };
    let sides = drill.sides.iter().map(|side| SideConfig {
        product: if side.product == 1 { Product::Second } else { Product::First },
        outlets: u16::try_from(side.outlets).unwrap_or(u16::MAX),
        width: length(side.width_m),
        offset: length(side.offset_m),
        edges_per_turn: side.encoder_pulses_per_turn,
        two_channel: side.two_channel,
        meter: scenario.lot(side.product).curve.iter().map(catch).take(6).collect(),
        map: drill.told_of(side).map.iter().map(|&(u, n)| map_point(u, n)).take(12).collect(),
        lag: micros(drill.told_of(side).lag_s),
        dead_time: micros(drill.told_of(side).dead_time_s),
        valve: drill.told_of(side).motor.as_ref().map_or(ValveKind::Proportional, |motor| {
            ValveKind::Motorised(MotorisedConfig {
                stroke: micros(motor.stroke_s),
                play: micros(motor.play_s),
            })
        }),
    });
    SettingsConfig {
        sides: sides.take(controller::MAX_SIDES).collect(),
        sources: core::iter::once(source)
            .chain(&fitted.also)
            .take(controller::sense::MAX_SOURCES)
            .map(|source| speed_source(drill, source))
            .collect(),
        correct_slip: fitted.slip.corrected,
        rate: rate(first),
        second_rate: scenario.second_lot.is_some().then(|| rate(second)),
        lowest_speed: speed(drill.lowest_speed_mps),
        top_speed: speed(15.0),
        delivery_delay: micros(drill.delivery_delay_s),
        lift: LiftConfig {
            from: LiftSource::Switch,
            lowered_level: true,
            debounce: micros(drill.lift_debounce_s),
        },
        places: PlacesConfig {
            antenna_to_opener: length(drill.antenna_to_opener_m),
            lowering: length(drill.lowering_m),
            lifting: length(drill.lifting_m),
        },
        least_gap: length(drill.least_gap_m),
        limits: limits(&drill.limits),
        capture_rate: CAPTURE_RATE,
    }
}

fn limits(limits: &Limits) -> LimitsConfig {
    let share =
        |share: f64| PerMille::new(u16::try_from(natural(share, 1_000.0)).unwrap_or(u16::MAX));
    LimitsConfig {
        start_speed: speed(limits.start_mps),
        road_speed: speed(limits.road_mps),
        raised_for: micros(limits.raised_s),
        correction_told: share(limits.correction_told),
        correction_limit: share(limits.correction_limit),
        rate_band: share(limits.rate_band),
        rate_way: length(limits.rate_way_m),
    }
}

fn map_point(command: f64, turns_per_s: f64) -> MapPoint {
    let word = natural(command.clamp(0.0, 1.0), 65_535.0);
    MapPoint {
        command: Command::from_bits(u16::try_from(word).unwrap_or(u16::MAX)),
        shaft: shaft(turns_per_s),
    }
}

/// Samples are stale after their latency and five intervals, a second at the least.
fn speed_source(drill: &Drill, source: &Source) -> SpeedSource {
    match source {
        Source::Pulses => SpeedSource::Pulses {
            per_metre: PulsesPerMetre::from_bits(natural(drill.ground_pulses_per_m, 65_536.0)),
        },
        Source::Gnss(Gnss { interval_s, latency_s, .. }) => {
            let limit = micros((latency_s + 5.0 * interval_s).clamp(1.0, 5.0));
            SpeedSource::Samples { from: Sampled::Receiver, limit }
        }
        Source::Bus(BusSpeed { group, latency_s }) => {
            let from = match group {
                BusGroup::Wheel => Sampled::BusWheel,
                BusGroup::Ground => Sampled::BusGround,
                BusGroup::Selected => Sampled::BusSelected,
            };
            // Five messages of 100 ms.
            SpeedSource::Samples { from, limit: micros((latency_s + 0.5).min(5.0)) }
        }
    }
}
