//! The bench that proves the Meterwright controller before a hose is cut.

#![cfg_attr(
    not(feature = "host"),
    expect(unused_imports, reason = "some is there for the command alone")
)]

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
pub mod carry;
pub mod live;
pub mod sheet;
pub mod size;
pub mod rate;
pub mod catch;
pub mod fit;
pub mod shop;
pub mod interview;
pub mod settle;
pub mod sown;
pub mod report;
pub mod sweep;
#[cfg(feature = "host")]
pub mod command;
