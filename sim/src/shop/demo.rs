//! The logs of the demo run sheet: every run on the machine that a drill file's `[truth]` describes.

use super::{
    LiftShop, OutletShop, Person, SpinShop, SpinTrouble, TapeShop, flag, ground, outlet, spin,
    thinned,
};
use crate::machine::command_for;
use crate::scenario::Drill;
use controller::measure::{DeliveryConfig, DeliveryPlan, RunHead, RunKind, SpinConfig, SpinPlan};
use controller::quantity::{Command, Micros};

/// The tape of the demo's ground run and its flag run, m.
pub const GROUND_TAPE_M: f64 = 100.0;
/// Length of the demo's flag run, m.
pub const FLAG_WHOLE_M: f64 = 45.0;
/// Where the switch reads "in work" and "lifted" in the demo's flag run, m from flag A.
pub const FLAG_LIFT_M: [f64; 2] = [14.0, 30.0];

/// Name and text of every log, of the drill's first side.
pub fn demo_logs(drill: &Drill) -> Vec<(String, String)> {
    let mut logs = vec![("spin.csv".to_owned(), spun(drill))];
    for (pass, slope) in [0.001, -0.001].repeat(3).into_iter().enumerate() {
        let seed = 10 + pass as u64;
        let log = ground(&tape(drill, (GROUND_TAPE_M, slope), seed), head(drill, RunKind::Ground));
        logs.push((format!("ground-{}.csv", pass + 1), thinned(&log, 10)));
    }
    for run in 0..2 {
        logs.push((format!("delivery-{}.csv", run + 1), delivered(drill, 20 + run)));
    }
    for drive in 0..3 {
        let lift = LiftShop {
            lowered_m: FLAG_LIFT_M[0],
            lifted_m: FLAG_LIFT_M[1],
            bounce_s: 0.03,
            shaft_after_s: 0.1,
        };
        let road = tape(drill, (FLAG_WHOLE_M, 0.0), 30 + drive);
        let (log, _) = flag(&road, &lift, head(drill, RunKind::Flag));
        logs.push((format!("flag-{}.csv", drive + 1), thinned(&log, 10)));
    }
    logs
}

fn pulses_per_turn(drill: &Drill) -> u32 {
    drill.sides.first().map_or(1, |side| side.encoder_pulses_per_turn)
}

fn head(drill: &Drill, kind: RunKind) -> RunHead {
    RunHead { kind, side: 0, sides: 1, edges_per_turn: pulses_per_turn(drill) }
}

/// A shorter spin run: holds of 2 s, played twice.
fn spun(drill: &Drill) -> String {
    let shop = SpinShop {
        truth: drill.truth.clone(),
        pulses_per_turn: pulses_per_turn(drill),
        tooth: 0.1,
        trouble: SpinTrouble::Nothing,
        seed: 1,
    };
    // A fifth of full command, as the data sheet says.
    let opening = Command::from_bits(13_107);
    let plan = SpinPlan::new(SpinConfig { opening, hold: Micros::from_millis(2_000), repeats: 2 });
    let command = |since| plan.ok().and_then(|plan| plan.command(since));
    thinned(&spin(&shop, head(drill, RunKind::Spin), &mut |spun| command(spun.since)), 5)
}

fn tape(drill: &Drill, (length_m, slope): (f64, f64), seed: u64) -> TapeShop {
    TapeShop {
        pulses_per_m: drill.true_ground_pulses_per_m() * (1.0 + slope),
        wander: 0.003,
        length_m,
        speed_mps: 2.2,
        receiver_mps: Some(0.05),
        seed,
    }
}

fn delivered(drill: &Drill, seed: u64) -> String {
    let drive = &drill.truth.drive;
    let shop = OutletShop {
        truth: drill.truth.clone(),
        pulses_per_turn: pulses_per_turn(drill),
        seeds_per_turn: 900.0,
        delay_s: drill.true_delivery_delay_s(),
        spread_s: 0.02,
        person: Person { reaction_s: 0.27, uneven_s: 0.04, misses: 0.03 },
        sensor: false,
        command: command_for(&drive.map, 0.5 * drive.full_turns_per_s()),
        seed,
    };
    let odd = u32::try_from(seed).unwrap_or(0);
    let Ok(plan) = DeliveryPlan::new(DeliveryConfig { trials: 50, odd }) else {
        return String::new();
    };
    thinned(&outlet(&shop, &plan, head(drill, RunKind::Delivery)), 50)
}
