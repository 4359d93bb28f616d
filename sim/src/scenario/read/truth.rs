//! Reads what the bench's machine truly is. What is not named is off.

use super::drill::{DELIVERY_DELAY, GROUND_PULSES, OPENER_WAY};
use super::drive::{self, drive_over};
use super::section::Section;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::{Drive, MeterTruth, Truth, Ways};
use crate::unit::{ANGULAR_RATE, RATIO, TIME};

/// Keys of a machine.
pub(super) const KEYS: [&str; 17] = [
    "form",
    "drive",
    "meter",
    "gain",
    "swing",
    "swing_rate",
    "hysteresis",
    "coil_rise",
    "coil_warm_up",
    "encoder_jitter",
    "wheel_slip",
    "lift_bounce",
    "delivery_spread",
    "delivery_delay",
    "ground_pulses",
    "lowering",
    "lifting",
];

/// Keys of its meter.
const METER_KEYS: [&str; 4] = ["flutes", "pulsation", "wander", "wander_time"];

const GAIN: Wanted = Wanted::new(&RATIO, 0.05, 5.0);
const SWING: Wanted = Wanted::new(&RATIO, 0.0, 0.9);
const SWING_RATE: Wanted = Wanted::new(&ANGULAR_RATE, 0.0, 100.0);
const HYSTERESIS: Wanted = Wanted::new(&RATIO, 0.0, 0.5);
const COIL_RISE: Wanted = Wanted::new(&RATIO, 0.0, 2.0);
const COIL_WARM_UP: Wanted = Wanted::new(&TIME, 0.1, 1.0e5);
const JITTER: Wanted = Wanted::new(&RATIO, 0.0, 0.5);
/// Negative: a driven wheel that turns more than the ground goes by.
const SLIP: Wanted = Wanted::new(&RATIO, -0.5, 0.9);
const SHORT_TIME: Wanted = Wanted::new(&TIME, 0.0, 1.0);
const PULSATION: Wanted = Wanted::new(&RATIO, 0.0, 1.0);
const WANDER: Wanted = Wanted::new(&RATIO, 0.0, 0.3);
const WANDER_TIME: Wanted = Wanted::new(&TIME, 0.1, 1.0e4);

/// A machine that is what the controller is told, everything else off.
pub(crate) const fn off(drive: Drive) -> Truth {
    Truth {
        drive,
        physical: false,
        gain: 1.0,
        swing: 0.0,
        swing_rad_per_s: 0.0,
        hysteresis: 0.0,
        coil_rise: 0.0,
        coil_warm_s: 300.0,
        encoder_jitter: 0.0,
        wheel_slip: 0.0,
        lift_bounce_s: 0.0,
        meter: MeterTruth { flutes: 0, pulsation: 0.0, wander: 0.0, wander_s: 20.0 },
        delivery_spread_s: 0.0,
        ways: Ways {
            delivery_delay_s: None,
            ground_pulses_per_m: None,
            lowering_m: None,
            lifting_m: None,
        },
    }
}

/// Reads a machine that is `base` where nothing is named.
pub(super) fn truth_over(section: &Section<'_>, base: Truth) -> Result<Truth, InputError> {
    let drive = match section.child("drive", &drive::KEYS)? {
        Some(section) => drive_over(&section, base.drive)?,
        None => base.drive,
    };
    let meter = match section.child("meter", &METER_KEYS)? {
        Some(section) => meter_over(&section, &base.meter)?,
        None => base.meter.clone(),
    };
    let forms = [("reduced", false), ("physical", true)];
    let form = section.find("form")?.map(|entry| entry.choice(&forms)).transpose()?;
    if form == Some(true) && drive.motor.is_some() {
        let remedy = "use form = \"reduced\" with a motorised valve".to_owned();
        let what = "the physical form has a proportional valve".to_owned();
        return Err(section.complain(Trouble::WrongForm, what, remedy));
    }
    let or = |key, wanted, base| section.quantity_or(key, wanted, base);
    Ok(Truth {
        drive,
        meter,
        physical: form.unwrap_or(base.physical),
        gain: or("gain", GAIN, base.gain)?,
        swing: or("swing", SWING, base.swing)?,
        swing_rad_per_s: or("swing_rate", SWING_RATE, base.swing_rad_per_s)?,
        hysteresis: or("hysteresis", HYSTERESIS, base.hysteresis)?,
        coil_rise: or("coil_rise", COIL_RISE, base.coil_rise)?,
        coil_warm_s: or("coil_warm_up", COIL_WARM_UP, base.coil_warm_s)?,
        encoder_jitter: or("encoder_jitter", JITTER, base.encoder_jitter)?,
        wheel_slip: or("wheel_slip", SLIP, base.wheel_slip)?,
        lift_bounce_s: or("lift_bounce", SHORT_TIME, base.lift_bounce_s)?,
        delivery_spread_s: or("delivery_spread", SHORT_TIME, base.delivery_spread_s)?,
        ways: ways_over(section, base.ways)?,
    })
}

/// Reads ways that are `base` where nothing is named.
fn ways_over(section: &Section<'_>, base: Ways) -> Result<Ways, InputError> {
    let or = |key, wanted, base: Option<f64>| {
        let named = section.find(key)?.map(|entry| entry.quantity(wanted)).transpose()?;
        Ok::<_, InputError>(named.or(base))
    };
    Ok(Ways {
        delivery_delay_s: or("delivery_delay", DELIVERY_DELAY, base.delivery_delay_s)?,
        ground_pulses_per_m: or("ground_pulses", GROUND_PULSES, base.ground_pulses_per_m)?,
        lowering_m: or("lowering", OPENER_WAY, base.lowering_m)?,
        lifting_m: or("lifting", OPENER_WAY, base.lifting_m)?,
    })
}

/// Reads a meter that is `base` where nothing is named.
fn meter_over(section: &Section<'_>, base: &MeterTruth) -> Result<MeterTruth, InputError> {
    let flutes = section.find("flutes")?.map(|entry| entry.whole(0..=200)).transpose()?;
    Ok(MeterTruth {
        flutes: flutes.and_then(|count| u32::try_from(count).ok()).unwrap_or(base.flutes),
        pulsation: section.quantity_or("pulsation", PULSATION, base.pulsation)?,
        wander: section.quantity_or("wander", WANDER, base.wander)?,
        wander_s: section.quantity_or("wander_time", WANDER_TIME, base.wander_s)?,
    })
}
