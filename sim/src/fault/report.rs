//! The sweep as a person reads it.
//!
//! One line a fault, set-up and length; then what could not be told, each with the pair of situations that proves it;
//! then what is not as stated.

use super::bytes::Flips;
use super::inject::Lasting;
use super::pair::{Pair, Shown};
use super::setup::Setup;
use super::stated::Shows;
use super::sweep::{Row, Sweep};
use super::trial::Class;
use crate::unit::{MASS, System};
use serde::Serialize;
use std::fmt::Write;

/// A sweep with the pairs that were run.
#[derive(Clone, Debug)]
pub struct Faults {
    /// The sweep.
    pub sweep: Sweep,
    /// Every pair and what its two runs showed.
    pub pairs: Vec<(Pair, Shown)>,
    /// Bits flipped in the settings image.
    pub bytes: Flips,
}

/// What became of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Told whenever due.
    Told,
    /// No time is stated: told here and there, and where not, no more seed wrongly laid than is stated.
    ToldOrSmall,
    /// Nothing tells it; it lays no more seed wrongly than is stated.
    Tolerated,
    /// Nothing changes at all.
    NoEffect,
    /// Told where it can be; the rest is proved untellable by a pair.
    ToldInPart,
    /// Proved untellable by a pair.
    Untellable,
    /// Something could tell it and nothing does; it lays no more seed wrongly than is stated.
    Unwatched,
    /// Not as stated.
    Wrong,
}

impl Verdict {
    const fn words(self) -> &'static str {
        match self {
            Self::Told => "told in time",
            Self::ToldOrSmall => "told or small",
            Self::Tolerated => "tolerated",
            Self::NoEffect => "no effect",
            Self::ToldInPart => "told in part *",
            Self::Untellable => "cannot be told *",
            Self::Unwatched => "NOT WATCHED !",
            Self::Wrong => "NOT AS STATED",
        }
    }
}

impl Row {
    /// What became of it.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        let (told, hidden) = (self.count(Class::Told), self.count(Class::Hidden));
        if !self.holds() {
            return Verdict::Wrong;
        }
        let dear = self.worst(|trial| trial.until_told_g) > DEAR_G;
        if self.statement.unwatched.is_some() && dear && told < self.trials.len() {
            return Verdict::Unwatched;
        }
        match (told, hidden, self.count(Class::Small)) {
            (0, 0, 0) => Verdict::NoEffect,
            (0, 0, _) => Verdict::Tolerated,
            (_, 0, _) if stated(self).is_none() => Verdict::ToldOrSmall,
            (_, 0, _) => Verdict::Told,
            (0, _, _) => Verdict::Untellable,
            (_, _, _) => Verdict::ToldInPart,
        }
    }
}

/// A fault that is not watched and lays more seed wrongly than this is named, g.
const DEAR_G: f64 = 50.0;

/// Seed that a cycle lays, kg.
const CYCLE_KG: f64 = 2.8;

const HEAD: &str = "\
fault                    fitted    how       tries  no effect  told  small  hidden  told after   stated  wrong till told  wrong by end  verdict
                                                                                     at worst                  at worst      at worst
";

const LEGEND: &str = "\
tries      injections, one every so often through work, lift, turn, lower, work; a blip is over after the time shown
no effect  every output and the seed on the soil as in the healthy run, tick by tick
told       by the stated item of the watch, or by the stop, once the fault showed for no longer than stated; where no
           time is stated, whenever it was, and the verdict is \"told or small\"
small      over, or not to be seen yet, and no more seed wrongly laid than is stated for it
hidden     not told, and of a kind that a pair of runs below proves untellable; the pair stands for its kind
wrong      seed on the soil that differs from the healthy run's, in a cycle that lays about 2.8 kg; after a stop the seed
           that is then missing counts until the operator switches off and on, so \"by end\" is large where the drill stops
";

impl Faults {
    /// Everything is as stated and every pair shows the same inputs.
    #[must_use]
    pub fn hold(&self) -> bool {
        self.bytes.taken == 0
            && self.sweep.holds()
            && self.pairs.iter().all(|(_, shown)| shown.differs.is_none())
    }

    /// The report of a person.
    #[must_use]
    pub fn text(&self, system: System) -> String {
        let mut text = format!(
            "{} injections of {} into a headland cycle of 50 s\n\nfitted\n",
            self.sweep.injections(),
            self.names()
        );
        for setup in Setup::EVERY {
            let _ = writeln!(text, "  {:<9} {}", setup.word(), setup.sentence());
        }
        text.push('\n');
        text.push_str(HEAD);
        self.sweep.rows.iter().for_each(|row| text.push_str(&line(row, system)));
        let cycle = MASS.show(CYCLE_KG, system, 2);
        let _ = write!(text, "\n{}", LEGEND.replace("2.8 kg", &cycle));
        self.add_pairs(&mut text);
        self.add_unwatched(&mut text);
        self.add_bytes(&mut text);
        self.add_wrong(&mut text);
        text.push_str(self.sum());
        text
    }

