//! Settings after the check.

use super::error::within;
use super::ground::twin;
use super::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, Rule, SettingsConfig, SettingsError,
    SideConfig,
};
use crate::MAX_SIDES;
use crate::demand::{Demand, SLOPES};
use crate::drive::{
    Drive, FULL, MAX_MAP_POINTS, MapError, MapPoint, MotorisedConfig, Numbers, ValveKind, ValveMap,
};
use crate::line::reach;
use crate::quantity::{
    MetresPerSecond, Micrometres, Micros, MilligramsPerSquareMetre, divide_wide,
};
use crate::section::LowestSpeed;
use crate::seed::{
    CurveError, MASS, MAX_POINTS, MAX_PRODUCTS, MeterCurve, MeterPoint, Open, Product,
};
use crate::sense::{Bend, Closing, Debounce, Ground, Lead, Lever, Quality, SpeedSource};
use crate::watch::silent_after;
use heapless::Vec;

/// Checked settings; every number the tick needs is worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[must_use]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Settings {
    pub(crate) sides: Vec<SideSettings, MAX_SIDES>,
    pub(crate) ground: Ground,
    /// By product.
    pub(crate) rates: [MilligramsPerSquareMetre; MAX_PRODUCTS],
    /// By product: the mark of the curves that the lot in force has replaced.
    pub(crate) lots: [Option<u32>; MAX_PRODUCTS],
    pub(crate) lowest: LowestSpeed,
    pub(crate) top_speed: MetresPerSecond,
    pub(crate) delivery_delay: Micros,
    /// The same as a time ahead.
    pub(crate) delivery: Lead,
    pub(crate) lift: Debounce,
    pub(crate) lift_from: LiftSource,
    pub(crate) lowered_level: bool,
    pub(crate) places: PlacesConfig,
    pub(crate) least_gap: Micrometres,
    pub(crate) limits: LimitsConfig,
}

/// One side after the check.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[repr(C)] // In this order: what is looked at near the front is read in fewer steps.
pub struct SideSettings {
    pub(crate) product: Product,
    /// A side before it, of the other product and on the same ground.
    pub(crate) twin: Option<u8>,
    pub(crate) outlets: u16,
    pub(crate) open: Open,
    pub(crate) width: Micrometres,
    pub(crate) offset: Micrometres,
    pub(crate) lever: Lever,
    pub(crate) edges_per_turn: u32,
    pub(crate) silent_after: u32,
    /// What is metered now lies after the delivery delay; a command is felt after the drive's reach.
    pub(crate) lead: Lead,
    pub(crate) bend: Bend,
    /// Time from a command to half the rate on the soil.
    pub(crate) reach: (Micros, Lead),
    pub(crate) demand: Demand,
    pub(crate) meter: MeterCurve,
    pub(crate) drive: Drive,
}

impl Settings {
    /// Checks what a person wrote and works out what the tick needs.
    ///
    /// # Errors
    ///
    /// [`SettingsError`] names the first rule that is broken, the value, and what is possible.
    pub fn new(config: &SettingsConfig) -> Result<Self, SettingsError> {
        check_machine(config)?;
        check_lift(&config.lift)?;
        check_places(config)?;
        check_sources(config)?;
        check_products(config)?;
        config.limits.check(config.lowest_speed)?;
        let mut sides: Vec<SideSettings, MAX_SIDES> = Vec::new();
        for (index, side) in config.sides.iter().enumerate() {
            let number = u8::try_from(index).unwrap_or(u8::MAX);
            let mut checked = check_side(side, number, config)?;
            checked.twin = twin(&sides, side, number)?;
            // There is room: the number of sides has been checked.
            let _full = sides.push(checked).is_err();
        }
        Ok(Self {
            sides,
            ground: Ground::new(&config.sources, config.correct_slip),
            rates: [config.rate, config.second_rate.unwrap_or_default()],
            lots: [None; MAX_PRODUCTS],
            lowest: LowestSpeed::new(config.lowest_speed),
            top_speed: config.top_speed,
            delivery_delay: config.delivery_delay,
            delivery: Lead::of(config.delivery_delay),
            lift: Debounce { steady_for: config.lift.debounce },
            lift_from: config.lift.from,
            lowered_level: config.lift.lowered_level,
            places: config.places,
            least_gap: config.least_gap,
            limits: config.limits,
        })
    }

