//! Remakes the logs of the demo run sheet in the folder that is named: all four runs of the demo machine.

use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).ok_or("name the folder to write to")?;
    let drill = sim::scenario::read::drill(Path::new("demo-data/drills/as-built.toml"))?;
    for (name, text) in sim::shop::demo_logs(&drill) {
        std::fs::write(Path::new(&folder).join(name), text)?;
    }
    Ok(())
}
