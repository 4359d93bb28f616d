//! Small seed on slow shafts: what the control adds, down to 0.02 turns/s and an edge in five lags of the drive.
//!
//! All on a smooth meter: what lies on the soil is then the control's own part (`control_…` of the score).

use sim::bench::{Run, run, trace};
use sim::profile::{Piece, Profile, Sample};
use sim::scenario::Scenario;
use sim::trace::Cell;

/// Profile, and the least share within 5 % and 10 % and the largest rms that "the main job" promises for it.
const PROMISE: [(&str, [f64; 3]); 4] = [
    ("ramp-0.3", [99.4, 100.0, 1.05]),
    ("ramp-0.5", [99.4, 100.0, 1.10]),
    ("ramp-1.0", [97.5, 99.4, 1.60]),
    ("staircase", [98.0, 100.0, 1.50]),
];

/// A scenario of a drill, its meter smooth.
fn smooth(drill: &str, profile: &str) -> Scenario {
    let mut scenario = tests::demo_scenario(&format!("{drill}-{profile}"));
    scenario.drill.truth.meter.pulsation = 0.0;
    scenario.drill.truth.meter.wander = 0.0;
    scenario
}

fn go(scenario: &Scenario) -> Run {
    run(scenario, 1).expect("settings are right")
}

/// Share within 5 % and 10 %, and rms, of some cells' errors in per cent.
fn figures(errors: &[f64]) -> [f64; 3] {
    let count = |limit: f64| errors.iter().filter(|error| error.abs() <= limit).count();
    let all = f64::from(u32::try_from(errors.len()).expect("few cells"));
    let share = |limit| 100.0 * f64::from(u32::try_from(count(limit)).expect("few cells")) / all;
    let square = errors.iter().map(|error| error * error).sum::<f64>() / all;
    [share(5.0), share(10.0), square.sqrt()]
}

fn errors(run: &Run, of: impl Fn(&Cell) -> bool) -> Vec<f64> {
    run.cells.iter().filter(|cell| cell.running && of(cell)).map(|cell| cell.error_pct).collect()
}

/// Prints figures and worst cells, and holds them against the promise.
fn keeps(name: &str, run: &Run, promise: [f64; 3]) {
    let have = figures(&errors(run, |_| true));
    println!("{name}: within 5 % {:.2}, within 10 % {:.2}, rms {:.2}", have[0], have[1], have[2]);
    for cell in run.cells.iter().filter(|cell| cell.running && cell.error_pct.abs() > 5.0) {
        println!("   {:5.1} s {:5.1} m {:+.1} %", cell.entered_s, cell.start_m, cell.error_pct);
    }
    let holds = have[0] >= promise[0] && have[1] >= promise[1] && have[2] <= promise[2];
    assert!(holds, "{name}: have {have:?}, promised {promise:?}");
}

#[test]
fn the_small_seed_drill_reaches_the_figures_of_the_main_job() {
    for (profile, promise) in PROMISE {
        let scenario = smooth("small-seed", if profile == "ramp-0.5" { "ramp" } else { profile });
        keeps(profile, &go(&scenario), promise);
    }
}

#[test]
fn an_edge_in_the_drives_lag_is_enough_from_power_up() {
    for (profile, promise) in PROMISE {
        keeps(profile, &go(&smooth("slow-shaft-360", profile)), promise);
    }
}

/// What no law can undo that knows the drive's gain by its last two edges: figures of the cells' errors if the speed
/// were known exactly, the gain were the mean of the last whole edge interval, and a new command were felt after the
/// dead time.
fn floor_of_edges(scenario: &Scenario, run: &Run) -> [f64; 3] {
    let truth = &scenario.drill.truth;
    let gain = |t: f64| truth.gain * (1.0 + truth.swing * (truth.swing_rad_per_s * t).sin());
    let (mut turns, mut sum, mut ticks) = (0.0, 0.0, 0_u32);
    // Instant from which a gain is known to the shaft, and that gain.
    let mut known = vec![(0.0, 1.0)];
    let mut open = false;
    let mut off: Vec<(f64, f64)> = Vec::new();
    for tick in trace(scenario, 1).expect("settings are right").ticks {
        let t = tick.t_s;
        let edges = f64::from(scenario.drill.sides[0].encoder_pulses_per_turn);
        let before = (turns * edges).floor();
        turns += tick.sides[0].true_turns_per_s * 0.01;
        sum += gain(t);
        ticks += 1;
        if (turns * edges).floor() > before {
            if open {
                known.push((t + truth.drive.dead_time_s, sum / f64::from(ticks)));
            }
            (open, sum, ticks) = (true, 0.0, 0);
        }
        let by = known.iter().rev().find(|(from, _)| *from <= t).map_or(1.0, |(_, gain)| *gain);
        off.push((t + scenario.drill.delivery_delay_s, 100.0 * (gain(t) / by - 1.0)));
    }
    let cells: Vec<&Cell> = run.cells.iter().filter(|cell| cell.counted).collect();
    let mut errors = Vec::new();
    for pair in cells.windows(2).filter(|pair| pair[0].running) {
        let within = |t: f64| t >= pair[0].entered_s && t < pair[1].entered_s;
        let inside: Vec<f64> =
            off.iter().filter(|(t, _)| within(*t)).map(|(_, off)| *off).collect();
        let count = f64::from(u32::try_from(inside.len()).expect("few ticks"));
        errors.push(inside.iter().sum::<f64>() / count);
    }
    figures(&errors)
}

