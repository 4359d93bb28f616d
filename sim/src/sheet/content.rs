//! What stands on the sheet.

use super::alarms::alarms;
use super::checklist::{CATCH_TURNS, catch_kg, checklist, ground_run};
use super::speeds::speeds;
use super::{Body, Part, Sheet};
use crate::scenario::{Caught, Scenario, Side};
use crate::unit::{LENGTH, MASS, MASS_PER_TURN, PULSES_PER_LENGTH, RATE, RATIO, SPEED, System};

/// What can hurt, in the order of how badly.
const CAUTIONS: [&str; 8] = [
    "Oil under pressure goes through skin. Never feel for a leak; after an injection go to a hospital at once, however \
     small it looks.",
    "The meter starts without warning. Engine off, key out, oil without pressure before a hand goes in; no remote valve left \
     in its detent.",
    "Transport locks and stands hold the drill, not its cylinders.",
    "A motor does not slip as a wheel does: it breaks what is caught in the meter.",
    "Return and case drain run free: a coupler that is not home bursts the motor's seal.",
    "Treated seed is poison: respirator and gloves by its label; no dust drift; leftovers are never food or feed.",
    "At a catch one person turns, by hand signals agreed before. Bystanders stay away, at the first spin above all.",
    "Unplug the electronics before welding and jump-starting. The stop cuts the oil without the processor: try it.",
];

/// The sheet of a scenario's drill and seed lots, whose settings have this fingerprint.
pub fn sheet(scenario: &Scenario, fingerprint: &str, system: System) -> Sheet {
    let lots: Vec<&str> = scenario.lots().map(|lot| lot.name.as_str()).collect();
    let mut parts = vec![Part {
        heading: "Drill and seed".to_owned(),
        body: Body::Facts(facts(scenario, fingerprint, system)),
    }];
    for (title, side) in alike(scenario) {
        parts.push(speeds(scenario, side, &title, system));
    }
    parts.push(checklist(scenario, fingerprint, system));
    parts.push(alarms());
    let cautions = CAUTIONS.map(str::to_owned).to_vec();
    parts.push(Part { heading: "Cautions".to_owned(), body: Body::Lines(cautions) });
    Sheet {
        title: format!("{} with {}", scenario.drill.name, lots.join(" and ")),
        demo: scenario.drill.demo || scenario.lots().any(|lot| lot.demo),
        fingerprint: fingerprint.to_owned(),
        parts,
    }
}

/// The sides, those with the same numbers once, with a title.
fn alike(scenario: &Scenario) -> Vec<(String, &Side)> {
    let mut found: Vec<(Vec<&str>, &Side)> = Vec::new();
    let drill = &scenario.drill;
    for side in &drill.sides {
        let same = |other: &Side| {
            other.product == side.product
                && other.width_m.total_cmp(&side.width_m).is_eq()
                && drill.told_of(other) == drill.told_of(side)
        };
        match found.iter_mut().find(|(_, other)| same(other)) {
            Some((names, _)) => names.push(&side.name),
            None => found.push((vec![&side.name], side)),
        }
    }
    let title = |names: &[&str]| match names {
        [one] => format!("Side {one}"),
        several => format!("Sides {}, each", several.join(", ")),
    };
    found.into_iter().map(|(names, side)| (title(&names), side)).collect()
}

/// Names and values.
fn facts(scenario: &Scenario, fingerprint: &str, system: System) -> Vec<[String; 2]> {
    let drill = &scenario.drill;
    let length = |m: f64| LENGTH.show(m, system, 4);
    let mut facts = vec![
        ["settings".to_owned(), fingerprint.to_owned()],
        ["numbers of the drive".to_owned(), drill.numbers()],
        ["lowest sowing speed".to_owned(), SPEED.show(drill.lowest_speed_mps, system, 3)],
        ["ground pulses".to_owned(), PULSES_PER_LENGTH.show(drill.ground_pulses_per_m, system, 5)],
        ground_run(scenario, system),
    ];
    for (product, lot) in scenario.lots().enumerate() {
        let which =
            if scenario.second_lot.is_some() { format!(" {}", product + 1) } else { String::new() };
        facts.push([format!("seed{which}"), lot.name.clone()]);
        facts.push([
            format!("rate{which}, of what is in the bag"),
            RATE.show(lot.rate_kg_per_ha, system, 4),
        ]);
        for &(n, kg) in &lot.curve {
            let at = if lot.curve.len() > 1 {
                format!(" at {:.1} turns/min", 60.0 * n)
            } else {
                String::new()
            };
            facts.push([format!("mass per turn{which}{at}"), MASS_PER_TURN.show(kg, system, 4)]);
        }
        if let Some(Caught { date, catches, uncertainty }) = &lot.caught {
            let sure = uncertainty
                .map_or(String::new(), |share| format!(", ±{}", RATIO.show(share, system, 2)));
            facts.push([format!("caught{which}"), format!("{date}, {catches} times{sure}")]);
        }
    }
    for side in &drill.sides {
        let mass = MASS.show(catch_kg(scenario, side), system, 4);
        facts.push([
            format!("side {}", side.name),
            format!(
                "{} wide, {}{} edges a turn, {CATCH_TURNS:.0} turns give {mass}",
                length(side.width_m),
                outlets(side.outlets),
                side.encoder_pulses_per_turn
            ),
        ]);
    }
    facts
}

/// A number of outlets, where one was named.
fn outlets(number: u32) -> String {
    // One stands for a number that nobody named.
    if number == 1 { String::new() } else { format!("{number} outlets, ") }
}
