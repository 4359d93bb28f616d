//! The bench that proves the Meterwright controller before a hose is cut.

pub mod input;
pub mod unit;
pub mod bench;
pub mod fault;
pub mod ground;
pub mod field;
pub mod machine;
pub mod rival;
pub mod profile;
pub mod scenario;
pub mod score;
pub mod trace;
pub mod verdict;
pub mod desk;
pub mod size;
pub mod fit;
pub mod shop;
pub mod settle;
pub mod sown;
pub mod report;
pub mod sweep;
pub mod command;
