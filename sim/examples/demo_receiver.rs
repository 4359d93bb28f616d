//! Writes the demo NMEA recording.
//!
//! `cargo run --release -p sim --example demo_receiver > demo-data/logs/demo-receiver.nmea`

use std::io::Write as _;

fn main() -> std::io::Result<()> {
    std::io::stdout().lock().write_all(sim::profile::invented::receiver().as_bytes())
}
