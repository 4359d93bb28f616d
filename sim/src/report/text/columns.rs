//! The columns of the table: a row a scenario.

use super::grid::{Column, Group, lines};
use super::number::{plain, signed};
use super::setups::Setups;
use crate::report::{Judged, Results};
use crate::score::Score;
use crate::unit::{LENGTH, System};
use crate::verdict::Verdict;

/// The table with what its heads mean below.
pub(super) fn table(results: &Results<'_>, setups: &Setups<'_>) -> String {
    let rows = Rows(results.judged);
    let unit = LENGTH.preferred(results.system).map_or("m", |unit| unit.symbol());
    let length = |value| signed(length_in(results.system, value), 2);
    let groups = [
        Group {
            head: ["", ""],
            columns: vec![
                rows.words("scenario", |it| it.scenario.clone()),
                rows.words("set-up", |it| setups.letter(it)),
                rows.verdicts(),
            ],
        },
        Group {
            head: ["share of ground, %,", "within"],
            columns: vec![
                rows.score("±3 %", |it| plain(it.within_3_pct, 2)),
                rows.score("±5 %", |it| plain(it.within_5_pct, 2)),
                rows.score("±10 %", |it| plain(it.within_10_pct, 2)),
            ],
        },
        Group {
            head: ["typical miss (rms), %:", "ours and comparison laws"],
            columns: vec![
                rows.score("ours", |it| plain(it.rms_pct, 2)),
                rows.numbers("chain", |it| plain(it.rivals.chain.rms_pct, 2)),
                rows.numbers("plain", |it| plain(it.rivals.plain.rms_pct, 2)),
                rows.numbers("limit", |it| plain(it.rivals.limit.rms_pct, 3)),
                rows.score("ours/limit", |it| plain(it.floor_ratio, 1)),
            ],
        },
        Group {
            head: ["worst", "miss"],
            columns: vec![rows.score("%", |it| signed(it.worst_pct, 1))],
        },
        Group {
            head: ["seed", "laid"],
            columns: vec![rows.score("%", |it| signed(it.mass_pct, 2))],
        },
        Group {
            head: ["skip at", "start"],
            columns: vec![rows.score(unit, |it| length(it.start_error_m))],
        },
        Group {
            head: ["overrun", "at end"],
            columns: vec![rows.score(unit, |it| length(it.stop_error_m))],
        },
        Group {
            head: ["counted, off", "by, %"],
            columns: vec![
                rows.score("area", |it| signed(it.tally_area_pct, 3)),
                rows.score("seed", |it| signed(it.tally_mass_pct, 3)),
            ],
        },
    ];
    lines(&groups) + LEGEND
}

/// What the heads mean.
const LEGEND: &str = "
chain: ground wheel and chain; plain: latest speed value, no tracker, no lead; limit: the best this \
machine can do.
worst, seed laid, counted: + too much, - too little; skip: + late, - early; overrun: + too long, \
- cut short; –: does not apply.
";

/// A length in the reader's unit.
fn length_in(system: System, metres: f64) -> f64 {
    LENGTH.preferred(system).map_or(metres, |unit| unit.from_own(metres))
}

/// Makes columns from the rows.
struct Rows<'a>(&'a [Judged]);

impl Rows<'_> {
    fn column(&self, head: &str, words: bool, cell: impl Fn(&Verdict) -> String) -> Column {
        let cells = self.0.iter().map(|judged| cell(&judged.verdict)).collect();
        Column { head: head.to_owned(), words, cells }
    }

    fn verdicts(&self) -> Column {
        let cells = self.0.iter().map(|judged| judged.word().to_owned()).collect();
        Column { head: "verdict".to_owned(), words: true, cells }
    }

    fn words(&self, head: &str, cell: impl Fn(&Verdict) -> String) -> Column {
        self.column(head, true, cell)
    }

    fn numbers(&self, head: &str, cell: impl Fn(&Verdict) -> String) -> Column {
        self.column(head, false, cell)
    }

    fn score(&self, head: &str, cell: impl Fn(&Score) -> String) -> Column {
        self.numbers(head, |verdict| cell(&verdict.score))
    }
}
