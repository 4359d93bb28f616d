//! Fingerprint: a short form by which a person sees that two images are the same.

use super::{TRAILER, crc32};
use core::fmt;

/// Sixteen signs of which no two look alike, on a display or by hand: no 0, 1, B, D, G, I, L, O, Q, S, U, V, Z.
const SIGNS: [u8; 16] = *b"23456789ACEHKRTX";

/// Fingerprint of an image: CRC-32 of all but its check sum. Any one changed field changes it, for a CRC tells every
/// burst of up to 32 bits.
#[must_use]
pub fn fingerprint(image: &[u8]) -> u32 {
    let end = image.len().saturating_sub(TRAILER);
    crc32(image.get(..end).unwrap_or_default())
}

/// A fingerprint spelt in eight signs, four by four: `29A4-KX37`.
#[must_use]
pub const fn spell(fingerprint: u32) -> Spelt {
    Spelt(fingerprint)
}

/// A fingerprint as it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Spelt(u32);

impl Spelt {
    /// Its signs, the dash among them.
    pub fn signs(self) -> impl Iterator<Item = u8> {
        // The dash stands between bits 16 and 15.
        let places = [28_u32, 24, 20, 16, 32, 12, 8, 4, 0];
        places.into_iter().map(move |place| {
            let nibble = self.0.checked_shr(place).map(|shifted| shifted & 0xF);
            let index = nibble.and_then(|nibble| usize::try_from(nibble).ok());
            index.and_then(|index| SIGNS.get(index)).copied().unwrap_or(b'-')
        })
    }
}

impl fmt::Display for Spelt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.signs().try_for_each(|sign| write!(f, "{}", char::from(sign)))
    }
}

#[cfg(test)]
mod tests {
    use super::{SIGNS, spell};
    use core::fmt::Write as _;
    use heapless::String;

    #[test]
    fn a_fingerprint_is_spelt_in_eight_signs_from_the_highest_down() {
        let mut text = String::<16>::new();
        write!(text, "{}", spell(0x0123_CDEF)).unwrap();
        assert_eq!(text, "2345-KRTX");
    }

    #[test]
    fn no_sign_is_there_twice() {
        for (place, sign) in SIGNS.iter().enumerate() {
            assert!(!SIGNS[..place].contains(sign), "{} twice", char::from(*sign));
        }
    }
}
