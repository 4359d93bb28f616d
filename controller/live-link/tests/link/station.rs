//! What the board's side does with questions in and out of their order.

use super::{answers, ask, drill, frame, station};
use controller::quantity::{Instant, Micros};
use controller::seed::Product;
use controller::sense::Pulses;
use controller::{Controller, Inputs, Outputs};
use live_link::{
    Answer, Collector, Header, MAX_FRAME, Operator, Question, Reason, Refused, Station,
    StationConfig, Totals, VERSION, write,
};

const START: Question = Question::Start(drill::FINGERPRINT);

/// Inputs of a drill that sows at 2 m/s: 2.6 ground pulses in a tick, 100 edges of a shaft in a second.
fn inputs(tick: u16) -> Inputs {
    let tick = u32::from(tick);
    let now = Instant::from_micros(0xFFFF_0000).plus(Micros::from_millis(10 * tick));
    let mut inputs = Inputs { now, lift: true, master: tick > 0, ..Inputs::default() };
    inputs.ground = Pulses { count: tick * 26 / 10, edge_at: now };
    for side in &mut inputs.sides {
        side.switch = true;
        side.shaft = Pulses { count: tick, edge_at: now };
    }
    inputs
}

const fn refusal(reason: Reason, detail: u32) -> Answer {
    Answer::Refused(Refused { reason, detail })
}

fn ticked(answer: Answer) -> Outputs {
    let Answer::Tick(outputs) = answer else { panic!("a tick was asked for, have {answer:?}") };
    outputs
}

#[test]
fn a_run_gives_what_the_controller_gives() {
    let (mut station, mut core) = (station(), Controller::new(drill::settings()));
    assert_eq!(ask(&mut station, START, 7), Answer::Start(drill::FINGERPRINT));
    let mut driven = 0;
    for tick in 0..500 {
        let have = ticked(ask(&mut station, Question::Tick(inputs(tick)), 8 + 2 * tick));
        let want = core.tick(&inputs(tick));
        assert_eq!(have, want, "tick {tick}");
        driven += u32::from(!want.at_rest());
        let rate = Operator::Rate(Product::First, u32::from(9_000 + tick) << 16);
        let question = Question::Act(rate, inputs(tick).now);
        assert_eq!(ask(&mut station, question, 9 + 2 * tick), Answer::Act(true));
        core.act(rate.act(), inputs(tick).now).expect("a rate that can be set");
    }
    assert!(driven > 400, "oil was asked for in {driven} ticks");
    let (all, first) = (core.account(), core.account_of(Product::First));
    let counted = |account: controller::tally::Account| [account.area_mm2, account.mass_ug];
    let totals = Totals { ticks: 500, accounts: [counted(all), counted(first), [0, 0]] };
    assert_eq!(ask(&mut station, Question::End, 1_008), Answer::End(totals));
}

#[test]
fn a_question_that_comes_again_is_not_done_again() {
    let mut station = station();
    ask(&mut station, START, u16::MAX);
    let first = ask(&mut station, Question::Tick(inputs(0)), 0);
    for _ in 0..3 {
        assert_eq!(ask(&mut station, Question::Tick(inputs(0)), 0), first);
    }
    // A refusal in between takes nothing away.
    assert_eq!(ask(&mut station, Question::End, 9), refusal(Reason::OutOfOrder, 1));
    assert_eq!(ask(&mut station, Question::Tick(inputs(0)), 0), first);
    let Answer::End(totals) = ask(&mut station, Question::End, 1) else { panic!("an end") };
    assert_eq!(totals.ticks, 1, "ticks that were done");
    let again = ask(&mut station, Question::End, 1);
    assert_eq!(again, Answer::End(totals), "the end as well may be lost on its way");
}

#[test]
fn a_tick_out_of_its_turn_is_refused() {
    let mut station = station();
    ask(&mut station, START, 40);
    for number in [40, 42, 39, 0, u16::MAX] {
        let answer = ask(&mut station, Question::Tick(inputs(0)), number);
        assert_eq!(answer, refusal(Reason::OutOfOrder, 41), "number {number}");
    }
    ticked(ask(&mut station, Question::Tick(inputs(0)), 41));
}

