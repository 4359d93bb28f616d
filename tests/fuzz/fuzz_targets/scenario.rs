//! Any bytes as a scenario, drill or seed file: no panic, and every complaint says what is wrong and what would be
//! right.
#![no_main]

use libfuzzer_sys::fuzz_target;
use std::path::Path;
use std::sync::LazyLock;

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-data/");

/// A folder with a drill, a seed lot and a scenario that names them.
static FOLDER: LazyLock<tempfile::TempDir> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    let copy = |from: &str, to: &str| {
        let text = std::fs::read_to_string(Path::new(DATA).join(from)).expect("demo data");
        let text = text.replace("../drills/reference.toml", "drill.toml");
        let text = text.replace("../seeds/demo-110.toml", "seed.toml");
        std::fs::write(folder.path().join(to), text).expect("a copy");
    };
    copy("drills/reference.toml", "drill.toml");
    copy("seeds/demo-110.toml", "seed.toml");
    copy("scenarios/slip-corrected.toml", "scenario.toml");
    copy("drills/reference.toml", "drill.good");
    copy("seeds/demo-110.toml", "seed.good");
    copy("scenarios/slip-corrected.toml", "scenario.good");
    folder
});

fuzz_target!(|input: (u8, Vec<u8>)| {
    let (which, bytes) = input;
    let name = ["drill", "seed", "scenario"][usize::from(which) % 3];
    let folder = FOLDER.path();
    std::fs::write(folder.join(format!("{name}.toml")), &bytes).expect("a file");
    let read = sim::scenario::read::scenario(&folder.join("scenario.toml"));
    let good = std::fs::read(folder.join(format!("{name}.good"))).expect("the good file");
    std::fs::write(folder.join(format!("{name}.toml")), good).expect("a file");
    match read {
        Ok(scenario) => {
            // What is read must be fit to be judged or be refused as settings, never panic.
            let _settings = controller::Settings::new(&sim::bench::settings(&scenario));
        }
        Err(error) => assert!(!error.what.is_empty() && !error.remedy.is_empty(), "{error}"),
    }
});
