//! A rating in words.

use crate::rate::{Figures, Kind, Rating, Shares, SpeciesRating};
use crate::unit::{Dimension, LENGTH, MASS, PER_AREA, PER_LENGTH, PER_MASS, RATE, RATIO, System};
use std::fmt::Write as _;

/// The rating in words, people of `system` first.
pub(super) fn text(rating: &Rating, system: System) -> String {
    let mut text = head(rating, system);
    if rating.shares.is_some() {
        for species in &rating.species {
            let _ = writeln!(
                text,
                "\n{}: {} of the bag's mass\n{}",
                species.name,
                share(species.share_of_bag),
                seed(species, system)
            );
            text.push_str(&table(&species.figures, rating, system));
        }
        text.push_str("\nThe mix in all\n");
    } else if let Some(species) = rating.species.first() {
        let _ = writeln!(text, "{}", seed(species, system));
    }
    text.push_str(&table(&rating.total, rating, system));
    text.push_str(&notes(rating));
    text + &next(rating, system)
}

/// What was asked for.
fn head(rating: &Rating, system: System) -> String {
    let (what, kind) = match rating.target.kind {
        Kind::Plants => ("plants", &PER_AREA),
        Kind::Seeds => ("seeds laid", &PER_AREA),
        Kind::LiveSeeds => ("live seeds laid", &PER_AREA),
        Kind::PureLiveSeed => ("pure live seed rate", &RATE),
        Kind::Bag => ("bag rate", &RATE),
    };
    let mut text = match (&rating.name, rating.demo) {
        (Some(name), true) => format!("{name} (demo)\n"),
        (Some(name), false) => format!("{name}\n"),
        (None, _) => String::new(),
    };
    let _ = writeln!(text, "Asked for: {what} {}", kind.show(rating.target.value, system, 4));
    match rating.shares {
        Some(Shares::Mass) => text.push_str("Shares are of the mass of pure live seed.\n"),
        Some(Shares::Seeds) => text.push_str("Shares are of the number of pure live seeds.\n"),
        Some(Shares::Bag) => text.push_str("Shares are of the mass in the bag.\n"),
        None => {}
    }
    text
}

/// What is known of one kind of seed.
fn seed(species: &SpeciesRating, system: System) -> String {
    let mut parts = Vec::new();
    if let Some(count) = species.seeds_per_kg {
        let thousand = gram_or_ounce(1000.0 / count, system);
        parts.push(format!(
            "a thousand seeds weigh {thousand}, {}",
            PER_MASS.show(count, system, 4)
        ));
    }
    match species.pls_share {
        Some(pls) => parts.push(format!("pure live seed is {} of it", share(pls))),
        None => parts.push("pure live seed is not known without germination".to_owned()),
    }
    if !species.purity_given {
        parts.push("purity not given, taken as 100 %".to_owned());
    }
    parts.join("; ")
}

/// A small mass.
fn gram_or_ounce(kg: f64, system: System) -> String {
    let unit = MASS.unit(if system == System::Us { "oz" } else { "g" });
    unit.map_or_else(|| MASS.show(kg, system, 4), |unit| unit.show(kg, 4))
}

/// Every figure in both systems of units, the chosen one first.
fn table(figures: &Figures, rating: &Rating, system: System) -> String {
    let rows: [(&str, Option<f64>, &Dimension); 6] = [
        ("bag rate", Some(figures.bag_kg_per_ha), &RATE),
        ("pure live seed rate", figures.pls_kg_per_ha, &RATE),
        ("seeds laid", figures.seeds_per_m2, &PER_AREA),
        ("of them live", figures.live_seeds_per_m2, &PER_AREA),
        ("plants expected", figures.plants_per_m2, &PER_AREA),
        ("seeds along the row", figures.seeds_per_row_m, &PER_LENGTH),
    ];
    let other = if system == System::Us { System::Metric } else { System::Us };
    let mut text = String::new();
    for (what, value, kind) in rows {
        let Some(value) = value else { continue };
        let (first, second) = (kind.show(value, system, 4), kind.show(value, other, 4));
        let row = match rating.row_m {
            Some(row) if what == "seeds along the row" => {
                format!("  rows {}", row_shown(row, system))
            }
            _ => String::new(),
        };
        let _ = writeln!(text, "  {what:<20} {first:>16} {second:>16}{row}");
    }
    text
}

/// Row spacing.
fn row_shown(row_m: f64, system: System) -> String {
    let unit = LENGTH.unit(if system == System::Us { "in" } else { "cm" });
    unit.map_or_else(|| LENGTH.show(row_m, system, 3), |unit| unit.show(row_m, 3))
}

/// What a reader may take wrong.
fn notes(rating: &Rating) -> String {
    let mut text = "\nThe bag rate is what the drill meters. ".to_owned();
    text.push_str(if rating.total.pls_kg_per_ha.is_some() {
        "The pure live seed rate is the part of it that is alive, hard seed among it;\nhard seed is not counted on for \
         plants of this season.\n"
    } else {
        "The pure live seed rate is not known without germination.\n"
    });
    if rating.species.len() > 1 {
        text.push_str(
            "One meter lays the mix as one seed: seeds of unlike size part in the box. Fill little at a time, and catch\n\
             the mix as it is, not its parts.\n",
        );
    }
    text
}

/// What to do next.
fn next(rating: &Rating, system: System) -> String {
    let bag = RATE.show(rating.total.bag_kg_per_ha, system, 4);
    if rating.fits_seed_file {
        return format!(
            "Next: put the bag rate into your catch sheet or seed file, rate = \"{bag}\", and catch: meterwright catch \
             SHEET --out SEED\n"
        );
    }
    let range = |own| RATE.show(own, system, 3);
    format!(
        "A seed file takes bag rates from {} to {}; {bag} is outside.\nNext: look at the figures above for one that is \
         in another unit than you meant.\n",
        range(0.5),
        range(500.0)
    )
}

/// A share in per cent.
fn share(share: f64) -> String {
    RATIO.show(share, System::Both, 4)
}
