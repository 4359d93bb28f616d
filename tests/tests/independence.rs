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

/// What a source takes from the controller, beyond what is allowed: every name of a path or of a whole
/// `use` item, be it over many lines, and any other name given to the crate.
fn taken(source: &str) -> Vec<String> {
    let code: Vec<&str> =
        source.lines().map(|line| line.split("//").next().unwrap_or_default()).collect();
    let code = code.join(" ");
    let mut taken = Vec::new();
    for item in code.split("controller").skip(1) {
        if item.trim_start().starts_with("as ") {
            taken.push("another name for the crate".to_owned());
        }
        let Some(path) = item.strip_prefix("::") else { continue };
        let ends = |c: char| if path.starts_with('{') { c == ';' } else { " ;(),<>".contains(c) };
        let path = path.split(ends).next().unwrap_or_default();
        let names = path.split(|c: char| !c.is_alphanumeric() && c != '_');
        let foreign = names.filter(|name| !name.is_empty() && !ALLOWED.contains(name));
        taken.extend(foreign.map(str::to_owned));
    }
    taken
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
        let taken = taken(&text);
        assert!(taken.is_empty(), "{} takes {taken:?}", file.display());
    }
}

#[test]
fn a_forbidden_import_would_be_seen() {
    assert_eq!(taken("use controller::{Inputs, Outputs};"), Vec::<String>::new());
    assert_eq!(taken("use controller::demand::Demand;"), ["demand", "Demand"]);
    assert_eq!(taken("use controller::{\n    demand::Demand,\n};"), ["demand", "Demand"]);
    assert_eq!(taken("use controller as c;"), ["another name for the crate"]);
    assert_eq!(taken("// controller::demand"), Vec::<String>::new());
}

#[test]
fn dependencies_point_one_way() {
    let manifest = |name: &str| {
        std::fs::read_to_string(tests::project().join(name).join("Cargo.toml")).expect("a manifest")
    };
    assert!(!manifest("controller").contains("sim"), "the controller knows no simulator");
    assert!(!manifest("sim").contains("tests"), "the simulator knows no tests");
}
