//! Where the demo data is: beside the current folder, or where the program was built.

use super::Failure;
use std::path::{Path, PathBuf};

/// A file or folder of the demo data.
pub(super) fn demo(name: &str) -> Result<PathBuf, Failure> {
    let here = Path::new("demo-data").join(name);
    if here.exists() {
        return Ok(here);
    }
    let built = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-data").join(name);
    built.canonicalize().map_err(|_| {
        Failure::Usage(format!(
            "failed to find demo-data/{name} in the current folder; name a file"
        ))
    })
}

/// The demo scenarios, in order of their names.
pub(super) fn scenarios() -> Result<Vec<PathBuf>, Failure> {
    let folder = demo("scenarios")?;
    let unreadable =
        |why: std::io::Error| Failure::Usage(format!("failed to list {}: {why}", folder.display()));
    let mut files = Vec::new();
    for entry in folder.read_dir().map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        if path.extension().is_some_and(|extension| extension == "toml") {
            files.push(path);
        }
    }
    files.sort();
    if files.is_empty() {
        let folder = folder.display();
        return Err(Failure::Usage(format!("failed to find a scenario in {folder}; name a file")));
    }
    Ok(files)
}
