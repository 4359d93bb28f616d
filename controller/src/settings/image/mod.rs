//! Settings image: the settings as bytes, the same on every board and on the bench.
//!
//! ```text
//!  SettingsConfig ──► write ──► magic, version, length │ fields, little-endian │ CRC-32
//!                     read  ◄── every byte is covered: one flipped bit and it is refused
//! ```
//!
//! `fields` is the one list of the fields: it writes, reads and describes the image, so that the three
//! cannot differ. An image is canonical: what is read and written again gives the same bytes. What is read has the
//! right form, no more: [`Settings::new`](crate::Settings::new) checks what it says.
//!
//! The offsets are in `docs/settings-image.md`, which a test holds against [`describe`].

mod crc;
mod cursor;
mod fields;
mod fingerprint;

use super::SettingsConfig;
use core::fmt;
pub use crc::crc32;
use cursor::{Describer, Reader, Writer};
pub use fingerprint::{Spelt, fingerprint, spell};

/// The first bytes of an image.
pub const MAGIC: [u8; 4] = *b"MWSI";

/// Version of the layout; another version is refused, for a board must not guess.
pub const VERSION: u16 = 3;

/// Magic, version and length.
const HEADER: usize = 8;

/// The check sum.
const TRAILER: usize = 4;

/// No image is longer: room for four sides with full curves and maps, and for what will be added.
pub const MAX_IMAGE: usize = 1024;

/// Why an image is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub enum ImageError {
    /// There are fewer bytes than an image has at the least, or than its fields need.
    TooShort,
    /// It does not start as an image does.
    Magic,
    /// The version is this one, and unknown.
    Version(u16),
    /// It says that it has so many bytes, and has another number.
    Length(u16),
    /// Its bytes are not those that were written.
    CheckSum,
    /// This field holds what no settings hold.
    Field(&'static str),
    /// There is no room to write it.
    NoRoom,
}

/// A field of an image.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Field {
    /// Its first byte.
    pub offset: usize,
    /// Its bytes.
    pub size: usize,
    /// Its name, and where several follow one another the name of each.
    pub name: &'static str,
    /// Its value, the bytes as a number without a sign.
    pub raw: u64,
}

/// Writes the image of settings at the start of `image`; returns how many bytes it has.
///
/// # Errors
///
/// [`ImageError::NoRoom`]; [`MAX_IMAGE`] bytes are always enough.
pub fn write(config: &SettingsConfig, image: &mut [u8]) -> Result<usize, ImageError> {
    let mut body = Writer::new(image.get_mut(HEADER..).ok_or(ImageError::NoRoom)?);
    // The list of fields may change what it visits; a writer changes nothing.
    fields::settings(&mut body, &mut config.clone())?;
    let end = body.position().saturating_add(HEADER);
    let length = end.saturating_add(TRAILER);
    let word = u16::try_from(length).map_err(|_| ImageError::NoRoom)?;
    let mut head = Writer::new(image);
    head.bytes(&MAGIC)?;
    head.bytes(&VERSION.to_le_bytes())?;
    head.bytes(&word.to_le_bytes())?;
    let sum = crc32(image.get(..end).ok_or(ImageError::NoRoom)?);
    Writer::new(image.get_mut(end..).ok_or(ImageError::NoRoom)?).bytes(&sum.to_le_bytes())?;
    Ok(length)
}

/// Reads an image: all of the bytes, no more and no fewer.
///
/// # Errors
///
/// [`ImageError`] names what is wrong.
pub fn read(image: &[u8]) -> Result<SettingsConfig, ImageError> {
    let body = checked(image)?;
    let mut reader = Reader::new(body);
    let mut config = fields::BLANK;
    fields::settings(&mut reader, &mut config)?;
    if reader.position() == body.len() { Ok(config) } else { Err(ImageError::Field("end")) }
}

/// Calls `each` with every field of the settings' image, in order: magic, version, length and check sum are left out.
pub fn describe(config: &SettingsConfig, each: impl FnMut(Field)) {
    let mut describer = Describer::new(HEADER, each);
    let seen = fields::settings(&mut describer, &mut config.clone());
    debug_assert!(seen.is_ok(), "describing refuses nothing");
}

/// The fields' bytes of an image whose frame is right.
fn checked(image: &[u8]) -> Result<&[u8], ImageError> {
    let length = image.len();
    let end = length.checked_sub(TRAILER).ok_or(ImageError::TooShort)?;
    let mut frame = Reader::new(image);
    if frame.take(MAGIC.len())? != u64::from(u32::from_le_bytes(MAGIC)) {
        return Err(ImageError::Magic);
    }
    let version = u16::try_from(frame.take(2)?).unwrap_or(u16::MAX);
    if version != VERSION {
        return Err(ImageError::Version(version));
    }
    let said = u16::try_from(frame.take(2)?).unwrap_or(u16::MAX);
    if usize::from(said) != length {
        return Err(ImageError::Length(said));
    }
    let body = image.get(..end).ok_or(ImageError::TooShort)?;
    let sum = Reader::new(image.get(end..).ok_or(ImageError::TooShort)?).take(TRAILER)?;
    if u64::from(crc32(body)) != sum {
        return Err(ImageError::CheckSum);
    }
    body.get(HEADER..).ok_or(ImageError::TooShort)
}

impl fmt::Display for ImageError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooShort => write!(f, "settings image is too short"),
            Self::Magic => write!(f, "these bytes are no settings image"),
            Self::Version(version) => {
                write!(f, "settings image has version {version}; this is version {VERSION}")
            }
            Self::Length(said) => write!(f, "settings image says it has {said} bytes"),
            Self::CheckSum => write!(f, "settings image has a wrong check sum"),
            Self::Field(name) => write!(f, "settings image has an impossible value in {name}"),
            Self::NoRoom => write!(f, "there is no room for the settings image"),
        }
    }
}

impl core::error::Error for ImageError {}
