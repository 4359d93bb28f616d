//! Files that people write: how they are taken in, and what is said when one is wrong.
//!
//! ```text
//!  bytes ──► InputFile (text, place of every byte) ──► scenario, drill, seed lot, track
//!    └───────────────┴─────────────► InputError: file:line:column, what is wrong, what would be right
//! ```

mod clash;
mod error;
mod file;
mod line;
mod spelling;

pub use clash::Clash;
pub use error::{InputError, Place, Trouble};
pub use file::{Folder, InputFile, bytes};
pub use line::steers;
pub use spelling::nearest;
