//! What is written is read.

use super::any::{act, inputs, outputs};
use controller::quantity::Instant;
use live_link::{Answer, Collector, Hello, MAX_FRAME, Question, Reason, Refused, Totals};
use proptest::prelude::*;

/// Sends a question over the line.
fn carried(question: Question, number: u16) -> Option<(u16, Question)> {
    let mut collector = Collector::default();
    let frame = super::frame(question, number);
    let (last, first) = frame.split_last().expect("it has bytes");
    assert!(first.iter().all(|byte| collector.take(*byte).is_none()), "no frame before its end");
    let (header, body) = collector.take(*last)?;
    Some((header.number, Question::read(header.kind, body)?))
}

fn carried_back(answer: Answer, number: u16) -> Option<(u16, Answer)> {
    let mut room = [0; MAX_FRAME];
    let frame = answer.write(number, &mut room).expect("a frame has room for every answer");
    let mut collector = Collector::default();
    let mut have = None;
    for byte in frame {
        if let Some((header, body)) = collector.take(*byte) {
            have = Some((header.number, Answer::read(header.kind, body)?));
        }
    }
    have
}

#[test]
fn a_question_without_a_tick_comes_back() {
    for question in [Question::Hello, Question::Start(0), Question::Start(u32::MAX), Question::End]
    {
        assert_eq!(carried(question, 0xFF00), Some((0xFF00, question)));
    }
}

#[test]
fn an_answer_without_a_tick_comes_back() {
    let reasons = [
        Reason::Version,
        Reason::Unknown,
        Reason::NoSettings,
        Reason::OtherSettings,
        Reason::NotStarted,
        Reason::OutOfOrder,
    ];
    let refusals = reasons.map(|reason| Answer::Refused(Refused { reason, detail: 77 }));
    let hello = Hello { image: 3, fingerprint: Some(0), build: *b"pico 0.1.0\0\0\0\0\0\0" };
    let others = [
        Answer::Hello(hello),
        Answer::Hello(Hello { fingerprint: None, ..hello }),
        Answer::Start(0xDEAD_BEEF),
        Answer::Act(true),
        Answer::Act(false),
        Answer::End(Totals { ticks: 60_000, accounts: [[u64::MAX, 1], [2, 3], [4, 5]] }),
    ];
    for answer in refusals.into_iter().chain(others) {
        assert_eq!(carried_back(answer, 9), Some((9, answer)));
    }
}

proptest! {
    #[test]
    fn inputs_come_back_bit_for_bit(inputs in inputs(), number: u16) {
        let question = Question::Tick(inputs);
        prop_assert_eq!(carried(question, number), Some((number, question)));
    }

    #[test]
    fn outputs_come_back_bit_for_bit(outputs in outputs(), number: u16) {
        let answer = Answer::Tick(outputs);
        prop_assert_eq!(carried_back(answer, number), Some((number, answer)));
    }

    #[test]
    fn an_act_comes_back(act in act(), at: u32, number: u16) {
        let question = Question::Act(act, Instant::from_micros(at));
        prop_assert_eq!(carried(question, number), Some((number, question)));
        prop_assert_eq!(live_link::Operator::of(&act.act()), Some(act));
    }
}
