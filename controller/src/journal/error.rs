//! What can be wrong with the journal.

use super::gate::GateError;
use core::fmt;
use sequential_storage::Error as StoreError;

/// Why the journal did not do it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum JournalError {
    /// The flash is not as the journal needs it, or the regions do not fit into it.
    Geometry,
    /// No erased sector is left: only rest, and [`Journal::tend`](super::Journal::tend), makes room.
    NeedsErase,
    /// Settings are written at rest only.
    NotAtRest,
    /// The flash reported an error.
    Flash,
    /// What was programmed does not read back.
    ReadBack,
    /// The journal has no sectors for this kind of record.
    NoRegion,
    /// The record is larger than any can be.
    TooBig,
    /// The flash made the store wait.
    Pending,
    /// The store found its own rules broken.
    Store,
}

impl From<StoreError<GateError>> for JournalError {
    fn from(error: StoreError<GateError>) -> Self {
        match error {
            StoreError::Storage { value: GateError::Shut, .. } | StoreError::FullStorage => {
                Self::NeedsErase
            }
            StoreError::Storage { value: GateError::Flash(_), .. } => Self::Flash,
            StoreError::Storage { value: GateError::ReadBack, .. } => Self::ReadBack,
            StoreError::ItemTooBig | StoreError::BufferTooBig | StoreError::BufferTooSmall(_) => {
                Self::TooBig
            }
            // Corrupted, a logic bug, or what a later version of the store brings.
            _ => Self::Store,
        }
    }
}

impl fmt::Display for JournalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Geometry => "flash or regions do not suit the journal",
            Self::NeedsErase => "no erased sector is left before the next rest",
            Self::NotAtRest => "settings are written at rest only",
            Self::Flash => "flash reported an error",
            Self::ReadBack => "flash does not read back what was programmed",
            Self::NoRegion => "journal has no sectors for this kind of record",
            Self::TooBig => "record is too large",
            Self::Pending => "flash made the store wait",
            Self::Store => "store of the journal is corrupt",
        })
    }
}

impl core::error::Error for JournalError {}
