//! Questions about the ground speed and the seed's way to the soil.

use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual};
use super::super::worked;
use crate::scenario::read::Wanted;
use crate::scenario::read::ranges::{
    ANTENNA, DELIVERY_DELAY, GROUND_PULSES, LATENCY, LOWEST_SPEED, NOISE, SAMPLE_RATE,
};
use crate::unit::{LENGTH, SPEED};

const AROUND: Wanted = Wanted::new(&LENGTH, 0.1, 10.0);
const TUBE: Wanted = Wanted::new(&LENGTH, 0.05, 20.0);
const SEED_SPEED: Wanted = Wanted::new(&SPEED, 0.3, 40.0);

/// Ground speed.
pub(super) static GROUND: [Question; 10] = [
    Question {
        key: "source",
        text: "Where does the ground speed come from",
        why: "It decides how quickly the controller sees that the tractor speeds up.",
        kind: Kind::Word(&[
            ("pulses", "a sensor at a wheel, or a radar, with a pulse every few millimetres"),
            ("gnss", "a satellite receiver"),
            ("bus-wheel", "the tractor's bus, wheel-based speed"),
            ("bus-ground", "the tractor's bus, ground-based speed"),
            ("bus-selected", "the tractor's bus, the speed that the tractor has selected"),
        ]),
        usual: Usual::Same("pulses"),
        ..PLAIN
    },
    Question {
        key: "ground_by",
        text: "Enter pulses per length, or the wheel and its pulses per turn",
        why: "Measured over a tape is best; the wheel's own numbers will do until then.",
        kind: Kind::Word(&[
            ("length", "pulses per metre or foot"),
            ("wheel", "circumference and pulses per turn"),
        ]),
        usual: Usual::Same("length"),
        when: |answers| answers.is("source", "pulses"),
        ..PLAIN
    },
    Question {
        key: "ground_pulses",
        text: "Pulses of the ground sensor",
        why: "1 % too many is 1 % too little seed. Measure them over 100 m or 300 ft (docs/measuring.md).",
        kind: Kind::Quantity(GROUND_PULSES),
        usual: Usual::Each(["130 /m", "40 /ft"]),
        when: |answers| answers.is("ground_by", "length"),
        ..PLAIN
    },
    Question {
        key: "wheel_way",
        text: "Way of the wheel in one turn, loaded and in the field",
        why: "Ten turns along a tape, drill lowered and half full, divided by ten.",
        kind: Kind::Quantity(AROUND),
        usual: Usual::Each(["2.0 m", "6'6\""]),
        when: |answers| answers.is("ground_by", "wheel"),
        ..PLAIN
    },
    Question {
        key: "wheel_pulses",
        text: "Pulses of the sensor in one turn of the wheel",
        why: "Teeth that pass the sensor in a turn, times the gearing between them.",
        kind: Kind::Whole(1..=8192),
        usual: Usual::Same("260"),
        when: |answers| answers.is("ground_by", "wheel"),
        check: worked::check_ground,
        ..PLAIN
    },
    Question {
        key: "gnss_rate",
        text: "Speed samples of the receiver",
        why: "Ten a second follow a tractor well; one a second does not.",
        kind: Kind::Quantity(SAMPLE_RATE),
        usual: Usual::Same("10 Hz"),
        when: |answers| answers.is("source", "gnss"),
        ..PLAIN
    },
    Question {
        key: "latency",
        text: "Age of a speed when it arrives",
        why: "A speed that is late by L misplaces the seed of L times its change; the controller looks ahead by as much.",
        kind: Kind::Quantity(LATENCY),
        usual: Usual::From(|answers| {
            if answers.is("source", "gnss") { "0.1 s" } else { "0.05 s" }.to_owned()
        }),
        when: |answers| !answers.is("source", "pulses"),
        ..PLAIN
    },
    Question {
        key: "gnss_noise",
        text: "Noise of a speed sample, rms",
        why: "From its data sheet; the trial run adds as much.",
        kind: Kind::Quantity(NOISE),
        usual: Usual::Each(["0.02 m/s", "0.05 mph"]),
        when: |answers| answers.is("source", "gnss"),
        ..PLAIN
    },
    Question {
        key: "antenna_to_opener",
        text: "Way from the antenna back to the openers (minus: the antenna is behind them)",
        why: "Gaps are noted where the openers are, not where the antenna is.",
        kind: Kind::Quantity(ANTENNA),
        usual: Usual::Each(["3.0 m", "10 ft"]),
        when: |answers| answers.is("source", "gnss"),
        ..PLAIN
    },
    Question {
        key: "lowest_speed",
        text: "Lowest sowing speed",
        why: "Below it no seed is asked for: it must be slower than any start in the row.",
        kind: Kind::Quantity(LOWEST_SPEED),
        usual: Usual::Each(["0.15 m/s", "0.3 mph"]),
        ..PLAIN
    },
];

/// The seed's way.
pub(super) static DELIVERY: [Question; 4] = [
    Question {
        key: "delay_by",
        text: "Enter the time from meter to soil, or the tube",
        why: "The controller meters ahead by this time. The delivery run measures it (docs/measuring.md).",
        kind: Kind::Word(&[
            ("time", "the time"),
            ("tube", "length of the tube and speed of the seed in it"),
        ]),
        usual: Usual::Same("time"),
        ..PLAIN
    },
    Question {
        key: "delivery_delay",
        text: "Time from meter to soil",
        why: "Half a second too much or too little at 2 m/s is a metre at each start and stop.",
        kind: Kind::Quantity(DELIVERY_DELAY),
        usual: Usual::Same("0.35 s"),
        when: |answers| answers.is("delay_by", "time"),
        ..PLAIN
    },
    Question {
        key: "tube_length",
        text: "Length of the tube from meter to soil",
        why: "With tubes of several lengths that of the middle ones.",
        kind: Kind::Quantity(TUBE),
        usual: Usual::Each(["1.0 m", "3 ft"]),
        when: |answers| answers.is("delay_by", "tube"),
        ..PLAIN
    },
    Question {
        key: "seed_speed",
        text: "Mean speed of the seed in it",
        why: "Free fall over h metres has a mean of sqrt(9.81 h / 2): 2.2 m/s over 1 m, and a tube slows it; with a fan take \
              half the speed of the air (common practice) until the delivery run has measured it.",
        kind: Kind::Quantity(SEED_SPEED),
        usual: Usual::Each(["2.2 m/s", "7 ft/s"]),
        when: |answers| answers.is("delay_by", "tube"),
        check: worked::check_delay,
        ..PLAIN
    },
];
