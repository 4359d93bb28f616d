//! A lot of seed: what a box is filled with, as it was weighed and caught.

use super::{MAX_POINTS, MeterPoint, Product};
use crate::quantity::MilligramsPerSquareMetre;
use heapless::Vec;

/// A lot that may be put in force between two ticks: checked as settings are.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Lot {
    /// The box that it is in.
    pub product: Product,
    /// Seeding rate: 0.5 to 500 kg/ha, which is 50 to 50 000 mg/m².
    pub rate: MilligramsPerSquareMetre,
    /// Meter curve of every side of the product, all outlets open: 1 to 6 catches.
    pub meter: Vec<MeterPoint, MAX_POINTS>,
}
