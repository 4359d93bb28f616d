//! CRC-32/ISO-HDLC: the check sum of the image.
//!
//! Polynomial 04C1 1DB7 (hexadecimal) reflected, initial and final value all ones. Bit by bit, without a table: an image is
//! checked once at power-up.

/// The polynomial, reflected.
const POLYNOMIAL: u32 = 0xEDB8_8320;

/// CRC-32/ISO-HDLC of some bytes.
#[must_use]
pub fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |rest, byte| {
        (0..8).fold(rest ^ u32::from(*byte), |rest, _| {
            let shifted = rest.wrapping_shr(1);
            if rest & 1 == 1 { shifted ^ POLYNOMIAL } else { shifted }
        })
    })
}

#[cfg(test)]
mod tests {
    use super::crc32;

    #[test]
    fn the_check_value_is_the_published_one() {
        // CRC-32/ISO-HDLC, check value of the ASCII digits 1 to 9; also ITU-T V.42 and IEEE 802.3.
        assert_eq!(crc32(b"123456789"), 0xCBF4_3926);
        assert_eq!(crc32(b""), 0, "of nothing");
    }
}
