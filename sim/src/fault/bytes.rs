//! Settings bytes flipped: a stored image with one bit wrong must be refused, whichever bit it is.
//!
//! A board whose image is refused starts unconfigured: it runs nothing and tells item 9. The journal's own bytes are
//! flipped where it is tested, in `tests/tests/journal`.

use super::setup::Setup;
use controller::settings::image::{ImageError, read, write};

/// What became of flipped bits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Flips {
    /// Bits flipped, one at a time.
    pub tried: usize,
    /// Images refused.
    pub refused: usize,
    /// Images taken for settings.
    pub taken: usize,
}

/// Room for an image.
const ROOM: usize = 4_096;

/// Flips every bit of the image of a set-up's settings, one at a time.
///
/// # Errors
///
/// That of writing the image.
pub fn flip_settings(setup: Setup) -> Result<Flips, ImageError> {
    let mut room = [0; ROOM];
    let length = write(&setup.settings(), &mut room)?;
    let mut flips = Flips::default();
    for bit in 0..8 * length {
        let mut image = room;
        image[bit / 8] ^= 1 << (bit % 8);
        flips.tried += 1;
        match read(&image[..length]) {
            Err(_) => flips.refused += 1,
            Ok(_) => flips.taken += 1,
        }
    }
    Ok(flips)
}
