//! A wrong file is named with line, column, the offending text and what would be right; and no bytes
//! whatever make the readers panic.

mod any_bytes;
mod logs;
mod products;

use sim::input::{InputError, Trouble};
use sim::profile::track;
use sim::scenario::read;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

pub(crate) const DRILL: &str = include_str!("../../../demo-data/drills/two-sides.toml");
pub(crate) const SEED: &str = include_str!("../../../demo-data/seeds/demo-110.toml");
pub(crate) const SCENARIO: &str = r#"title = "t"
drill = "drill.toml"
seed = "seed.toml"

[speed]
profile = "ramp"
acceleration = "0.5 m/s2"

[source]
kind = "gnss"
rate = "10 Hz"
seeds = "1..20"

[[act]]
at = "5 s"
side = 2
switch = "off"

[[turn]]
at = "5 s"
to = "left"
radius = "30 m"

[tolerance]
rms_pct = { at_most = 1.1 }
"#;

/// Writes the three files and a track with `text` in place of the one called `name`.
pub(crate) fn folder(name: &str, text: &[u8]) -> TempDir {
    let folder = TempDir::new().expect("a folder for the files");
    let files = [("drill.toml", DRILL), ("seed.toml", SEED), ("scenario.toml", SCENARIO)];
    for (file, good) in files {
        fs::write(folder.path().join(file), good).expect("a good file");
    }
    fs::write(folder.path().join(name), text).expect("the file under test");
    folder
}

/// Reads the file by its name; scenarios bring drill and seed with them.
pub(crate) fn read(folder: &Path, name: &str) -> Result<(), InputError> {
    let path = folder.join(name);
    match name {
        "track.csv" => track::read(&path).map(drop),
        "drill.toml" => read::drill(&path).map(drop),
        "seed.toml" => read::seed_lot(&path).map(drop),
        _ => read::scenario(&path).map(drop),
    }
}

/// What is said about `name` with `text` in it, without the folder's name.
pub(crate) fn said(name: &str, text: &[u8]) -> (Trouble, String) {
    let folder = folder(name, text);
    let error = read(folder.path(), name).expect_err("the file is wrong");
    let prefix = format!("{}/", folder.path().display());
    (error.trouble, error.to_string().replace(&prefix, ""))
}

/// Puts `right` out of a good file and `wrong` in, and checks what is said.
fn check(name: &str, [right, wrong]: [&str; 2], trouble: Trouble, want: &str) {
    let good = match name {
        "drill.toml" => DRILL,
        "seed.toml" => SEED,
        _ => SCENARIO,
    };
    assert!(good.contains(right), "{right:?} is not in the good {name}");
    let have = said(name, good.replacen(right, wrong, 1).as_bytes());
    assert_eq!(have, (trouble, format!("failed to read {name}{want}")), "{wrong:?}");
}

