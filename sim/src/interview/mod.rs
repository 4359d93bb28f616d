//! Asks a person about a drill and writes the files that the other commands read.
//!
//! ```text
//!  keyboard ──► ask ──┐
//!  answers.toml ──► file ──┴─► Answers ──► worked (width, offsets, full speed …) ──► compose ──► drill.toml
//!      ▲                        │                                                          ├─► seed.toml
//!      └────────────────────────┘                                                          └─► ramp.toml, headland.toml
//! ```
//!
//! The questions are data: key, text, why it matters, what may be answered, the default in metric and in US customary
//! units, and when it is asked at all. An answer stays the text that the person wrote, once it has been understood: the
//! files get that very text, so that reading them back gives the same number. Worked-out values:
//!
//! ```text
//!  width = rows × spacing                          offset of side i = middle + W/2 − (w1 + … + w(i−1)) − wi/2
//!  ground pulses = pulses per turn / circumference  delivery delay = tube length / speed of the seed
//!  full shaft speed = oil flow · η / (displacement · ratio)
//! ```

mod answers;
mod ask;
pub mod compose;
mod drawing;
mod file;
mod kind;
mod question;
mod questions;
mod strip;
mod worked;
#[cfg(test)]
mod random;

pub use answers::{Answers, Refusal};
pub use ask::ask;
pub use file::{from_defaults, from_file, to_toml};
pub use question::{Part, Question};
pub use questions::PARTS;
pub use strip::{Strip, strips};
