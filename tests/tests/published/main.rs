//! Worked examples and figures that others have published, computed anew with our own functions.
//!
//! Each check names its source. Where a source cuts digits, or rounds on the way, the tolerance says so:
//! it is half a step of the last digit printed unless a comment gives another reason.

mod bench_loop;
mod catch;
mod confidence;
mod drill;
mod encoder;
mod field;
mod hydraulic;
mod sizing;
mod rate;
mod tracker;
mod tuning;
mod units;

/// Fails when `have` is further than `tolerance` from the published figure.
#[track_caller]
fn near(what: &str, have: f64, published: f64, tolerance: f64) {
    // A hair more: a figure that ends in 5 may be rounded either way.
    let allowed = tolerance * (1.0 + 1e-9) + 1e-12;
    assert!(
        (have - published).abs() <= allowed,
        "{what}: have {have}, published {published}, allowed ± {tolerance}"
    );
}

/// A quantity as a person writes it.
#[track_caller]
fn read(kind: &sim::unit::Dimension, text: &str) -> f64 {
    kind.parse(text).unwrap_or_else(|misfit| panic!("{misfit}")).value
}
