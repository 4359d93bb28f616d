//! The settings image in flash: the bytes of `meterwright settings -o`, as they are, at the start of the last sector. Both
//! programs read it by these rules.

use crate::board::CAPTURE_RATE;
use controller::settings::image::{self, ImageError, MAX_IMAGE};
use controller::{Settings, SettingsConfig, SettingsError};
use core::fmt;

/// Its address: the last 4 KiB of 2 MiB. `memory.x` keeps the program out of it.
const ADDRESS: usize = 0x101F_F000;

/// Sides that this board has valves for.
const SIDES: usize = 2;

/// Magic, version, length, check sum: what is looked at where there is no image.
const LEAST: usize = 12;

/// Why no settings are in force.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Refused {
    /// The bytes are no image.
    Image(ImageError),
    /// They break a rule of the settings.
    Settings(SettingsError),
    /// The drill has more sides than this board has valves.
    Sides(usize),
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Image(error) => error.fmt(f),
            Self::Settings(error) => error.fmt(f),
            Self::Sides(sides) => write!(f, "{sides} sides; this board has two"),
        }
    }
}

/// The image's bytes: as many as it says that it has.
fn bytes() -> &'static [u8] {
    // SAFETY: the sector is mapped, belongs to no other item (`memory.x`), any byte is a `u8`, and nothing writes to it
    // while the program runs.
    let sector: &'static [u8; MAX_IMAGE] = unsafe { &*(ADDRESS as *const [u8; MAX_IMAGE]) };
    let said = usize::from(u16::from_le_bytes([sector[6], sector[7]]));
    &sector[..said.clamp(LEAST, MAX_IMAGE)]
}

/// What the image says, and its fingerprint.
///
/// # Errors
///
/// [`Refused`] says why nothing may run.
pub(crate) fn read() -> Result<(SettingsConfig, u32), Refused> {
    let bytes = bytes();
    let config = image::read(bytes).map_err(Refused::Image)?;
    if config.sides.len() > SIDES {
        return Err(Refused::Sides(config.sides.len()));
    }
    Ok((config, image::fingerprint(bytes)))
}

/// The settings, checked for what this board takes, whatever the bench's took.
///
/// # Errors
///
/// [`Refused::Settings`] names the rule that is broken.
pub(crate) fn checked(config: &mut SettingsConfig) -> Result<Settings, Refused> {
    let took = config.capture_rate;
    config.capture_rate = took.min(CAPTURE_RATE);
    let settings = Settings::new(config);
    config.capture_rate = took;
    settings.map_err(Refused::Settings)
}
