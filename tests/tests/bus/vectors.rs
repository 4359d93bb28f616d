//! Published bytes and layouts: isobus.net data dictionary (speed groups, hitch), canboat tests (129026).

use crate::message;
use controller::quantity::{Course, Instant, MetresPerSecond};
use controller::sense::bus::{Distance, Message, Reading};
use controller::sense::{Direction, SpeedReport, SpeedSample};

const fn mps(millimetres: u32) -> MetresPerSecond {
    MetresPerSecond::from_millimetres(millimetres)
}

fn forward(millimetres: u32) -> SpeedReport {
    SpeedReport::Speed(SpeedSample { speed: mps(millimetres), at: Instant::default() })
}

fn backwards(millimetres: u32) -> SpeedReport {
    let speed = MetresPerSecond::ZERO.saturating_sub(mps(millimetres));
    SpeedReport::Speed(SpeedSample { speed, at: Instant::default() })
}

/// Bytes assembled from the layout at beta.isobus.net/isobus/pGNAndSPN/2549 (PG 61474).
#[test]
fn machine_selected_speed_is_read_from_its_bytes() {
    let bytes = [0xE8, 0x03, 0x40, 0xE2, 0x01, 0x00, 0xCF, 0x69];
    let Message::Selected(have) = message(0x0CF0_2245, bytes) else { panic!("61474") };
    assert_eq!(have.speed, Reading::Value(mps(1_000)));
    assert_eq!(have.distance, Reading::Value(Distance::from_millimetres(123_456)));
    assert_eq!((have.exit, have.source, have.limit), three(15, 2, 3));
    assert_eq!(have.direction, Reading::Value(Direction::Forward));
    assert_eq!(have.report(), forward(1_000));
}

const fn three(exit: u8, source: u8, limit: u8) -> (Reading<u8>, Reading<u8>, Reading<u8>) {
    (Reading::Value(exit), Reading::Value(source), Reading::Value(limit))
}

/// Bytes assembled from the layout at isobus.net/isobus/pGNAndSPN/15578 (PG 65096).
#[test]
fn wheel_based_speed_backwards_is_negative() {
    let bytes = [0x94, 0x26, 0x88, 0x13, 0x00, 0x00, 0x03, 0x14];
    let Message::Wheel(have) = message(0x0CFE_4845, bytes) else { panic!("65096") };
    assert_eq!(have.speed, Reading::Value(mps(9_876)), "the word itself has no sign");
    assert_eq!(have.distance, Reading::Value(Distance::from_millimetres(5_000)));
    assert_eq!(have.power_minutes, Reading::Value(3));
    assert_eq!(have.direction, Reading::Value(Direction::Reverse));
    assert_eq!(have.key_switch, Reading::Value(true));
    assert_eq!(have.operations, Reading::Value(true));
    assert_eq!(have.reversed, Reading::Value(false));
    assert_eq!(have.report(), backwards(9_876));
}

/// Bytes assembled from the layout at isobus.net/isobus/pGNAndSPN/13578 (PG 65097); of byte 8 only bits 1 and 2 are
/// used, so every other bit may be anything.
#[test]
fn ground_based_speed_needs_two_bits_of_byte_8_only() {
    for upper in 0..64_u8 {
        let bytes = [0x0F, 0x27, 0x80, 0x38, 0x01, 0x00, 0xFF, upper << 2 | 1];
        let Message::Ground(have) = message(0x0CFE_4945, bytes) else { panic!("65097") };
        assert_eq!(have.speed, Reading::Value(mps(9_999)));
        assert_eq!(have.distance, Reading::Value(Distance::from_millimetres(80_000)));
        assert_eq!(have.direction, Reading::Value(Direction::Forward));
        assert_eq!(have.report(), forward(9_999));
    }
}

/// States of the direction (SPN 4309, isobus.net) and of the operator's seat (SPN 5244).
#[test]
fn the_seat_turns_the_direction_round_and_an_unknown_one_is_forward() {
    for (states, want) in [
        (0b0000_0001, forward(500)),
        (0b0000_0000, backwards(500)),
        (0b0000_0010, forward(500)),
        (0b0000_0011, forward(500)),
        (0b0100_0001, backwards(500)),
        (0b0100_0000, forward(500)),
        (0b0100_0011, forward(500)),
        (0b1000_0000, backwards(500)),
        (0b1100_0000, backwards(500)),
    ] {
        let bytes = [0xF4, 0x01, 0, 0, 0, 0, 0xFF, states];
        let Message::Wheel(have) = message(0x0CFE_4845, bytes) else { panic!("65096") };
        assert_eq!(have.report(), want, "byte 8 is {states:08b}");
    }
}

