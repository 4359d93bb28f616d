//! What the bytes of a group say, in f64.
//!
//! Resolutions and places as the data dictionary at isobus.net has them; of 65265 the place is from memory and agrees
//! with recorded logs; of 129026 they are those of docs/canboat.json.

use super::BusFrame;
use embedded_can::{Frame as _, Id};

/// Groups that give a speed, the best first.
pub(super) const GROUPS: [u32; 6] = [65_097, 61_474, 65_096, 65_265, 129_026, 65_256];

/// Group and sender of a frame with eight bytes, and the bytes.
pub(super) fn opened(frame: &BusFrame) -> Option<(u32, u8, [u8; 8])> {
    let Id::Extended(id) = frame.id() else { return None };
    let bytes = frame.data().try_into().ok()?;
    let sender = u8::try_from(id.as_raw() & 0xFF).ok()?;
    let group = (id.as_raw() >> 8) & 0x3_FFFF;
    // Below 240 the low byte is the destination.
    let to_all = (group & 0xFF00) >= 0xF000;
    Some((if to_all { group } else { group & 0x3_FF00 }, sender, bytes))
}

/// Speed in m/s, negative backwards; none where the group has none or it is not a value.
pub(super) fn speed_mps(group: u32, bytes: [u8; 8]) -> Option<f64> {
    let word = |at: usize| u16::from_le_bytes([bytes[at], bytes[at + 1]]);
    let value = |at: usize| Some(f64::from(word(at))).filter(|raw| *raw <= 64_255.0);
    match group {
        65_096 | 65_097 | 61_474 => value(0).map(|raw| raw * 0.001 * sign(group, bytes[7])),
        65_265 => value(1).map(|raw| raw / 256.0 / 3.6),
        65_256 => value(2).map(|raw| raw / 256.0 / 3.6),
        129_026 => Some(word(4)).filter(|raw| *raw < 0xFFFD).map(|raw| f64::from(raw) * 0.01),
        _ => None,
    }
}

/// Backwards, unless the operator of a wheel-based message sits the other way round.
const fn sign(group: u32, states: u8) -> f64 {
    let turned_round = group == 65_096 && states >> 6 == 1;
    let (direction, backwards) = (states & 3, states.is_multiple_of(4));
    if direction < 2 && backwards != turned_round { -1.0 } else { 1.0 }
}

/// The hitch says in work or not.
pub(super) fn in_work(hitch: u32, group: u32, bytes: [u8; 8]) -> Option<bool> {
    let state = bytes[1] >> 6;
    (group == hitch && state < 2).then_some(state == 1)
}

/// Course over ground from true north, degrees.
pub(super) fn course_deg(group: u32, bytes: [u8; 8]) -> Option<f64> {
    let raw = f64::from(u16::from_le_bytes([bytes[2], bytes[3]]));
    let known = group == 129_026 && bytes[1].is_multiple_of(4) && raw < 62_832.0;
    known.then(|| (raw * 1e-4).to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_the_check_values_are_read() {
        let wheel = [0x94, 0x26, 0x88, 0x13, 0, 0, 0x03, 0x14];
        assert_eq!(speed_mps(65_096, wheel), Some(-9.876), "backwards");
        let ground = [0x0F, 0x27, 0x80, 0x38, 0x01, 0, 0xFF, 0xFD];
        assert_eq!(speed_mps(65_097, ground), Some(9.999));
        let fix = [0xFF, 0xFC, 0xCA, 0x30, 0x01, 0, 0xFF, 0xFF];
        assert_eq!(speed_mps(129_026, fix), Some(0.01));
        assert!((course_deg(129_026, fix).unwrap() - 71.562).abs() < 0.001);
        assert_eq!(speed_mps(129_026, [0xFF; 8]), None);
    }

    #[test]
    fn what_is_no_value_is_no_speed() {
        for word in [0xFB00_u16, 0xFE00, 0xFFFF] {
            let [low, high] = word.to_le_bytes();
            for group in GROUPS.into_iter().filter(|group| *group != 129_026) {
                assert_eq!(speed_mps(group, [low, high, high, high, 0, 0, 0, 1]), None, "{group}");
            }
        }
    }
}
