//! Inputs as words: fixed places, so that a trace need only hold those that changed.
//!
//! | word | what |
//! |---|---|
//! | 0 | now, µs |
//! | 1, 2 | ground: count, instant of the last edge |
//! | 3 to 10 | speed and instant of receiver, wheel, ground and selected speed of the bus |
//! | 11 | yaw rate |
//! | 12 to 14 | course, its speed, its instant |
//! | 15 to 17 | latitude, longitude, instant |
//! | 18, 19 | distance to a line, instant |
//! | 20 | instant of the hitch |
//! | 21 | levels, and what is there at all: the bits below |
//! | 22 | sides: 4 bits each: switch, sensor there, seed seen |
//! | 23 to 30 | shafts: count, instant of the last edge |
//!
//! Bits of word 21, from the lowest: four reports of 3 bits (none, speed, not available, error, out of range); direction,
//! hopper and stop of 2 bits (unknown, no, yes: forward and reverse); then one bit each: yaw, course, position, line,
//! sow beyond, hitch, in work, lift, master, hold. A word whose thing is not there keeps its value.

use controller::quantity::{
    Course, Instant, MetresPerSecond, Micrometres, Position, RadiansPerSecond,
};
use controller::sense::{
    CourseSample, Direction, HitchSample, LineSample, PositionSample, Pulses, SpeedReport,
    SpeedReports, SpeedSample,
};
use controller::{Inputs, MAX_SIDES, SideInputs};

/// Words of the inputs.
pub const WORDS: usize = 31;
const LEVELS: usize = 21;
const SIDES: usize = 22;
const REPORTS: usize = 3;
const SHAFTS: usize = 23;

/// An instant.
pub const fn instant(word: u32) -> Instant {
    Instant::from_micros(word)
}

const fn speed(word: u32) -> MetresPerSecond {
    MetresPerSecond::from_bits(word.cast_signed())
}

/// Bits from the lowest on.
struct Levels(u32, u32);

impl Levels {
    const fn put(&mut self, bits: u32, value: u32) {
        self.0 |= value << self.1;
        self.1 += bits;
    }

    const fn take(&mut self, bits: u32) -> u32 {
        let value = self.0 & ((1 << bits) - 1);
        self.0 >>= bits;
        value
    }

    const fn is_set(&mut self) -> bool {
        self.take(1) != 0
    }
}

/// 0 unknown, 1 no, 2 yes.
fn known(level: Option<bool>) -> u32 {
    level.map_or(0, |yes| 1 + u32::from(yes))
}

fn level(word: u32) -> Option<bool> {
    (word != 0).then_some(word > 1)
}

/// Writes the inputs over those of the tick before.
pub fn write(inputs: &Inputs, words: &mut [u32; WORDS]) {
    words[0] = inputs.now.micros();
    pulses(inputs.ground, &mut words[1..]);
    let mut levels = Levels(0, 0);
    let SpeedReports { receiver, bus_wheel, bus_ground, bus_selected } = inputs.speeds;
    for (index, report) in [receiver, bus_wheel, bus_ground, bus_selected].into_iter().enumerate() {
        levels.put(3, write_report(report, &mut words[REPORTS + 2 * index..]));
    }
    levels.put(2, known(inputs.direction.map(|way| way == Direction::Reverse)));
    levels.put(2, known(inputs.hopper_empty));
    levels.put(2, known(inputs.stop));
    write_samples(inputs, words);
    let line = inputs.line.is_some_and(|line| line.sow_beyond);
    let hitch = inputs.hitch.is_some_and(|hitch| hitch.in_work);
    for bit in [
        inputs.yaw.is_some(),
        inputs.course.is_some(),
        inputs.position.is_some(),
        inputs.line.is_some(),
        line,
        inputs.hitch.is_some(),
        hitch,
        inputs.lift,
        inputs.master,
        inputs.hold,
    ] {
        levels.put(1, u32::from(bit));
    }
    words[LEVELS] = levels.0;
    let mut sides = Levels(0, 0);
    for (index, side) in inputs.sides.iter().enumerate() {
        sides.put(1, u32::from(side.switch));
        sides.put(3, known(side.seed_seen));
        pulses(side.shaft, &mut words[SHAFTS + 2 * index..]);
    }
    words[SIDES] = sides.0;
}

fn pulses(pulses: Pulses, words: &mut [u32]) {
    words[0] = pulses.count;
    words[1] = pulses.edge_at.micros();
}