/// Holds a drill against the promise and the floor of its edges, which add as squares; `slack` on the rms.
fn keeps_to_its_floor(drill: &str, slack: f64) {
    for (profile, promise) in PROMISE {
        let scenario = smooth(drill, profile);
        let run = go(&scenario);
        let floor = floor_of_edges(&scenario, &run);
        let have = figures(&errors(&run, |_| true));
        let most = promise[2].hypot(floor[2]) * slack;
        println!(
            "{drill} {profile}: have {have:.2?}, floor of the edges {floor:.2?}, rms at most {most:.2}"
        );
        assert!(have[2] <= most, "{drill} {profile}: rms {} above {most}", have[2]);
        // The floor of the edges has no cell of the promise's own, the promise none of the edges'.
        let least = promise[0] - (100.0 - floor[0]) - 1.0;
        assert!(have[0] >= least, "{drill} {profile}: {} % within 5 %, not {least}", have[0]);
    }
}

#[test]
fn half_an_edge_in_the_lag_costs_what_the_edges_do_not_tell() {
    keeps_to_its_floor("slow-shaft-180", 1.01);
}

#[test]
fn a_fifth_of_an_edge_in_the_lag_costs_little_more_than_the_edges_do_not_tell() {
    keeps_to_its_floor("slow-shaft-60", 1.10);
}

/// The profile driven after a first pass of a quarter of a minute and a stand of five seconds; from when it counts.
fn after_a_pass(scenario: &mut Scenario) -> f64 {
    let sample = |t_s, speed_mps| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
    let first = [(0.0, 0.0), (3.0, 1.5), (15.0, 1.5), (18.0, 0.0), (23.0, 0.0)];
    let mut samples: Vec<Sample> = first.map(|(t_s, speed)| sample(t_s, speed)).into();
    let pieces = &scenario.profile.pieces;
    let then = pieces.iter().flat_map(|piece| &piece.samples).skip(1);
    samples.extend(then.map(|at| sample(at.t_s + 23.0, at.speed_mps)));
    scenario.profile = Profile { pieces: vec![Piece { samples }] };
    23.0
}

#[test]
fn a_start_after_a_first_pass_keeps_the_figures_with_an_edge_in_the_lag() {
    for drill in ["slow-shaft-360", "slow-shaft-180", "slow-shaft-60"] {
        for (profile, promise) in PROMISE {
            let mut scenario = smooth(drill, profile);
            let since_s = after_a_pass(&mut scenario);
            let have = figures(&errors(&go(&scenario), |cell| cell.entered_s > since_s));
            println!("{drill} {profile}, after a first pass: {have:.2?}");
            let holds = have[0] >= promise[0] && have[1] >= promise[1] && have[2] <= promise[2];
            assert!(holds || drill != "slow-shaft-360", "{profile}: {have:?} for {promise:?}");
        }
    }
}

#[test]
fn neighbouring_numbers_of_edges_do_as_well() {
    // The bench's encoder starts on an edge, so that the first one comes as late as it can; other numbers of edges
    // place all edges differently.
    for edges in [350, 370, 385, 400] {
        for (profile, promise) in PROMISE {
            let mut scenario = smooth("slow-shaft-360", profile);
            scenario.drill.sides[0].encoder_pulses_per_turn = edges;
            keeps(&format!("{profile}, {edges} edges"), &go(&scenario), promise);
        }
    }
}

#[test]
fn a_slow_shaft_told_wrong_swings_no_more_than_one_point_above_the_right_one() {
    for drill in ["slow-shaft-360", "slow-shaft-180", "slow-shaft-60"] {
        let steady = || {
            let mut scenario = smooth(drill, "ramp-0.5");
            let sample =
                |t_s, speed_mps| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
            let samples = vec![sample(0.0, 0.0), sample(3.0, 1.5), sample(60.0, 1.5)];
            scenario.profile = Profile { pieces: vec![Piece { samples }] };
            scenario
        };
        let swing = |scenario: &Scenario| {
            let last = errors(&go(scenario), |cell| cell.entered_s > 45.0);
            let (low, high) = last.iter().fold((f64::MAX, f64::MIN), |(low, high), error| {
                (low.min(*error), high.max(*error))
            });
            assert!(high > low, "there are cells in the last quarter of a minute");
            high - low
        };
        let right = swing(&steady());
        for case in tests::wrongly_told() {
            let mut scenario = steady();
            (case.tell)(&mut scenario);
            let wrong = swing(&scenario);
            println!("{drill}, {}: {wrong:.2} where the right one has {right:.2}", case.name);
            assert!(wrong <= right + 1.0, "{drill}, {}: {wrong} for {right}", case.name);
        }
    }
}

/// The reference drill with 67 edges a turn: two edges per lag lie in the middle of its work, and dead time and lag are
/// told wrong by more than half the time between two edges. A machine of the random sweep (seed 3, case 98).
#[test]
fn a_dead_time_told_wrong_by_most_of_an_edge_interval_does_not_swing() {
    let mut scenario = tests::demo_scenario("ramp-0.5-pulses");
    let drill = &mut scenario.drill;
    drill.sides[0].encoder_pulses_per_turn = 67;
    let truth = &mut drill.truth;
    (truth.gain, truth.swing) = (1.041, 0.04291);
    truth.drive.map = vec![(0.189, 0.0), (1.0, 1.65)];
    (truth.drive.lag_s, truth.drive.dead_time_s) = (0.0833, 0.091);
    drill.told.map = vec![(0.2187, 0.0), (1.0, 1.65 * 1.178)];
    (drill.told.lag_s, drill.told.dead_time_s) = (0.0876, 0.121);
    let [_, within_10, rms] = figures(&errors(&go(&scenario), |_| true));
    println!("within 10 % {within_10:.2}, rms {rms:.2}");
    // What the demo sweep promises of any such machine.
    assert!(within_10 >= 90.0 && rms <= 7.0, "within 10 % {within_10}, rms {rms}");
}
