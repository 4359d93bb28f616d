//! What is set of the panel.

use super::boxes::{BOXES, BoxConfig};
use super::rate_steps::RateSteps;
use super::screen::Size;
use super::units::Units;
use core::fmt;

/// Everything that is set of the panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct PanelConfig {
    /// Units on the display.
    pub units: Units,
    /// The display.
    pub size: Size,
    /// Step and limits of the rate, by box.
    pub rates: [RateSteps; BOXES],
    /// The boxes.
    pub boxes: [BoxConfig; BOXES],
}

/// What is wrong with it, box from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum PanelError {
    /// The step is zero, or the limits are outside 0.5 to 500 kg/ha or the wrong way round.
    Rates(usize),
    /// A box holds nothing or more than 20 t, its bag is none or larger than it, or it is low when full.
    Box(usize),
}

impl PanelConfig {
    /// Checks it.
    pub(super) fn check(&self) -> Result<(), PanelError> {
        for (place, rates) in (0..BOXES).zip(&self.rates) {
            if !rates.is_valid() {
                return Err(PanelError::Rates(place));
            }
        }
        for (place, one) in (0..BOXES).zip(&self.boxes) {
            if !one.is_valid() {
                return Err(PanelError::Box(place));
            }
        }
        Ok(())
    }
}

impl fmt::Display for PanelError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Rates(place) => {
                write!(f, "box {}: the step of the rate or its limits", place.saturating_add(1))
            }
            Self::Box(place) => {
                write!(
                    f,
                    "box {}: what it holds, its bag or when it is low",
                    place.saturating_add(1)
                )
            }
        }
    }
}

impl core::error::Error for PanelError {}
