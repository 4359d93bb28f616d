//! Two boxes and outlets shut: what does not go together is named with place and remedy.

use crate::{DRILL, SCENARIO, folder, read};
use sim::input::{InputError, Trouble};

/// The drill with its right side changed.
fn drill(right: &str) -> String {
    DRILL.replacen("offset = \"-1.5 m\"", right, 1)
}

/// A drill of two boxes, side by side, the right one with outlets.
fn boxes() -> String {
    drill("product = 2\noutlets = 20\noffset = \"-1.5 m\"")
}

/// The scenario with an act in place of its own, and a line at its head.
fn scenario(head: &str, act: &str) -> String {
    let (before, rest) = SCENARIO.split_once("side = 2\nswitch = \"off\"").expect("an act");
    format!("{head}{before}{act}{rest}")
}

/// What is said of a scenario with these files.
fn said(drill: &str, scenario: &str) -> (Trouble, String) {
    let folder = folder("drill.toml", drill.as_bytes());
    std::fs::write(folder.path().join("scenario.toml"), scenario).expect("a file");
    let error: InputError = read(folder.path(), "scenario.toml").expect_err("the files are wrong");
    let prefix = format!("failed to read {}/", folder.path().display());
    (error.trouble, error.to_string().replace(&prefix, ""))
}

#[test]
fn boxes_and_seed_files_must_be_as_many() {
    let (two, one) = (boxes(), drill("offset = \"-1.5 m\""));
    let act = "master = \"off\"";
    assert_eq!(
        said(&two, &scenario("", act)),
        (
            Trouble::MissingKey,
            "scenario.toml:2:9: drill \"Two-sided drill\" has two boxes and there is one seed file; \
             add a line second_seed = ..."
                .to_owned()
        )
    );
    assert_eq!(
        said(&one, &scenario("second_seed = \"seed.toml\"\n", act)),
        (
            Trouble::WrongForm,
            "scenario.toml:1:15: drill \"Two-sided drill\" has one box; drop the line, or write \
             product = 2 under a [[side]]"
                .to_owned()
        )
    );
}

#[test]
fn ground_of_two_boxes_in_part_is_refused() {
    let text = drill("product = 2\noffset = \"0 m\"");
    let want = "drill.toml:14:1: sides \"left\" and \"right\" of the two products have part of their \
                ground in common; give them the same width and offset, or ground of their own";
    assert_eq!(
        said(&text, &scenario("", "master = \"off\"")),
        (Trouble::OutOfRange, want.to_owned())
    );
}

#[test]
fn acts_that_do_not_fit_the_drill_are_named() {
    use Trouble::{MissingKey, OutOfRange, WrongForm};
    let cases = [
        (
            "side = 2\noutlets = 21\nshut = \"inside\"",
            OutOfRange,
            "18:11: 21 does not fit; outlets wants a whole number, 1 to 20",
        ),
        (
            "side = 1\noutlets = 2\nshut = \"inside\"",
            OutOfRange,
            "18:11: 2 does not fit; outlets wants a whole number, 1 to 1",
        ),
        (
            "side = 2\noutlets = 18",
            MissingKey,
            "15:1: [[act]] has no shut (\"inside\" or \"edge\"); add shut (\"inside\" or \"edge\"): one of them",
        ),
        (
            "side = 2\noutlets = 18\nshut = \"outside\"",
            WrongForm,
            "19:8: \"outside\" does not fit; shut wants \"inside\" or \"edge\"",
        ),
        (
            "side = 2\noutlets = 20\nshut = \"edge\"",
            WrongForm,
            "19:8: all 20 outlets are open and none is shut; drop the line",
        ),
        (
            "side = 2\noutlets = 18\nswitch = \"on\"",
            WrongForm,
            "18:11: outlets and switch are two acts; write one [[act]] for each",
        ),
        (
            "side = 2",
            MissingKey,
            "15:1: [[act]] has no switch or outlets; add switch or outlets: one of them",
        ),
        (
            "rate = \"100 kg/ha\"\nproduct = 3",
            OutOfRange,
            "18:11: 3 does not fit; product wants a whole number, 1 to 2",
        ),
        (
            "master = \"off\"\nproduct = 2",
            WrongForm,
            "18:11: product belongs to a rate; add rate = \"110 kg/ha\"",
        ),
        (
            "master = \"off\"\noutlets = 18",
            WrongForm,
            "18:11: outlets belongs to a side; add side = 1",
        ),
    ];
    for (act, trouble, want) in cases {
        let scenario = scenario("second_seed = \"seed.toml\"\n", act);
        let have = said(&boxes(), &scenario);
        assert_eq!(have, (trouble, format!("scenario.toml:{want}")), "{act}");
    }
}

#[test]
fn a_rate_of_a_product_that_no_side_meters_is_named() {
    let act = "rate = \"100 kg/ha\"\nproduct = 2";
    let want = "scenario.toml:17:11: no side of the drill meters product 2; drop the line, or write \
                product = 2 under a [[side]]";
    assert_eq!(said(DRILL, &scenario("", act)), (Trouble::OutOfRange, want.to_owned()));
}
