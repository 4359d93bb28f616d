//! The bytes of the groups.

use super::Said;

/// Steps of a distance counter: it restarts at 0 after 4 211 081.215 m.
const DISTANCE_STEPS: f64 = 4_211_081_216.0;
/// The largest word of 16 bits that is a value.
const LARGEST: f64 = 64_255.0;
/// Yaw rate of the word 0, rad/s.
const YAW_OFFSET: f64 = -3.92;

/// Eight bytes of a speed group: speed, way, byte 7 and the upper bits of byte 8.
pub(super) fn speed(said: Said, way_m: f64, [seventh, states]: [u8; 2]) -> [u8; 8] {
    let way = natural((way_m * 1000.0).rem_euclid(DISTANCE_STEPS));
    let mut bytes = [0, 0, 0, 0, 0, 0, seventh, (states & 0xFC) | direction(said)];
    bytes[0..2].copy_from_slice(&speed_word(said).to_le_bytes());
    bytes[2..6].copy_from_slice(&way.to_le_bytes());
    bytes
}

/// Eight bytes of a hitch: lowered is in work at 10 %, lifted at 90 %; no limit, force, draft or exit code known.
pub(super) const fn hitch(lowered: bool) -> [u8; 8] {
    // 0.4 % a step; in work in bits 7 and 8, limit (7, not available) in bits 4 to 6.
    let [position, in_work] = if lowered { [25, 1] } else { [225, 0] };
    [position, (in_work << 6) | 0b11_1111, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF]
}

/// Eight bytes of the yaw rate.
pub(super) fn yaw(rad_per_s: f64) -> [u8; 8] {
    let raw = libm::round((rad_per_s - YAW_OFFSET) * 8192.0).clamp(0.0, LARGEST);
    let [low, high] = word(raw).to_le_bytes();
    [0xFF, 0xFF, 0xFF, low, high, 0xFF, 0xFF, 0xFF]
}

fn speed_word(said: Said) -> u16 {
    match said {
        Said::Speed(mps) => word(libm::round(mps.abs() * 1000.0).min(LARGEST)),
        Said::OutOfRange => 0xFB00,
        Said::Error => 0xFE00,
        Said::NotAvailable => 0xFFFF,
    }
}

/// 0 backwards, 1 forward, 3 not known.
fn direction(said: Said) -> u8 {
    match said {
        Said::Speed(mps) => u8::from(mps >= 0.0),
        Said::OutOfRange | Said::Error | Said::NotAvailable => 3,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held to the range of a word by the callers"
)]
const fn word(value: f64) -> u16 {
    value as u16
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "within the steps of the counter; a fraction of a millimetre has not been gone yet"
)]
const fn natural(value: f64) -> u32 {
    value as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn speed_groups_are_the_bytes_of_the_check_values() {
        // Assembled from the layouts at isobus.net: 65096, 65097, 61474.
        assert_eq!(
            speed(Said::Speed(-9.876), 5.0, [0x03, 0x14]),
            [0x94, 0x26, 0x88, 0x13, 0, 0, 0x03, 0x14]
        );
        assert_eq!(
            speed(Said::Speed(9.999), 80.0, [0xFF, 0]),
            [0x0F, 0x27, 0x80, 0x38, 0x01, 0, 0xFF, 0x01]
        );
        assert_eq!(
            speed(Said::Speed(1.0), 123.456, [0xCF, 0x68]),
            [0xE8, 0x03, 0x40, 0xE2, 0x01, 0, 0xCF, 0x69]
        );
    }

    #[test]
    fn the_distance_restarts_at_zero() {
        let way = |m: f64| speed(Said::Speed(0.0), m, [0; 2])[2..6].to_owned();
        assert_eq!(way(4_211_081.215_2), [0xFF, 0xFF, 0xFF, 0xFA], "the last step");
        assert_eq!(way(4_211_081.216_2), [0, 0, 0, 0], "one further");
    }

    #[test]
    fn no_value_has_no_direction_either() {
        for (said, word) in
            [(Said::OutOfRange, 0xFB), (Said::Error, 0xFE), (Said::NotAvailable, 0xFF)]
        {
            let bytes = speed(said, 0.0, [0; 2]);
            assert_eq!((bytes[1], bytes[7] & 3), (word, 3), "{said:?}");
        }
    }
}