    /// Whether a speed lies between the lowest sowing speed and the top speed.
    pub(crate) fn may_drive_at(&self, speed: MetresPerSecond) -> bool {
        self.lowest.moving(false, speed) && speed <= self.top_speed
    }

    /// Number of sides.
    #[must_use]
    pub fn sides(&self) -> usize {
        self.sides.len()
    }
}

pub(super) fn check_rate(rate: MilligramsPerSquareMetre) -> Result<(), SettingsError> {
    within(Rule::Rate, None, i64::from(rate.to_bits()), 50 << 16, 50_000 << 16)
}

/// Every product that is metered has a rate, and no other has.
fn check_products(config: &SettingsConfig) -> Result<(), SettingsError> {
    let metering = |product| {
        let sides = config.sides.iter().filter(move |side| side.product == product);
        sides.fold(0_i64, |count, _| count.saturating_add(1))
    };
    let first = metering(Product::First);
    within(Rule::FirstProduct, None, first, 1, 4)?;
    let second = config.second_rate.map_or(0, |rate| i64::from(rate.to_bits()));
    let (low, high) = if metering(Product::Second) > 0 { (50 << 16, 50_000 << 16) } else { (0, 0) };
    within(Rule::SecondRate, None, second, low, high)
}

fn check_machine(config: &SettingsConfig) -> Result<(), SettingsError> {
    let sides = i64::try_from(config.sides.len()).unwrap_or(i64::MAX);
    within(Rule::Sides, None, sides, 1, 4)?;
    check_rate(config.rate)?;
    // 0.05 to 2 m/s in Q20.
    let lowest = i64::from(config.lowest_speed.to_bits());
    within(Rule::LowestSpeed, None, lowest, 52_429, 2 << 20)?;
    within(
        Rule::TopSpeed,
        None,
        i64::from(config.top_speed.to_bits()),
        lowest.saturating_add(1),
        15 << 20,
    )?;
    within(Rule::DeliveryDelay, None, i64::from(config.delivery_delay.get()), 0, 2_000_000)?;
    within(Rule::CaptureRate, None, i64::from(config.capture_rate), 10, 1_000_000)
}

fn check_lift(lift: &LiftConfig) -> Result<(), SettingsError> {
    within(Rule::Debounce, None, i64::from(lift.debounce.get()), 0, 500_000)?;
    match lift.from {
        LiftSource::Switch => Ok(()),
        LiftSource::Hitch { limit } => {
            within(Rule::HitchLimit, None, i64::from(limit.get()), 200_000, 5_000_000)
        }
    }
}

fn check_places(config: &SettingsConfig) -> Result<(), SettingsError> {
    let length = |length: Micrometres| i64::from(length.get());
    let PlacesConfig { antenna_to_opener, lowering, lifting } = config.places;
    let antenna = length(antenna_to_opener);
    within(Rule::AntennaToOpener, None, antenna, -20_000_000, 20_000_000)?;
    within(Rule::Lowering, None, length(lowering), 0, 10_000_000)?;
    within(Rule::Lifting, None, length(lifting), 0, 10_000_000)?;
    within(Rule::LeastGap, None, length(config.least_gap), 100_000, 50_000_000)
}

fn check_sources(config: &SettingsConfig) -> Result<(), SettingsError> {
    let sources = &config.sources;
    within(Rule::Sources, None, i64::try_from(sources.len()).unwrap_or(i64::MAX), 1, 4)?;
    for (place, source) in (0_i64..4).zip(sources) {
        check_source(*source, config)?;
        let before = sources.iter().zip(0..place).any(|(other, _)| other.is_like(*source));
        within(Rule::SourceTwice, None, if before { place } else { -1 }, -1, -1)?;
    }
    let pulses = sources.iter().any(|source| matches!(source, SpeedSource::Pulses { .. }));
    let over_ground = sources.iter().any(|source| source.is_over_ground());
    let possible = !config.correct_slip || (pulses && over_ground);
    within(Rule::SlipSources, None, i64::from(!possible), 0, 0)
}

/// Loops are tuned for the source that is followed first.
fn quality(config: &SettingsConfig) -> Quality {
    config.sources.first().map_or(Quality::Samples, |source| source.quality())
}

