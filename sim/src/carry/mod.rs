//! Settings as they are carried from the bench to a board: the image, its fingerprint, and what differs from another.
//!
//! ```text
//!  scenario ─► SettingsConfig ─► Settings::new: every rule ─► image: magic, version, length │ fields │ CRC-32
//!                  ▲                                             │
//!                  └────────── read, and checked again ◄─────────┘   fingerprint: the CRC in eight signs
//! ```
//!
//! The layout is that of `controller::settings::image` (`docs/settings-image.md`): what a board loads is this file, byte
//! for byte. Settings are proved by `verify`, which names the fingerprint of what it proved.

use controller::settings::SettingsConfig;
use controller::settings::image::{self, Field, ImageError, MAX_IMAGE};
use controller::{Settings, SettingsError};
use serde::Serialize;
use thiserror::Error;

/// Why settings cannot be carried, or an image is not taken. Completes “failed to use …: ”.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum CarryError {
    /// The bytes are no image of this version, or are not those that were written.
    #[error("{0}; write the image again with this version of the program, and copy it whole")]
    Image(ImageError),
    /// The image is whole, but the controller refuses what it says.
    #[error("the controller refuses its settings: {0}")]
    Refused(SettingsError),
    /// It is another image than the one that was meant.
    #[error(
        "its fingerprint is {have}, and {want} was expected; these are not the settings you proved"
    )]
    Other {
        /// Fingerprint of the image.
        have: String,
        /// The one that was expected.
        want: String,
    },
    /// Fields differ from those of the files.
    #[error("it differs from the files in {}", .0.join(", "))]
    Differs(Vec<String>),
}

/// Checked settings as bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Image {
    bytes: Vec<u8>,
    config: SettingsConfig,
}

/// A field of an image as it is listed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Listed {
    /// Its first byte.
    pub offset: usize,
    /// Its bytes.
    pub size: usize,
    /// Its name; several of one name follow one another in the order of sides, sources, points.
    pub name: &'static str,
    /// Its value as a number without a sign.
    pub raw: u64,
}

impl Image {
    /// The image of settings that the controller takes.
    ///
    /// # Errors
    ///
    /// [`CarryError::Refused`] names the rule that is broken.
    pub fn of(config: &SettingsConfig) -> Result<Self, CarryError> {
        Settings::new(config).map(drop).map_err(CarryError::Refused)?;
        let mut bytes = vec![0; MAX_IMAGE];
        let length = image::write(config, &mut bytes).map_err(CarryError::Image)?;
        bytes.truncate(length);
        Ok(Self { bytes, config: config.clone() })
    }

    /// An image as it was read from a file.
    ///
    /// # Errors
    ///
    /// [`CarryError`] says why a board would refuse it.
    pub fn read(bytes: &[u8]) -> Result<Self, CarryError> {
        let config = image::read(bytes).map_err(CarryError::Image)?;
        Settings::new(&config).map(drop).map_err(CarryError::Refused)?;
        Ok(Self { bytes: bytes.to_vec(), config })
    }

    /// Its bytes.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// What it says.
    pub const fn config(&self) -> &SettingsConfig {
        &self.config
    }

    /// Its fingerprint as it is spelt.
    pub fn fingerprint(&self) -> String {
        image::spell(image::fingerprint(&self.bytes)).to_string()
    }

    /// Refuses it unless it has this fingerprint, in capitals or not, with the dash or without.
    ///
    /// # Errors
    ///
    /// [`CarryError::Other`].
    pub fn expect(&self, fingerprint: &str) -> Result<(), CarryError> {
        let plain = |text: &str| text.trim().replace('-', "").to_uppercase();
        let have = self.fingerprint();
        if plain(&have) == plain(fingerprint) {
            return Ok(());
        }
        Err(CarryError::Other { have, want: fingerprint.trim().to_owned() })
    }

    /// Its fields, in order.
    pub fn fields(&self) -> Vec<Listed> {
        let mut listed = Vec::new();
        image::describe(&self.config, |Field { offset, size, name, raw }| {
            listed.push(Listed { offset, size, name, raw });
        });
        listed
    }

    /// Refuses it unless it says the same as `other`.
    ///
    /// # Errors
    ///
    /// [`CarryError::Differs`] names the fields with both values.
    pub fn same_as(&self, other: &Self) -> Result<(), CarryError> {
        if self.bytes == other.bytes {
            return Ok(());
        }
        let (ours, theirs) = (self.fields(), other.fields());
        let differing: Vec<String> = ours
            .iter()
            .zip(&theirs)
            .take_while(|(one, other)| one.name == other.name)
            .filter(|(one, other)| one.raw != other.raw)
            .map(|(one, other)| {
                format!("{} ({} here, {} by the files)", one.name, one.raw, other.raw)
            })
            .collect();
        let shape = ours.iter().map(|it| it.name).ne(theirs.iter().map(|it| it.name));
        let more = shape.then(|| "the number of its fields".to_owned());
        Err(CarryError::Differs(differing.into_iter().chain(more).collect()))
    }
}
