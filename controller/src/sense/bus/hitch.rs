//! Status of a hitch (65093 rear, 65094 front).
//!
//! ```text
//!  1          2                                    3              4  5      6
//!  position   in work (2) | position limit (3) | –  lower-link    draft      exit code (6)
//!  0.4 %/bit  bits 8..7     bits 6..4               force
//! ```
//!
//! SPN 1873, 5151, 1877, 5819 (rear) and 1872, 5150, 1876, 5816 (front): isobus.net. Where in work begins is the
//! tractor maker's choice (note of SPN 1876), so it has its place among the settings of lowering and lifting. Force and
//! draft are not read: nothing here uses them.

use super::Reading;
use crate::quantity::Instant;
use crate::sense::HitchSample;

/// What a hitch says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct HitchStatus {
    /// Height, 0 (lowest) to 250 (highest): 0.4 % a step.
    pub position: Reading<u8>,
    /// The hitch is low enough for work.
    pub in_work: Reading<bool>,
    /// What limits the position, the code as sent.
    pub limit: Reading<u8>,
    /// Exit or reason code, 0 clear.
    pub exit: Reading<u8>,
    /// The instant at which it was true.
    pub at: Instant,
}

impl HitchStatus {
    /// Reads the eight bytes.
    pub(super) const fn read(bytes: [u8; 8], at: Instant) -> Self {
        let [position, states, _, _, _, exit, _, _] = bytes;
        Self {
            position: Reading::<u8>::of_byte(position),
            in_work: Reading::<bool>::of_pair(states.wrapping_shr(6)),
            limit: Reading::<u8>::of_three(states.wrapping_shr(3)),
            exit: Reading::<u8>::of_six(exit),
            at,
        }
    }

    /// In work or not, where the hitch says so.
    pub fn sample(&self) -> Option<HitchSample> {
        self.in_work.value().map(|in_work| HitchSample { in_work, at: self.at })
    }
}
