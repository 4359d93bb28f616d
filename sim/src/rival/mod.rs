//! Comparison laws on the same machine and profile.

mod chain;
mod limit;
mod plain;
mod pulsed;

pub use chain::Chain;
pub use limit::Limit;
pub use plain::Plain;
