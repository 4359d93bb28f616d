//! `size`: whether a drive suits a drill, a seed lot and the ground speeds they are to work at.

use super::arguments::Shared;
use super::{Exit, Failure, say};
use crate::report::document_with;
use crate::scenario::read;
use crate::size::{Binding, Limit, SideSizing, Sizing};
use crate::unit::{LENGTH, RATE, SPEED, System};
use clap::Args;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Options of `size`.
#[derive(Debug, Args)]
pub(super) struct SizeOptions {
    /// The drill file.
    #[arg(value_name = "DRILL")]
    drill: PathBuf,
    /// The seed lot file.
    #[arg(value_name = "SEED")]
    seed: PathBuf,
}

/// Sizes the drive.
pub(super) fn size(options: &SizeOptions, shared: Shared) -> Result<Exit, Failure> {
    let (drill, lot) = (read::drill(&options.drill), read::seed_lot(&options.seed));
    let (drill, lot) = match (drill, lot) {
        (Ok(drill), Ok(lot)) => (drill, lot),
        (drill, lot) => {
            return Err(Failure::Input(drill.err().into_iter().chain(lot.err()).collect()));
        }
    };
    let system = shared.units.into();
    let sizing = Sizing::of(&drill, &lot, system);
    let exit = if sizing.fits { Exit::Pass } else { Exit::Missed };
    say::say(&if shared.json {
        document_with("size", exit.code(), "size", &sizing)
    } else {
        text(&sizing, system, options)
    })?;
    Ok(exit)
}

/// The sizing in words.
fn text(sizing: &Sizing, system: System, options: &SizeOptions) -> String {
    let rate = RATE.show(sizing.rate_kg_per_ha, system, 3);
    let demo = if sizing.demo { " (demo)" } else { "" };
    let mut text = format!("{} with {}, {rate}{demo}\n", sizing.drill, sizing.seed_lot);
    for side in &sizing.sides {
        text.push_str(&side_text(side, system));
    }
    let speed = |mps| SPEED.show(mps, system, 3);
    let range = format!("{} to {}", speed(sizing.from_mps), speed(sizing.to_mps));
    let last = if sizing.fits {
        format!(
            "\nThis drive can lay the rate from {range}, by its map and in the oil the map was measured in; allow a fifth \
             at the top for cold oil.\n{}",
            next(sizing, options)
        )
    } else {
        "\nThis drive cannot lay the rate at any ground speed.\nNext: change the ratio between motor and meter shaft, or \
         the meter's mass per turn, in the drill and seed files, and size it again.\n"
            .to_owned()
    };
    text + &last
}

/// What to do next. A replay has one seed file, so two boxes need a scenario.
fn next(sizing: &Sizing, options: &SizeOptions) -> String {
    if sizing.two_boxes {
        return "All sides were sized with that one seed lot: size the other box with its own. Next: prove both in a scenario \
                file with seed and second_seed: meterwright verify SCENARIO\n"
            .to_owned();
    }
    format!(
        "Next: prove it on the bench with this drill and seed: meterwright replay demo-data/logs/demo-field.csv --drill {} \
         --seed-lot {}\n",
        say::typed(&options.drill),
        say::typed(&options.seed)
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
    let speed_unit = SPEED.preferred(system);
    let symbol = speed_unit.map_or("m/s", |unit| unit.symbol());
    let _ = writeln!(
        text,
        "\n  ground speed      shaft   encoder  edges in the    valve\n  {symbol:>12}    turns/s   edges/s   drive's lag  opens to"
    );
    for row in &side.speeds {
        let shown = speed_unit.map_or(row.speed_mps, |unit| unit.from_own(row.speed_mps));
        let _ = writeln!(
            text,
            "  {shown:>12.1} {:>10.4} {:>9.1} {:>13.2} {:>7.0} %{}",
            row.turns_per_s,
            row.edges_per_s,
            row.edges_per_lag,
            100.0 * row.opening,
            outside(side, row.speed_mps)
        );
    }
    let speed = |mps| SPEED.show(mps, system, 3);
    let _ = writeln!(text, "\n  {}", edges(side, &speed(side.two_edges_from_mps)));
    let limit = |limit: Limit| format!("{}, by {}", speed(limit.speed_mps), words(limit.by));
    let _ = writeln!(text, "  Fastest: {}.", limit(side.highest));
    let _ = writeln!(text, "  Slowest: {}.", limit(side.lowest));
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
fn outside(side: &SideSizing, speed_mps: f64) -> &'static str {
    if speed_mps > side.highest.speed_mps {
        "  too fast"
    } else if speed_mps < side.lowest.speed_mps {
        "  too slow"
    } else {
        ""
    }
}

/// Turns per metre or per foot.
fn per_length(per_m: f64, system: System) -> (f64, &'static str) {
    let us = LENGTH.preferred(System::Us).filter(|_| system == System::Us);
    us.map_or((per_m, "metre"), |foot| (per_m * foot.to_own(1.0), "foot"))
}

/// What sets a limit, in words.
const fn words(by: Binding) -> &'static str {
    match by {
        Binding::LowestSowingSpeed => "the lowest sowing speed that is set",
        Binding::SmoothTurning => "the slowest smooth turning of the shaft, 1/64 of its full speed",
        Binding::FullCommand => "the speed of the shaft at full command",
        Binding::ShaftCapture => "the edges of the shaft's encoder that the board can capture",
        Binding::GroundCapture => "the pulses of the ground sensor that the board can capture",
    }
}
