//! Settings after the check.

use super::{Rule, SettingsConfig, SettingsError, SideConfig};
use crate::MAX_SIDES;
use crate::demand::Demand;
use crate::drive::{Drive, MAX_MAP_POINTS, MapError, ValveMap};
use crate::quantity::{Micrometres, Micros, MilligramsPerSquareMetre, divide_wide};
use crate::section::LowestSpeed;
use crate::seed::{CurveError, MAX_POINTS, MeterCurve};
use crate::sense::{Debounce, Ground, SpeedSource};
use heapless::Vec;

/// Checked settings; every number the tick needs is worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[must_use]
pub struct Settings {
    pub(crate) sides: Vec<SideSettings, MAX_SIDES>,
    pub(crate) ground: Ground,
    pub(crate) rate: MilligramsPerSquareMetre,
    pub(crate) lowest: LowestSpeed,
    pub(crate) delivery_delay: Micros,
    pub(crate) lift: Debounce,
    pub(crate) lowered_level: bool,
}

/// One side after the check.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct SideSettings {
    pub(crate) width: Micrometres,
    pub(crate) offset: Micrometres,
    pub(crate) edges_per_turn: u32,
    pub(crate) meter: MeterCurve,
    pub(crate) demand: Demand,
    pub(crate) drive: Drive,
}

/// Checks one number.
const fn within(
    rule: Rule,
    side: Option<u8>,
    value: i64,
    low: i64,
    high: i64,
) -> Result<(), SettingsError> {
    if value < low || value > high {
        return Err(SettingsError { rule, side, value, low, high });
    }
    Ok(())
}

impl Settings {
    /// Checks what a person wrote and works out what the tick needs.
    ///
    /// # Errors
    ///
    /// [`SettingsError`] names the first rule that is broken, the value, and what is possible.
    pub fn new(config: &SettingsConfig) -> Result<Self, SettingsError> {
        check_machine(config)?;
        check_source(config)?;
        let mut sides = Vec::new();
        for (index, side) in config.sides.iter().enumerate() {
            let number = u8::try_from(index).unwrap_or(u8::MAX);
            let checked = check_side(side, number, config)?;
            if sides.push(checked).is_err() {
                return Err(SettingsError {
                    rule: Rule::Sides,
                    side: None,
                    value: 5,
                    low: 1,
                    high: 4,
                });
            }
        }
        Ok(Self {
            sides,
            ground: Ground::new(config.source),
            rate: config.rate,
            lowest: LowestSpeed::new(config.lowest_speed),
            delivery_delay: config.delivery_delay,
            lift: Debounce { steady_for: config.lift.debounce },
            lowered_level: config.lift.lowered_level,
        })
    }

    /// The same settings with another seeding rate.
    ///
    /// # Errors
    ///
    /// [`SettingsError`] when the rate or a side's turns per metre leave their range.
    pub fn with_rate(&self, rate: MilligramsPerSquareMetre) -> Result<Self, SettingsError> {
        check_rate(rate)?;
        let mut settings = self.clone();
        settings.rate = rate;
        for (index, side) in settings.sides.iter_mut().enumerate() {
            side.demand =
                work_out(side.width, rate, &side.meter, u8::try_from(index).unwrap_or(u8::MAX))?;
        }
        Ok(settings)
    }

    /// Number of sides.
    #[must_use]
    pub fn sides(&self) -> usize {
        self.sides.len()
    }

    /// Seeding rate.
    pub const fn rate(&self) -> MilligramsPerSquareMetre {
        self.rate
    }
}

fn check_rate(rate: MilligramsPerSquareMetre) -> Result<(), SettingsError> {
    within(Rule::Rate, None, i64::from(rate.to_bits()), 50 << 16, 50_000 << 16)
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
    within(Rule::Debounce, None, i64::from(config.lift.debounce.get()), 0, 500_000)?;
    within(Rule::CaptureRate, None, i64::from(config.capture_rate), 10, 1_000_000)
}

