//! The files, as text: every key with a comment that explains it, every value as it was answered.

mod drill;
mod scenario;
mod seed;
mod sheet;
mod tolerance;

pub use drill::drill;
pub use scenario::{headland, ramp};
pub use seed::seed;
pub(super) use sheet::quoted;

use super::answers::Answers;

/// The files, by name and content: drill, seed, and the scenarios of the trial run; `as_built` is the measured file as
/// they name it.
pub fn files(answers: &Answers, as_built: Option<&str>) -> [(&'static str, String); 4] {
    [
        ("drill.toml", drill(answers, as_built)),
        ("seed.toml", seed(answers)),
        ("ramp.toml", ramp(answers)),
        ("headland.toml", headland(answers)),
    ]
}

/// The scenarios among them.
pub const SCENARIOS: [&str; 2] = ["ramp.toml", "headland.toml"];
