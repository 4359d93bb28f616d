//! The checklist of commissioning: each step with what should be found and room for what was.

use super::{Body, Part};
use crate::scenario::{Scenario, Side};
use crate::unit::{LENGTH, MASS, SHAFT_SPEED, System, TIME};

/// Turns of the catch that the sheet foretells.
pub(super) const CATCH_TURNS: f64 = 50.0;

/// Mass that the turns of a catch should give, kg; by the curve at the shaft speed of a ground speed of 2 m/s.
pub(super) fn catch_kg(scenario: &Scenario, side: &Side) -> f64 {
    let lot = scenario.lot(side.product);
    CATCH_TURNS * lot.kg_per_turn(2.0 * lot.turns_per_m(side.width_m, 2.0))
}

/// Way of the ground run and its pulses: 100 m, or 300 ft.
pub(super) fn ground_run(scenario: &Scenario, system: System) -> [String; 2] {
    let way_m = if system == System::Us { 300.0 * 0.3048 } else { 100.0 };
    let pulses = scenario.drill.ground_pulses_per_m * way_m;
    let way = LENGTH.show(way_m, system, 4);
    [format!("pulses in {way}"), format!("{pulses:.0}, within {:.0}", 0.005 * pulses)]
}

/// Before oil: what is seen, heard and counted.
fn electrics(scenario: &Scenario, fingerprint: &str) -> Vec<[String; 2]> {
    let edges: Vec<String> =
        scenario.drill.sides.iter().map(|side| side.encoder_pulses_per_turn.to_string()).collect();
    [
        (
            "guards off only where a hand must go; engine off, oil without pressure",
            "done".to_owned(),
        ),
        ("fingerprint that the board says at start", fingerprint.to_owned()),
        ("power up with the master on", "nothing starts".to_owned()),
        ("master off and on", "shut-off opens, valve stays at zero".to_owned()),
        ("edges of one turn of the meter shaft by hand", edges.join(", ")),
        ("lift and each side switch", "each is read, both ways".to_owned()),
        ("stop pressed, board running", "valves and shut-off without current".to_owned()),
    ]
    .map(|(what, want)| [what.to_owned(), want])
    .to_vec()
}

/// With oil: a side's own numbers.
fn drive(scenario: &Scenario, side: &Side, system: System) -> Vec<[String; 2]> {
    let told = scenario.drill.told_of(side);
    let opening = told.map.first().map_or(0.0, |point| 100.0 * point.0);
    let full =
        SHAFT_SPEED.unit("turns/min").map_or(0.0, |unit| unit.from_own(told.full_turns_per_s()));
    let name = &side.name;
    let time = |s: f64| TIME.show(s, system, 3);
    vec![
        [
            format!("{name}: shaft turns the right way, guards on, bystanders away"),
            "yes".to_owned(),
        ],
        [format!("{name}: command at which the shaft begins to turn"), format!("{opening:.0} %")],
        [format!("{name}: shaft at full command"), format!("{full:.1} turns/min")],
        [
            format!("{name}: lag; dead time"),
            format!("{}; {}", time(told.lag_s), time(told.dead_time_s)),
        ],
        [
            format!("{name}: catch of {CATCH_TURNS:.0} turns, all outlets, less the tare"),
            MASS.show(catch_kg(scenario, side), system, 4),
        ],
    ]
}

/// The part.
pub(super) fn checklist(scenario: &Scenario, fingerprint: &str, system: System) -> Part {
    let mut checks = electrics(scenario, fingerprint);
    checks.push(ground_run(scenario, system));
    for side in &scenario.drill.sides {
        checks.extend(drive(scenario, side, system));
    }
    let time = |s: f64| TIME.show(s, system, 3);
    let length = |m: f64| LENGTH.show(m, system, 3);
    checks.extend(
        [
            ("encoder's plug pulled while the shaft turns", "oil off within a second".to_owned()),
            ("meter to soil", time(scenario.drill.delivery_delay_s)),
            ("openers in after the switch", length(scenario.drill.lowering_m)),
            ("openers out after the switch", length(scenario.drill.lifting_m)),
            ("stop pressed at work, on stands", "shaft stands".to_owned()),
            ("first pass dug up", "seed from start to end, at its depth".to_owned()),
        ]
        .map(|(what, want)| [what.to_owned(), want]),
    );
    Part {
        heading: "Commissioning: tick, and write what you found".to_owned(),
        body: Body::Checks(checks),
    }
}
