//! Options of `size`: files, single values over them or in their place, speeds that are wanted, the plot.

use super::super::Failure;
use super::super::value::{optional, refused};
use crate::scenario::read::hydraulics::{
    AT_SHAFT, DROP, EFFICIENCY, GEARING, MOTOR_SPEED, OIL_FLOW, VOLUME,
};
use crate::scenario::read::{
    self, ENCODER_PULSES, GROUND_PULSES, LOWEST_SPEED, SEEDING_RATE, TURN, WIDTH,
};
use crate::size::{Trial, Wanted};
use crate::unit::{SHAFT_SPEED, SPEED};
use clap::Args;
use std::ops::RangeInclusive;
use std::path::PathBuf;

/// Ground speeds that may be wanted.
const GROUND_SPEED: read::Wanted = read::Wanted::new(&SPEED, 0.05, 12.0);
/// Shaft speed at full command.
const FULL: read::Wanted = read::Wanted::new(&SHAFT_SPEED, 0.001, 10.0);

/// Options of `size`.
#[derive(Debug, Args)]
#[command(
    after_help = "Every value has its unit in it, metric or US: \"4 m\", \"13 ft\", \"90 bar\", \"3 gpm\". With DRILL \
                        and SEED an option takes the place of what the file says, to try it. Before you change a relief \
                        setting or open a hose: the machine's manual, and people qualified in hydraulics."
)]
pub(in crate::command) struct SizeOptions {
    /// The drill file.
    #[arg(value_name = "DRILL")]
    pub(super) drill: Option<PathBuf>,
    /// The seed lot file.
    #[arg(value_name = "SEED")]
    pub(super) seed: Option<PathBuf>,
    /// Slowest ground speed that is wanted; 1 m/s if none is named.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    from: Option<String>,
    /// Fastest ground speed that is wanted; 3 m/s if none is named.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    to: Option<String>,
    /// Write a picture of shaft speed and flow over the ground speed (SVG).
    #[arg(long, value_name = "FILE")]
    pub(super) plot: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "plot")]
    pub(super) replace: bool,
    #[command(flatten)]
    machine: MachineValues,
    #[command(flatten)]
    oil: OilValues,
}

/// Single values of drill and seed.
#[derive(Debug, Args)]
#[command(next_help_heading = "Drill and seed")]
struct MachineValues {
    /// Working width of the side.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    width: Option<String>,
    /// Seeding rate of what is in the bag.
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    rate: Option<String>,
    /// Mass that one turn of the meter shaft delivers.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    mass_per_turn: Option<String>,
    /// Shaft speed at full command.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    full_speed: Option<String>,
    /// Edges of the encoder per turn of the meter shaft.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    encoder_pulses: Option<String>,
    /// Pulses of the ground sensor per length of travel.
    #[arg(long, value_name = "PULSES", allow_hyphen_values = true)]
    ground_pulses: Option<String>,
    /// Flutes (cells) of the meter in one turn; 0 for a smooth one.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    flutes: Option<String>,
    /// Lowest sowing speed.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    lowest_speed: Option<String>,
}

/// Single values of the oil side.
#[derive(Debug, Args)]
#[command(next_help_heading = "Oil side")]
struct OilValues {
    /// Displacement of the motor in one turn.
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    displacement: Option<String>,
    /// Turns of the motor for one turn of the meter shaft.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    ratio: Option<String>,
    /// Share of the fed oil that turns the motor; 90 % if none is named.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    volumetric: Option<String>,
    /// Share of the oil's torque that reaches the shaft; 85 % if none is named.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    mechanical: Option<String>,
    /// Lowest smooth speed of the motor, by its data sheet.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    lowest_motor_speed: Option<String>,
    /// Highest speed of the motor, by its data sheet.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    highest_motor_speed: Option<String>,
    /// Setting of the relief valve, or the highest pressure of the supply.
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    relief: Option<String>,
    /// Flow that the tractor can spare for all sides together.
    #[arg(long, value_name = "FLOW", allow_hyphen_values = true)]
    tractor_flow: Option<String>,
    /// Rated flow of the valve, fully open.
    #[arg(long, value_name = "FLOW", allow_hyphen_values = true)]
    valve_flow: Option<String>,
    /// Pressure drop at which the valve is rated.
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    valve_drop: Option<String>,
    /// Torque that turning the meter takes, at its shaft.
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    meter_torque: Option<String>,
    /// Torque that the meter and what drives it bear, at the meter shaft.
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    bearable_torque: Option<String>,
    /// Torque at which a shear pin parts, at the meter shaft.
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    shear_pin: Option<String>,
}

