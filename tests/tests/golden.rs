//! One golden table of all demo scenarios: any change of any figure is seen in review.
//!
//! The same bytes come from debug and release builds. Accept a change with `cargo insta accept`, or by
//! `INSTA_UPDATE=always cargo test -p tests --test golden`, in a commit of its own.

use sim::bench::judge;
use sim::scenario::Source;
use std::fmt::Write as _;

#[test]
fn the_table_of_all_demo_scenarios_is_the_golden_one() {
    let mut files: Vec<_> = std::fs::read_dir(tests::demo("scenarios"))
        .expect("the demo scenarios")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|kind| kind == "toml"))
        .collect();
    files.sort();
    assert!(files.len() >= 20, "at least twenty demo scenarios");
    let mut table = String::new();
    for file in files {
        let mut scenario =
            sim::scenario::read::scenario(&file).unwrap_or_else(|error| panic!("{error}"));
        if let Source::Gnss(gnss) = &mut scenario.source {
            // Three seeds pin the numbers; all of them are run by `verify`.
            gnss.seeds.truncate(3);
        }
        let verdict = judge(&scenario, &|_| {}).expect("demo settings are right");
        write!(table, "{}", verdict.scenario).expect("a string");
        for key in sim::score::FIGURES {
            let value = verdict.score.figure(key).expect("a figure of the score");
            write!(table, " {key}={value:.6}").expect("a string");
        }
        writeln!(table, " plain={:.6}", verdict.rivals.plain.rms_pct).expect("a string");
    }
    insta::assert_snapshot!(table);
}
