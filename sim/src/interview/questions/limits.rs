//! Questions about the limits of a working day.

use super::super::answers::Answers;
use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual};
use super::super::worked;
use super::trial::faster;
use crate::scenario::read::ranges::{BAND, CORRECTION, RAISED, ROAD, START, WAY};

/// Whether the limits are set by hand.
fn set(answers: &Answers) -> bool {
    answers.is("limits", "yes")
}

pub(super) const START_SPEED: Question = Question {
    key: "start_speed",
    text: "A start by hand meters as at this ground speed (0 for none)",
    why: "So that seed lies from the first metre: a person starts it at the row's begin, before the drill moves.",
    kind: Kind::Quantity(START),
    usual: Usual::Each(["0 m/s", "0 mph"]),
    when: set,
    check: |answers| {
        let none = answers.number("start_speed") == 0.0;
        if none { Ok(()) } else { faster(answers, "start_speed", "lowest_speed") }
    },
    ..PLAIN
};

pub(super) const ROAD_SPEED: Question = Question {
    key: "road_speed",
    text: "Faster than this disarms: it is the road",
    why: "On the road a switch that is touched must not start a shaft.",
    kind: Kind::Quantity(ROAD),
    usual: Usual::Each(["16 m/s", "35 mph"]),
    when: set,
    check: |answers| faster(answers, "road_speed", "fast_speed"),
    ..PLAIN
};

pub(super) const RAISED_FOR: Question = Question {
    key: "raised_for",
    text: "Lifted for longer than this disarms",
    why: "Ten minutes suit most headlands (common practice).",
    kind: Kind::Quantity(RAISED),
    usual: Usual::Same("10 min"),
    when: set,
    check: worked::check_raised,
    ..PLAIN
};

pub(super) const CORRECTION_TOLD: Question = Question {
    key: "correction_told",
    text: "Tell when the valve must open further than its map says by more than",
    why: "A drive that weakens (oil, wear, a leak) is told before it fails.",
    kind: Kind::Quantity(CORRECTION),
    usual: Usual::Same("30 %"),
    when: set,
    ..PLAIN
};

pub(super) const CORRECTION_LIMIT: Question = Question {
    key: "correction_limit",
    text: "Correct the map by no more than",
    why: "Beyond it the map is wrong, and a wrong map is not to be hidden.",
    kind: Kind::Quantity(CORRECTION),
    usual: Usual::From(|answers| {
        if answers.number("correction_told") > 0.8 { "100 %" } else { "80 %" }.to_owned()
    }),
    when: set,
    check: |answers| {
        let (limit, told) = (answers.number("correction_limit"), answers.number("correction_told"));
        if limit >= told {
            return Ok(());
        }
        let what = format!("{:?} is below correction_told", answers.text("correction_limit"));
        Err((what, format!("name {} or more", answers.text("correction_told"))))
    },
    ..PLAIN
};

pub(super) const RATE_BAND: Question = Question {
    key: "rate_band",
    text: "Tell a rate that is off by more than",
    why: "Together with the way that follows: short dips are no news.",
    kind: Kind::Quantity(BAND),
    usual: Usual::Same("10 %"),
    when: set,
    ..PLAIN
};

pub(super) const RATE_WAY: Question = Question {
    key: "rate_way",
    text: "... for longer than this way",
    why: "At 2 m/s a way of 20 m takes ten seconds.",
    kind: Kind::Quantity(WAY),
    usual: Usual::Each(["20 m", "65 ft"]),
    when: set,
    ..PLAIN
};
