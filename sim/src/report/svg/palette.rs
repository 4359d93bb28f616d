//! Colours of Okabe and Ito (2008), told apart by colour-blind eyes, and greys.

/// Text, axes.
pub(super) const INK: &str = "#222222";
/// Lesser text.
pub(super) const SOFT: &str = "#555555";
/// Grid lines.
pub(super) const GRID: &str = "#dddddd";
/// Background where no seed is asked for.
pub(super) const IDLE: &str = "#efefef";
/// What is asked for, or true and given: drawn wide and light.
pub(super) const WANTED: &str = "#E69F00";
/// What is there: drawn thin and dark.
pub(super) const HAVE: &str = "#0072B2";
/// The band that is aimed at.
pub(super) const BAND: &str = "#CDE9E0";
/// What is out of its band.
pub(super) const OUT: &str = "#D55E00";
/// Cells that are excused.
pub(super) const EXCUSED: &str = "#9a9a9a";
/// A kept tolerance.
pub(super) const GOOD: &str = "#00795A";

/// Fill and ink of a state.
pub(super) fn state(word: &str) -> (&'static str, &'static str) {
    match word {
        "sowing" => ("#009E73", "#ffffff"),
        "lifted" => ("#C8C8C8", INK),
        "slow" => ("#F0E442", INK),
        "ready" => ("#56B4E9", INK),
        "catch" => ("#0072B2", "#ffffff"),
        "lost" => ("#D55E00", "#ffffff"),
        "stopped" => ("#CC79A7", INK),
        _ => ("#ffffff", INK),
    }
}

/// How much a state matters when several share a pixel; more is drawn over less.
pub(super) fn weight(word: &str) -> u8 {
    match word {
        "lost" => 7,
        "stopped" => 6,
        "catch" => 5,
        "slow" => 4,
        "off" => 3,
        "lifted" => 2,
        "ready" => 1,
        _ => 0,
    }
}
