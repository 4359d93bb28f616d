//! The sizing in words.

use super::super::say;
use super::SizeOptions;
use super::oil_text::{alternatives, oil};
use crate::size::{
    Binding, GROUND_PULSES_PER_M, LOWEST_SPEED_MPS, Limit, SideSizing, Sizing, Speed,
};
use crate::unit::{Dimension, FLOW, LENGTH, PRESSURE, PULSES_PER_LENGTH, RATE, SPEED, System};
use std::fmt::Write as _;
use std::path::Path;

/// The sizing in words.
pub(super) fn text(sizing: &Sizing, system: System, options: &SizeOptions) -> String {
    let rate = RATE.show(sizing.rate_kg_per_ha, system, 3);
    let demo = if sizing.demo { " (demo)" } else { "" };
    let mut text = format!("{} with {}, {rate}{demo}\n", sizing.drill, sizing.seed_lot);
    if options.tries() {
        text.push_str(&tried(options, system));
    }
    for side in &sizing.sides {
        text.push_str(&side_text(side, system));
    }
    match &sizing.oil {
        Some(found) => text.push_str(&oil(found, system)),
        None => text.push_str(
            "\nThe drill file has no [hydraulics]: with it you are told flow, pressure, torque and motors that would do \
             better (keys in demo-data/drills/README.md).\n",
        ),
    }
    text.push_str(&alternatives(sizing, system));
    text + &last(sizing, system, options)
}

/// Where the values come from.
fn tried(options: &SizeOptions, system: System) -> String {
    if options.drill.is_some() {
        return "Tried with values of the command line in place of those of the files.\n"
            .to_owned();
    }
    format!(
        "What no option names is as on a plain drill: 180 edges a turn, {} on the ground, a lag of 0.15 s, nothing sown below \
         {}.\n",
        PULSES_PER_LENGTH.show(GROUND_PULSES_PER_M, system, 3),
        SPEED.show(LOWEST_SPEED_MPS, system, 2)
    )
}

/// What came of it, and what to do next.
fn last(sizing: &Sizing, system: System, options: &SizeOptions) -> String {
    let speed = |mps| SPEED.show(mps, system, 3);
    if !sizing.leaves_speed() {
        return "\nThis drive cannot lay the rate at any ground speed.\nNext: change the ratio between motor and meter \
                shaft, or the meter's mass per turn, in the drill and seed files, and size it again.\n"
            .to_owned();
    }
    let mut text = format!(
        "\nThis drive can lay the rate from {} to {}, by its map and in the oil the map was measured in; allow a fifth at \
         the top for cold oil.\n",
        SPEED.show_at_least(sizing.from_mps, system, 3),
        SPEED.show_at_most(sizing.to_mps, system, 3)
    );
    let wanted = format!("{} to {}", speed(sizing.wanted_from_mps), speed(sizing.wanted_to_mps));
    if sizing.room < 1.0 {
        let whose = if options.names_speeds() {
            "that are wanted"
        } else {
            "that are usual; name your own by --from and --to"
        };
        let _ = writeln!(text, "That is less than the {wanted} {whose}.");
    }
    if sizing.oil.is_some_and(|oil| !oil.suits()) {
        text.push_str("It does not fit all the same: see the torque above.\n");
    }
    if sizing.uncaught {
        text.push_str(
            "The seed file has no [caught]: its mass per turn stands for a guess. Catch and weigh before you sow by it.\n",
        );
    }
    text + &next(sizing, system, options)
}

/// Scenarios that `new` writes beside a drill file.
const TRIALS: [&str; 2] = ["ramp.toml", "headland.toml"];

/// A recorded drive of the demo data, where that is at hand.
const DEMO_LOG: &str = "demo-data/logs/demo-field.csv";

/// What to do next. A replay has one seed file, so two boxes need a scenario.
fn next(sizing: &Sizing, system: System, options: &SizeOptions) -> String {
    let units = if system == System::Us { " --units us" } else { "" };
    if sizing.two_boxes {
        return "All sides were sized with that one seed lot: size the other box with its own. Next: prove both in a scenario \
                file with seed and second_seed: meterwright verify SCENARIO\n"
            .to_owned();
    }
    let (Some(drill), Some(seed), true) =
        (&options.drill, &options.seed, sizing.fits && !options.tries())
    else {
        let what = if sizing.fits {
            "put these values into a drill and a seed file (copy demo-data/drills/sized.toml and \
             demo-data/seeds/demo-110.toml)"
        } else {
            "put right what is said above in the drill file, or try a value by an option"
        };
        return format!("Next: {what}, and size it again: meterwright size DRILL SEED{units}\n");
    };
    let beside = TRIALS.map(|name| drill.with_file_name(name));
    if beside.iter().all(|file| file.exists()) {
        let [first, second] = beside.map(|file| say::typed(&file));
        return format!(
            "Next: prove it on the bench: meterwright verify {first} {second}{units}\n"
        );
    }
    if !Path::new(DEMO_LOG).exists() {
        return format!(
            "Next: name both in a scenario file and prove it on the bench: meterwright verify SCENARIO{units}\n"
        );
    }
    format!(
        "Next: prove it on the bench with this drill and seed: meterwright replay {DEMO_LOG} --drill {} --seed-lot {}{units}\n",
        say::typed(drill),
        say::typed(seed)
    )
}

