//! The settings image: there and back, and every flipped bit refused.

use crate::settings::{any_settings, drill};
use controller::SettingsConfig;
use controller::drive::MapPoint;
use controller::seed::MeterPoint;
use controller::settings::image::{ImageError, MAX_IMAGE, crc32, fingerprint, read, spell, write};
use proptest::prelude::*;

fn image(config: &SettingsConfig) -> Vec<u8> {
    let mut bytes = [0; MAX_IMAGE];
    let length = write(config, &mut bytes).expect("there is room");
    bytes[..length].to_vec()
}

proptest! {
    #[test]
    fn settings_and_image_are_one(config in any_settings()) {
        let bytes = image(&config);
        let back = read(&bytes).expect("just written");
        prop_assert_eq!(&back, &config);
        prop_assert_eq!(image(&back), bytes);
    }

    #[test]
    fn a_changed_byte_with_a_right_check_sum_is_refused_or_canonical(
        config in any_settings(), place in any::<usize>(), byte in any::<u8>(),
    ) {
        let mut bytes = image(&config);
        let end = bytes.len() - 4;
        bytes[8 + place % (end - 8)] = byte;
        let sum = crc32(&bytes[..end]);
        bytes[end..].copy_from_slice(&sum.to_le_bytes());
        if let Ok(config) = read(&bytes) {
            prop_assert_eq!(image(&config), bytes);
        }
    }
}

#[test]
fn every_flipped_bit_is_refused() {
    let bytes = image(&drill());
    for at in 0..bytes.len() {
        for bit in 0..8 {
            let mut flipped = bytes.clone();
            flipped[at] ^= 1 << bit;
            assert!(read(&flipped).is_err(), "bit {bit} of byte {at}");
            // The frame tells what is wrong where it can.
            let want = match at {
                0..4 => Some(ImageError::Magic),
                4..6 => Some(ImageError::Version(u16::from_le_bytes([flipped[4], flipped[5]]))),
                6..8 => Some(ImageError::Length(u16::from_le_bytes([flipped[6], flipped[7]]))),
                _ => Some(ImageError::CheckSum),
            };
            assert_eq!(read(&flipped).err(), want, "bit {bit} of byte {at}");
        }
    }
}

#[test]
fn an_image_that_is_cut_or_longer_is_refused() {
    let bytes = image(&drill());
    for length in 0..bytes.len() {
        assert!(read(&bytes[..length]).is_err(), "the first {length} bytes");
    }
    let longer = [bytes.as_slice(), &[0]].concat();
    assert!(matches!(read(&longer), Err(ImageError::Length(_))), "a byte more");
}

#[test]
fn what_no_settings_hold_names_its_field() {
    let mut bytes = image(&drill());
    // Byte 80 is the switch that corrects slip; see docs/settings-image.md.
    bytes[80] = 2;
    let end = bytes.len() - 4;
    let sum = crc32(&bytes[..end]);
    bytes[end..].copy_from_slice(&sum.to_le_bytes());
    assert_eq!(read(&bytes), Err(ImageError::Field("correct_slip")));
}

#[test]
fn the_largest_image_has_823_bytes_and_needs_as_many() {
    let mut config = drill();
    for side in &mut config.sides {
        side.meter.resize(6, MeterPoint::default()).expect("six catches");
        side.map.resize(12, MapPoint::default()).expect("twelve points");
    }
    config.sources.resize(4, config.sources[0]).expect("four sources");
    let bytes = image(&config);
    assert_eq!(bytes.len(), 823, "bytes of the largest image");
    assert_eq!(write(&config, &mut [0; 744]), Err(ImageError::NoRoom));
    assert_eq!(write(&config, &mut [0; 823]), Ok(823));
}

#[test]
fn one_changed_field_changes_the_fingerprint() {
    let config = drill();
    let other = SettingsConfig { capture_rate: config.capture_rate + 1, ..config.clone() };
    let (one, two) = (fingerprint(&image(&config)), fingerprint(&image(&other)));
    assert_ne!(one, two);
    assert_ne!(spell(one).to_string(), spell(two).to_string());
    assert_eq!(spell(one).to_string().len(), 9, "eight signs and a dash");
}
