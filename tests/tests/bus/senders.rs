//! Several senders of one quantity, stand-ins, a set address, the other hitch.

use crate::{at, frame, hearing};
use controller::quantity::Micros;
use controller::sense::SpeedReport;
use controller::sense::bus::{Bus, BusConfig, BusInputs, BusState, Channel, Hitch, Senders};

/// Eight bytes of a speed group, forward.
const fn speed(word: u16) -> [u8; 8] {
    let [low, high] = word.to_le_bytes();
    [low, high, 0, 0, 0, 0, 0xFF, 1]
}

/// Eight bytes of a vehicle speed by the wheels.
const fn vehicle(word: u16) -> [u8; 8] {
    let [low, high] = word.to_le_bytes();
    [0xFF, low, high, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF]
}

/// Frames of `(ms, identifier, bytes)` and whether each passes.
fn passes(bus: &Bus, state: &mut BusState, frames: &[(u32, u32, [u8; 8])]) -> Vec<bool> {
    let pass = |(millis, id, bytes): &(u32, u32, [u8; 8])| {
        bus.take(state, &frame(*id, bytes), at(*millis)).is_some()
    };
    frames.iter().map(pass).collect()
}

#[test]
fn a_second_sender_is_passed_over_until_the_first_is_silent() {
    let (bus, mut state) = hearing();
    let frames = [
        (0, 0x0CFE_4801, speed(1_000)),
        (50, 0x0CFE_4802, speed(1_100)),
        (100, 0x0CFE_4801, speed(1_000)),
        (1_100, 0x0CFE_4802, speed(1_100)),
        (1_101, 0x0CFE_4802, speed(1_100)),
        (1_150, 0x0CFE_4801, speed(1_000)),
    ];
    let have = passes(&bus, &mut state, &frames);
    assert_eq!(have, [true, false, true, false, true, false]);
    assert_eq!(state.sender(Channel::Wheel), Some(2));
    assert_eq!(state.counts().passed_over, 3);
}

#[test]
fn vehicle_speed_stands_in_where_no_wheel_based_speed_has_a_value() {
    let (bus, mut state) = hearing();
    let frames = [
        (0, 0x18FE_F101, vehicle(2_304)),
        (10, 0x0CFE_4802, speed(0xFFFF)),
        (20, 0x0CFE_4802, speed(2_400)),
        (30, 0x18FE_F101, vehicle(2_304)),
        (1_000, 0x18FE_F101, vehicle(2_304)),
        (1_021, 0x18FE_F101, vehicle(2_304)),
    ];
    let have = passes(&bus, &mut state, &frames);
    assert_eq!(have, [true, false, true, false, false, true]);
}

#[test]
fn over_ground_the_radar_comes_first_then_the_receiver_then_navigation() {
    let (bus, mut state) = hearing();
    let fix = [0xFF, 0xFC, 0xCA, 0x30, 0x64, 0x00, 0xFF, 0xFF];
    let navigation = [0xFF, 0xFF, 0x00, 0x09, 0xFF, 0xFF, 0xFF, 0xFF];
    let mut collected = BusInputs::default();
    let mut heard = |millis: u32, id: u32, bytes: [u8; 8]| {
        if let Some(message) = bus.take(&mut state, &frame(id, &bytes), at(millis)) {
            collected.put(message);
        }
        let course = collected.course.take().is_some();
        let speed = collected.take_speeds().bus_ground.and_then(|report| match report {
            SpeedReport::Speed(it) => Some(i64::from(it.speed.to_bits()) * 1_000 / (1 << 20)),
            SpeedReport::NotAvailable | SpeedReport::Error | SpeedReport::OutOfRange => None,
        });
        (speed, course)
    };
    assert_eq!(heard(0, 0x18FE_E81C, navigation), (Some(2_500), false), "navigation alone");
    assert_eq!(heard(10, 0x09F8_021C, fix), (Some(1_000), true), "the receiver takes over");
    assert_eq!(heard(20, 0x18FE_E81C, navigation), (None, false), "navigation no more");
    assert_eq!(heard(30, 0x0CFE_4945, speed(1_500)), (Some(1_500), false), "the radar takes over");
    assert_eq!(heard(40, 0x09F8_021C, fix), (None, true), "of the receiver the course is left");
}

#[test]
fn an_address_that_the_person_set_is_the_only_one_heard() {
    let senders = Senders { wheel: Some(2), ..Senders::default() };
    let bus = Bus::new(BusConfig { senders, ..BusConfig::default() });
    let mut state = BusState::default();
    let frames = [
        (0, 0x0CFE_4801, speed(1_000)),
        (10, 0x0CFE_4802, speed(0xFE00)),
        (20, 0x0CFE_4801, speed(1_000)),
        (5_000, 0x0CFE_4801, speed(1_000)),
        (5_010, 0x0CFE_4901, speed(1_000)),
    ];
    let have = passes(&bus, &mut state, &frames);
    assert_eq!(
        have,
        [false, true, false, false, true],
        "the ground-based speed has no address set"
    );
}

#[test]
fn the_hitch_that_the_drill_does_not_hang_on_is_passed_over() {
    let lowered = [25, 0b0111_1111, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF];
    for (hitch, want) in [(Hitch::Rear, [true, false]), (Hitch::Front, [false, true])] {
        let bus = Bus::new(BusConfig { hitch, ..BusConfig::default() });
        let mut state = BusState::default();
        let frames = [(0, 0x0CFE_4545, lowered), (10, 0x0CFE_4645, lowered)];
        assert_eq!(passes(&bus, &mut state, &frames), want, "{hitch:?}");
    }
}

#[test]
fn a_sample_is_older_than_its_frame_by_the_latency() {
    let bus = Bus::new(BusConfig { latency: Micros::from_millis(80), ..BusConfig::default() });
    let mut state = BusState::default();
    let mut collected = BusInputs::default();
    let taken = bus.take(&mut state, &frame(0x0CFE_4845, &speed(1_000)), at(1_000));
    collected.put(taken.expect("a message"));
    let Some(SpeedReport::Speed(sample)) = collected.bus_wheel else { panic!("a speed") };
    assert_eq!(sample.at, at(920));
}