/// One side: travel, table, limits.
fn side_text(side: &SideSizing, system: System) -> String {
    let length = |m| LENGTH.show(m, system, 3);
    let (per, unit) = per_length(side.turns_per_m, system);
    let mut text = format!(
        "\nSide {:?}, {} wide\n  one turn of the meter shaft lays    {} ({per:.4} turns per {unit})\n",
        side.side,
        length(side.width_m),
        length(side.travel_per_turn_m)
    );
    match side.travel_per_flute_m {
        Some(flute) => {
            let _ = writeln!(text, "  one flute of the meter passes every {}", length(flute));
        }
        None => text.push_str("  the drill file names no flutes\n"),
    }
    text.push_str(&table(side, system));
    let speed = |mps| SPEED.show(mps, system, 3);
    let _ = writeln!(text, "\n  {}", edges(side, &speed(side.two_edges_from_mps)));
    let limits = [("Fastest", &side.from_above), ("Slowest", &side.from_below)];
    for (word, list) in limits {
        for (index, Limit { speed_mps, by }) in list.iter().enumerate() {
            let (word, mark) =
                if index == 0 { (word, ", which binds first") } else { ("   then", "") };
            let _ = writeln!(text, "  {word}: {}, by {}{mark}.", speed(*speed_mps), words(*by));
        }
    }
    text
}

/// The table over the ground speeds.
fn table(side: &SideSizing, system: System) -> String {
    let oil = side.speeds.iter().any(|row| row.flow_m3_per_s.is_some());
    let symbol = |kind: &Dimension| kind.preferred(system).map_or("", |unit| unit.symbol());
    let mut text = "\n  ground speed      shaft      shaft".to_owned();
    text.push_str(if oil { "      motor    flow" } else { "" });
    text.push_str("   encoder  edges in the    valve");
    text.push_str(if oil { "  drop over" } else { "" });
    let _ = write!(text, "\n  {:>12}    turns/s  turns/min", symbol(&SPEED));
    if oil {
        let _ = write!(text, "  turns/min {:>7}", symbol(&FLOW));
    }
    text.push_str("   edges/s   drive's lag  opens to");
    if oil {
        let _ = write!(text, "  it, {}", symbol(&PRESSURE));
    }
    text.push('\n');
    for row in &side.speeds {
        text.push_str(&table_row(row, system));
        text.push_str(outside(side, row));
        text.push('\n');
    }
    text
}

/// A row of it.
fn table_row(row: &Speed, system: System) -> String {
    let number =
        |kind: &Dimension, own: f64| kind.preferred(system).map_or(own, |unit| unit.from_own(own));
    let mut text = format!(
        "  {:>12.1} {:>10.4} {:>10.2}",
        number(&SPEED, row.speed_mps),
        row.turns_per_s,
        60.0 * row.turns_per_s
    );
    if let (Some(motor), Some(flow)) = (row.motor_turns_per_s, row.flow_m3_per_s) {
        let _ = write!(text, " {:>10.1} {:>7.2}", 60.0 * motor, number(&FLOW, flow));
    }
    let _ = write!(
        text,
        " {:>9.1} {:>13.2} {:>7.0} %",
        row.edges_per_s,
        row.edges_per_lag,
        100.0 * row.opening
    );
    if let Some(drop) = row.valve_drop_pa {
        let _ = write!(text, " {:>10.1}", number(&PRESSURE, drop));
    }
    text
}

/// What the number of edges means for the control.
fn edges(side: &SideSizing, from: &str) -> String {
    let model = "a model of the shaft stands in between edges, and the drive's\n  gain is learnt from edge to edge \
                 (docs/small-seed.md)";
    if side.two_edges_from_mps > side.highest.speed_mps {
        return format!(
            "Two edges never fall in the drive's lag here: {model}.\n  An encoder of more edges a turn, or one on a quicker \
             shaft, would follow the oil better."
        );
    }
    format!(
        "From {from} on, two edges fall in the drive's lag: the loop works on what it measures.\n  Below, {model}."
    )
}

/// Why a ground speed is out of reach.
fn outside(side: &SideSizing, row: &Speed) -> &'static str {
    if row.within {
        ""
    } else if row.speed_mps > side.highest.speed_mps {
        "  too fast"
    } else {
        "  too slow"
    }
}

/// Turns per metre or per foot.
fn per_length(per_m: f64, system: System) -> (f64, &'static str) {
    let us = LENGTH.preferred(System::Us).filter(|_| system == System::Us);
    us.map_or((per_m, "metre"), |foot| (per_m * foot.to_own(1.0), "foot"))
}

/// What sets a limit, in words.
pub(super) const fn words(by: Binding) -> &'static str {
    match by {
        Binding::LowestSowingSpeed => "the lowest sowing speed that is set",
        Binding::EncoderResolution => {
            "edges of the shaft's encoder too far apart to be measured, 4 s"
        }
        Binding::MotorLowest => "the lowest smooth speed of the motor",
        Binding::MotorHighest => "the highest speed of the motor",
        Binding::ValveFlow => "the flow that the valve passes",
        Binding::TractorFlow => "the flow that the tractor spares for all sides",
        Binding::SmoothTurning => "the slowest smooth turning of the shaft, 1/64 of its full speed",
        Binding::FullCommand => "the speed of the shaft at full command",
        Binding::ShaftCapture => "the edges of the shaft's encoder that the board can capture",
        Binding::GroundCapture => "the pulses of the ground sensor that the board can capture",
    }
}
