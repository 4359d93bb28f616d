//! The closed loop: the core on one drive against the law in `f64` on its twin, over ramps.
//!
//! Both see the same ground pulses; each has a drive of its own whose gain is 0.9 of what the map says, so that
//! PI and trim have to work. *Bound*: the two shafts are within 0.3 % of full speed of one another at every
//! millisecond, and within 0.05 % rms. Measured at 0.3, 0.5 and 1.0 m/s²: 0.04, 0.08, 0.18 % at worst, where the
//! acceleration changes; 0.002, 0.005, 0.020 % rms.

use crate::law::Law;
use crate::plant::{Edges, Plant};
use crate::shaft::config;
use controller::quantity::{Instant, Micros};
use controller::section::SideState;
use controller::{Controller, Inputs, Settings};

/// The bounds, turns/s: 0.3 % and 0.05 % of 1.65.
const WORST: f64 = 0.005;
const RMS: f64 = 0.000_8;

/// Ground speed, m/s: 1 to 3 and back at `accel`, each held for 8 s.
fn speed(t: f64, accel: f64) -> f64 {
    let rise = 2.0 / accel;
    let up = (t - 8.0).clamp(0.0, rise) * accel;
    let down = (t - 16.0 - rise).clamp(0.0, rise) * accel;
    1.0 + up - down
}

/// What a run showed.
#[derive(Debug, Default)]
struct Shown {
    worst: f64,
    rms: f64,
    /// Mean shaft speed of the core in the last second over what is wanted.
    settled: f64,
    /// The largest of the float law's own error: the runs are no standstill.
    moved: f64,
}

fn inputs(tick: u32, ground: Edges, plant: &Plant) -> Inputs {
    // The clock wraps 20 s in.
    let origin = Instant::from_micros(u32::MAX - 20_000_000);
    let mut inputs = Inputs {
        now: origin.plus(Micros::new(tick * 10_000)),
        ground: ground.pulses(origin),
        lift: true,
        master: tick >= 200,
        ..Inputs::default()
    };
    inputs.sides[0].shaft = plant.edges.pulses(origin);
    inputs.sides[0].switch = true;
    inputs
}

fn run(accel: f64, gains: [f64; 2]) -> Shown {
    let mut controller = Controller::new(Settings::new(&config(180)).expect("valid"));
    let mut law = Law::new();
    let [mut ours, mut twin] = gains.map(Plant::new);
    let mut ground = Edges::default();
    let (mut shown, mut samples) = (Shown::default(), 0_u32);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "half a minute")]
    let ticks = ((24.0 + 4.0 / accel) * 100.0) as u32;
    for tick in 0..ticks {
        let now = f64::from(tick) * 0.01;
        let out = controller.tick(&inputs(tick, ground, &ours));
        law.sense(ground, twin.edges, now);
        let sows = out.sides[0].state == SideState::Sowing;
        let command = if sows { law.command(now, ground) } else { 0 };
        for step in 0..10 {
            let from = tick * 10_000 + step * 1_000;
            ground.advance(speed(f64::from(from) * 1e-6, accel) * 130.0, from);
            ours.advance(out.sides[0].command.to_bits(), from);
            twin.advance(command, from);
            let apart = ours.turns_per_s - twin.turns_per_s;
            shown.worst = shown.worst.max(apart.abs());
            shown.rms += apart * apart;
            samples += 1;
        }
        if ticks - tick <= 100 {
            shown.settled += ours.turns_per_s / crate::law::TURNS_PER_METRE / 100.0;
        }
        shown.moved = shown.moved.max(twin.turns_per_s);
    }
    shown.rms = (shown.rms / f64::from(samples)).sqrt();
    shown
}

#[test]
fn the_shaft_follows_the_law_of_floats_on_ramps() {
    for accel in [0.3, 0.5, 1.0] {
        let shown = run(accel, [0.9, 0.9]);
        assert!(shown.worst < WORST && shown.rms < RMS, "at {accel} m/s²: {shown:?}");
        assert!((shown.settled - 1.0).abs() < 0.002, "1 m/s asks for more: {shown:?}");
        assert!(shown.moved > 1.0, "the shaft never turned as fast as 3 m/s asks: {shown:?}");
    }
}

#[test]
fn a_drive_that_is_otherwise_is_told_apart() {
    // The same comparison with a twin 2 % weaker breaks the bound: it is not blind.
    let shown = run(0.5, [0.9, 0.882]);
    assert!(shown.worst > WORST, "{shown:?}");
}
