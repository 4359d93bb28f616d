//! The board on the live bench: who it is, what came over the line, and whether it gave the same.

use super::number::count;
use crate::live::Difference;
use crate::report::BoardSaid;
use std::fmt::Write;

/// What came of it.
pub(super) fn text(board: &BoardSaid) -> String {
    let BoardSaid { port, build, fingerprint, heard, compared } = board;
    let mut text = format!("Board at {port}: {build}, settings {fingerprint}\n");
    let ticks = usize::try_from(heard.ticks).unwrap_or(usize::MAX);
    let acts = usize::try_from(heard.acts).unwrap_or(usize::MAX);
    let _ = writeln!(
        text,
        "  {} in {}, {}; {} asked again, {} of garbage on the line",
        count(ticks, "tick"),
        count(compared.runs, "run"),
        count(acts, "act"),
        heard.asked_again,
        count(usize::try_from(heard.garbage).unwrap_or(usize::MAX), "piece"),
    );
    if compared.is_equal() {
        text.push_str(
            "  every output of every tick is that of this program's own controller, bit for bit\n",
        );
        return text;
    }
    let _ = writeln!(
        text,
        "  DIFFERS from this program's own controller in {} ticks, {} acts, {} counts",
        compared.differing_ticks, compared.differing_acts, compared.differing_counts
    );
    if let Some(Difference { scenario, run, tick, field, board, bench, .. }) = &compared.first {
        let _ = writeln!(
            text,
            "  first in {scenario}, run {run}, tick {tick}: {field} is {board} on the board and {bench} here"
        );
    }
    text
}
