//! The drill: what the controller is told, and what the bench's machine truly is.

use super::{Hydraulics, Limits};

/// A seeder with one to four driven meter shafts.
#[derive(Clone, Debug, PartialEq)]
pub struct Drill {
    /// Name a person gave it.
    pub name: String,
    /// Invented for demonstration.
    pub demo: bool,
    /// The driven sides, left to right; 1 to 4.
    pub sides: Vec<Side>,
    /// Ground pulses per metre of travel, 1/m.
    pub ground_pulses_per_m: f64,
    /// Lowest sowing speed, m/s: below it no seed is asked for.
    pub lowest_speed_mps: f64,
    /// Time from meter to soil, s.
    pub delivery_delay_s: f64,
    /// Time the lift input must be steady before it is believed, s.
    pub lift_debounce_s: f64,
    /// From the antenna (or the mark the line input counts from) back to the openers, m.
    pub antenna_to_opener_m: f64,
    /// Way from the lift switch reading "in work" to the openers being in the ground, m.
    pub lowering_m: f64,
    /// Way from the lift switch reading "lifted" to the openers leaving the ground, m.
    pub lifting_m: f64,
    /// Ground left bare for further than this is a gap, m.
    pub least_gap_m: f64,
    /// Where the controller tells, disarms, or goes no further.
    pub limits: Limits,
    /// The oil side, as far as it is known; the controller is told none of it.
    pub hydraulics: Option<Hydraulics>,
    /// The drive as the controller is told it, for every side that is not told its own.
    pub told: Drive,
    /// The machine as it truly is.
    pub truth: Truth,
    /// Where the told numbers were measured; none where they are nominal.
    pub as_built: Option<AsBuilt>,
}

/// Where measured numbers come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AsBuilt {
    /// Day of the runs, as a person wrote it.
    pub date: String,
    /// Number of runs.
    pub runs: u64,
    /// What they told.
    pub what: Vec<&'static str>,
}

impl Drill {
    /// Number of products: 2 where a side meters the second.
    pub fn products(&self) -> usize {
        if self.sides.iter().any(|side| side.product == 1) { 2 } else { 1 }
    }

    /// Pairs of sides on the very same ground, one of each product.
    pub fn twins(&self) -> Vec<[usize; 2]> {
        let same = |[one, other]: [usize; 2]| {
            let (one, other) = (&self.sides[one], &self.sides[other]);
            one.product != other.product && one.lies_on(other)
        };
        let count = self.sides.len();
        let pairs = (0..count).flat_map(|one| (one + 1..count).map(move |other| [one, other]));
        pairs.filter(|&pair| same(pair)).collect()
    }

    /// The drive as the controller is told it, of a side.
    pub fn told_of<'a>(&'a self, side: &'a Side) -> &'a Drive {
        side.told.as_ref().unwrap_or(&self.told)
    }

    /// Where the numbers that the controller is told come from, in words.
    pub fn numbers(&self) -> String {
        self.as_built.as_ref().map_or_else(
            || "nominal".to_owned(),
            |built| {
                let AsBuilt { date, runs, what } = built;
                format!("measured {date}, {runs} runs ({})", what.join(", "))
            },
        )
    }

    /// Every drive that the controller is told.
    pub fn told_mut(&mut self) -> impl Iterator<Item = &mut Drive> {
        let own = self.sides.iter_mut().filter_map(|side| side.told.as_mut());
        core::iter::once(&mut self.told).chain(own)
    }

    /// True time from meter to soil, s.
    pub fn true_delivery_delay_s(&self) -> f64 {
        self.truth.ways.delivery_delay_s.unwrap_or(self.delivery_delay_s)
    }

    /// True ground pulses per metre, 1/m.
    pub fn true_ground_pulses_per_m(&self) -> f64 {
        self.truth.ways.ground_pulses_per_m.unwrap_or(self.ground_pulses_per_m)
    }

    /// True ways of the openers into and out of the ground, m.
    pub fn true_opener_ways_m(&self) -> (f64, f64) {
        let Ways { lowering_m, lifting_m, .. } = self.truth.ways;
        (lowering_m.unwrap_or(self.lowering_m), lifting_m.unwrap_or(self.lifting_m))
    }

    /// Reach of the sides to the right and to the left of the drill's middle, m, positive to the left.
    pub fn reach_m(&self) -> (f64, f64) {
        let edges = |sign: f64| {
            self.sides.iter().map(move |side| side.offset_m + sign * side.width_m / 2.0)
        };
        (edges(-1.0).fold(f64::INFINITY, f64::min), edges(1.0).fold(f64::NEG_INFINITY, f64::max))
    }
}

