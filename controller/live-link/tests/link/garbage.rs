//! What is not a whole frame is dropped, and the next frame is understood.

use super::{answers, ask, drill, frame, station};
use controller::Inputs;
use live_link::{Answer, MAX_FRAME, Question, Station, Totals};
use proptest::prelude::*;

const START: Question = Question::Start(drill::FINGERPRINT);

/// A tick that has no special values.
fn tick() -> Question {
    let mut inputs = Inputs { lift: true, master: true, ..Inputs::default() };
    inputs.ground.count = 0x0102_0300;
    Question::Tick(inputs)
}

/// Ticks that were done, asked by ending the run.
fn ticks(station: &mut Station, number: u16) -> u32 {
    match ask(station, Question::End, number) {
        Answer::End(Totals { ticks, .. }) => ticks,
        other => panic!("an end was asked for, have {other:?}"),
    }
}

/// A started station gets `before`, then a tick: the tick is the only thing that is answered and done.
fn only_the_tick_is_done(before: &[u8]) {
    let mut station = station();
    ask(&mut station, START, 0);
    let have = answers(&mut station, &[before, &frame(tick(), 1)].concat());
    assert!(matches!(have.as_slice(), [(1, Answer::Tick(_))]), "{have:?} after {before:?}");
    assert_eq!(ticks(&mut station, 2), 1, "after {before:?}");
}

#[test]
fn every_flipped_bit_is_refused() {
    for whole in [frame(tick(), 1), frame(START, 1), frame(Question::End, 1)] {
        for place in 0..whole.len() * 8 {
            let mut flipped = whole.clone();
            flipped[place / 8] ^= 1 << (place % 8);
            only_the_tick_is_done(&flipped);
        }
    }
}

#[test]
fn every_cut_is_refused() {
    let whole = frame(tick(), 1);
    let last = whole.len() - 1;
    for from in 0..=last {
        for to in from..=last {
            // What lies between the zeros is the frame: the zeros before and behind may be those of others.
            if from > 1 || to < last {
                only_the_tick_is_done(&whole[from..to]);
            }
        }
    }
}

#[test]
fn a_byte_lost_or_doubled_is_refused() {
    let whole = frame(tick(), 1);
    for place in 1..whole.len() - 1 {
        let (before, after) = whole.split_at(place);
        only_the_tick_is_done(&[before, &after[1..]].concat());
        if before[place - 1] != after[0] {
            only_the_tick_is_done(&[before, &after[..1], after].concat());
        }
    }
}

#[test]
fn a_flood_without_a_zero_is_dropped() {
    for length in [MAX_FRAME - 1, MAX_FRAME, MAX_FRAME + 1, 10_000] {
        only_the_tick_is_done(&vec![0x55; length]);
    }
}

#[test]
fn text_of_a_start_line_is_dropped() {
    only_the_tick_is_done(b"start live fingerprint=XX39-A7EE version=0.1.0\r\n");
}

proptest! {
    #[test]
    fn any_garbage_is_dropped(garbage: Vec<u8>) {
        only_the_tick_is_done(&garbage);
    }
}
