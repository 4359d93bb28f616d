//! The head of the picture: what was run, the verdict, the figures.

use super::palette::{GOOD, OUT, SOFT};
use super::sheet::{Ink, Sheet, width_of};
use super::{LEFT, WIDTH};
use crate::report::text::words;
use crate::report::{Judged, Record, Results};
use crate::unit::{LENGTH, System};
use crate::verdict::Verdict;

/// Most misses that are listed.
const MISSES: usize = 4;

/// Draws the head; gives the height below it.
pub(super) fn draw(
    sheet: &mut Sheet,
    results: &Results<'_>,
    judged: &Judged,
    record: &Record,
) -> f64 {
    let verdict = &judged.verdict;
    sheet.words(&verdict.title, (LEFT, 36.0), Ink::plain(22.0).bold());
    badge(sheet, judged);
    sheet.words(
        &setup(verdict, record, results.system),
        (LEFT, 60.0),
        Ink::plain(14.0).colour(SOFT),
    );
    sheet.words(&figures(verdict, results.system), (LEFT, 84.0), Ink::plain(14.5));
    let mut below = 92.0;
    for miss in verdict.misses.iter().take(MISSES) {
        let line =
            format!("missed: {} wanted {}, have {:.2}", words(&miss.figure), miss.bound, miss.have);
        below += 18.0;
        sheet.words(&line, (LEFT, below - 4.0), Ink::plain(13.5).colour(OUT).bold());
    }
    below + 10.0
}

/// The verdict in a coloured box.
fn badge(sheet: &mut Sheet, judged: &Judged) {
    let word = &judged.word().to_uppercase();
    let colour = match (judged.verdict.pass, judged.tolerances) {
        (false, _) => OUT,
        (true, 0) => SOFT,
        (true, _) => GOOD,
    };
    let width = width_of(word, 18.0) + 36.0;
    let left = WIDTH - 28.0 - width;
    sheet.fill((left, 16.0), (width, 30.0), colour);
    let ink = Ink::plain(18.0).anchor("middle").bold().colour("#ffffff");
    sheet.words(word, (left + width / 2.0, 37.0), ink);
}

/// Scenario, drill, seed lot, speed source.
fn setup(verdict: &Verdict, record: &Record, system: System) -> String {
    let Verdict { scenario, drill, seed_lot, demo, .. } = verdict;
    let (source, _) = verdict.words(system);
    let seed = record.noise_seed.map(|seed| format!(", noise seed {seed}")).unwrap_or_default();
    let demo = if *demo { "  ·  demonstration data" } else { "" };
    format!("{scenario}  ·  {drill}  ·  {seed_lot}  ·  speed from {source}{seed}{demo}")
}

/// The figures in words. With several noise seeds they are the worst of all, not of the run drawn.
fn figures(verdict: &Verdict, system: System) -> String {
    let score = &verdict.score;
    let worst = if verdict.runs > 1 {
        format!("  (worst of {} noise seeds)", verdict.runs)
    } else {
        String::new()
    };
    let parts = [
        format!("ground within ±5 %: {:.1} %", score.within_5_pct),
        format!("typical miss {:.2} %", score.rms_pct),
        format!("worst {:+.1} %", score.worst_pct),
        format!("seed laid {:+.2} %", score.mass_pct),
        format!("skip at the start {}", LENGTH.show(score.start_error_m, system, 2)),
        format!("overrun at the end {}", LENGTH.show(score.stop_error_m, system, 2)),
    ];
    parts.join("  ·  ").replace('-', "−") + &worst
}
