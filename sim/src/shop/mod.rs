//! The shop: the measuring runs played on the bench's machine, written down by the firmware's own log lines.
//!
//! ```text
//!  plan or driver ─► machine (true numbers, planted troubles) ─► RunHead, RunRow ─► text, as a board writes it
//! ```
//!
//! What comes out is a file that `fit` reads; nothing else of the machine gets there.

mod demo;
mod outlet;
mod spin;
mod tape;

pub use demo::{FLAG_LIFT_M, FLAG_WHOLE_M, GROUND_TAPE_M, demo_logs};
pub use outlet::{OutletShop, Person, outlet};
pub use spin::{SpinShop, SpinTrouble, Spun, spin};
pub use tape::{LiftShop, TapeShop, flag, ground};

/// A log with only every so many rows, but every row in which more than a count changed: small, and `fit` reads the
/// same from it.
pub fn thinned(log: &str, every: usize) -> String {
    let mut columns: Vec<usize> = Vec::new();
    let (mut text, mut before, mut left_out) = (String::new(), Vec::new(), 0);
    for line in log.lines() {
        let fields: Vec<&str> = line.split(',').collect();
        if line.starts_with('#') || fields[0] == "t_s" {
            let kept = ["command", "lamp", "marks", "seen", "lift"];
            let places = fields.iter().enumerate().filter(|field| kept.contains(field.1));
            columns = places.map(|(place, _)| place).collect();
            text.push_str(line);
            text.push('\n');
            continue;
        }
        let now: Vec<String> = columns.iter().map(|&place| fields[place].to_owned()).collect();
        left_out += 1;
        if now != before || left_out >= every {
            text.push_str(line);
            text.push('\n');
            left_out = 0;
        }
        before = now;
    }
    text
}
