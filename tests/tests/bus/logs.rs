//! Recorded buses of real tractors and trucks, read in place through `METERWRIGHT_TRACKS`.

use controller::quantity::{Instant, Micros};
use controller::sense::bus::{
    Bus, BusConfig, BusInputs, BusState, Channel, Identifier, Message, Reading,
};
use controller::sense::{GroundStatus, Sampled, SpeedReport, SpeedSource};
use controller::{Controller, Inputs, Settings};
use embedded_can::{Frame as _, Id};
use sim::input::InputFile;
use sim::profile::candump::{self, Logged};
use std::collections::BTreeMap;

/// The frames of a recorded log; none where the recordings are not there.
fn recorded(name: &str) -> Option<Vec<Logged>> {
    let file = tests::track(name)?.with_extension("log");
    let file = InputFile::read(&file).unwrap_or_else(|error| panic!("{error}"));
    Some(candump::frames(&file).unwrap_or_else(|error| panic!("{error}")))
}

/// The clock's reading at `t_s`, which wraps within the log.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "seconds of a log")]
fn clock(t_s: f64) -> Instant {
    Instant::from_micros(u32::MAX - 5_000_000).plus(Micros::new((t_s * 1e6).round() as u32))
}

/// The message of a frame, whoever sent it, and its sender.
fn opened(logged: &Logged) -> Option<(u8, Message)> {
    let Id::Extended(id) = logged.frame.id() else { return None };
    let identifier = Identifier::of(id.as_raw());
    let bytes = logged.frame.data().try_into().ok()?;
    Some((identifier.sender, Message::read(identifier, bytes, clock(logged.t_s))?))
}

#[test]
fn a_ground_speed_of_all_ones_is_not_available_and_not_zero() {
    let Some(frames) = recorded("bus-keyoff") else { return };
    let ground: Vec<Message> = frames
        .iter()
        .filter_map(opened)
        .map(|(_, message)| message)
        .filter(|message| matches!(message, Message::Ground(_)))
        .collect();
    assert_eq!(ground.len(), 242, "messages of group 65097");
    for message in ground {
        let Message::Ground(it) = message else { panic!("filtered") };
        assert_eq!(it.report(), SpeedReport::NotAvailable);
        assert_eq!(it.distance, Reading::NotAvailable);
        assert_eq!(it.direction, Reading::NotAvailable);
    }
}

#[test]
fn the_sender_of_the_speeds_falls_silent_at_25_s_while_the_engine_goes_on() {
    let Some(frames) = recorded("bus-keyoff") else { return };
    let (bus, mut state) = (Bus::new(BusConfig::default()), BusState::default());
    let (mut last_s, mut engine) = (0.0, 0);
    for logged in &frames {
        if bus.take(&mut state, &logged.frame, clock(logged.t_s)).is_some() {
            (last_s, engine) = (logged.t_s, 0);
        }
        // Electronic engine controller 1 (61444) from address 0.
        engine += u32::from(logged.to_string().contains("0CF00400#"));
    }
    assert!((last_s - 25.443_f64).abs() < 1e-9, "last speed message at {last_s} s");
    let end_s = frames.last().map_or(0.0, |last| last.t_s);
    assert!(end_s - last_s > 18.0, "the log ends at {end_s} s");
    assert!(engine > 900, "{engine} frames of the engine after the last speed");
    assert_eq!(state.sender(Channel::Wheel), Some(0x47));
    assert_eq!(state.sender(Channel::Ground), None, "not available is not kept");
}

/// The controller's ground sense on the recorded wheel-based speed, with a limit of 0.5 s.
#[test]
fn a_source_is_lost_when_its_limit_has_passed_after_the_last_message() {
    let Some(frames) = recorded("bus-keyoff") else { return };
    let lost_s = lost(&frames);
    assert!((25.943..25.963).contains(&lost_s), "lost at {lost_s} s; 25.443 s + 0.5 s + a tick");
}

/// When the wheel-based source is lost for good, s.
fn lost(frames: &[Logged]) -> f64 {
    let mut controller = by_wheel();
    let (bus, mut state) = (Bus::new(BusConfig::default()), BusState::default());
    let mut collected = BusInputs::default();
    let mut coming = frames.iter().peekable();
    let mut since_s = None;
    for tick in 0..4_400 {
        let t_s = f64::from(tick) * 0.01;
        while let Some(logged) = coming.next_if(|logged| logged.t_s <= t_s) {
            let taken = bus.take(&mut state, &logged.frame, clock(logged.t_s));
            if let Some(message) = taken {
                collected.put(message);
            }
        }
        let mut inputs = Inputs { now: clock(t_s), ..Inputs::default() };
        collected.fill(&mut inputs);
        let lost = controller.tick(&inputs).ground == GroundStatus::Lost;
        since_s = if lost { since_s.or(Some(t_s)) } else { None };
    }
    since_s.expect("lost at the end")
}