fn check_source(source: SpeedSource, config: &SettingsConfig) -> Result<(), SettingsError> {
    match source {
        SpeedSource::Pulses { per_metre } => {
            let per_metre = i64::from(per_metre.to_bits());
            within(Rule::PulsesPerMetre, None, per_metre, 1 << 16, 2_000 << 16)?;
            let top = i64::from(config.top_speed.to_bits());
            let rate = per_metre.saturating_mul(top).wrapping_shr(36);
            within(Rule::GroundCapture, None, rate, 0, i64::from(config.capture_rate))
        }
        SpeedSource::Samples { limit, .. } => {
            within(Rule::SampleLimit, None, i64::from(limit.get()), 100_000, 5_000_000)
        }
    }
}

fn check_side(
    side: &SideConfig,
    number: u8,
    config: &SettingsConfig,
) -> Result<SideSettings, SettingsError> {
    let here = Some(number);
    within(Rule::Width, here, i64::from(side.width.get()), 100_000, 18_000_000)?;
    within(Rule::Offset, here, i64::from(side.offset.get()), -20_000_000, 20_000_000)?;
    within(Rule::Outlets, here, i64::from(side.outlets), 1, 512)?;
    within(Rule::EdgesPerTurn, here, i64::from(side.edges_per_turn), 1, 4_096)?;
    within(Rule::Lag, here, i64::from(side.lag.get()), 10_000, 2_000_000)?;
    check_valve(side, number)?;
    let meter = check_meter(&side.meter, number)?;
    let map = ValveMap::new(&side.map).map_err(|error| map_error(error, number, side))?;
    check_capture(side, &map, number, config)?;
    let rate = side.product.of([config.rate, config.second_rate.unwrap_or_default()]);
    let demand = work_out(side.width, rate, &meter, number)?;
    let SideConfig { product, outlets, width, offset, .. } = *side;
    let SideConfig { edges_per_turn, lag, dead_time, valve, two_channel, .. } = *side;
    let correction = config.limits;
    // Sides take turns, so that no tick has the windows of all shafts.
    let closing = if number.is_multiple_of(2) { Closing::Odd } else { Closing::Even };
    let numbers =
        Numbers { lag, dead_time, edges_per_turn, two_channel, valve, correction, closing };
    let drive = Drive::new(map, numbers, quality(config));
    let open = Open::default();
    let lead_time = config.delivery_delay.saturating_add(drive.reach());
    let time = reach(config.delivery_delay, drive.reach(), drive.lag());
    Ok(SideSettings {
        product,
        twin: None,
        outlets,
        open,
        width,
        offset,
        lever: Lever::of(offset),
        edges_per_turn,
        silent_after: silent_after(edges_per_turn),
        meter,
        demand,
        drive,
        lead: Lead::of(lead_time),
        bend: Bend::after(lead_time),
        reach: (time, Lead::of(time)),
    })
}

/// Edges a second at full speed, against what the board counts.
fn check_capture(
    side: &SideConfig,
    map: &ValveMap,
    number: u8,
    config: &SettingsConfig,
) -> Result<(), SettingsError> {
    let full = i64::from(map.full().to_bits());
    let edges = full.saturating_mul(i64::from(side.edges_per_turn)).wrapping_shr(21);
    within(Rule::ShaftCapture, Some(number), edges, 0, i64::from(config.capture_rate))
}

/// Dead time and the motor of a valve that has one: its law remembers 0.3 s of turns.
fn check_valve(side: &SideConfig, number: u8) -> Result<(), SettingsError> {
    let here = Some(number);
    let dead_time = i64::from(side.dead_time.get());
    match side.valve {
        ValveKind::Proportional => within(Rule::DeadTime, here, dead_time, 1_000, 1_000_000),
        ValveKind::Motorised(MotorisedConfig { stroke, play }) => {
            within(Rule::DeadTime, here, dead_time, 1_000, 300_000)?;
            within(Rule::Stroke, here, i64::from(stroke.get()), 500_000, 20_000_000)?;
            within(Rule::Play, here, i64::from(play.get()), 0, 500_000)
        }
    }
}

