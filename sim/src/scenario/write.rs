//! Writes a scenario file that repeats a replay.

use super::{Bound, Gnss, Source, Tolerance};
use crate::unit::{SPEED, TIME};
use std::path::Path;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, value};

/// What a replay was made of. Paths stand in the file as they are here: relative to the scenario
/// file's folder, or absolute.
#[derive(Clone, Copy, Debug)]
pub struct Replay<'a> {
    /// One line that says what is tried.
    pub title: &'a str,
    /// The drill file.
    pub drill: &'a Path,
    /// The seed file.
    pub seed: &'a Path,
    /// The recorded track.
    pub log: &'a Path,
    /// Where the controller's ground speed comes from.
    pub source: &'a Source,
    /// What must hold for a pass.
    pub tolerances: &'a [Tolerance],
}

/// The scenario file, as text; read back, it repeats the replay to the bit.
pub fn to_toml(replay: &Replay<'_>) -> String {
    let mut document = DocumentMut::new();
    document["title"] = value(replay.title);
    document["drill"] = value(name(replay.drill));
    document["seed"] = value(name(replay.seed));
    let mut speed = Table::new();
    speed["log"] = value(name(replay.log));
    document["speed"] = Item::Table(speed);
    document["source"] = Item::Table(source(replay.source));
    if !replay.tolerances.is_empty() {
        document["tolerance"] = Item::Table(tolerances(replay.tolerances));
    }
    document.to_string()
}

/// A path as it stands in a file, with slashes whatever the system.
fn name(path: &Path) -> String {
    path.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/")
}

/// `[source]`.
fn source(source: &Source) -> Table {
    let mut table = Table::new();
    match source {
        Source::Pulses => table["kind"] = value("pulses"),
        Source::Gnss(Gnss { interval_s, latency_s, noise_mps, seeds }) => {
            table["kind"] = value("gnss");
            table["interval"] = value(TIME.write(*interval_s));
            table["latency"] = value(TIME.write(*latency_s));
            table["noise"] = value(SPEED.write(*noise_mps));
            let seeds = seeds.iter().filter_map(|&seed| i64::try_from(seed).ok());
            table["seeds"] = value(seeds.collect::<Array>());
        }
        Source::Bus(bus) => {
            table["kind"] = value(bus.group.kind());
            table["latency"] = value(TIME.write(bus.latency_s));
        }
    }
    table
}

/// `[tolerance]`; several bounds of one figure share its line.
fn tolerances(tolerances: &[Tolerance]) -> Table {
    let mut table = Table::new();
    for Tolerance { figure, bound } in tolerances {
        let (key, limit) = match *bound {
            Bound::AtLeast(limit) => ("at_least", limit),
            Bound::AtMost(limit) => ("at_most", limit),
            Bound::Within(limit) => ("within", limit),
        };
        let line = table.entry(figure).or_insert(value(InlineTable::new()));
        line[key] = value(limit);
    }
    table
}
