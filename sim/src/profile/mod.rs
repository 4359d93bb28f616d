//! Ground speed over time: synthetic profiles and recorded tracks.
//!
//! ```text
//!  points (t, v) ──► linear between ──► two first-order lags of 0.3 s ──► what the tractor does
//! ```

mod smooth;
pub mod candump;
pub mod invented;
pub mod nmea;
pub mod recorded;
pub mod synthetic;
pub mod track;

pub use smooth::Smooth;

/// Pieces of ground speed; each starts afresh.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// The pieces, in order of time.
    pub pieces: Vec<Piece>,
}

/// One unbroken piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Samples, in order of time, linear between.
    pub samples: Vec<Sample>,
}

/// A sample of a profile or track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Instant, s.
    pub t_s: f64,
    /// Ground speed, m/s.
    pub speed_mps: f64,
    /// The implement was in work, if the track tells.
    pub in_work: Option<bool>,
    /// Course over ground, degrees clockwise from north, if the track tells.
    pub heading_deg: Option<f64>,
}

impl Piece {
    /// Instant of the first sample, s.
    pub fn start_s(&self) -> f64 {
        self.samples.first().map_or(0.0, |sample| sample.t_s)
    }

    /// Instant of the last sample, s.
    pub fn end_s(&self) -> f64 {
        self.samples.last().map_or(0.0, |sample| sample.t_s)
    }
}
