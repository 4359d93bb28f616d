//! `faults`: what it prints, how it ends, and that the page names every key.

use super::bench::{code, document, meterwright, printed, root, said};
use std::fs;

#[test]
fn a_small_sweep_ends_with_0_and_shows_a_line_a_fault() {
    let output = meterwright(&["faults", "--step-ms", "10000", "--only", "hopper"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let text = printed(&output);
    assert!(text.contains("16 injections of one fault (hopper empty)"), "{text}");
    assert_eq!(text.lines().filter(|line| line.starts_with("hopper empty")).count(), 4, "{text}");
    assert!(text.contains("the meter turns in an empty hopper"), "the pair is named:\n{text}");
    assert!(said(&output).is_empty(), "no bar in a pipe: {}", said(&output));
}

#[test]
fn every_key_of_the_document_stands_in_the_page() {
    let output = meterwright(&["--json", "faults", "--step-ms", "20000", "--only", "hopper"]);
    let document = document(&output);
    assert_eq!((code(&output), &document["exit_code"]), (0, &0.into()));
    let page = fs::read_to_string(root().join("docs/schema.md")).expect("docs/schema.md is there");
    let top = document.as_object().expect("an object").keys().cloned();
    let keys = |list: &str| -> Vec<String> {
        let first = document[list][0].as_object().expect("a first one");
        first.keys().map(|key| format!("{list}[].{key}")).collect()
    };
    let lists = ["rows", "pairs"];
    let all = top.filter(|key| !lists.contains(&key.as_str()));
    for key in all.chain(keys("rows")).chain(keys("pairs")) {
        assert!(page.contains(&format!("| `{key}")), "{key} is not in docs/schema.md");
    }
}

#[test]
fn a_word_that_no_fault_holds_ends_with_2() {
    let output = meterwright(&["faults", "--only", "no such fault"]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(said(&output).contains("no such fault") && printed(&output).is_empty());
}