/// Frames of the canboat repository's tests (129026): course, reference, speed.
#[test]
fn course_and_speed_over_ground_are_those_of_the_published_frames() {
    let read = |bytes| match message(0x09F8_0223, bytes) {
        Message::CourseAndSpeed(have) => have,
        other => panic!("129026 became {other:?}"),
    };
    for (bytes, rad, millimetres) in [
        ([0xFF, 0xFC, 0xCA, 0x30, 0x01, 0x00, 0xFF, 0xFF], 1.249_0, 10),
        ([0xFF, 0xFC, 0xA6, 0x54, 0x00, 0x00, 0xFF, 0xFF], 2.167_0, 0),
    ] {
        let have = read(bytes);
        let course = have.course.value().map_or(f64::NAN, turns) * core::f64::consts::TAU;
        assert!((course - rad).abs() < 2e-9, "course: want {rad} rad, have {course}");
        assert_eq!(have.speed, Reading::Value(mps(millimetres)));
        assert_eq!(have.true_north, Reading::Value(true));
    }
    let nothing = read([0xFF, 0xFC, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF]);
    assert_eq!((nothing.course, nothing.speed), (Reading::NotAvailable, Reading::NotAvailable));
    assert_eq!(nothing.sample(), None, "nothing known is no course");
    assert_eq!(nothing.report(), SpeedReport::NotAvailable);
}

fn turns(course: Course) -> f64 {
    f64::from(course.to_bits()) / 4_294_967_296.0
}

/// 1/256 km/h a bit (SPN 84 and 517); the bytes of SPN 84 are from memory.
#[test]
fn vehicle_speeds_are_in_256ths_of_a_kilometre_an_hour() {
    // 9.0 km/h is 2304 = 0x0900 and 2.5 m/s.
    let Message::VehicleWheel(wheel) = message(0x18FE_F117, [0xFF, 0x00, 0x09, 0xFF, 0, 0, 0, 0])
    else {
        panic!("65265")
    };
    assert_eq!(wheel.report(), forward(2_500));
    let Message::VehicleNavigation(over) =
        message(0x18FE_E817, [0xFF, 0xFF, 0x00, 0x09, 0xFF, 0xFF, 0xFF, 0xFF])
    else {
        panic!("65256")
    };
    assert_eq!(over.report(), forward(2_500));
    // The largest word: 64 255 / 921.6 m/s, to half a step of 2^-20.
    let bytes = [0, 0xFF, 0xFA, 0, 0, 0, 0, 0];
    let Message::VehicleWheel(most) = message(0x18FE_F117, bytes) else { panic!("65265") };
    let have = f64::from(most.speed.value().expect("a value").to_bits()) / 1_048_576.0;
    assert!((have - 64_255.0 / 921.6).abs() <= 0.5 / 1_048_576.0, "{have} m/s");
}

/// Layouts at beta.isobus.net/isobus/pGNAndSPN/15563 and 15566; states of SPN 1876.
#[test]
fn both_hitches_say_where_they_are_and_whether_they_work() {
    for (code, want) in [
        (0, Reading::Value(false)),
        (1, Reading::Value(true)),
        (2, Reading::Error),
        (3, Reading::NotAvailable),
    ] {
        // Position 40 %, limit 1, exit code 3.
        let bytes = [100, code << 6 | 1 << 3, 0xFF, 0xFF, 0xFF, 0b1100_0011, 0xFF, 0xFF];
        let (rear, front) = (message(0x0CFE_4545, bytes), message(0x0CFE_4645, bytes));
        let (Message::RearHitch(rear), Message::FrontHitch(front)) = (rear, front) else {
            panic!("65093 became {rear:?}, 65094 {front:?}")
        };
        assert_eq!(rear, front, "the same layout");
        assert_eq!((rear.position, rear.limit, rear.exit), three(100, 1, 3));
        assert_eq!(rear.in_work, want, "code {code}");
        assert_eq!(rear.sample().map(|it| it.in_work), want.value(), "code {code}");
    }
}