#[test]
fn wrong_values_are_named_with_place_and_remedy() {
    use Trouble::{NotANumber, OutOfRange, WrongForm, WrongUnit};
    let width = "width = \"3.0 m\"";
    let at = ":10:9: ";
    let example = r#"width wants a length such as "4.0 m", "13 ft" or "7 1/2 in""#;
    let cases = [
        (r#""4.0 kg""#, WrongUnit, format!(r#"{at}"4.0 kg" is a mass; {example}"#)),
        ("4.0", WrongUnit, format!(r#"{at}"4.0" has no unit; {example}"#)),
        (r#""wide""#, NotANumber, format!(r#"{at}"wide" is not a number with a unit; {example}"#)),
        (r#""NaN m""#, NotANumber, format!(r#"{at}"NaN m" is not a finite number; {example}"#)),
        ("inf", NotANumber, format!(r#"{at}"inf" is not a finite number; {example}"#)),
        ("true", NotANumber, format!(r#"{at}"true" is not a number with a unit; {example}"#)),
        (
            r#""19 m""#,
            OutOfRange,
            format!(r#"{at}"19 m" is out of range; width works from 0.1 m to 18 m"#),
        ),
        (
            r#""3 in""#,
            OutOfRange,
            format!(r#"{at}"3 in" is out of range; width works from 3.937 in to 708.7 in"#),
        ),
        (
            "{ a = 1 }",
            NotANumber,
            format!(r#"{at}"{{ a = 1 }}" is not a number with a unit; {example}"#),
        ),
    ];
    for (wrong, trouble, want) in cases {
        check("drill.toml", [width, &format!("width = {wrong}")], trouble, &want);
    }
    let wants = ":12:18: 0 does not fit; encoder_pulses wants a whole number, 1 to 4096";
    check("drill.toml", ["encoder_pulses = 180", "encoder_pulses = 0"], OutOfRange, wants);
    let wants = ":3:8: 1 does not fit; demo wants true or false";
    check("drill.toml", ["demo = true", "demo = 1"], WrongForm, wants);
}

#[test]
fn wrong_keys_are_named_with_the_nearest_right_one() {
    use Trouble::{MissingKey, UnknownKey};
    let cases = [
        (
            "drill.toml",
            ["width", "widht"],
            UnknownKey,
            r#":10:1: "widht" is not a key of [[side]]; did you mean width?"#,
        ),
        (
            "seed.toml",
            ["rate", "price"],
            UnknownKey,
            r#":4:1: "price" is not a key of the file; its keys are name, demo, rate, mass_per_turn, meter_curve, caught"#,
        ),
        (
            "seed.toml",
            ["rate", "#"],
            MissingKey,
            ":1:1: the file has no rate; add a line rate = ...",
        ),
        ("drill.toml", ["lag", "#"], MissingKey, ":21:2: [drive] has no lag; add a line lag = ..."),
        (
            "scenario.toml",
            ["radius", "#"],
            MissingKey,
            ":19:1: [[turn]] has no radius; add a line radius = ...",
        ),
        (
            "scenario.toml",
            ["rms_pct", "rsm_pct"],
            UnknownKey,
            r#":25:1: "rsm_pct" is not a key of [tolerance]; did you mean rms_pct?"#,
        ),
    ];
    for (name, change, trouble, want) in cases {
        check(name, change, trouble, want);
    }
}

#[test]
fn what_cannot_be_is_named_with_the_limit() {
    use Trouble::{MissingFile, OutOfRange, WrongForm};
    let cases = [
        (
            "drill.toml",
            [r#"[1.00, "1.2375 turns/s"]"#, r#"[0.1, "1 turns/s"]"#],
            OutOfRange,
            r#":22:29: [0.1, "1 turns/s"] does not raise the command over the point before; write the points in order, command strictly rising"#,
        ),
        (
            "drill.toml",
            [r#"offset = "-1.5 m""#, r#"offset = "1.5 m""#],
            OutOfRange,
            r#":14:1: side "right" is not to the right of the one before; write sides left to right, offset positive to the left"#,
        ),
        (
            "seed.toml",
            [
                r#"mass_per_turn = "0.12 kg""#,
                r#"meter_curve = [["1 turns/s", "2 g"], ["2 turns/s", "1 g"]]"#,
            ],
            OutOfRange,
            r#":5:38: ["2 turns/s", "1 g"] does not raise the mass flow over the point before; write the points in order, mass flow strictly rising"#,
        ),
        (
            "scenario.toml",
            ["side = 2", "side = 3"],
            OutOfRange,
            ":16:8: 3 does not fit; side wants a whole number, 1 to 2",
        ),
        (
            "scenario.toml",
            [r#"at = "5 s""#, r#"at = "51 s""#],
            OutOfRange,
            r#":15:6: "51 s" is out of range; at works from 0 s to 50 s"#,
        ),
        (
            "scenario.toml",
            [r#""gnss""#, r#""gnns""#],
            WrongForm,
            concat!(
                r#":10:8: "gnns" does not fit; kind wants "pulses" or "gnss" or "bus-wheel" or "#,
                r#""bus-ground" or "bus-selected" (did you mean "gnss"?)"#
            ),
        ),
        (
            "scenario.toml",
            [r#""1..20""#, r#""20..1""#],
            WrongForm,
            r#":12:9: "20..1" does not fit; seeds wants a list such as [1, 2, 3], or "1..20" up to 1000"#,
        ),
        (
            "scenario.toml",
            [r#""drill.toml""#, r#""dril.toml""#],
            MissingFile,
            r#":2:9: "dril.toml" is not there; drill wants a file beside this one; looked for dril.toml"#,
        ),
    ];
    for (name, change, trouble, want) in cases {
        check(name, change, trouble, want);
    }
}

#[test]
fn files_that_are_not_what_they_should_be_are_told_apart() {
    use Trouble::{Binary, Empty, Syntax};
    assert_eq!(said("seed.toml", b" \n").0, Empty);
    assert_eq!(said("track.csv", b"").0, Empty);
    let nul = "failed to read seed.toml:2:2: byte 0x00 is not text; a plain text file in UTF-8";
    assert_eq!(said("seed.toml", b"a\nb\0c"), (Binary, nul.to_owned()));
    let byte = "failed to read track.csv:1:3: byte 0xFF is not text; a plain text file in UTF-8";
    assert_eq!(said("track.csv", b"t_\xFFs"), (Binary, byte.to_owned()));
    let (trouble, text) =
        said("scenario.toml", SCENARIO.split_once("..20").map_or("", |it| it.0).as_bytes());
    assert_eq!(trouble, Syntax, "{text}");
    let (trouble, text) = said("scenario.toml", &SCENARIO.as_bytes()[..SCENARIO.len() - 4]);
    assert_eq!(trouble, Syntax, "{text}");
    assert!(text.starts_with("failed to read scenario.toml:25:"), "{text}");
    assert!(text.ends_with("the file seems cut short; end every string, list and table"), "{text}");
    let (trouble, text) = said("seed.toml", b"rate == 3\ndemo = true");
    assert_eq!(trouble, Syntax, "{text}");
    assert!(text.starts_with("failed to read seed.toml:1:7: "), "{text}");
}

#[test]
fn a_missing_file_and_a_directory_are_named() {
    let folder = TempDir::new().expect("a folder");
    let missing = read::drill(&folder.path().join("none.toml")).expect_err("nothing is there");
    assert_eq!(missing.trouble, Trouble::MissingFile);
    assert!(
        missing
            .to_string()
            .ends_with("none.toml: there is no such file; check the name and the folder")
    );
    let directory = track::read(folder.path()).expect_err("a directory is no track");
    assert_eq!(directory.trouble, Trouble::Directory);
    assert!(directory.to_string().ends_with(": it is a directory; name a file inside it"));
}
