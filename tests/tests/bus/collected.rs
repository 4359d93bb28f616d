//! What the board keeps between ticks: samples once, levels while they hold.

use crate::{at, frame, hearing};
use controller::Inputs;
use controller::quantity::RadiansPerSecond;
use controller::sense::Direction;
use controller::sense::SpeedReport;
use controller::sense::bus::{Bus, BusInputs, BusState};

/// A bus, its memory and what came.
struct Board(Bus, BusState, BusInputs);

impl Board {
    fn new() -> Self {
        let (bus, state) = hearing();
        Self(bus, state, BusInputs::default())
    }

    fn hear(&mut self, millis: u32, id: u32, bytes: [u8; 8]) {
        let taken = self.0.take(&mut self.1, &frame(id, &bytes), at(millis));
        self.2.put(taken.expect("a message that passes"));
    }

    fn tick(&mut self, millis: u32) -> Inputs {
        let mut inputs = Inputs { now: at(millis), ..Inputs::default() };
        self.2.fill(&mut inputs);
        inputs
    }
}

#[test]
fn a_speed_is_handed_over_once_and_the_direction_holds_for_a_second() {
    let mut board = Board::new();
    board.hear(0, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x00]);
    let first = board.tick(5);
    assert!(matches!(first.speeds.bus_wheel, Some(SpeedReport::Speed(_))), "{first:?}");
    assert_eq!(first.direction, Some(Direction::Reverse));
    let second = board.tick(1_000);
    assert_eq!(second.speeds.bus_wheel, None, "once");
    assert_eq!(second.direction, Some(Direction::Reverse), "a level");
    assert_eq!(board.tick(1_001).direction, None, "not for longer than a second");
}

#[test]
fn a_direction_that_is_no_longer_available_is_forgotten_at_once() {
    let mut board = Board::new();
    board.hear(0, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x00]);
    board.hear(100, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x03]);
    assert_eq!(board.tick(101).direction, None);
}

#[test]
fn the_direction_of_the_wheels_goes_before_that_over_ground() {
    let mut board = Board::new();
    board.hear(0, 0x0CFE_4945, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x01]);
    assert_eq!(board.tick(1).direction, Some(Direction::Forward), "over ground alone");
    board.hear(10, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x00]);
    board.hear(20, 0x0CFE_4945, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x01]);
    assert_eq!(board.tick(21).direction, Some(Direction::Reverse), "the wheels");
}

#[test]
fn a_seat_turned_round_turns_all_three_speeds() {
    let mut board = Board::new();
    board.hear(0, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x40]);
    board.hear(1, 0x0CFE_4945, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x00]);
    board.hear(2, 0x0CF0_2245, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x00]);
    let inputs = board.tick(3);
    let speeds = [inputs.speeds.bus_wheel, inputs.speeds.bus_ground, inputs.speeds.bus_selected];
    for report in speeds {
        let Some(SpeedReport::Speed(sample)) = report else { panic!("{report:?}") };
        assert!(sample.speed.to_bits() > 0, "forward as the operator looks: {report:?}");
    }
    assert_eq!(inputs.direction, Some(Direction::Forward));
}

#[test]
fn a_speed_is_not_hidden_by_a_later_word_that_it_is_not_available() {
    let mut board = Board::new();
    board.hear(0, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x01]);
    board.hear(5, 0x0CFE_4845, [0xFF; 8]);
    let wheel = board.tick(6).speeds.bus_wheel;
    assert!(matches!(wheel, Some(SpeedReport::Speed(_))), "{wheel:?}");
    board.hear(7, 0x0CFE_4845, [0xF4, 0x01, 0, 0, 0, 0, 0xFF, 0x01]);
    board.hear(8, 0x0CFE_4845, [0x00, 0xFE, 0, 0, 0, 0, 0xFF, 0x01]);
    assert_eq!(board.tick(9).speeds.bus_wheel, Some(SpeedReport::Error), "an error is told");
}

#[test]
fn yaw_holds_for_half_a_second_and_what_the_bus_does_not_know_is_left_alone() {
    let mut board = Board::new();
    // 32 113 · 2^-13 − 3.92 rad/s: 0.36 of a step to the left.
    let [low, high] = 32_113_u16.to_le_bytes();
    board.hear(0, 0x18F0_0945, [0xFF, 0xFF, 0xFF, low, high, 0xFF, 0xFF, 0xFF]);
    assert_eq!(board.tick(500).yaw.map(RadiansPerSecond::to_bits), Some(737));
    assert_eq!(board.tick(501).yaw, None);
    let gyro = Some(RadiansPerSecond::from_bits(5));
    let mut inputs = Inputs { now: at(502), yaw: gyro, ..Inputs::default() };
    inputs.direction = Some(Direction::Reverse);
    board.2.fill(&mut inputs);
    assert_eq!((inputs.yaw, inputs.direction), (gyro, Some(Direction::Reverse)), "of the board");
}
