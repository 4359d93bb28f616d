//! Wrong builds of the control path: what a programmer could get wrong, planted to see the bench turn red.
//!
//! Each is a change between the bench and the controller: of the settings it is built with, of the inputs it
//! reads, of the outputs it drives, or of its counts. A bench that passes one of them proves nothing.

use controller::quantity::{
    Command, Micrometres, Micros, MilligramsPerSquareMetre, PulsesPerMetre, RadiansPerSecond,
};
use controller::sense::{SpeedReport, SpeedSource};
use controller::{Inputs, Outputs, SettingsConfig};

/// A wrong build.
#[expect(clippy::struct_excessive_bools, reason = "each is a fault of its own")]
#[derive(Clone, Copy, Debug)]
pub struct WrongBuild {
    /// What is wrong with it.
    pub name: &'static str,
    /// Changes the settings.
    pub settings: fn(&mut SettingsConfig),
    /// Changes what is read.
    pub inputs: fn(&mut Inputs),
    /// Changes what is driven.
    pub outputs: fn(&mut Outputs),
    /// New rates are not taken over.
    pub deaf_to_rate: bool,
    /// Outlets that are shut are not told.
    pub deaf_to_outlets: bool,
    /// Ground that two products are sown on counts for each in all.
    pub ground_twice: bool,
    /// The tally is a 32-bit float that already holds a season.
    pub float_tally: bool,
}

/// A build with nothing wrong.
pub const RIGHT: WrongBuild = WrongBuild {
    name: "right",
    settings: |_| {},
    inputs: |_| {},
    outputs: |_| {},
    deaf_to_rate: false,
    deaf_to_outlets: false,
    ground_twice: false,
    float_tally: false,
};

/// Area of a season before the run, m²: 26 ha in a 32-bit float leave steps of 0.03 m².
pub const SEASON_M2: f32 = 262_144.0;

/// The planted faults.
pub const WRONG_BUILDS: [WrongBuild; 19] = [
    WrongBuild {
        name: "yaw sign flipped",
        inputs: |inputs| {
            let flip =
                |yaw: RadiansPerSecond| RadiansPerSecond::from_bits(yaw.to_bits().saturating_neg());
            inputs.yaw = inputs.yaw.map(flip);
        },
        ..RIGHT
    },
    WrongBuild {
        name: "delivery delay forgotten",
        settings: |settings| settings.delivery_delay = Micros::ZERO,
        ..RIGHT
    },
    WrongBuild {
        name: "pounds taken for kilograms",
        settings: |settings| {
            let bits = u64::from(settings.rate.to_bits()) * 45_359_237 / 100_000_000;
            settings.rate =
                MilligramsPerSquareMetre::from_bits(u32::try_from(bits).unwrap_or(u32::MAX));
        },
        ..RIGHT
    },
    WrongBuild {
        name: "wrap of an 8-bit capture counter ignored",
        inputs: |inputs| {
            inputs.ground.count &= 0xFF;
            inputs.sides.iter_mut().for_each(|side| side.shaft.count &= 0xFF);
        },
        ..RIGHT
    },
    WrongBuild {
        name: "first side's width for all",
        settings: |settings| {
            let width = settings.sides.first().map_or(Micrometres::new(0), |side| side.width);
            settings.sides.iter_mut().for_each(|side| side.width = width);
        },
        ..RIGHT
    },
    WrongBuild {
        name: "map without its opening command",
        settings: |settings| {
            for side in &mut settings.sides {
                if let Some(point) = side.map.first_mut() {
                    point.command = Command::ZERO;
                }
            }
        },
        ..RIGHT
    },
    WrongBuild {
        name: "stale sample taken as fresh",
        inputs: |inputs| {
            let now = inputs.now;
            if let Some(SpeedReport::Speed(sample)) = &mut inputs.speeds.receiver {
                sample.at = now;
            }
        },
        ..RIGHT
    },
    WrongBuild { name: "tally in a 32-bit float", float_tally: true, ..RIGHT },
    WrongBuild {
        name: "lift polarity turned round",
        settings: |settings| settings.lift.lowered_level = !settings.lift.lowered_level,
        ..RIGHT
    },
    WrongBuild {
        name: "encoder edges counted twice",
        settings: |settings| settings.sides.iter_mut().for_each(|side| side.edges_per_turn *= 2),
        ..RIGHT
    },
    WrongBuild {
        name: "ground pulses of another wheel",
        settings: |settings| {
            if let Some(SpeedSource::Pulses { per_metre }) = settings.sources.first_mut() {
                *per_metre = PulsesPerMetre::from_bits(per_metre.to_bits() / 50 * 51);
            }
        },
        ..RIGHT
    },
    WrongBuild { name: "lift ignored", inputs: |inputs| inputs.lift = true, ..RIGHT },
    WrongBuild {
        name: "side switches ignored",
        inputs: |inputs| inputs.sides.iter_mut().for_each(|side| side.switch = true),
        ..RIGHT
    },
    WrongBuild { name: "new rates not taken over", deaf_to_rate: true, ..RIGHT },
    WrongBuild { name: "shut outlets not counted", deaf_to_outlets: true, ..RIGHT },
    WrongBuild { name: "ground of two products counted twice", ground_twice: true, ..RIGHT },
    WrongBuild {
        name: "edge instants rounded to the tick",
        inputs: |inputs| {
            inputs.ground.edge_at = inputs.now;
            let now = inputs.now;
            inputs.sides.iter_mut().for_each(|side| side.shaft.edge_at = now);
        },
        ..RIGHT
    },
    WrongBuild {
        name: "duty scaled to 15 bits",
        outputs: |outputs| {
            for side in &mut outputs.sides {
                side.command = Command::from_bits(side.command.to_bits() / 2);
            }
        },
        ..RIGHT
    },
    WrongBuild {
        name: "milliseconds of the lag taken for microseconds",
        settings: |settings| {
            settings.sides.iter_mut().for_each(|side| side.lag = Micros::from_millis(10));
        },
        ..RIGHT
    },
];
