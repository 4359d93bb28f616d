//! Independence: machine, soil, score and rivals use from the controller only its inputs, outputs and settings.
//!
//! A bench that asks the controller what is true would prove nothing. Their sources are read as text.

use std::path::{Path, PathBuf};

const INDEPENDENT: [&str; 6] = ["machine", "ground.rs", "score", "rival", "profile", "scenario"];

/// Names of the controller that may be used by them, beside none at all.
const ALLOWED: [&str; 3] = ["Inputs", "Outputs", "Settings"];

fn sources(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_file() {
        found.push(path.to_path_buf());
        return;
    }
    let entries =
        std::fs::read_dir(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    for entry in entries {
        sources(&entry.expect("an entry of the folder").path(), found);
    }
}

/// What a line takes from the controller, beyond what is allowed.
fn taken(line: &str) -> Vec<&str> {
    let code = line.split("//").next().unwrap_or_default();
    let Some(start) = code.find("controller::") else { return Vec::new() };
    let names =
        code[start + "controller::".len()..].split(|c: char| !c.is_alphanumeric() && c != '_');
    names.filter(|name| !name.is_empty() && !ALLOWED.contains(name)).collect()
}

#[test]
fn machine_soil_score_and_rivals_do_not_ask_the_controller() {
    let mut files = Vec::new();
    for part in INDEPENDENT {
        sources(&tests::project().join("sim/src").join(part), &mut files);
    }
    assert!(files.len() > 15, "the sources are where they are looked for");
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a source is readable");
        for (number, line) in text.lines().enumerate() {
            let taken = taken(line);
            assert!(taken.is_empty(), "{}:{} takes {taken:?}", file.display(), number + 1);
        }
    }
}

#[test]
fn a_forbidden_import_would_be_seen() {
    assert_eq!(taken("use controller::{Inputs, Outputs};"), Vec::<&str>::new());
    assert_eq!(taken("use controller::demand::Demand;"), ["demand", "Demand"]);
    assert_eq!(taken("// controller::demand"), Vec::<&str>::new());
}

#[test]
fn dependencies_point_one_way() {
    let manifest = |name: &str| {
        std::fs::read_to_string(tests::project().join(name).join("Cargo.toml")).expect("a manifest")
    };
    assert!(!manifest("controller").contains("sim"), "the controller knows no simulator");
    assert!(!manifest("sim").contains("tests"), "the simulator knows no tests");
}