/// One driven side.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Name a person gave it.
    pub name: String,
    /// Product that it meters, 0 or 1.
    pub product: usize,
    /// Outlets of its meter.
    pub outlets: u32,
    /// Working width, m.
    pub width_m: f64,
    /// Offset of its centre from the drill's centre line, m, positive to the left (ISO 8855).
    pub offset_m: f64,
    /// Encoder edges per turn of the meter shaft.
    pub encoder_pulses_per_turn: u32,
    /// Its own drive as the controller is told it, where the sides were measured; else that of the drill.
    pub told: Option<Drive>,
    /// The encoder has two channels: its count falls while the shaft turns backwards.
    pub two_channel: bool,
}

impl Side {
    /// Whether it lies on the very ground of another.
    pub fn lies_on(&self, other: &Self) -> bool {
        self.offset_m.total_cmp(&other.offset_m).is_eq()
            && self.width_m.total_cmp(&other.width_m).is_eq()
    }

    /// Whether it has no ground in common with another; within 1 µm, as lengths are stored.
    pub fn lies_apart(&self, other: &Self) -> bool {
        let between_m = (self.offset_m - other.offset_m).abs();
        between_m > f64::midpoint(self.width_m, other.width_m) - 1e-6
    }
}

/// A drive: valve, motor and gearing down to the meter shaft.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// Valve map, `[point](command 0..1, shaft turns/s)`, rising; the first point is the opening
    /// command at 0 turns/s, the last is full command.
    pub map: Vec<(f64, f64)>,
    /// Lag τ1 from command to shaft speed, s.
    pub lag_s: f64,
    /// Dead time θ before that lag begins, s.
    pub dead_time_s: f64,
    /// The gear motor of a motorised valve; the map's command is then its place.
    pub motor: Option<Motor>,
}

/// The gear motor of a motorised valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motor {
    /// Time of the full travel, s.
    pub stroke_s: f64,
    /// Running time that is lost to play when it turns round, s.
    pub play_s: f64,
    /// Lag with which it runs up and coasts, s; the controller is not told.
    pub coast_s: f64,
}

impl Drive {
    /// Shaft speed at full command by the map, turns/s.
    pub fn full_turns_per_s(&self) -> f64 {
        self.map.last().map_or(0.0, |point| point.1)
    }

    /// Opening command, 0..1.
    pub fn opening(&self) -> f64 {
        self.map.first().map_or(0.0, |point| point.0)
    }
}

/// The machine as it truly is, where the controller cannot know it. "Off" is zero or one.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// The true drive; the map's gain is multiplied by `gain` and the swing.
    pub drive: Drive,
    /// The drive is run in its physical form (supply, valve, hose, motor); `drive` is then the reduced form
    /// fitted to it.
    pub physical: bool,
    /// True gain over the map's, 1.
    pub gain: f64,
    /// Amplitude of the gain's swing, 1.
    pub swing: f64,
    /// Rate of the swing, rad/s: gain × (1 + swing · sin(rate · t)).
    pub swing_rad_per_s: f64,
    /// Hysteresis of the valve, in command from rising to falling.
    pub hysteresis: f64,
    /// Warm-up of the coil: resistance rises by this share in all (0.4 = +40 %) ...
    pub coil_rise: f64,
    /// ... with this time constant, s.
    pub coil_warm_s: f64,
    /// Encoder edge jitter, share of a pulse, rms.
    pub encoder_jitter: f64,
    /// Slip of the ground wheel: share of pulses missing.
    pub wheel_slip: f64,
    /// Lift switch: bounces for this long after each change, s.
    pub lift_bounce_s: f64,
    /// The meter.
    pub meter: MeterTruth,
    /// Spread of the delivery delay, s rms.
    pub delivery_spread_s: f64,
    /// Ways and times where the controller is told otherwise.
    pub ways: Ways,
}

/// True ways and times; none where they are what the controller is told.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ways {
    /// Time from meter to soil, s.
    pub delivery_delay_s: Option<f64>,
    /// Ground pulses per metre, 1/m.
    pub ground_pulses_per_m: Option<f64>,
    /// Way of the openers into the ground, m.
    pub lowering_m: Option<f64>,
    /// Way of the openers out of the ground, m.
    pub lifting_m: Option<f64>,
}

/// What the meter truly delivers about the mass per turn that was weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct MeterTruth {
    /// Cells (flutes) per turn; 0 for a smooth meter.
    pub flutes: u32,
    /// Amplitude of the pulsation at the flutes, share of the mean flow.
    pub pulsation: f64,
    /// Slow wander of the mass per turn, share, rms ...
    pub wander: f64,
    /// ... with this time constant, s.
    pub wander_s: f64,
}
