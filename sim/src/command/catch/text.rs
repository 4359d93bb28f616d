//! A catch test in words.

use super::CatchOptions;
use crate::catch::{Found, Outlets, SCALE_SHARE, Scale, Speed};
use crate::command::say;
use crate::unit::{Dimension, MASS, RATE, RATIO, SHAFT_SPEED, System};
use std::fmt::Write as _;

/// The test in words.
pub(super) fn text(found: &Found, options: &CatchOptions, system: System) -> String {
    let mut text = head(found);
    text.push_str(&table(found, system));
    for speed in &found.speeds {
        text.push_str(&speed_text(speed, found, system));
    }
    text.push_str(&spread(found, system));
    if let Some(scale) = &found.scale {
        text.push_str(&scale_text(scale, system));
    }
    text.push_str(&ground(found, system));
    text + &ending(found, options)
}

/// What was caught.
fn head(found: &Found) -> String {
    let mut parts = Vec::new();
    if let Some(name) = &found.name {
        parts.push(if found.demo { format!("{name} (demo)") } else { name.clone() });
    }
    parts.extend(found.date.clone());
    let count = found.catches.len();
    parts.push(format!(
        "{count} {} on a shaft of {} outlets",
        plural(count, "catch", "catches"),
        found.outlets
    ));
    parts.join(", ") + "\n"
}

/// One row a catch.
fn table(found: &Found, system: System) -> String {
    let noted = found.speeds.iter().any(|it| it.turns_per_s.is_some());
    let shaft = if noted { "       shaft" } else { "" };
    let mut text = format!("\n  catch   turns{shaft}  outlets      caught  a turn, all outlets\n");
    for (at, catch) in found.catches.iter().enumerate() {
        let shaft = catch.turns_per_s.map(|it| format!("{:>12}", SHAFT_SPEED.show(it, system, 3)));
        let _ = writeln!(
            text,
            "  {:>5}{:>8}{}{:>9}{:>12}{:>21}",
            at + 1,
            catch.turns,
            shaft.unwrap_or_default(),
            catch.caught,
            light(catch.net_kg, system, 5),
            light(catch.kg_per_turn, system, 5)
        );
    }
    text
}

/// Mean and scatter at one shaft speed.
fn speed_text(speed: &Speed, found: &Found, system: System) -> String {
    let at = speed.turns_per_s.map(|it| format!(" at {}", SHAFT_SPEED.show(it, system, 3)));
    let mut text = format!(
        "\nMass per turn of the whole shaft, all {} outlets{}: {}\n",
        found.outlets,
        at.unwrap_or_default(),
        light(speed.kg_per_turn, system, 5)
    );
    let (Some(cv), Some(from), Some(within), Some(uncertainty)) =
        (speed.cv_pct, speed.cv_from_pct, speed.mean_within_pct, speed.uncertainty_pct)
    else {
        text.push_str(unknown(speed));
        return text;
    };
    let to = speed
        .cv_to_pct
        .map_or_else(|| "without upper bound".to_owned(), |it| format!("to {}", pct(it)));
    let _ = writeln!(
        text,
        "  scatter from catch to catch: CV {}; with {} catches the true one lies from {} {to} (95 %)",
        pct(cv),
        speed.catches,
        pct(from)
    );
    let _ = writeln!(text, "  mean by that scatter alone:  ± {} (95 %)", pct(within));
    let _ = writeln!(
        text,
        "  so the rate may be off by:   ± {}{}; wished ± {}: {}",
        pct(uncertainty),
        parts(found),
        pct(found.wished_pct),
        if speed.enough { "good enough" } else { "not good enough" }
    );
    text.push_str(&more(speed, found));
    text
}

/// Why it is not known how far the rate may be off.
const fn unknown(speed: &Speed) -> &'static str {
    if speed.catches == 1 {
        "  One catch: nothing can be said of scatter, nor of how far the rate may be off.\n"
    } else if speed.cv_pct.is_none() {
        "  The weighings are alike, and the step of the scale is not told: nothing can be said of scatter. Tell the scale.\n"
    } else {
        "  Nothing is known of the outlets that were not caught, nor so of how far the rate may be off: catch all of them, \
         or weigh some\n  one by one (masses in a sheet).\n"
    }
}

/// What besides the catches is in the error.
fn parts(found: &Found) -> String {
    let uncaught = found.outlet_spread.as_ref().and_then(|it| it.uncaught_within_pct);
    match uncaught {
        Some(share) if share > 0.0 => {
            format!(", ± {} of it by the outlets that were not caught", pct(share))
        }
        _ => String::new(),
    }
}

/// How many more catches.
fn more(speed: &Speed, found: &Found) -> String {
    if speed.enough {
        return String::new();
    }
    let uncaught = found.outlet_spread.as_ref().and_then(|it| it.uncaught_within_pct);
    match speed.more_catches {
        Some(more) => format!(
            "  {more} more {} would bring it there if the scatter stays as it is.\n",
            plural(usize::try_from(more).unwrap_or(usize::MAX), "catch", "catches")
        ),
        None if uncaught.is_some_and(|it| it >= found.wished_pct) => {
            "  No number of catches from these outlets brings it there: catch more outlets.\n".to_owned()
        }
        None => "  No number of such catches brings it there: turn longer in each, and look for the cause.\n".to_owned(),
    }
}