fn check_source(config: &SettingsConfig) -> Result<(), SettingsError> {
    match config.source {
        SpeedSource::Pulses { per_metre } => {
            let per_metre = i64::from(per_metre.to_bits());
            within(Rule::PulsesPerMetre, None, per_metre, 1 << 16, 2_000 << 16)?;
            let top = i64::from(config.top_speed.to_bits());
            let rate = per_metre.saturating_mul(top).wrapping_shr(36);
            within(Rule::GroundCapture, None, rate, 0, i64::from(config.capture_rate))
        }
        SpeedSource::Samples { limit } => {
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
    within(Rule::EdgesPerTurn, here, i64::from(side.edges_per_turn), 1, 4_096)?;
    within(Rule::Lag, here, i64::from(side.lag.get()), 10_000, 2_000_000)?;
    within(Rule::DeadTime, here, i64::from(side.dead_time.get()), 1_000, 1_000_000)?;
    let meter = MeterCurve::new(&side.meter).map_err(|error| curve_error(error, number))?;
    let map = ValveMap::new(&side.map).map_err(|error| map_error(error, number, side))?;
    let edges = i64::from(map.full().to_bits())
        .saturating_mul(i64::from(side.edges_per_turn))
        .wrapping_shr(21);
    within(Rule::ShaftCapture, here, edges, 0, i64::from(config.capture_rate))?;
    let demand = work_out(side.width, config.rate, &meter, number)?;
    let drive =
        Drive::new(map, side.lag, side.dead_time, side.edges_per_turn, config.source.quality());
    let SideConfig { width, offset, edges_per_turn, .. } = *side;
    Ok(SideSettings { width, offset, edges_per_turn, meter, demand, drive })
}

fn work_out(
    width: Micrometres,
    rate: MilligramsPerSquareMetre,
    meter: &MeterCurve,
    number: u8,
) -> Result<Demand, SettingsError> {
    Demand::new(width, rate, meter).map_err(|_| {
        let mass = meter.points().first().map_or(1, |point| point.mass.get()).max(1);
        let per_metre =
            u128::from(rate.to_bits()).saturating_mul(u128::from(width.get().unsigned_abs()));
        let slope =
            divide_wide(per_metre.saturating_mul(1 << 10), u128::from(mass).saturating_mul(1_000));
        let value = i64::try_from(slope.unwrap_or(0)).unwrap_or(i64::MAX);
        SettingsError {
            rule: Rule::TurnsPerMetre,
            side: Some(number),
            value,
            low: 67_109,
            high: 50 << 26,
        }
    })
}

fn curve_error(error: CurveError, number: u8) -> SettingsError {
    let (rule, index) = match error {
        CurveError::Empty => (Rule::MeterPoints, 0),
        CurveError::Mass(index) => (Rule::MeterMass, index),
        CurveError::Order(index) => (Rule::MeterOrder, index),
        CurveError::Flow(index) => (Rule::MeterFlow, index),
    };
    let value = i64::try_from(index).unwrap_or(i64::MAX);
    let high = i64::try_from(MAX_POINTS).unwrap_or(i64::MAX);
    SettingsError { rule, side: Some(number), value, low: 1, high }
}

fn map_error(error: MapError, number: u8, side: &SideConfig) -> SettingsError {
    let count = i64::try_from(side.map.len()).unwrap_or(i64::MAX);
    let most = i64::try_from(MAX_MAP_POINTS).unwrap_or(i64::MAX);
    let opening = side.map.first().map_or(0, |point| i64::from(point.shaft.to_bits()));
    let full = side.map.last().map_or(0, |point| i64::from(point.shaft.to_bits()));
    let (rule, value, low, high) = match error {
        MapError::TooFew => (Rule::MapPoints, count, 2, most),
        MapError::Opening => (Rule::MapOpening, opening, 0, 0),
        MapError::Order(index) => {
            (Rule::MapOrder, i64::try_from(index).unwrap_or(i64::MAX), 1, most)
        }
        MapError::Full => (Rule::MapFull, full, 41_943, 10 << 21),
    };
    SettingsError { rule, side: Some(number), value, low, high }
}
