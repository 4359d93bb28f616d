//! What is refused, by reason, and that the stream goes on behind it.

use crate::{fixes, receiver, speeds, summed};
use controller::quantity::Instant;
use controller::sense::nmea::{ReceiverState, Refused};
use proptest::prelude::*;

const RMC: &str = "GNRMC,091503.000,A,4813.0509,N,00824.8699,E,6.56,175.87,101015,,,A";

/// The counts of a stream that ends with a good sentence, which must be read.
fn refused(before: &[u8]) -> Refused {
    let mut all = before.to_vec();
    all.extend(summed(&RMC.replace("091503", "101112")).bytes());
    let (fixes, state) = fixes(&all);
    let last = fixes.last().and_then(|fix| fix.utc).expect("the good sentence is read");
    assert_eq!(last.millis(), 36_672_000, "10:11:12");
    state.refused()
}

#[test]
fn each_reason_has_its_own_count() {
    let good = summed(RMC);
    let none = Refused::default();
    assert_eq!(refused(good.as_bytes()), none);
    let sum = Refused { checksum: 1, ..none };
    assert_eq!(refused(good.replace('6', "7").as_bytes()), sum, "a wrong sum");
    assert_eq!(refused(format!("${RMC}\r\n").as_bytes()), sum, "no sum");
    assert_eq!(refused(format!("${RMC}*7\r\n").as_bytes()), sum, "half a sum");
    let status = Refused { status: 1, ..none };
    assert_eq!(refused(summed(&RMC.replace(",A,48", ",V,48")).as_bytes()), status);
    let layout = Refused { layout: 1, ..none };
    assert_eq!(refused(summed("GNRMC,091503.000,A,4813.0509").as_bytes()), layout, "cut short");
    assert_eq!(refused(summed(&RMC.replace("6.56", "6.5x")).as_bytes()), layout, "no number");
    assert_eq!(refused(summed(&RMC.replace("6.56", "3981.1")).as_bytes()), layout, "2048 m/s");
    let long = Refused { too_long: 1, ..none };
    assert_eq!(refused(summed(&"GNRMC,".repeat(20)).as_bytes()), long);
}

#[test]
fn a_fast_speed_passes_as_it_is() {
    for (knots, want) in [("31.2", 16.050_67), ("124.5", 64.048_33), ("3800", 1_954.888_89)] {
        let have = speeds(summed(&RMC.replace("6.56", knots)).as_bytes());
        assert!((have[0] - want).abs() < 1e-5, "{knots} kn: {} m/s, wanted {want}", have[0]);
    }
}

#[test]
fn the_sum_may_stand_in_small_letters() {
    let text = "$GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,A*7B\r\n";
    let small = text.replace("7B", "7b");
    assert_eq!(speeds(small.as_bytes()), speeds(text.as_bytes()));
    assert_eq!(speeds(small.as_bytes()).len(), 1);
}

#[test]
fn a_dollar_within_a_line_begins_anew() {
    let have = refused(b"$GNRMC,091503.000,A,48");
    assert_eq!(have, Refused { checksum: 1, ..Refused::default() });
}

#[test]
fn control_bytes_and_binary_frames_between_are_passed_over() {
    assert_eq!(refused(b"\r\n\0\x07\x1b*4F\r\n,,A,"), Refused::default());
    // A binary frame (two marks, class, length, body with a `$`, sum), as receivers send them between.
    let frame = [0xB5, 0x62, 0x01, 0x07, 0x04, 0x00, b'$', 0x2A, 0xFF, 0x00, 0x31, 0x9C];
    assert_eq!(refused(&frame), Refused { checksum: 1, ..Refused::default() });
}

#[test]
fn a_speed_without_a_course_is_a_speed_alone_and_a_course_without_a_speed_is_nothing() {
    let (have, _) = fixes(summed(&RMC.replace("175.87", "")).as_bytes());
    assert!(have[0].speed.is_some() && have[0].course.is_none(), "{have:?}");
    let (have, _) = fixes(summed(&RMC.replace("6.56", "")).as_bytes());
    assert!(have[0].speed.is_none() && have[0].course.is_none(), "{have:?}");
    assert!(have[0].position.is_some(), "the place is given all the same");
}

#[test]
fn counts_hold_at_their_end() {
    let mut state = ReceiverState::default();
    for _ in 0..70_000 {
        let _none = receiver().take(&mut state, b'$', Instant::from_micros(0));
    }
    assert_eq!(state.refused().checksum, u16::MAX);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(5_000) })]

    #[test]
    fn a_byte_that_became_another_is_refused_or_changes_nothing(
        at in any::<prop::sample::Index>(),
        byte in any::<u8>(),
    ) {
        let good = summed(RMC);
        let (want, _) = fixes(good.as_bytes());
        let mut bytes = good.into_bytes();
        let at = at.index(bytes.len());
        bytes[at] = byte;
        let (have, _) = fixes(&bytes);
        prop_assert!(have.is_empty() || have == want, "byte {at} is {byte}: {have:?}");
    }
}
