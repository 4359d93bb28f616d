//! A drill and a seed lot from single values: over those of files, or in place of files.
//!
//! Over a file, a value takes the place of the file's. Another motor, ratio or valve turns the same oil into another
//! shaft speed, so the map follows: shaft speeds × valve flow · ηv / (D i), the new over the old. Without a file, what is
//! not given is as on a plain drill, below, and the map is a straight line up to the valve's whole flow.

use super::alternative::with_motor;
use crate::scenario::read::hydraulics::{MECHANICAL, VOLUMETRIC};
use crate::scenario::read::{ANY_SPEED, as_told};
use crate::scenario::{Drill, Drive, Hydraulics, Limits, SeedLot, Side};

/// What is taken where a value is not given: ground pulses, 1/m.
pub const GROUND_PULSES_PER_M: f64 = 130.0;
/// Edges of the encoder per turn.
const ENCODER_PULSES: u32 = 180;
/// Lowest sowing speed, m/s.
pub const LOWEST_SPEED_MPS: f64 = 0.15;
/// Lag and dead time of the drive, s.
const LAG_S: f64 = 0.15;
const DEAD_TIME_S: f64 = 0.05;
/// Opening command: the overlap of a spool is a tenth to a fifth of its way (*common practice*).
const OPENING: f64 = 0.2;
/// Time from meter to soil, s.
const DELIVERY_DELAY_S: f64 = 0.35;

/// Single values, in the bench's own units.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trial {
    /// Working width, m.
    pub width_m: Option<f64>,
    /// Ground pulses, 1/m.
    pub ground_pulses_per_m: Option<f64>,
    /// Edges of the encoder per turn.
    pub encoder_pulses: Option<u32>,
    /// Flutes of the meter.
    pub flutes: Option<u32>,
    /// Lowest sowing speed, m/s.
    pub lowest_speed_mps: Option<f64>,
    /// Shaft speed at full command, turns/s.
    pub full_turns_per_s: Option<f64>,
    /// Seeding rate, kg/ha.
    pub rate_kg_per_ha: Option<f64>,
    /// Mass that a turn delivers, kg.
    pub kg_per_turn: Option<f64>,
    /// Displacement, m³.
    pub displacement_m3: Option<f64>,
    /// Turns of the motor for one of the meter shaft.
    pub ratio: Option<f64>,
    /// Volumetric efficiency.
    pub volumetric: Option<f64>,
    /// Mechanical efficiency.
    pub mechanical: Option<f64>,
    /// Lowest smooth speed of the motor, turns/s.
    pub lowest_motor: Option<f64>,
    /// Highest speed of the motor, turns/s.
    pub highest_motor: Option<f64>,
    /// Relief setting, Pa.
    pub relief_pa: Option<f64>,
    /// Flow that the tractor spares, m³/s.
    pub tractor_flow: Option<f64>,
    /// Rated flow of the valve, m³/s.
    pub valve_flow: Option<f64>,
    /// Drop at which it is rated, Pa.
    pub valve_drop_pa: Option<f64>,
    /// Torque that turning the meter takes, N·m.
    pub meter_torque: Option<f64>,
    /// Torque that the meter bears, N·m.
    pub bearable_torque: Option<f64>,
    /// Torque at which the shear pin parts, N·m.
    pub shear_pin: Option<f64>,
}

/// Why values make no drill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TrialError {
    /// These options are missing.
    Lacking(Vec<&'static str>),
    /// A width was given for a drill of several sides.
    SeveralSides(usize),
    /// Values contradict each other: what, and what to do.
    Contradiction(&'static str, &'static str),
}

impl Trial {
    /// Nothing is given.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The seed lot: that of a file with what is given in its place, or one of what is given.
    ///
    /// # Errors
    ///
    /// [`TrialError::Lacking`] names the options that are missing.
    pub fn lot(&self, base: Option<SeedLot>) -> Result<SeedLot, TrialError> {
        let Some(mut lot) = base else {
            return match (self.rate_kg_per_ha, self.kg_per_turn) {
                (Some(rate_kg_per_ha), Some(kg)) => Ok(SeedLot {
                    name: "seed by options".to_owned(),
                    demo: false,
                    rate_kg_per_ha,
                    curve: vec![(ANY_SPEED, kg)],
                    caught: None,
                }),
                (rate, kg) => Err(TrialError::Lacking(lacking(&[
                    ("--rate", rate.is_none()),
                    ("--mass-per-turn", kg.is_none()),
                ]))),
            };
        };
        lot.rate_kg_per_ha = self.rate_kg_per_ha.unwrap_or(lot.rate_kg_per_ha);
        if let Some(kg) = self.kg_per_turn {
            (lot.curve, lot.caught) = (vec![(ANY_SPEED, kg)], None);
        }
        Ok(lot)
    }

    /// The drill: that of a file with what is given in its place, or one of what is given.
    ///
    /// # Errors
    ///
    /// [`TrialError`] names the options that are missing, or what contradicts itself.
    pub fn drill(&self, base: Option<Drill>) -> Result<Drill, TrialError> {
        let mut drill = match base {
            Some(drill) => drill,
            None => self.bare()?,
        };
        if let Some(width_m) = self.width_m {
            match drill.sides.as_mut_slice() {
                [only] => only.width_m = width_m,
                several => return Err(TrialError::SeveralSides(several.len())),
            }
        }
        if let Some(pulses) = self.encoder_pulses {
            drill.sides.iter_mut().for_each(|side| side.encoder_pulses_per_turn = pulses);
        }
        drill.ground_pulses_per_m = self.ground_pulses_per_m.unwrap_or(drill.ground_pulses_per_m);
        drill.lowest_speed_mps = self.lowest_speed_mps.unwrap_or(drill.lowest_speed_mps);
        drill.truth.meter.flutes = self.flutes.unwrap_or(drill.truth.meter.flutes);
        if self.names_oil() {
            let oil = self.oil(drill.hydraulics.as_ref())?;
            drill = with_motor(&drill, oil);
        }
        if let Some(full) = self.full_turns_per_s {
            drill.told_mut().for_each(|drive| stretch(drive, full));
        }
        Ok(drill)
    }

