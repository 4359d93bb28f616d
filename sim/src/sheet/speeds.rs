//! What each ground speed asks of the drive and gets done.

use super::{Body, Part};
use crate::desk::field;
use crate::scenario::{Drill, Scenario, Side};
use crate::unit::{FLOW, MASS_FLOW, SPEED, System, Unit, WORK_RATE};

/// Most rows of the table.
const ROWS: usize = 13;

/// Ground speeds in round numbers that the drill may work at: every km/h, or every half mph.
fn round_speeds(drill: &Drill, system: System) -> (Vec<f64>, Option<&'static Unit>) {
    let (unit, step) = match system {
        System::Us => (SPEED.unit("mph"), 0.5),
        System::Metric | System::Both => (SPEED.unit("km/h"), 1.0),
    };
    let own = |number: f64| unit.map_or(number, |unit| unit.to_own(number));
    let speeds = (1..=40_u32).map(|index| own(f64::from(index) * step));
    let speeds =
        speeds.filter(|&speed| speed >= drill.lowest_speed_mps && speed >= own(2.0 * step));
    (speeds.take(ROWS).collect(), unit)
}

/// The table of a side, or of several that are alike.
pub(super) fn speeds(scenario: &Scenario, side: &Side, title: &str, system: System) -> Part {
    let drill = &scenario.drill;
    let lot = scenario.lot(side.product);
    let full = drill.told_of(side).full_turns_per_s();
    let (speeds, unit) = round_speeds(drill, system);
    let number = |unit: Option<&Unit>, own: f64| unit.map_or(own, |unit| unit.from_own(own));
    let row = |&speed: &f64| {
        let n = speed * lot.turns_per_m(side.width_m, speed);
        let oil = drill.hydraulics.as_ref().map(|oil| oil.flow_m3_per_s(n));
        let ground = field::capacity_m2_per_s(side.width_m, speed, 1.0);
        let reached = if n > full { "too fast" } else { "" };
        vec![
            format!("{:.1}", number(unit, speed)),
            format!("{:.2}", 60.0 * n),
            oil.map_or("–".to_owned(), |oil| {
                format!("{:.2}", number(FLOW.preferred(system), oil))
            }),
            format!("{:.2}", number(WORK_RATE.preferred(system), ground)),
            format!(
                "{:.1}",
                number(MASS_FLOW.preferred(system), ground * lot.rate_kg_per_ha * 1e-4)
            ),
            reached.to_owned(),
        ]
    };
    let symbol = |unit: Option<&'static Unit>| unit.map_or("", |unit| unit.symbol());
    Part {
        heading: title.to_owned(),
        body: Body::Table {
            head: vec![
                symbol(unit).to_owned(),
                "turns/min".to_owned(),
                format!("oil, {}", symbol(FLOW.preferred(system))),
                symbol(WORK_RATE.preferred(system)).to_owned(),
                symbol(MASS_FLOW.preferred(system)).to_owned(),
                String::new(),
            ],
            rows: speeds.iter().map(row).collect(),
            note: if drill.hydraulics.is_some() {
                "Ground and seed without turns and stops; oil with the motor's loss.".to_owned()
            } else {
                "Ground and seed without turns and stops. For the oil, [hydraulics] belongs in the drill file.".to_owned()
            },
        },
    }
}
