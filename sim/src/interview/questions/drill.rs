//! Questions about the drill's shape, its lift and its openers.

use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual};
use super::super::strip::{self, check_strips};
use super::super::worked;
use crate::scenario::read::Wanted;
use crate::scenario::read::ranges::{LEAST_GAP, LIFT_DEBOUNCE, OPENER_WAY, WIDTH};
use crate::unit::LENGTH;

const SPACING: Wanted = Wanted::new(&LENGTH, 0.02, 2.0);
const MIDDLE: Wanted = Wanted::new(&LENGTH, -5.0, 5.0);

/// The drill.
pub(super) static DRILL: [Question; 19] = [
    Question {
        key: "units",
        text: "Units of defaults and of what is worked out",
        why: "You may enter any unit at any question all the same.",
        kind: Kind::Word(&[
            ("metric", "metres, kilograms, hectares"),
            ("us", "feet, pounds, acres"),
        ]),
        usual: Usual::From(worked::units),
        ..PLAIN
    },
    Question {
        key: "name",
        text: "What do you call the drill",
        why: "The name stands in every table and on the page for the cab.",
        usual: Usual::Same("My drill"),
        ..PLAIN
    },
    Question {
        key: "demo",
        text: "Is it invented, to try things out",
        why: "What comes from invented numbers is marked demo everywhere.",
        kind: Kind::YesNo,
        usual: Usual::Same("no"),
        ..PLAIN
    },
    Question {
        key: "sides",
        text: "How many meter shafts are driven, each by its own motor",
        why: "Each driven shaft is a side: it has its own width, motor and shaft sensor.",
        kind: Kind::Whole(1..=4),
        usual: Usual::Same("1"),
        ..PLAIN
    },
    Question {
        key: "width_by",
        text: "Enter the width as a width, or as rows and their spacing",
        why: "Rows times spacing is the width that counts: it reaches half a spacing beyond the outer rows.",
        kind: Kind::Word(&[("width", "the working width"), ("rows", "number of rows and spacing")]),
        usual: Usual::Same("width"),
        ..PLAIN
    },
    width("width", 1),
    width("width_2", 2),
    width("width_3", 3),
    width("width_4", 4),
    rows("rows", 1),
    rows("rows_2", 2),
    rows("rows_3", 3),
    rows("rows_4", 4),
    Question {
        key: "spacing",
        text: "Spacing of the rows",
        why: "From the middle of a row to the middle of the next.",
        kind: Kind::Quantity(SPACING),
        usual: Usual::Each(["15 cm", "7 1/2 in"]),
        when: |answers| answers.is("width_by", "rows"),
        check: check_strips,
        ..PLAIN
    },
    outlets("outlets", 1),
    outlets("outlets_2", 2),
    outlets("outlets_3", 3),
    outlets("outlets_4", 4),
    Question {
        key: "off_centre",
        text: "How far is the drill's middle to the left of the tractor's (minus: to the right)",
        why: "In a curve the outer ground passes faster: where each side lies decides its speed.",
        kind: Kind::Quantity(MIDDLE),
        usual: Usual::Each(["0 m", "0 ft"]),
        check: check_strips,
        ..PLAIN
    },
];

const fn width(key: &'static str, side: u64) -> Question {
    Question {
        key,
        text: "Working width",
        why: "Seed per metre of travel is width times rate: a width that is 1 % off is a rate that is 1 % off.",
        kind: Kind::Quantity(WIDTH),
        usual: Usual::From(if side == 1 { strip::first_width } else { strip::same_width }),
        side,
        when: |answers| answers.is("width_by", "width"),
        check: check_strips,
    }
}

const fn rows(key: &'static str, side: u64) -> Question {
    Question {
        key,
        text: "Rows",
        why: "Rows that the shaft feeds, those that are shut for tramlines included.",
        kind: Kind::Whole(1..=512),
        usual: Usual::From(if side == 1 { strip::first_rows } else { strip::same_rows }),
        side,
        when: |answers| answers.is("width_by", "rows"),
        check: |_| Ok(()),
    }
}

const fn outlets(key: &'static str, side: u64) -> Question {
    Question {
        key,
        text: "Outlets of the meter",
        why: "A catch from some of the outlets is counted up to all; an outlet that is shut takes its share away.",
        kind: Kind::Whole(1..=512),
        usual: Usual::From(match side {
            1 => |answers| strip::outlets(answers, 1),
            2 => |answers| strip::outlets(answers, 2),
            3 => |answers| strip::outlets(answers, 3),
            _ => |answers| strip::outlets(answers, 4),
        }),
        side,
        when: |_| true,
        check: |_| Ok(()),
    }
}

/// Lift and openers.
pub(super) static LIFT: [Question; 4] = [
    Question {
        key: "lift_debounce",
        text: "How long must the lift switch be steady before it is believed",
        why: "A switch bounces as it closes: too short sees two lifts, too long starts late.",
        kind: Kind::Quantity(LIFT_DEBOUNCE),
        usual: Usual::Same("20 ms"),
        ..PLAIN
    },
    Question {
        key: "lowering",
        text: "Way from the switch reading \"in work\" to the openers in the ground",
        why: "Seed before that lies on top. 0 until the flag run has measured it (docs/measuring.md).",
        kind: Kind::Quantity(OPENER_WAY),
        usual: Usual::Each(["0 m", "0 ft"]),
        ..PLAIN
    },
    Question {
        key: "lifting",
        text: "Way from the switch reading \"lifted\" to the openers out of the ground",
        why: "So far there is still a furrow to fill. 0 until the flag run has measured it.",
        kind: Kind::Quantity(OPENER_WAY),
        usual: Usual::Each(["0 m", "0 ft"]),
        ..PLAIN
    },
    Question {
        key: "least_gap",
        text: "Bare ground from which length on is a gap worth noting",
        why: "Gaps that are longer go into the gap log.",
        kind: Kind::Quantity(LEAST_GAP),
        usual: Usual::Each(["0.5 m", "2 ft"]),
        ..PLAIN
    },
];
