//! The live bench's line: every message comes back as it was sent, nothing else is taken for one, and nothing is done twice.

mod any;
mod drill;
mod garbage;
mod round_trip;
mod station;
mod table;

use live_link::{Answer, Collector, MAX_FRAME, Question, Station, StationConfig};

/// The frame of a question.
fn frame(question: Question, number: u16) -> Vec<u8> {
    let mut room = [0; MAX_FRAME];
    question.write(number, &mut room).expect("a frame has room for every question").to_vec()
}

/// What a station answers to bytes, as messages.
fn answers(station: &mut Station, bytes: &[u8]) -> Vec<(u16, Answer)> {
    let mut out = Vec::new();
    for &byte in bytes {
        out.extend(station.take(byte).into_iter().flatten().copied());
    }
    let mut collector = Collector::default();
    let mut answers = Vec::new();
    for byte in out {
        if let Some((header, body)) = collector.take(byte) {
            answers.push((header.number, Answer::read(header.kind, body).expect("an answer")));
        }
    }
    assert_eq!(collector.garbage(), 0, "a station sends frames alone");
    answers
}

/// The one answer to a question.
fn ask(station: &mut Station, question: Question, number: u16) -> Answer {
    match answers(station, &frame(question, number)).as_slice() {
        [(of, answer)] if *of == number => *answer,
        other => panic!("question {number} has one answer, have {other:?}"),
    }
}

/// A station with the settings of a drill of one side.
fn station() -> Station {
    Station::new(StationConfig {
        settings: Some((drill::settings(), drill::FINGERPRINT)),
        build: "test 1",
    })
}
