//! The questions, part by part, in the order they are asked.

mod drill;
mod drive;
mod ground;
mod limits;
mod oil;
mod seed;
mod trial;

use super::drawing;
use super::question::Part;

/// The parts of the interview.
pub static PARTS: [Part; 9] = [
    Part { title: "The drill", drawing: drawing::DRILL, questions: &drill::DRILL },
    Part { title: "Lift and openers", drawing: drawing::LIFT, questions: &drill::LIFT },
    Part { title: "Ground speed", drawing: drawing::GROUND, questions: &ground::GROUND },
    Part { title: "The seed's way", drawing: drawing::DELIVERY, questions: &ground::DELIVERY },
    Part { title: "Seed and meter", drawing: drawing::METER, questions: &seed::SEED },
    Part { title: "Shaft sensor", drawing: drawing::ENCODER, questions: &seed::ENCODER },
    Part { title: "The oil side", drawing: drawing::OIL, questions: &oil::OIL },
    Part { title: "Valve and motor", drawing: drawing::VALVE, questions: &drive::DRIVE },
    Part { title: "Trial run and limits", drawing: drawing::TRIAL, questions: &trial::TRIAL },
];
