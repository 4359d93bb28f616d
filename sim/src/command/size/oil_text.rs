//! The oil side in words: torque against what the meter bears, and what would do better.

use super::text::words;
use crate::size::{Alternative, Oil, Sizing};
use crate::unit::{DISPLACEMENT, FLOW, PRESSURE, SPEED, System, TORQUE};
use std::fmt::Write as _;

/// Torque and flow.
pub(super) fn oil(oil: &Oil, system: System) -> String {
    let torque = |nm| TORQUE.show(nm, system, 3);
    let pressure = |pa| PRESSURE.show(pa, system, 3);
    let flow = |m3_per_s| FLOW.show(m3_per_s, system, 3);
    let pin = oil.shear_pin_nm.map(|nm| format!("; its shear pin parts at {}", torque(nm)));
    let text = format!(
        "\nOil: a motor of {}, {:.4} turns for one of the meter shaft\n  turning the meter takes  {} at its shaft: a drop of \
         {} over the motor\n  the relief, at {}, turns it with up to {}, {:.1} times what it takes\n  a blocked meter feels    \
         {}, without the loss of the motor\n  the meter bears          {}{}\n  all sides together take  {} at the fastest speed \
         wanted; the tractor spares {}\n",
        DISPLACEMENT.show(oil.displacement_m3, system, 3),
        oil.ratio,
        torque(oil.meter_torque_nm),
        pressure(oil.drop_pa),
        pressure(oil.relief_pa),
        torque(oil.turning_torque_nm),
        oil.reserve,
        torque(oil.blocked_torque_nm),
        torque(oil.bearable_torque_nm),
        pin.unwrap_or_default(),
        flow(oil.flow_at_wanted_m3_per_s),
        flow(oil.tractor_flow_m3_per_s),
    );
    text + &finding(oil, system)
}

/// What the torques mean.
fn finding(oil: &Oil, system: System) -> String {
    let torque = |nm| TORQUE.show(nm, system, 3);
    let at_most = PRESSURE.show_at_most(oil.relief_at_most_pa, system, 3);
    let manual = "  The manuals of drill, motor and tractor come first; have a relief valve set by people qualified in \
                  hydraulics, with the\n  pressure off and nobody near the shaft.\n";
    if !oil.turns_the_meter {
        return format!(
            "  NOT ENOUGH: the relief setting does not turn the meter, which takes {}. A larger motor or more turns of it for \
             one of\n  the shaft would.\n{manual}",
            torque(oil.meter_torque_nm)
        );
    }
    if !oil.spares_the_meter {
        return format!(
            "  DANGER: a hydraulic motor does not slip as a wheel does. At this relief setting it puts {} on a shaft that \
             bears {}:\n  something breaks when the meter is blocked, and parts may fly. Set the relief to at most {at_most}, \
             or fit a shear pin that\n  parts below {}.\n{manual}",
            torque(oil.blocked_torque_nm),
            torque(oil.bearable_torque_nm),
            torque(oil.bearable_torque_nm),
        );
    }
    let pin = if oil.blocked_torque_nm > oil.bearable_torque_nm {
        "only its shear pin spares it then: never put a stronger one in its place"
    } else if oil.shear_pin_nm.is_some_and(|pin| pin > oil.bearable_torque_nm) {
        "it bears that, though not the torque at which its shear pin parts: such a pin spares nothing"
    } else if oil.shear_pin_nm.is_some_and(|pin| pin < oil.blocked_torque_nm) {
        "its shear pin parts before that"
    } else {
        "it bears that"
    };
    format!(
        "  A hydraulic motor does not slip as a wheel does: a blocked meter feels all of it, and {pin}.\n  Keep the relief at or \
         below {at_most}.\n{manual}"
    )
}

/// Ratios and motors that would do better.
pub(super) fn alternatives(sizing: &Sizing, system: System) -> String {
    if sizing.oil.is_none() {
        return String::new();
    }
    let speed = |mps| SPEED.show(mps, system, 3);
    let wanted = format!("{} to {}", speed(sizing.wanted_from_mps), speed(sizing.wanted_to_mps));
    if sizing.alternatives.is_empty() {
        return format!(
            "\nOf the usual motors on the usual sprockets none does better at {wanted} within these torques.\n"
        );
    }
    let mut text = format!(
        "\nRatios and motors that would do better at {wanted}, the best first (now: {} to {}, room {:.2})\n  {:>10} {:>19} \
         {:>22} {:>5} {:>10} {:>13}  binds at the top\n",
        speed(sizing.from_mps),
        speed(sizing.to_mps),
        sizing.room,
        "motor",
        "ratio",
        "range",
        "room",
        "flow",
        "relief"
    );
    for row in &sizing.alternatives {
        text.push_str(&alternative(row, system));
    }
    text.push_str(
        "  Room: how many times further than wanted the range reaches at its tighter end, up to 2. Flow: of all sides, at the \
         fastest\n  speed wanted. Sizes of motors and teeth are common practice, their speeds are reckoned from those of your \
         motor: before you\n  buy one, hold its data sheet against this table, and size it with its own numbers.\n",
    );
    text
}

/// A row of them.
fn alternative(row: &Alternative, system: System) -> String {
    let relief = PRESSURE.show(row.relief_pa, system, 3);
    let ratio = format!("{:.3} ({} : {})", row.ratio, row.motor_teeth, row.shaft_teeth);
    let range =
        format!("{} to {}", SPEED.show(row.from_mps, system, 3), SPEED.show(row.to_mps, system, 3));
    let relief = if row.relief_lowered { format!("at most {relief}") } else { relief };
    let mut text = String::new();
    let _ = writeln!(
        text,
        "  {:>10} {ratio:>19} {range:>22} {:>5.2} {:>10} {relief:>13}  {}",
        DISPLACEMENT.show(row.displacement_m3, system, 3),
        row.room,
        FLOW.show(row.flow_m3_per_s, system, 3),
        words(row.to_by)
    );
    text
}
