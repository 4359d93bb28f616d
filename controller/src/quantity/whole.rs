//! Quantities that are whole numbers.

/// A length in micrometres: −2 147 m to 2 147 m.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct Micrometres(i32);

/// Mass delivered by one shaft turn in micrograms, 64 bits: 0.2 g is 200 000, 5 kg is 5 000 000 000.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct MicrogramsPerTurn(u64);

/// A share in thousandths: 0 to 65 535.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct PerMille(u16);

impl PerMille {
    /// So many thousandths.
    pub const fn new(thousandths: u16) -> Self {
        Self(thousandths)
    }

    /// The number of thousandths.
    #[must_use]
    pub const fn get(self) -> u16 {
        self.0
    }

    /// As a share of 65 536, rounded down.
    pub(crate) fn q16(self) -> i32 {
        i32::from(self.0).saturating_mul(8_192) / 125
    }
}

impl Micrometres {
    /// So many micrometres.
    pub const fn new(micrometres: i32) -> Self {
        Self(micrometres)
    }

    /// So many millimetres, held at the ends of the range.
    pub const fn from_millimetres(millimetres: i32) -> Self {
        Self(millimetres.saturating_mul(1000))
    }

    /// The number of micrometres.
    #[must_use]
    pub const fn get(self) -> i32 {
        self.0
    }
}

impl MicrogramsPerTurn {
    /// So many micrograms per turn.
    pub const fn new(micrograms: u64) -> Self {
        Self(micrograms)
    }

    /// The number of micrograms.
    #[must_use]
    pub const fn get(self) -> u64 {
        self.0
    }
}
