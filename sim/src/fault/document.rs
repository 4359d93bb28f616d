//! The sweep as a program reads it: one JSON document, keys as in `docs/schema.md`.

use super::inject::Lasting;
use super::pair::{Pair, Shown};
use super::report::{Faults, stated, worst_told};
use super::sweep::Row;
use super::trial::Class;
use crate::report::SCHEMA_VERSION;
use serde_json::{Value, json};

impl Faults {
    /// The report of a program.
    #[must_use]
    pub fn document(&self) -> String {
        let rows: Vec<Value> = self.sweep.rows.iter().map(entry).collect();
        let pairs: Vec<Value> = self.pairs.iter().map(pair).collect();
        let document = json!({
            "schema_version": SCHEMA_VERSION,
            "command": "faults",
            "exit_code": u8::from(!self.hold()),
            "injections": self.sweep.injections(),
            "healthy_invariants_broken": self.sweep.healthy_broken.len(),
            "settings_flips": self.bytes.tried,
            "settings_flips_refused": self.bytes.refused,
            "rows": rows,
            "pairs": pairs,
        });
        format!("{document:#}\n")
    }
}

fn entry(row: &Row) -> Value {
    let items: Vec<u8> = row.statement.items.iter().map(|item| item.number()).collect();
    json!({
        "fault": row.fault.name,
        "does": row.fault.does,
        "fitted": row.setup.word(),
        "blip_ms": match row.lasting { Lasting::Blip(millis) => Some(millis), Lasting::Latched => None },
        "injections": row.trials.len(),
        "no_effect": row.count(Class::WithoutEffect),
        "told": row.count(Class::Told),
        "small": row.count(Class::Small),
        "hidden": row.count(Class::Hidden),
        "missed": row.count(Class::Missed) + row.count(Class::Unexplained),
        "watch_items": items,
        "told_after_s": worst_told(row),
        "stated_s": stated(row),
        "stated_how": row.statement.formula,
        "unseen_at_most_g": row.statement.unseen_g,
        "wrong_until_told_g": row.worst(|trial| trial.until_told_g),
        "wrong_by_end_g": row.worst(|trial| trial.to_end_g),
        "invariant_broken": row.broken().map(|(_, _, rule)| rule.words()),
        "verdict": row.verdict(),
    })
}

fn pair((pair, shown): &(Pair, Shown)) -> Value {
    let [faulty, healthy, helps] = pair.words();
    json!({
        "faulty": faulty,
        "healthy": healthy,
        "helps": helps,
        "ticks": shown.ticks,
        "differs_at": shown.differs,
    })
}