/// Outlets side by side.
fn spread(found: &Found, system: System) -> String {
    let Some(outlets) = &found.outlet_spread else {
        if found.catches.iter().all(|it| it.caught == found.outlets) {
            return String::new();
        }
        return "\nThe outlets were weighed together: how far those that were not caught differ is not known, and not in \
                the error.\n"
            .to_owned();
    };
    let mut text = format!(
        "\nOutlets, in {} turns: mean {}, ± 5 % is {} to {}{}\n",
        outlets.turns,
        light(outlets.mean_kg, system, 5),
        light(outlets.from_kg, system, 5),
        light(outlets.to_kg, system, 5),
        outlets.cv_pct.map(|it| format!("; spread: CV {}", pct(it))).unwrap_or_default()
    );
    text.push_str(&each(outlets, system));
    if let Some(within) = outlets.uncaught_within_pct.filter(|&it| it > 0.0) {
        let _ = writeln!(
            text,
            "  by this spread the mean of all {} outlets is within ± {} of theirs (95 %)",
            found.outlets,
            pct(within)
        );
    }
    text
}

/// Every outlet that is outside, or a word that none is.
fn each(outlets: &Outlets, system: System) -> String {
    if outlets.outside == 0 {
        return format!("  all {} within the band\n", outlets.each.len());
    }
    let mut text = String::new();
    for outlet in outlets.each.iter().filter(|it| !it.inside) {
        let _ = writeln!(
            text,
            "  outlet {} of the list: {}, {:+.1} %: outside; look for a blocked tube, a worn or misset meter",
            outlet.number,
            light(outlet.kg, system, 5),
            outlet.off_pct
        );
    }
    text
}

/// The scale against what it weighed.
fn scale_text(scale: &Scale, system: System) -> String {
    let word = if scale.fine { "fine enough" } else { "coarse" };
    let turns = format!(
        "{} turns or more keep it below {}",
        scale.turns,
        RATIO.show(SCALE_SHARE, System::Both, 2)
    );
    format!(
        "\nScale: its step of {} is {} of the lightest weighed, {}: {word}; {turns}.\n",
        light(scale.step_kg, system, 3),
        pct(scale.step_pct),
        light(scale.lightest_kg, system, 5)
    )
}

/// What a ground-driven shaft lays.
fn ground(found: &Found, system: System) -> String {
    let Some(ground) = &found.ground else { return String::new() };
    let rate = |own| RATE.show(own, system, 5);
    let accepted = ground.from_kg_per_ha.zip(ground.to_kg_per_ha).map(|(from, to)| {
        let word = if (from..=to).contains(&ground.kg_per_ha) { "within" } else { "outside" };
        format!("; {word} ± 5 % of the rate, {} to {}", rate(from), rate(to))
    });
    format!(
        "\nDriven by its ground wheel, the drill lays {}{}.\n",
        rate(ground.kg_per_ha),
        accepted.unwrap_or_default()
    )
}

/// Whether to catch again, what was written, what is next.
fn ending(found: &Found, options: &CatchOptions) -> String {
    let mut text = "\n".to_owned();
    let single = found.speeds.iter().any(|it| it.catches < 2);
    if found.good {
        text.push_str("Good enough: no need to catch again.\n");
    } else if single {
        text.push_str(
            "Catch again: at least twice more at each shaft speed, with the same settings.\n",
        );
    } else if found.speeds.iter().any(|it| !it.enough) {
        text.push_str("Catch again: the mean is not known to the wished error.\n");
    } else {
        text.push_str("Put the outlets outside the band right, then catch again.\n");
    }
    if !found.good {
        text.push_str(
            "Before you reach to an outlet: shaft stopped, oil shut off, nobody at the controls. Treated seed: gloves and mask \
             as its label says.\n",
        );
    }
    match &options.out {
        Some(out) if found.good => {
            let _ = write!(
                text,
                "wrote {0}\nNext: see whether the drive suits it: meterwright size DRILL {0}\n",
                say::typed(out)
            );
        }
        Some(out) => {
            let _ = write!(
                text,
                "wrote {} all the same\nNext: catch again and write it anew with --replace.\n",
                say::typed(out)
            );
        }
        None if found.good => text.push_str("Next: write the seed file: add --out SEED\n"),
        None => text.push_str(
            "Next: catch again and add the catches, then write the seed file with --out SEED\n",
        ),
    }
    text
}

/// A share that is already in per cent.
fn pct(percent: f64) -> String {
    RATIO.show(percent / 100.0, System::Both, 3)
}

/// A mass in grams or ounces, from a kilogram or pound on in those.
fn light(kg: f64, system: System, digits: usize) -> String {
    let mass: &Dimension = &MASS;
    let large = mass.preferred(system).filter(|unit| unit.from_own(kg) >= 1.0);
    let small = mass.unit(if system == System::Us { "oz" } else { "g" });
    large.or(small).map_or_else(|| mass.show(kg, system, digits), |unit| unit.show(kg, digits))
}

/// A word by number.
const fn plural(count: usize, one: &'static str, many: &'static str) -> &'static str {
    if count == 1 { one } else { many }
}
