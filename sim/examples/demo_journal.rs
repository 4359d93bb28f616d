//! Writes the journal of the demo field, `demo-data/records/demo-journal.bin`, to the file that is named.

use sim::scenario::read;
use sim::sown::demo::image;
use std::error::Error;
use std::path::Path;

fn main() -> Result<(), Box<dyn Error>> {
    let file = std::env::args_os().nth(1).ok_or("name the file to write")?;
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-data/records");
    std::fs::write(file, image(&read::scenario(&folder.join("demo-sown.toml"))?)?)?;
    Ok(())
}