/// A meter curve of a side.
pub(super) fn check_meter(points: &[MeterPoint], number: u8) -> Result<MeterCurve, SettingsError> {
    MeterCurve::new(points).map_err(|error| curve_error(error, number, points))
}

pub(super) fn work_out(
    width: Micrometres,
    rate: MilligramsPerSquareMetre,
    meter: &MeterCurve,
    number: u8,
) -> Result<Demand, SettingsError> {
    Demand::new(width, rate, meter).map_err(|error| SettingsError {
        rule: Rule::TurnsPerMetre,
        side: Some(number),
        point: None,
        value: error.slope,
        low: i64::from(*SLOPES.start()),
        high: i64::from(*SLOPES.end()),
    })
}

/// The number of a point, from 1.
fn number_of(index: usize) -> Option<u8> {
    u8::try_from(index.saturating_add(1)).ok()
}

fn curve_error(error: CurveError, number: u8, points: &[MeterPoint]) -> SettingsError {
    let catch = |index: usize| points.get(index).copied().unwrap_or_default();
    let before = |index: usize| index.checked_sub(1).map(catch);
    let mass = |index: usize| i64::try_from(catch(index).mass.get()).unwrap_or(i64::MAX);
    let heaviest = i64::try_from(*MASS.end()).unwrap_or(i64::MAX);
    let lightest = i64::try_from(*MASS.start()).unwrap_or(0);
    let most = i64::try_from(MAX_POINTS).unwrap_or(i64::MAX);
    let (rule, index, value, low, high) = match error {
        CurveError::Empty => (Rule::MeterPoints, None, 0, 1, most),
        CurveError::Mass(index) => (Rule::MeterMass, Some(index), mass(index), lightest, heaviest),
        CurveError::Order(index) => {
            let least =
                before(index).map_or(0, |it| i64::from(it.shaft.to_bits()).saturating_add(1));
            let value = i64::from(catch(index).shaft.to_bits());
            (Rule::MeterOrder, Some(index), value, least, i64::from(i32::MAX))
        }
        CurveError::Flow(index) => {
            let least = before(index).map_or(0, |it| lightest_above(it, catch(index)));
            (Rule::MeterFlow, Some(index), mass(index), least, heaviest)
        }
    };
    SettingsError { rule, side: Some(number), point: index.and_then(number_of), value, low, high }
}

/// The least mass per turn, µg, at which the flow of a catch is above that of the one before.
fn lightest_above(before: MeterPoint, catch: MeterPoint) -> i64 {
    let flow = u128::from(before.shaft.to_bits().unsigned_abs())
        .saturating_mul(u128::from(before.mass.get()));
    let least = divide_wide(flow, u128::from(catch.shaft.to_bits().unsigned_abs())).unwrap_or(0);
    i64::try_from(least.saturating_add(1)).unwrap_or(i64::MAX)
}

fn map_error(error: MapError, number: u8, side: &SideConfig) -> SettingsError {
    let count = i64::try_from(side.map.len()).unwrap_or(i64::MAX);
    let most = i64::try_from(MAX_MAP_POINTS).unwrap_or(i64::MAX);
    let point = |index: usize| side.map.get(index).copied().unwrap_or_default();
    let before = |index: usize| point(index.saturating_sub(1));
    let shaft = |it: MapPoint| i64::from(it.shaft.to_bits());
    let command = |it: MapPoint| i64::from(it.command.to_bits());
    let (slowest, fastest) = (i64::from(*FULL.start()), i64::from(*FULL.end()));
    let full = side.map.len().saturating_sub(1);
    let (rule, index, value, low, high) = match error {
        MapError::TooFew => (Rule::MapPoints, None, count, 2, most),
        MapError::Opening => (Rule::MapOpening, Some(0), shaft(point(0)), 0, 0),
        MapError::Order(index) => {
            let least = shaft(before(index)).saturating_add(1);
            (Rule::MapOrder, Some(index), shaft(point(index)), least, fastest)
        }
        MapError::Command(index) => {
            let least = command(before(index)).saturating_add(1);
            (Rule::MapCommand, Some(index), command(point(index)), least, i64::from(u16::MAX))
        }
        MapError::Full => (Rule::MapFull, Some(full), shaft(point(full)), slowest, fastest),
    };
    SettingsError { rule, side: Some(number), point: index.and_then(number_of), value, low, high }
}