fn write_report(report: Option<SpeedReport>, words: &mut [u32]) -> u32 {
    match report {
        None => 0,
        Some(SpeedReport::Speed(sample)) => {
            words[0] = sample.speed.to_bits().cast_unsigned();
            words[1] = sample.at.micros();
            1
        }
        Some(SpeedReport::NotAvailable) => 2,
        Some(SpeedReport::Error) => 3,
        Some(SpeedReport::OutOfRange) => 4,
    }
}

const fn write_samples(inputs: &Inputs, words: &mut [u32; WORDS]) {
    if let Some(yaw) = inputs.yaw {
        words[11] = yaw.to_bits().cast_unsigned();
    }
    if let Some(sample) = inputs.course {
        words[12] = sample.course.to_bits();
        words[13] = sample.speed.to_bits().cast_unsigned();
        words[14] = sample.at.micros();
    }
    if let Some(sample) = inputs.position {
        words[15] = sample.position.latitude().cast_unsigned();
        words[16] = sample.position.longitude().cast_unsigned();
        words[17] = sample.at.micros();
    }
    if let Some(line) = inputs.line {
        words[18] = line.distance.get().cast_unsigned();
        words[19] = line.at.micros();
    }
    if let Some(hitch) = inputs.hitch {
        words[20] = hitch.at.micros();
    }
}

/// The inputs of these words. What no inputs can hold, such as a latitude beyond the pole, is left out.
pub fn read(words: &[u32; WORDS]) -> Inputs {
    let mut levels = Levels(words[LEVELS], 0);
    let mut report = |index: usize| read_report(levels.take(3), &words[REPORTS + 2 * index..]);
    let speeds = SpeedReports {
        receiver: report(0),
        bus_wheel: report(1),
        bus_ground: report(2),
        bus_selected: report(3),
    };
    let way = |reverse| if reverse { Direction::Reverse } else { Direction::Forward };
    let mut inputs = Inputs {
        now: instant(words[0]),
        ground: read_pulses(&words[1..]),
        speeds,
        direction: level(levels.take(2)).map(way),
        hopper_empty: level(levels.take(2)),
        stop: level(levels.take(2)),
        yaw: levels.is_set().then(|| RadiansPerSecond::from_bits(words[11].cast_signed())),
        course: levels.is_set().then(|| course(words)),
        position: levels.is_set().then(|| position(words)).flatten(),
        ..Inputs::default()
    };
    let (line, sow_beyond) = (levels.is_set(), levels.is_set());
    let distance = Micrometres::new(words[18].cast_signed());
    inputs.line = line.then(|| LineSample { distance, sow_beyond, at: instant(words[19]) });
    let (hitch, in_work) = (levels.is_set(), levels.is_set());
    inputs.hitch = hitch.then(|| HitchSample { in_work, at: instant(words[20]) });
    (inputs.lift, inputs.master, inputs.hold) = (levels.is_set(), levels.is_set(), levels.is_set());
    inputs.sides = read_sides(words);
    inputs
}

fn read_sides(words: &[u32; WORDS]) -> [SideInputs; MAX_SIDES] {
    let mut bits = Levels(words[SIDES], 0);
    let mut sides = [SideInputs::default(); MAX_SIDES];
    for (index, side) in sides.iter_mut().enumerate() {
        side.switch = bits.is_set();
        side.seed_seen = level(bits.take(3));
        side.shaft = read_pulses(&words[SHAFTS + 2 * index..]);
    }
    sides
}

fn read_pulses(words: &[u32]) -> Pulses {
    Pulses { count: words[0], edge_at: instant(words[1]) }
}

fn read_report(kind: u32, words: &[u32]) -> Option<SpeedReport> {
    match kind {
        1 => {
            let sample = SpeedSample { speed: speed(words[0]), at: instant(words[1]) };
            Some(SpeedReport::Speed(sample))
        }
        2 => Some(SpeedReport::NotAvailable),
        3 => Some(SpeedReport::Error),
        4 => Some(SpeedReport::OutOfRange),
        _ => None,
    }
}

const fn course(words: &[u32; WORDS]) -> CourseSample {
    let course = Course::from_bits(words[12]);
    CourseSample { course, speed: speed(words[13]), at: instant(words[14]) }
}

fn position(words: &[u32; WORDS]) -> Option<PositionSample> {
    let position = Position::new(words[15].cast_signed(), words[16].cast_signed())?;
    Some(PositionSample { position, at: instant(words[17]) })
}
