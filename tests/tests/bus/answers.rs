//! Value, not available, error and out of range: every raw word has the answer of its range, in every group.
//!
//! The largest values are the published ranges (SPN 1859: 64.255 m/s; SPN 1860: 4 211 081.215 m; isobus.net), the codes of
//! two bits are published (SPN 4309). The bounds between the other codes are those of SAE J1939-71 from memory.

use crate::message;
use controller::sense::SpeedReport;
use controller::sense::bus::{Message, Reading};

/// What a word of 16 bits must say.
const fn wanted(raw: u16) -> Reading<u16> {
    match raw {
        0..=64_255 => Reading::Value(raw),
        0xFB00..=0xFDFF => Reading::OutOfRange,
        0xFE00..=0xFEFF => Reading::Error,
        0xFF00..=0xFFFF => Reading::NotAvailable,
    }
}

#[test]
fn every_word_of_16_bits_has_the_answer_of_its_range() {
    let mut counts = [0_u32; 4];
    for raw in 0..=u16::MAX {
        let have = Reading::of_word(raw);
        assert_eq!(have, wanted(raw), "{raw:#06X}");
        counts[match have {
            Reading::Value(_) => 0,
            Reading::OutOfRange => 1,
            Reading::Error => 2,
            Reading::NotAvailable => 3,
        }] += 1;
    }
    assert_eq!(counts, [64_256, 768, 256, 256], "values, out of range, error, not available");
}

/// The speed of each group by its word, and the report made of it.
fn spoken(raw: u16) -> [(Reading<()>, SpeedReport); 5] {
    let [low, high] = raw.to_le_bytes();
    let first = [low, high, 0, 0, 0, 0, 0, 1];
    let wheel = match message(0x0CFE_4845, first) {
        Message::Wheel(it) => (it.speed.map(drop), it.report()),
        other => panic!("{other:?}"),
    };
    let ground = match message(0x0CFE_4945, first) {
        Message::Ground(it) => (it.speed.map(drop), it.report()),
        other => panic!("{other:?}"),
    };
    let selected = match message(0x0CF0_2245, first) {
        Message::Selected(it) => (it.speed.map(drop), it.report()),
        other => panic!("{other:?}"),
    };
    let vehicle = |id, bytes| match message(id, bytes) {
        Message::VehicleWheel(it) | Message::VehicleNavigation(it) => {
            (it.speed.map(drop), it.report())
        }
        other => panic!("{other:?}"),
    };
    let by_wheel = vehicle(0x18FE_F145, [0, low, high, 0, 0, 0, 0, 0]);
    let by_fix = vehicle(0x18FE_E845, [0, 0, low, high, 0, 0, 0, 0]);
    [wheel, ground, selected, by_wheel, by_fix]
}

#[test]
fn every_speed_word_of_every_group_is_a_speed_or_its_own_answer_and_never_zero_instead() {
    for raw in 0..=u16::MAX {
        for (answer, report) in spoken(raw) {
            let (fits, moves) = match (wanted(raw), report) {
                (Reading::Value(_), SpeedReport::Speed(it)) => (true, it.speed.to_bits() != 0),
                (Reading::NotAvailable, SpeedReport::NotAvailable)
                | (Reading::Error, SpeedReport::Error)
                | (Reading::OutOfRange, SpeedReport::OutOfRange) => (true, raw != 0),
                _ => (false, false),
            };
            assert!(fits, "{raw:#06X} became {report:?}");
            assert_eq!(answer, wanted(raw).map(drop), "{raw:#06X}");
            assert_eq!(moves, raw != 0, "{raw:#06X}: only the word 0 is standing still");
        }
    }
}

#[test]
fn every_byte_has_the_answer_of_its_range() {
    for raw in 0..=u8::MAX {
        let want = match raw {
            0..=250 => Reading::Value(raw),
            251..=253 => Reading::OutOfRange,
            254 => Reading::Error,
            255 => Reading::NotAvailable,
        };
        assert_eq!(Reading::of_byte(raw), want, "{raw}");
    }
}

#[test]
fn words_of_32_bits_change_their_answer_at_the_published_bounds() {
    for (first, last, want) in [
        (0, 4_211_081_215, None),
        (0xFB00_0000, 0xFDFF_FFFF, Some(Reading::OutOfRange)),
        (0xFE00_0000, 0xFEFF_FFFF, Some(Reading::Error)),
        (0xFF00_0000, u32::MAX, Some(Reading::NotAvailable)),
    ] {
        for raw in [first, first + 1, last - 1, last] {
            assert_eq!(Reading::of_long(raw), want.unwrap_or(Reading::Value(raw)), "{raw:#010X}");
        }
    }
}

#[test]
fn marine_words_have_limits_of_their_own() {
    for raw in 0..=u16::MAX {
        let want = match raw {
            0..=65_532 => Reading::Value(raw),
            0xFFFD | 0xFFFE => Reading::OutOfRange,
            0xFFFF => Reading::NotAvailable,
        };
        assert_eq!(Reading::of_marine_word(raw), want, "{raw:#06X}");
    }
}

#[test]
fn two_bits_have_four_answers() {
    let have = [0, 1, 2, 3].map(Reading::of_pair);
    assert_eq!(
        have,
        [Reading::Value(false), Reading::Value(true), Reading::Error, Reading::NotAvailable]
    );
}
