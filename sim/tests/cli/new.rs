//! `new` asks, or reads answers, and writes files that pass; a slip is explained, nothing is half written.

use super::bench::{code, command, document, meterwright, names, printed, root, said};
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Output, Stdio};
use tempfile::tempdir;

const FILES: [&str; 5] = ["answers.toml", "drill.toml", "headland.toml", "ramp.toml", "seed.toml"];

/// The command with answers of this text; gives what it wrote to.
fn answered(folder: &Path, text: &str, more: &[&str]) -> (Output, std::path::PathBuf) {
    let (file, out) = (folder.join("mine.toml"), folder.join("out"));
    fs::write(&file, text).unwrap();
    let mut arguments =
        vec!["new", "--out", out.to_str().unwrap(), "--answers", file.to_str().unwrap()];
    arguments.extend(more);
    (meterwright(&arguments), out)
}

/// The command with a person at the keyboard who types this.
fn typed(folder: &Path, text: &str) -> Output {
    let mut child = command(&["new", "--out", folder.to_str().unwrap()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
    child.wait_with_output().expect("it ends")
}

#[test]
fn every_default_passes_in_both_systems_of_units_and_with_every_source_and_valve() {
    for units in ["metric", "us"] {
        for source in ["pulses", "gnss", "bus-wheel"] {
            for kind in ["proportional", "motorised"] {
                let folder = tempdir().unwrap();
                let text = format!("source = \"{source}\"\ndrive_kind = \"{kind}\"\n");
                let (output, out) = answered(folder.path(), &text, &["--units", units]);
                assert_eq!(code(&output), 0, "{units} {source} {kind}\n{}", printed(&output));
                assert_eq!(names(&out), FILES);
            }
        }
    }
}

#[test]
fn the_files_pass_where_they_were_written() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("my drill");
    let out = out.to_str().unwrap();
    let output = meterwright(&["new", "--defaults", "--out", out, "--units", "us"]);
    let text = printed(&output);
    assert_eq!(code(&output), 0, "{text}{}", said(&output));
    let next =
        format!("Next: meterwright size \"{out}/drill.toml\" \"{out}/seed.toml\" --units us");
    assert_eq!(text.lines().last(), Some(next.as_str()));
    let files = ["ramp.toml", "headland.toml"].map(|name| format!("{out}/{name}"));
    let verified = meterwright(&["verify", &files[0], &files[1], "--json"]);
    assert_eq!(code(&verified), 0, "{}", said(&verified));
    let document = document(&verified);
    assert_eq!(document["passed"], 2);
    assert!(document["verdicts"][0]["tolerances"].as_u64() > Some(4));
    let drill = fs::read_to_string(format!("{out}/drill.toml")).unwrap();
    assert!(drill.contains("width = \"13 ft\""), "{drill}");
}

#[test]
fn the_demo_answers_give_the_numbers_that_are_worked_out_by_hand() {
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let demo = "demo-data/answers/demo.toml";
    let output = meterwright(&["new", "--answers", demo, "--out", out]);
    assert_eq!(code(&output), 0, "{}{}", printed(&output), said(&output));
    let drill = fs::read_to_string(folder.path().join("drill.toml")).unwrap();
    // 16 rows of 7.5 in are 10 ft; 260 pulses in 6.5 ft are 40 /ft; 4 ft at 8 ft/s take half a second; 5.4 gpm of 231 in3
    // and 90 % through 3 in3 and a ratio of 4 are 5.4 * 231 * 0.9 / 12 / 60 = 1.55925 turns/s.
    for line in [
        "width = \"10 ft\"",
        "offset = \"5 ft\"",
        "offset = \"-5 ft\"",
        "ground_pulses = \"40 /ft\"",
        "delivery_delay = \"0.5 s\"",
        "lowering = \"2'6\\\"\"",
        "map = [[\"20 %\", \"0 turns/s\"], [1.00, \"1.55925 turns/s\"]]",
        "relief = \"650 psi\"",
    ] {
        assert!(drill.contains(line), "{line}\n{drill}");
    }
    let seed = fs::read_to_string(folder.path().join("seed.toml")).unwrap();
    assert!(seed.contains("date = \"20 April\"") && !seed.contains("NOT CAUGHT"), "{seed}");
}

#[test]
fn a_person_at_the_keyboard_is_asked_and_helped() {
    let folder = tempdir().unwrap();
    // Units, name, demo, sides (a slip, then one), width by (help, then rows), rows, back to rows, spacing, the rest.
    let text = format!(
        "us\nThe \"old\" drill\nyes\n7\n1\n?\nrows\n18\nback\n20\n7 1/2 in\n{}",
        "\n".repeat(60)
    );
    let output = typed(folder.path(), &text);
    let screen = printed(&output);
    assert_eq!(code(&output), 0, "{screen}{}", said(&output));
    assert!(screen.contains("a whole number, 1 to 4"), "{screen}");
    assert!(screen.contains("antenna to opener"), "the drawing: {screen}");
    let drill = fs::read_to_string(folder.path().join("drill.toml")).unwrap();
    assert!(drill.contains(r#"name = "The \"old\" drill""#), "{drill}");
    assert!(drill.contains("width = \"12.5 ft\"") && drill.contains("demo = true"), "{drill}");
}

#[test]
fn input_that_ends_early_writes_nothing() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("out");
    let output = typed(&out, "us\nMy drill\n");
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(said(&output).contains("--defaults"), "{}", said(&output));
    assert!(!out.exists());
}

#[test]
fn answers_written_are_answers_that_can_be_given_again() {
    let folder = tempdir().unwrap();
    let first = folder.path().join("first");
    let text = format!("us\nDrill\n\n2\n\n13'6\"\n{}", "\n".repeat(60));
    assert_eq!(code(&typed(&first, &text)), 0);
    let second = folder.path().join("second");
    let answers = first.join("answers.toml");
    let again = meterwright(&[
        "new",
        "--answers",
        answers.to_str().unwrap(),
        "--out",
        second.to_str().unwrap(),
    ]);
    assert_eq!(code(&again), 0, "{}", said(&again));
    for name in FILES {
        let read = |folder: &Path| fs::read_to_string(folder.join(name)).unwrap();
        assert_eq!(read(&first), read(&second), "{name}");
    }
}

#[test]
fn a_wrong_answer_is_named_with_its_place_and_nothing_is_written() {
    let cases = [
        ("widht = \"4 m\"\n", ":1:1:", "did you mean width"),
        ("name = \"a\"\nwidth = \"4.0 kg\"\n", ":2:9:", "is a mass"),
        ("sides = 5\n", ":1:9:", "1 to 4"),
        ("rows = 20\n", ":1:8:", "not asked"),
        (
            "rate = \"500 kg/ha\"\nwidth = \"18 m\"\nmass_per_turn = \"1 g\"\n",
            ":3:17:",
            "times a metre",
        ),
        ("sides = 4\nwidth = \"18 m\"\n", ":1:1:", "off the middle"),
        ("slow_speed = \"5 m/s\"\nwork_speed = \"4 m/s\"\n", ":2:14:", "not faster"),
        ("as_built = \"no-such-file.toml\"\n", ":1:12:", "there is no file"),
        ("drive_kind = \"motorised\"\ndead_time = \"0.5 s\"\n", ":2:13:", "motorised"),
        ("name = \"bell\\u0007\"\n", ":1:8:", "control character"),
    ];
    for (text, place, says) in cases {
        let folder = tempdir().unwrap();
        let (output, out) = answered(folder.path(), text, &[]);
        let said = said(&output);
        assert_eq!(code(&output), 3, "{text}{said}");
        assert!(said.contains(place) && said.contains(says), "{text}{said}");
        assert!(!out.exists(), "{text}");
    }
}

#[test]
fn files_are_replaced_only_when_told_and_answers_that_are_read_stay_as_they_are() {
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let mine = folder.path().join("answers.toml");
    fs::write(&mine, "# mine\nwidth = \"5 m\"\n").unwrap();
    let arguments = ["new", "--out", out, "--answers", mine.to_str().unwrap()];
    assert_eq!(code(&meterwright(&arguments)), 0);
    assert_eq!(code(&meterwright(&arguments)), 2, "there are files already");
    fs::write(&mine, "# mine\nwidth = \"6 m\"\n").unwrap();
    let replaced = [&arguments[..], &["--replace"]].concat();
    assert_eq!(code(&meterwright(&replaced)), 0);
    assert_eq!(fs::read_to_string(&mine).unwrap(), "# mine\nwidth = \"6 m\"\n");
    let drill = fs::read_to_string(folder.path().join("drill.toml")).unwrap();
    assert!(drill.contains("width = \"6 m\""), "{drill}");
}

#[test]
fn a_drive_that_is_too_slow_is_written_and_said_to_miss() {
    let folder = tempdir().unwrap();
    let (output, out) = answered(folder.path(), "full_speed = \"0.5 turns/s\"\n", &["--json"]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    let document = document(&output);
    assert_eq!((&document["command"], &document["exit_code"]), (&"new".into(), &1.into()));
    let ramp = &document["new"]["scenarios"][0];
    assert_eq!(ramp["pass"], false);
    assert!(ramp["misses"][0]["figure"].is_string(), "{document}");
    assert_eq!(document["new"]["given"], 1);
    assert_eq!(names(&out), FILES);
    let (text, _) = answered(folder.path(), "full_speed = \"0.5 turns/s\"\n", &["--replace"]);
    assert!(printed(&text).contains("size says what binds"), "{}", printed(&text));
}

#[test]
fn an_as_built_file_is_named_as_the_drill_file_sees_it() {
    let folder = tempdir().unwrap();
    let built = folder.path().join("built.toml");
    fs::copy(root().join("demo-data/runs/demo-as-built.toml"), &built).unwrap();
    let text = fs::read_to_string(&built).unwrap();
    let side = text.lines().find(|line| line.starts_with("name = ")).unwrap_or_default();
    assert_eq!(side, "name = \"drill\"", "the side is called so in both");
    let (output, out) =
        answered(folder.path(), &format!("as_built = '{}'\n", built.display()), &[]);
    assert!(code(&output) <= 1, "{}", said(&output));
    let drill = fs::read_to_string(out.join("drill.toml")).unwrap();
    assert!(drill.contains("as_built = \"../built.toml\""), "{drill}");
    let sized = meterwright(&[
        "size",
        &format!("{}/drill.toml", out.display()),
        &format!("{}/seed.toml", out.display()),
    ]);
    assert_eq!(code(&sized), 0, "{}", said(&sized));
}

#[test]
fn nothing_is_asked_where_a_program_reads() {
    let output = meterwright(&["new", "--json", "--out", "nowhere-at-all"]);
    assert_eq!(code(&output), 2);
    assert!(said(&output).contains("--answers"), "{}", said(&output));
}
