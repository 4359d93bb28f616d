//! What a law on the bench may see and do.

use crate::machine::Edges;
use crate::scenario::Opened;

/// What a law may look at on a tick.
#[derive(Debug)]
pub struct Senses<'a> {
    /// Instant, s.
    pub t_s: f64,
    /// Ground pulses.
    pub ground: Edges,
    /// Speed samples that arrived since the last tick.
    pub samples: Samples,
    /// Yaw rate, rad/s, anticlockwise positive.
    pub yaw_rad_per_s: f64,
    /// The drill goes backwards.
    pub backwards: bool,
    /// A distance to a line that arrived since the last tick.
    pub line: Option<LineSense>,
    /// The lift switch as it reads: `true` in work.
    pub lowered: bool,
    /// Master switch.
    pub master: bool,
    /// Side switches.
    pub switches: &'a [bool],
    /// Shaft encoders.
    pub shafts: &'a [Edges],
    /// Rates asked for, by product, kg/ha.
    pub rates_kg_per_ha: [f64; 2],
    /// Outlets open, by side.
    pub opened: &'a [Opened],
    /// What only the limit law may know, per side.
    pub ahead: &'a [Ahead],
}

/// A timed speed sample.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SampleSense {
    /// Speed, m/s.
    pub speed_mps: f64,
    /// The instant at which it was true, s.
    pub at_s: f64,
    /// Course, rad clockwise from north, of a receiver.
    pub course_rad: Option<f64>,
    /// Place of the antenna, `[east, north]` m, of a receiver.
    pub place_m: Option<[f64; 2]>,
}

/// Samples by source.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Samples {
    /// GNSS receiver.
    pub receiver: Option<SampleSense>,
    /// Wheel-based speed of the bus.
    pub bus_wheel: Option<SampleSense>,
    /// Ground-based speed of the bus.
    pub bus_ground: Option<SampleSense>,
    /// Machine selected speed of the bus.
    pub bus_selected: Option<SampleSense>,
}

impl Samples {
    /// Any of them, for a law that knows one source.
    pub fn any(&self) -> Option<SampleSense> {
        self.receiver.or(self.bus_ground).or(self.bus_wheel).or(self.bus_selected)
    }
}

/// A distance to a line ahead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineSense {
    /// From the antenna to the line along the path, m.
    pub distance_m: f64,
    /// Seed is wanted beyond it.
    pub sow_beyond: bool,
    /// The instant at which it was true, s.
    pub at_s: f64,
}

/// What a law believes and does on a side, for a person to look at.
#[derive(Clone, Copy, Debug, Default)]
pub struct Shown {
    /// Ground speed believed, m/s.
    pub believed_mps: f64,
    /// Shaft speed wanted, turns/s.
    pub wanted_turns_per_s: f64,
    /// Shaft speed measured, turns/s.
    pub measured_turns_per_s: f64,
    /// State in a word.
    pub state: &'static str,
    /// Number of the alarm, 0 for none.
    pub alarm: u8,
    /// Shut-off energised.
    pub supply: bool,
}

/// The truth that a law without any error would use.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ahead {
    /// Seed is asked for by the true speed of the side now: it is above the lowest sowing speed.
    pub moving: bool,
    /// True speed of the side at t + τd + θ, at the end of the tick, m/s.
    pub speed_mps: f64,
    /// Rate in force when the seed of that instant passes the outlet, at t + θ, kg/ha.
    pub rate_kg_per_ha: f64,
    /// True gain at t + θ, in the middle of the tick.
    pub gain: f64,
    /// Command over the current that it gives, 1 for a cold coil.
    pub coil: f64,
    /// Where a motorised valve stands now, 0 to 1.
    pub place: f64,
    /// Shaft speed now, turns/s.
    pub shaft_turns_per_s: f64,
}

/// A law on the bench.
pub trait Law {
    /// Reads `senses` and sets the valve command (0..1) of each side; of a motorised valve its motor's run
    /// (−1 shuts, 0 stands, 1 opens).
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]);

    /// Whether the shut-off lets oil through.
    fn supply(&self) -> bool {
        true
    }

    /// What it believes and does on a side.
    fn show(&self, side: usize) -> Shown {
        let _ = side;
        Shown::default()
    }

    /// Shaft speed per metre per second of a law without a valve: turns/m of a side at the travel given.
    fn wheel_turns_per_m(&self, side: usize, travel_m: f64) -> Option<f64> {
        let _ = (side, travel_m);
        None
    }
}

/// What an observer may see after each tick of the law.
#[derive(Debug)]
pub struct Look<'a> {
    /// The senses the law had.
    pub senses: &'a Senses<'a>,
    /// True ground speed, m/s.
    pub speed_mps: f64,
    /// True travel of the drill's centre, m.
    pub travel_m: f64,
    /// The commands it gave.
    pub commands: &'a [f64],
    /// True shaft speeds, turns/s.
    pub shafts_turns_per_s: &'a [f64],
    /// What the law believes and does, per side.
    pub shown: &'a [Shown],
    /// Lift and operator ask for seed, any side.
    pub asked: bool,
}
