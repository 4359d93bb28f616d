//! Questions about seed, meter and shaft sensor.

use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual};
use super::super::worked;
use crate::scenario::read::ranges::{SEEDING_RATE, TURN};

/// Seed and meter.
pub(super) static SEED: [Question; 6] = [
    Question {
        key: "seed_name",
        text: "What do you call the seed lot",
        why: "Another lot of the same seed wants a catch of its own.",
        usual: Usual::Same("My seed"),
        ..PLAIN
    },
    Question {
        key: "rate",
        text: "Seeding rate, of what is in the bag",
        why: "Bag rate: germination, purity and coating are in it already. `meterwright rate` works it out.",
        kind: Kind::Quantity(SEEDING_RATE),
        usual: Usual::Each(["110 kg/ha", "100 lb/ac"]),
        ..PLAIN
    },
    Question {
        key: "mass_by",
        text: "Was the meter's mass per turn caught and weighed",
        why: "A guess will do to size the drive and to try the bench; nobody sows by a guess.",
        kind: Kind::Word(&[("guess", "not caught yet"), ("caught", "caught and weighed")]),
        usual: Usual::Same("guess"),
        ..PLAIN
    },
    Question {
        key: "mass_per_turn",
        text: "Mass that one turn of a side's meter shaft delivers through all its outlets",
        why: "Every turn is counted as so much seed: the catch is the scale of all that follows.",
        kind: Kind::Quantity(TURN),
        usual: Usual::From(worked::mass_per_turn),
        check: worked::check_turns,
        ..PLAIN
    },
    Question {
        key: "catch_date",
        text: "Day of the catch, as you write it",
        why: "A catch that is old, or of another lot, is told by its day.",
        usual: Usual::Same("not noted"),
        when: |answers| answers.is("mass_by", "caught"),
        ..PLAIN
    },
    Question {
        key: "catches",
        text: "Number of catches that it is the mean of",
        why: "One catch says nothing of its scatter; three do.",
        kind: Kind::Whole(1..=1000),
        usual: Usual::Same("3"),
        when: |answers| answers.is("mass_by", "caught"),
        ..PLAIN
    },
];

/// Shaft sensor.
pub(super) static ENCODER: [Question; 2] = [
    Question {
        key: "encoder_pulses",
        text: "Pulses of the shaft sensor in one turn of the meter shaft",
        why: "Two pulses must fall in the drive's lag for the loop to work on what it measures: a slow shaft wants many.",
        kind: Kind::Whole(1..=4096),
        usual: Usual::Same("180"),
        ..PLAIN
    },
    Question {
        key: "encoder_channels",
        text: "Its channels: 1, or 2 if it tells the direction",
        why: "With two a shaft that turns backwards is seen.",
        kind: Kind::Whole(1..=2),
        usual: Usual::Same("1"),
        ..PLAIN
    },
];
