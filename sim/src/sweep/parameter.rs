//! What a sweep may vary: the machine as it truly is, and how wrongly the controller is told about it.
//!
//! The controller is told the true number (or, where the scenario says so, that number times the
//! scenario's own error); a `told_…` parameter then puts the sweep's error on top:
//!
//! ```text
//!  true lag drawn ─┬─► machine
//!                  └─► × scenario's own error ─► × told_lag_factor drawn ─► controller
//! ```

use super::Case;
use super::apply;
use crate::unit::{ANGULAR_RATE, Dimension, RATIO, SPEED, System, TIME};

/// A number of the drill, or an error in what is told about it.
#[derive(Debug)]
pub struct Parameter {
    /// Its key in the ranges file.
    pub key: &'static str,
    /// What it is called when a person reads of it.
    pub words: &'static str,
    /// Kind of quantity.
    pub kind: &'static Dimension,
    /// Smallest and largest value that work, in the bench's own unit.
    pub works: (f64, f64),
    /// Whole numbers only.
    pub whole: bool,
    /// The value at which nothing is wrong, for an error.
    pub right: Option<f64>,
    /// Without what it has no effect.
    pub needs: Needs,
    /// Puts a value into a case.
    pub(super) apply: fn(&mut Case, f64),
}

/// What must be there for a parameter to have an effect.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Needs {
    /// Nothing.
    Nothing,
    /// A scenario whose ground speed comes from pulses.
    Pulses,
    /// A scenario whose ground speed comes from a receiver.
    Gnss,
    /// A meter with flutes.
    Flutes,
    /// A swing of the gain.
    Swing,
    /// Another parameter that is varied.
    Parameter(&'static str),
}

impl Parameter {
    /// The parameter of a key.
    pub fn of(key: &str) -> Option<&'static Self> {
        PARAMETERS.iter().find(|parameter| parameter.key == key)
    }

    /// A value in the unit that people of `system` like.
    pub fn show(&self, value: f64, system: System) -> String {
        if self.whole { format!("{value}") } else { self.kind.show(value, system, 4) }
    }
}

/// A parameter of the true machine.
const fn truth(
    key: &'static str,
    words: &'static str,
    (kind, low, high): (&'static Dimension, f64, f64),
    apply: fn(&mut Case, f64),
) -> Parameter {
    let (whole, right, needs) = (false, None, Needs::Nothing);
    Parameter { key, words, kind, works: (low, high), whole, right, needs, apply }
}

impl Parameter {
    const fn needing(mut self, needs: Needs) -> Self {
        self.needs = needs;
        self
    }

    const fn right_at(mut self, right: f64) -> Self {
        self.right = Some(right);
        self
    }

    const fn whole(mut self) -> Self {
        self.whole = true;
        self
    }
}

/// Every parameter, in the order in which they are put into a case: what is told follows the truth.
pub static PARAMETERS: [Parameter; 29] = [
    truth("gain", "true gain over the map's", (&RATIO, 0.05, 5.0), apply::gain).right_at(1.0),
    truth("swing", "swing of the gain", (&RATIO, 0.0, 0.9), apply::swing),
    truth("swing_rate", "rate of the swing", (&ANGULAR_RATE, 0.0, 100.0), apply::swing_rate)
        .needing(Needs::Swing),
    truth("opening", "opening command", (&RATIO, 0.0, 0.9), apply::opening),
    truth("lag", "lag of the drive", (&TIME, 0.01, 2.0), apply::lag),
    truth("dead_time", "dead time of the drive", (&TIME, 0.001, 1.0), apply::dead_time),
    truth("hysteresis", "hysteresis of the valve", (&RATIO, 0.0, 0.5), apply::hysteresis),
    truth("coil_rise", "rise of the coil's resistance", (&RATIO, 0.0, 2.0), apply::coil_rise),
    truth("encoder_pulses", "encoder pulses per turn", (&RATIO, 1.0, 4096.0), apply::encoder)
        .whole(),
    truth("encoder_jitter", "jitter of encoder edges", (&RATIO, 0.0, 0.5), apply::jitter),
    truth("wheel_slip", "slip of the ground wheel", (&RATIO, -0.5, 0.9), apply::slip)
        .needing(Needs::Pulses)
        .right_at(0.0),
    truth("delivery_delay", "delivery delay", (&TIME, 0.0, 2.0), apply::delivery_delay),
    truth("delivery_spread", "spread of the delivery", (&TIME, 0.0, 1.0), apply::delivery_spread),
    truth("lift_bounce", "bounce of the lift switch", (&TIME, 0.0, 1.0), apply::lift_bounce),
    truth("meter_pulsation", "pulsation of the meter", (&RATIO, 0.0, 1.0), apply::pulsation)
        .needing(Needs::Flutes),
    truth("meter_wander", "wander of the meter", (&RATIO, 0.0, 0.3), apply::wander),
    truth("dip_every", "time between supply dips", (&TIME, 1.0, 3600.0), apply::dip_every)
        .needing(Needs::Parameter("dip_depth")),
    truth("dip_length", "length of a supply dip", (&TIME, 0.05, 60.0), apply::dip_length)
        .needing(Needs::Parameter("dip_depth")),
    truth("dip_depth", "gain lost in a supply dip", (&RATIO, 0.0, 0.95), apply::dip_depth),
    truth("gnss_latency", "age of a GNSS sample", (&TIME, 0.0, 2.0), apply::gnss_latency)
        .needing(Needs::Gnss),
    truth("gnss_noise", "noise of a GNSS sample", (&SPEED, 0.0, 1.0), apply::gnss_noise)
        .needing(Needs::Gnss),
    truth("told_gain_factor", "gain told, times", (&RATIO, 0.1, 10.0), apply::told_gain)
        .right_at(1.0),
    truth("told_lag_factor", "lag told, times", (&RATIO, 0.1, 10.0), apply::told_lag).right_at(1.0),
    truth("told_dead_time_factor", "dead time told, times", (&RATIO, 0.1, 10.0), apply::told_dead)
        .right_at(1.0),
    truth("told_opening_error", "opening command told, off by", (&RATIO, -0.5, 0.5), {
        apply::told_opening
    })
    .right_at(0.0),
    truth("told_mass_per_turn_factor", "mass per turn told, times", (&RATIO, 0.1, 10.0), {
        apply::told_mass
    })
    .right_at(1.0),
    truth("told_ground_pulses_factor", "ground pulses told, times", (&RATIO, 0.1, 10.0), {
        apply::told_pulses
    })
    .needing(Needs::Pulses)
    .right_at(1.0),
    truth("told_delivery_delay_error", "delivery delay told, off by", (&TIME, -1.0, 1.0), {
        apply::told_delivery
    })
    .right_at(0.0),
    truth("told_gnss_latency_error", "age of a GNSS sample told, off by", (&TIME, -1.0, 1.0), {
        apply::told_latency
    })
    .needing(Needs::Gnss)
    .right_at(0.0),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_unique_and_what_is_told_comes_after_the_truth() {
        let told = |it: &Parameter| it.key.starts_with("told_");
        for (index, parameter) in PARAMETERS.iter().enumerate() {
            let same = PARAMETERS.iter().filter(|it| it.key == parameter.key).count();
            assert_eq!(same, 1, "{}", parameter.key);
            let later = &PARAMETERS[index..];
            assert!(!told(parameter) || later.iter().all(told), "{} is too early", parameter.key);
        }
    }
}