/// A controller that knows the ground by the wheel-based speed of the bus alone, with a limit of 0.5 s.
fn by_wheel() -> Controller {
    let mut config = sim::bench::settings(&tests::demo_scenario("ramp-0.5-pulses"));
    config.sources.clear();
    let limit = Micros::from_millis(500);
    let source = SpeedSource::Samples { from: Sampled::BusWheel, limit };
    assert!(config.sources.push(source).is_ok(), "room for a source");
    Controller::new(Settings::new(&config).expect("right settings"))
}

#[test]
fn exactly_one_of_four_senders_says_error_and_another_is_kept() {
    let Some(frames) = recorded("bus-error-code") else { return };
    let mut errors: BTreeMap<u8, (usize, f64)> = BTreeMap::new();
    let mut senders: BTreeMap<u8, usize> = BTreeMap::new();
    for logged in &frames {
        let Some((sender, Message::VehicleWheel(it))) = opened(logged) else {
            panic!("{logged} is no vehicle speed")
        };
        *senders.entry(sender).or_default() += 1;
        match it.report() {
            SpeedReport::Error => errors.entry(sender).or_insert((0, logged.t_s)).0 += 1,
            SpeedReport::Speed(sample) => assert_eq!(sample.speed.to_bits(), 0, "it stands"),
            other => panic!("{logged} says {other:?}"),
        }
    }
    assert_eq!(
        senders.into_iter().collect::<Vec<_>>(),
        [(0x00, 246), (0x17, 254), (0x21, 249), (0x31, 249)]
    );
    assert_eq!(errors.into_iter().collect::<Vec<_>>(), [(0x00, (203, 9.774_341))]);
}

/// Takes the log, less the frames of the senders in `without`; who was kept when, and the errors that passed.
fn kept(frames: &[Logged], without: &[u8]) -> (Vec<(f64, u8)>, usize) {
    let (bus, mut state) = (Bus::new(BusConfig::default()), BusState::default());
    let (mut kept, mut errors): (Vec<(f64, u8)>, usize) = (Vec::new(), 0);
    for logged in frames {
        let Some((sender, _)) = opened(logged) else { continue };
        if without.contains(&sender) {
            continue;
        }
        let taken = bus.take(&mut state, &logged.frame, clock(logged.t_s));
        let Some(Message::VehicleWheel(it)) = taken else { continue };
        match it.report() {
            SpeedReport::Speed(_) if kept.last().is_none_or(|last| last.1 != sender) => {
                kept.push((logged.t_s, sender));
            }
            SpeedReport::Error => errors += 1,
            _ => {}
        }
    }
    (kept, errors)
}

#[test]
fn the_first_sender_with_a_value_is_kept_and_the_erring_one_never_heard() {
    let Some(frames) = recorded("bus-error-code") else { return };
    assert_eq!(kept(&frames, &[]), (vec![(4.343_782, 0x17)], 0));
}

#[test]
fn a_kept_sender_that_errs_is_heard_once_and_replaced_within_a_message() {
    let Some(frames) = recorded("bus-error-code") else { return };
    // The log from the instant on at which the later erring sender is the first.
    let from = frames.iter().position(|it| opened(it).is_some_and(|(sender, _)| sender == 0x00));
    let (kept, errors) = kept(&frames[from.expect("it sends")..], &[]);
    assert_eq!(errors, 1, "one error passes");
    let senders: Vec<u8> = kept.iter().map(|(_, sender)| *sender).collect();
    assert_eq!(senders[0], 0x00, "the first with a value");
    assert_eq!(senders.len(), 2, "then one other, for good: {kept:?}");
    let replaced_s = kept[1].0 - 9.774_341;
    assert!((0.0..=0.101).contains(&replaced_s), "replaced after {replaced_s} s");
}

#[test]
fn an_erring_sender_alone_is_an_error_and_never_a_speed() {
    let Some(frames) = recorded("bus-error-code") else { return };
    let (kept, errors) = kept(&frames, &[0x17, 0x21, 0x31]);
    assert_eq!(kept.len(), 1, "its values before the error");
    assert_eq!(errors, 203, "every one of its errors passes");
}