    fn names(&self) -> String {
        let mut names: Vec<&str> = self.sweep.rows.iter().map(|row| row.fault.name).collect();
        names.dedup();
        match names.as_slice() {
            [one] => format!("one fault ({one})"),
            several => format!("{} faults", several.len()),
        }
    }

    const fn next(holds: bool) -> &'static str {
        if holds {
            "\nEverything is as stated.\nNext: where a fault above cannot be told, decide whether your drill needs the \
             sensor that tells it.\n"
        } else {
            "\nNOT as stated: see the lines above.\n\
             Next: do not build on this version; report the lines above.\n"
        }
    }

    fn sum(&self) -> &'static str {
        Self::next(self.hold())
    }

    fn add_pairs(&self, text: &mut String) {
        if self.pairs.is_empty() {
            return;
        }
        text.push_str(
            "\n* Cannot be told: two situations in which the controller reads the same in every tick\n",
        );
        for (pair, shown) in &self.pairs {
            let [faulty, healthy, helps] = pair.words();
            let proof = shown.differs.map_or_else(
                || format!("{} ticks alike", shown.ticks),
                |tick| format!("PROOF FAILED: tick {tick} differs"),
            );
            let _ = writeln!(
                text,
                "  faulty   {faulty}\n  healthy  {healthy}   ({proof})\n  helps    {helps}\n"
            );
        }
        text.pop();
    }

    fn add_unwatched(&self, text: &mut String) {
        let mut words: Vec<(&str, &str)> = self
            .sweep
            .rows
            .iter()
            .filter(|row| row.verdict() == Verdict::Unwatched)
            .filter_map(|row| Some((row.fault.name, row.statement.unwatched?)))
            .collect();
        words.dedup();
        if !words.is_empty() {
            text.push_str("\n! Not watched: something could tell it, and nothing does yet\n");
        }
        for (name, why) in words {
            let _ = writeln!(text, "  {name}: {why}");
        }
    }

    fn add_bytes(&self, text: &mut String) {
        let Flips { tried, refused, taken } = self.bytes;
        let _ = writeln!(
            text,
            "\nSettings image, every bit flipped: {tried} flips, {refused} refused, {taken} taken for settings"
        );
    }

    fn add_wrong(&self, text: &mut String) {
        for (setup, tick, rule) in &self.sweep.healthy_broken {
            let _ =
                writeln!(text, "\nhealthy run, {}: {} at tick {tick}", setup.word(), rule.words());
        }
        for row in self.sweep.rows.iter().filter(|row| !row.holds()) {
            let _ = writeln!(text, "\n{}, {}, {}:", row.fault.name, row.setup.word(), how(row));
            if let Some((at, tick, rule)) = row.broken() {
                let _ = writeln!(text, "  injected at tick {at}: {} at tick {tick}", rule.words());
            }
            for class in [Class::Missed, Class::Unexplained] {
                let ticks: Vec<String> = row
                    .trials
                    .iter()
                    .filter(|(_, trial)| trial.class == class)
                    .map(|(tick, _)| tick.to_string())
                    .take(5)
                    .collect();
                if !ticks.is_empty() {
                    let what = if class == Class::Missed { "not told in time" } else { "not told" };
                    let _ = writeln!(text, "  {what}: injected at tick {}", ticks.join(", "));
                }
            }
        }
    }
}

fn how(row: &Row) -> String {
    match row.lasting {
        Lasting::Blip(millis) => format!("{millis} ms"),
        Lasting::Latched => "latched".to_owned(),
    }
}

/// Seconds, a dash for none.
fn seconds(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:.2} s"))
}

pub(super) fn stated(row: &Row) -> Option<f64> {
    let shows = row.statement.shows != Shows::Never;
    (row.statement.is_told() && shows).then_some(row.statement.within_s)
}

pub(super) fn worst_told(row: &Row) -> Option<f64> {
    row.trials.iter().filter_map(|(_, trial)| trial.told_s).filter(|s| *s > 0.0).reduce(f64::max)
}

fn line(row: &Row, system: System) -> String {
    let unit = MASS.unit(if system == System::Us { "oz" } else { "g" });
    let (symbol, own) = unit.map_or(("g", 1e3), |unit| (unit.symbol(), unit.from_own(1.0)));
    let mass = |g: f64| format!("{:.1} {symbol}", 1e-3 * g * own);
    format!(
        "{:<24} {:<9} {:<8} {:>6} {:>10} {:>5} {:>6} {:>7} {:>11} {:>8} {:>16} {:>13}  {}\n",
        row.fault.name,
        row.setup.word(),
        how(row),
        row.trials.len(),
        row.count(Class::WithoutEffect),
        row.count(Class::Told),
        row.count(Class::Small),
        row.count(Class::Hidden),
        seconds(worst_told(row)),
        seconds(stated(row)),
        mass(row.worst(|trial| trial.until_told_g)),
        mass(row.worst(|trial| trial.to_end_g)),
        row.verdict().words()
    )
}
