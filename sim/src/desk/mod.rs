//! The shop's formulas, one small function each, with the unit in every name.
//!
//! Each is checked against published worked examples in `tests/tests/published.rs`. Lengths are metres, masses
//! kilograms and times seconds unless a name says otherwise; results in US customary units come from the
//! factors in [`factor`].

pub mod factor;
pub mod rate;
pub mod catch;
pub mod confidence;
pub mod settle;
pub mod drill;
pub mod field;
pub mod speed;
pub mod valve;
pub mod motor;
pub mod encoder;
pub mod tracker;
pub mod tuning;
pub mod margins;