#[test]
fn nothing_runs_before_a_start_nor_after_an_end() {
    let mut station = station();
    let tick = Question::Tick(inputs(0));
    for question in
        [tick, Question::Act(Operator::SpeedByHand(0), Instant::default()), Question::End]
    {
        assert_eq!(ask(&mut station, question, 0), refusal(Reason::NotStarted, 0));
    }
    ask(&mut station, START, 0);
    ask(&mut station, Question::End, 1);
    assert_eq!(ask(&mut station, tick, 2), refusal(Reason::NotStarted, 0));
    ask(&mut station, START, 3);
    ask(&mut station, Question::Hello, 4);
    assert_eq!(ask(&mut station, tick, 5), refusal(Reason::NotStarted, 0), "a hello drops the run");
}

#[test]
fn a_start_makes_the_controller_afresh() {
    let mut station = station();
    let run = |station: &mut Station, first: u16| {
        ask(station, START, first);
        let numbers = (0..300).map(|tick| (tick, first.wrapping_add(1 + tick)));
        let ticks =
            numbers.map(|(tick, number)| ask(station, Question::Tick(inputs(tick)), number));
        ticks.map(ticked).collect::<Vec<_>>()
    };
    assert_eq!(run(&mut station, 0), run(&mut station, 5_000));
}

#[test]
fn other_settings_start_nothing() {
    let mut station = station();
    let answer = ask(&mut station, Question::Start(1), 0);
    assert_eq!(answer, refusal(Reason::OtherSettings, drill::FINGERPRINT));
    assert_eq!(ask(&mut station, Question::Tick(inputs(0)), 1), refusal(Reason::NotStarted, 0));
    let mut bare =
        Station::new(StationConfig { settings: None, build: "a name of more than sixteen" });
    assert_eq!(ask(&mut bare, START, 0), refusal(Reason::NoSettings, 0));
    let Answer::Hello(hello) = ask(&mut bare, Question::Hello, 0) else { panic!("a hello") };
    assert_eq!((hello.fingerprint, &hello.build), (None, b"a name of more t"));
}

#[test]
fn another_version_is_told_and_nothing_done() {
    let mut station = station();
    let header = Header { version: VERSION + 1, kind: 2, number: 3 };
    let mut room = [0; MAX_FRAME];
    let body = |room: &mut [u8]| {
        room[..4].copy_from_slice(&drill::FINGERPRINT.to_le_bytes());
        Some(4)
    };
    let frame = write(header, body, &mut room).expect("a frame").to_vec();
    let have = answers(&mut station, &frame);
    assert_eq!(have, [(3, refusal(Reason::Version, u32::from(VERSION)))]);
    assert_eq!(ask(&mut station, Question::Tick(inputs(0)), 4), refusal(Reason::NotStarted, 0));
}

#[test]
fn a_body_that_is_too_long_or_too_short_or_of_no_kind_is_refused() {
    for (kind, length) in
        [(1, 1), (2, 3), (2, 5), (3, 0), (4, 140), (4, 142), (6, 0), (0, 0), (255, 5)]
    {
        let mut room = [0; MAX_FRAME];
        let frame =
            write(Header::new(kind, 0), |_| Some(length), &mut room).expect("a frame").to_vec();
        let have = answers(&mut station(), &frame);
        assert_eq!(have, [(0, refusal(Reason::Unknown, 0))], "kind {kind}, {length} bytes");
    }
}

#[test]
fn zeros_alone_say_nothing() {
    let mut collector = Collector::default();
    assert!((0..1_000).all(|_| collector.take(0).is_none()));
    assert_eq!(collector.garbage(), 0);
    assert!(answers(&mut station(), &[0; 100]).is_empty());
    assert_eq!(frame(Question::Hello, 0).first(), Some(&0), "a frame begins with a zero");
}
