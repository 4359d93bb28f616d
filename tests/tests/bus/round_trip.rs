//! What the bench's tractor sends is what the controller reads, to a step of the words; and the demo log is its own.

use crate::at;
use controller::Inputs;
use controller::sense::bus::{
    Bus, BusConfig, BusInputs, BusState, Distance, Identifier, Message, Reading,
};
use controller::sense::{Direction, SpeedReport};
use embedded_can::{Frame as _, Id};
use proptest::prelude::*;
use sim::machine::bus::{BusMoment, BusSender, BusSenderConfig, Said, Sends, demo_log};
use sim::profile::candump;

/// A sender of every group.
fn sender(odometer_m: f64) -> BusSender {
    let sends = vec![Sends::Wheel, Sends::Ground, Sends::Selected, Sends::Hitch, Sends::Yaw];
    BusSender::new(BusSenderConfig { address: 0x21, sends, odometer_m, ..Default::default() })
}

/// A round of the bench in the controller's inputs.
fn heard(moment: BusMoment) -> Inputs {
    let (bus, mut state) = (Bus::new(BusConfig::default()), BusState::default());
    let mut collected = BusInputs::default();
    for frame in sender(0.0).step(moment) {
        collected.put(bus.take(&mut state, &frame, at(0)).expect("every frame is one of ours"));
    }
    let mut inputs = Inputs { now: at(1), ..Inputs::default() };
    collected.fill(&mut inputs);
    inputs
}

fn mps(report: Option<SpeedReport>) -> f64 {
    match report {
        Some(SpeedReport::Speed(it)) => f64::from(it.speed.to_bits()) / 1_048_576.0,
        other => panic!("want a speed, have {other:?}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn speeds_hitch_direction_and_yaw_come_back(
        wheel in -15.0..15.0_f64,
        ground in -15.0..15.0_f64,
        lowered in any::<bool>(),
        yaw in -3.0..3.0_f64,
    ) {
        let (w, g) = (Said::Speed(wheel), Said::Speed(ground));
        let inputs = heard(BusMoment { t_s: 0.0, wheel: w, ground: g, lowered, yaw_rad_per_s: yaw });
        // Half a step of 1 mm/s.
        prop_assert!((mps(inputs.speeds.bus_wheel) - wheel).abs() < 0.000_501);
        prop_assert!((mps(inputs.speeds.bus_ground) - ground).abs() < 0.000_501);
        prop_assert!((mps(inputs.speeds.bus_selected) - ground).abs() < 0.000_501);
        let way = if wheel >= 0.0 { Direction::Forward } else { Direction::Reverse };
        prop_assert_eq!(inputs.direction, Some(way));
        prop_assert_eq!(inputs.hitch.map(|hitch| hitch.in_work), Some(lowered));
        let have = inputs.yaw.map(|yaw| f64::from(yaw.to_bits()) / 16_777_216.0);
        prop_assert!((have.unwrap() - yaw).abs() < 0.51 / 8192.0, "{:?}", have);
    }
}

#[test]
fn what_is_no_speed_comes_back_as_what_it_is() {
    for (said, want) in [
        (Said::NotAvailable, SpeedReport::NotAvailable),
        (Said::Error, SpeedReport::Error),
        (Said::OutOfRange, SpeedReport::OutOfRange),
    ] {
        let moment =
            BusMoment { t_s: 0.0, wheel: said, ground: said, lowered: true, yaw_rad_per_s: 0.0 };
        let speeds = heard(moment).speeds;
        assert_eq!(speeds.bus_wheel, Some(want));
        assert_eq!(speeds.bus_selected, Some(want));
    }
}

#[test]
fn the_way_is_counted_across_the_restart_of_the_counter() {
    // 3 m before the restart at 4 211 081.216 m; 2 m/s for 5 s are 10 m.
    let mut sender = sender(4_211_078.216);
    let mut read: Vec<Distance> = Vec::new();
    for millis in (0..=5_000).step_by(10) {
        let speed = Said::Speed(2.0);
        let t_s = f64::from(millis) * 0.001;
        let moment =
            BusMoment { t_s, wheel: speed, ground: speed, lowered: true, yaw_rad_per_s: 0.0 };
        for frame in sender.step(moment) {
            let Id::Extended(id) = frame.id() else { panic!("a standard frame") };
            let bytes = frame.data().try_into().expect("8 bytes");
            let message = Message::read(Identifier::of(id.as_raw()), bytes, at(0));
            if let Some(Message::Ground(it)) = message {
                read.extend(match it.distance {
                    Reading::Value(distance) => Some(distance),
                    other => panic!("{other:?}"),
                });
            }
        }
    }
    assert!(read.first().unwrap().millimetres() > read.last().unwrap().millimetres(), "restarted");
    let gone: u32 = read.windows(2).map(|pair| pair[1].since(pair[0])).sum();
    assert!((9_998..=10_001).contains(&gone), "10 m, have {gone} mm");
}

#[test]
fn the_demo_bus_log_is_the_one_that_the_bench_makes() {
    let log = std::fs::read_to_string(tests::demo("logs/demo-bus.log")).expect("the demo log");
    assert!(log == demo_log(), "remake it with the command in demo-data/logs/README.md");
}

#[test]
fn a_profile_takes_the_speed_over_ground_the_hitch_and_the_pieces() {
    let profile = candump::read(&tests::demo("logs/demo-bus.log")).expect("the demo log reads");
    assert_eq!(profile.pieces.len(), 1);
    let samples = &profile.pieces[0].samples;
    assert_eq!(samples.len(), 450, "a round every 100 ms for 45 s");
    let at = |t_s: f64| samples.iter().find(|it| it.t_s >= t_s).expect("a sample");
    // The wheels would say 2.1 m/s.
    assert!((at(15.0).speed_mps - 2.0).abs() < 1e-9, "{:?}", at(15.0));
    // Each round has the speed before the hitch.
    assert_eq!((at(2.9).in_work, at(3.1).in_work), (Some(false), Some(true)));
    assert_eq!((at(39.9).in_work, at(40.2).in_work), (Some(true), Some(false)));
}
