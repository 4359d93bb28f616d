//! Positions on the ground.

/// A position, WGS 84, in steps of 10^-7 degrees (11 mm of latitude).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct Position {
    latitude: i32,
    longitude: i32,
}

impl Position {
    /// The position of a latitude (north positive) and a longitude (east positive) in 10^-7 degrees; none
    /// outside ±90° and ±180°.
    #[must_use]
    pub const fn new(latitude: i32, longitude: i32) -> Option<Self> {
        if latitude < -900_000_000
            || latitude > 900_000_000
            || longitude < -1_800_000_000
            || longitude > 1_800_000_000
        {
            return None;
        }
        Some(Self { latitude, longitude })
    }

    /// Latitude, 10^-7 degrees, north positive.
    #[must_use]
    pub const fn latitude(self) -> i32 {
        self.latitude
    }

    /// Longitude, 10^-7 degrees, east positive.
    #[must_use]
    pub const fn longitude(self) -> i32 {
        self.longitude
    }
}
