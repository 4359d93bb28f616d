//! Where the controller tells, disarms, or goes no further.

/// Limits of a drill, as a person set them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// A start by hand meters as for this ground speed, m/s; 0 for none.
    pub start_mps: f64,
    /// Faster than this disarms, m/s.
    pub road_mps: f64,
    /// Lifted for longer than this disarms, s.
    pub raised_s: f64,
    /// Share by which a valve that opens further than its map says is told, 1.
    pub correction_told: f64,
    /// Most share by which the map is corrected, 1.
    pub correction_limit: f64,
    /// A rate that is off by more than this share, 1 ...
    pub rate_band: f64,
    /// ... for longer than this way, m, is told.
    pub rate_way_m: f64,
}

impl Default for Limits {
    /// No start by hand; road speed and time lifted where they disturb nobody; the rest is what the controller has.
    fn default() -> Self {
        Self {
            start_mps: 0.0,
            road_mps: 16.0,
            raised_s: 3600.0,
            correction_told: 0.3,
            correction_limit: 0.8,
            rate_band: 0.1,
            rate_way_m: 20.0,
        }
    }
}