impl SizeOptions {
    /// The ground speeds that are wanted.
    pub(super) fn wanted(&self) -> Result<Wanted, Failure> {
        let from = optional("--from", self.from.as_ref(), GROUND_SPEED)?;
        let to = optional("--to", self.to.as_ref(), GROUND_SPEED)?;
        let usual = Wanted::default();
        // One that is named moves the other out of its way.
        let from_mps = from.unwrap_or_else(|| usual.from_mps.min(to.unwrap_or(usual.to_mps)));
        let to_mps = to.unwrap_or_else(|| usual.to_mps.max(from_mps));
        if from_mps > to_mps {
            let what = "the slowest speed wanted is above the fastest, --to";
            return Err(refused("--from", what, "name the slower of the two by --from"));
        }
        Ok(Wanted { from_mps, to_mps, named: from.is_some() || to.is_some() })
    }

    /// The single values.
    pub(super) fn trial(&self) -> Result<Trial, Failure> {
        let (drill, oil) = (&self.machine, &self.oil);
        Ok(Trial {
            width_m: optional("--width", drill.width.as_ref(), WIDTH)?,
            ground_pulses_per_m: optional(
                "--ground-pulses",
                drill.ground_pulses.as_ref(),
                GROUND_PULSES,
            )?,
            encoder_pulses: whole(
                "--encoder-pulses",
                drill.encoder_pulses.as_ref(),
                ENCODER_PULSES,
            )?,
            flutes: whole("--flutes", drill.flutes.as_ref(), 0..=1000)?,
            lowest_speed_mps: optional(
                "--lowest-speed",
                drill.lowest_speed.as_ref(),
                LOWEST_SPEED,
            )?,
            full_turns_per_s: optional("--full-speed", drill.full_speed.as_ref(), FULL)?,
            rate_kg_per_ha: optional("--rate", drill.rate.as_ref(), SEEDING_RATE)?,
            kg_per_turn: optional("--mass-per-turn", drill.mass_per_turn.as_ref(), TURN)?,
            ..oil.trial()?
        })
    }

    /// It names the ground speeds that are wanted.
    pub(super) const fn names_speeds(&self) -> bool {
        self.from.is_some() || self.to.is_some()
    }

    /// It names values beside its files.
    pub(super) fn tries(&self) -> bool {
        self.trial().is_ok_and(|trial| !trial.is_empty())
    }
}

impl OilValues {
    /// The values of the oil side.
    fn trial(&self) -> Result<Trial, Failure> {
        let motor = |option, text: &Option<String>| optional(option, text.as_ref(), MOTOR_SPEED);
        let drop = |option, text: &Option<String>| optional(option, text.as_ref(), DROP);
        let flow = |option, text: &Option<String>| optional(option, text.as_ref(), OIL_FLOW);
        let torque = |option, text: &Option<String>| optional(option, text.as_ref(), AT_SHAFT);
        Ok(Trial {
            displacement_m3: optional("--displacement", self.displacement.as_ref(), VOLUME)?,
            ratio: ratio(self.ratio.as_ref())?,
            volumetric: optional("--volumetric", self.volumetric.as_ref(), EFFICIENCY)?,
            mechanical: optional("--mechanical", self.mechanical.as_ref(), EFFICIENCY)?,
            lowest_motor: motor("--lowest-motor-speed", &self.lowest_motor_speed)?,
            highest_motor: motor("--highest-motor-speed", &self.highest_motor_speed)?,
            relief_pa: drop("--relief", &self.relief)?,
            tractor_flow: flow("--tractor-flow", &self.tractor_flow)?,
            valve_flow: flow("--valve-flow", &self.valve_flow)?,
            valve_drop_pa: drop("--valve-drop", &self.valve_drop)?,
            meter_torque: torque("--meter-torque", &self.meter_torque)?,
            bearable_torque: torque("--bearable-torque", &self.bearable_torque)?,
            shear_pin: torque("--shear-pin", &self.shear_pin)?,
            ..Trial::default()
        })
    }
}

/// A bare number of turns.
fn ratio(text: Option<&String>) -> Result<Option<f64>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let number = text.trim().parse().ok().filter(|number| GEARING.contains(number));
    let remedy =
        "it wants turns of the motor per turn of the meter shaft, 0.02 to 200, without a unit: 3";
    number.map(Some).ok_or_else(|| refused("--ratio", format!("{text:?} is no ratio"), remedy))
}

/// A whole number within a range.
fn whole(
    option: &str,
    text: Option<&String>,
    range: RangeInclusive<u64>,
) -> Result<Option<u32>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let number = text.trim().parse::<u64>().ok().filter(|number| range.contains(number));
    let remedy = format!("it wants a whole number, {} to {}", range.start(), range.end());
    let whole = number.and_then(|number| u32::try_from(number).ok());
    whole.map(Some).ok_or_else(|| refused(option, format!("{text:?} is none"), remedy))
}