    /// A drill of one side, of what is given alone.
    fn bare(&self) -> Result<Drill, TrialError> {
        let Some(width_m) = self.width_m else {
            return Err(TrialError::Lacking(vec!["--width"]));
        };
        let full = match (self.full_turns_per_s, self.names_oil()) {
            (Some(full), _) => full,
            (None, true) => {
                let oil = self.oil(None)?;
                oil.shaft_turns_per_s(oil.valve_flow_m3_per_s)
            }
            (None, false) => return Err(TrialError::Lacking(vec!["--full-speed"])),
        };
        let map = vec![(OPENING, 0.0), (1.0, full)];
        let told = Drive { map, lag_s: LAG_S, dead_time_s: DEAD_TIME_S, motor: None };
        Ok(Drill {
            name: "drill by options".to_owned(),
            demo: false,
            sides: vec![one_side(width_m)],
            ground_pulses_per_m: GROUND_PULSES_PER_M,
            lowest_speed_mps: LOWEST_SPEED_MPS,
            delivery_delay_s: DELIVERY_DELAY_S,
            lift_debounce_s: 0.02,
            antenna_to_opener_m: 0.0,
            lowering_m: 0.0,
            lifting_m: 0.0,
            least_gap_m: 0.5,
            limits: Limits::default(),
            hydraulics: None,
            truth: as_told(told.clone()),
            told,
            as_built: None,
        })
    }

    /// Something of the oil side is given.
    fn names_oil(&self) -> bool {
        let given = [
            self.displacement_m3,
            self.ratio,
            self.volumetric,
            self.mechanical,
            self.lowest_motor,
            self.highest_motor,
            self.relief_pa,
            self.tractor_flow,
            self.valve_flow,
            self.valve_drop_pa,
            self.meter_torque,
            self.bearable_torque,
            self.shear_pin,
        ];
        given.iter().any(Option::is_some)
    }

    /// The oil side: what is given over what is there.
    fn oil(&self, base: Option<&Hydraulics>) -> Result<Hydraulics, TrialError> {
        let mut missing = Vec::new();
        let mut take = |option, given: Option<f64>, there: fn(&Hydraulics) -> f64| {
            given.or_else(|| base.map(there)).unwrap_or_else(|| {
                missing.push(option);
                f64::NAN
            })
        };
        let oil = Hydraulics {
            displacement_m3: take("--displacement", self.displacement_m3, |it| it.displacement_m3),
            ratio: take("--ratio", self.ratio, |it| it.ratio),
            lowest_motor: take("--lowest-motor-speed", self.lowest_motor, |it| it.lowest_motor),
            highest_motor: take("--highest-motor-speed", self.highest_motor, |it| it.highest_motor),
            relief_pa: take("--relief", self.relief_pa, |it| it.relief_pa),
            tractor_flow_m3_per_s: take("--tractor-flow", self.tractor_flow, |it| {
                it.tractor_flow_m3_per_s
            }),
            valve_flow_m3_per_s: take("--valve-flow", self.valve_flow, |it| it.valve_flow_m3_per_s),
            valve_drop_pa: take("--valve-drop", self.valve_drop_pa, |it| it.valve_drop_pa),
            meter_torque_nm: take("--meter-torque", self.meter_torque, |it| it.meter_torque_nm),
            bearable_torque_nm: take("--bearable-torque", self.bearable_torque, |it| {
                it.bearable_torque_nm
            }),
            volumetric: self.volumetric.unwrap_or(base.map_or(VOLUMETRIC, |it| it.volumetric)),
            mechanical: self.mechanical.unwrap_or(base.map_or(MECHANICAL, |it| it.mechanical)),
            shear_pin_nm: self.shear_pin.or_else(|| base.and_then(|it| it.shear_pin_nm)),
            oil_c: base.and_then(|it| it.oil_c),
        };
        if !missing.is_empty() {
            return Err(TrialError::Lacking(missing));
        }
        match oil.contradiction() {
            Some((what, remedy)) => Err(TrialError::Contradiction(what, remedy)),
            None => Ok(oil),
        }
    }
}

/// Names of the options that are missing.
fn lacking(options: &[(&'static str, bool)]) -> Vec<&'static str> {
    options.iter().filter(|it| it.1).map(|it| it.0).collect()
}

/// The side of a drill by options.
fn one_side(width_m: f64) -> Side {
    Side {
        name: "drill".to_owned(),
        product: 0,
        outlets: 1,
        width_m,
        offset_m: 0.0,
        encoder_pulses_per_turn: ENCODER_PULSES,
        told: None,
        two_channel: false,
    }
}

/// Stretches a map so that it ends at a shaft speed.
fn stretch(drive: &mut Drive, full: f64) {
    let factor = full / drive.full_turns_per_s();
    drive.map.iter_mut().for_each(|point| point.1 *= factor);
}
