//! The stream: splits, noise, epochs, jitter.

use crate::{fixes, receiver, speeds, summed};
use controller::quantity::{Instant, Micros};
use controller::sense::nmea::{LatencyTooLong, Receiver, ReceiverConfig, ReceiverState};
use proptest::prelude::*;

const RMC: &str = "GNRMC,091503.000,A,4813.0509,N,00824.8699,E,6.56,175.87,101015,,,A";
const VTG: &str = "GNVTG,175.87,T,,M,6.56,N,12.1,K,A";
const GGA: &str = "GNGGA,091503.000,4813.0509,N,00824.8699,E,1,08,1.0,650.0,M,48.0,M,,";

#[test]
fn an_epoch_gives_its_speed_once_in_any_order_of_its_sentences() {
    let [rmc, vtg, gga] = [RMC, VTG, GGA].map(summed);
    for order in [[&rmc, &vtg, &gga], [&gga, &vtg, &rmc], [&vtg, &rmc, &gga], [&gga, &rmc, &vtg]] {
        let text = order.map(String::as_str).concat();
        assert_eq!(speeds(text.as_bytes()).len(), 1, "{text}");
        let (fixes, _) = fixes(text.as_bytes());
        let places = fixes.iter().filter_map(|fix| fix.position).count();
        assert_eq!(places, 2, "RMC and GGA both tell the place");
    }
}

#[test]
fn a_stream_of_vtg_alone_has_a_speed_in_each() {
    let text = summed(VTG).repeat(3);
    let mut state = ReceiverState::default();
    let mut count = 0;
    let mut at = Instant::from_micros(0);
    for (index, byte) in text.bytes().enumerate() {
        // 0.1 s between the sentences.
        at = at.plus(Micros::new(if index % summed(VTG).len() == 0 { 95_000 } else { 100 }));
        count += usize::from(receiver().take(&mut state, byte, at).is_some());
    }
    assert_eq!(count, 3);
}

#[test]
fn old_layouts_are_read_and_their_letters_asked_for() {
    // Before the fixed letters: course, magnetic course, knots, km/h.
    assert_eq!(speeds(summed("GPVTG,054.7,034.4,005.5,010.2").as_bytes()).len(), 1);
    // Kilometres an hour alone: 10.8 km/h are 3 m/s.
    let have = speeds(summed("GPVTG,054.7,T,034.4,M,,N,10.8,K").as_bytes());
    assert!((have[0] - 3.0).abs() < 1e-5, "{have:?}");
}

#[test]
fn modes_that_are_not_a_measurement_are_refused() {
    for (mode, taken) in
        [("A", 1), ("D", 1), ("R", 1), ("F", 1), ("P", 1), ("N", 0), ("E", 0), ("M", 0), ("S", 0)]
    {
        let rmc = RMC.replace(",,,A", &format!(",,,{mode}"));
        assert_eq!(speeds(summed(&rmc).as_bytes()).len(), taken, "RMC mode {mode}");
        let vtg = VTG.replace(",K,A", &format!(",K,{mode}"));
        assert_eq!(speeds(summed(&vtg).as_bytes()).len(), taken, "VTG mode {mode}");
    }
    for (quality, taken) in [("0", 0), ("1", 1), ("2", 1), ("4", 1), ("5", 1), ("6", 0), ("8", 0)] {
        let gga = GGA.replace(",E,1,", &format!(",E,{quality},"));
        assert_eq!(fixes(summed(&gga).as_bytes()).0.len(), taken, "GGA quality {quality}");
    }
}

#[test]
fn an_empty_speed_is_no_speed_and_never_zero() {
    let empty = RMC.replace("6.56", "");
    assert!(speeds(summed(&empty).as_bytes()).is_empty());
    let standing = RMC.replace("6.56", "0.00");
    assert_eq!(speeds(summed(&standing).as_bytes()), [0.0]);
}

#[test]
fn other_sentences_and_proprietary_ones_are_passed_over() {
    let text = summed("GPGSV,3,1,11,03,03,111,00") + &summed("PRMC,1,2,3") + &summed(RMC);
    let (fixes, state) = fixes(text.as_bytes());
    assert_eq!(fixes.len(), 1);
    assert_eq!(state.refused(), controller::sense::nmea::Refused::default());
}

#[test]
fn a_latency_above_a_second_is_refused_and_one_below_is_taken_off() {
    let config = |latency| ReceiverConfig { latency };
    assert_eq!(Receiver::new(config(Micros::new(1_000_001))), Err(LatencyTooLong));
    let late = Receiver::new(config(Micros::from_millis(100))).expect("0.1 s is right");
    let mut state = ReceiverState::default();
    let at = Instant::from_micros(5_000_000);
    let given = summed(RMC).bytes().find_map(|byte| late.take(&mut state, byte, at));
    let sample = given.and_then(|fix| fix.speed).expect("a speed");
    assert_eq!(sample.at, Instant::from_micros(4_900_000));
}

#[test]
fn the_jitter_of_the_port_is_taken_away_and_a_jump_of_the_clock_survived() {
    let mut state = ReceiverState::default();
    let receiver = receiver();
    let mut worst = 0_u32;
    for k in 0..600_u32 {
        // Every 0.1 s, up to 40 ms late; midnight after 30 s, a jump of 630 s after 45 s.
        let jump = if k >= 450 { 630_000 } else { 0 };
        let millis = (86_370_000 + k * 100 + jump) % 86_400_000;
        let (hours, rest) = (millis / 3_600_000, millis % 3_600_000);
        let (minutes, seconds) = (rest / 60_000, f64::from(rest % 60_000) / 1e3);
        let utc = format!("{hours:02}{minutes:02}{seconds:06.3}");
        let text = summed(&RMC.replace("091503.000", &utc));
        let truth = Instant::from_micros((u32::MAX - 10_000_000).wrapping_add(k * 100_000));
        let late = Micros::new(k.wrapping_mul(2_654_435_761) % 40_000);
        let mut given = None;
        for byte in text.bytes() {
            given = given.or(receiver.take(&mut state, byte, truth.plus(late)));
        }
        let sample = given.and_then(|fix| fix.speed).expect("a speed in each");
        let off = sample.at.micros().wrapping_sub(truth.micros()).cast_signed();
        // Ten fixes after the start and after each jump of the clock settle it.
        let settling = k < 10 || (300..310).contains(&k) || (450..460).contains(&k);
        if !settling {
            worst = worst.max(off.unsigned_abs());
        }
    }
    println!("port jitter of 40 ms leaves {worst} µs");
    assert!(worst < 12_000, "{worst} µs of 40 ms are left");
}

fn config() -> ProptestConfig {
    ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2_000) }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_bytes_panic_and_what_follows_them_is_read(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        let mut all = bytes;
        all.extend(summed(&RMC.replace("091503", "101112")).bytes());
        let last = *speeds(&all).last().expect("the good sentence");
        prop_assert!((last - 6.56 * 1852.0 / 3600.0).abs() < 1e-5);
    }

    #[test]
    fn a_flipped_bit_is_refused_or_changes_nothing(at in any::<prop::sample::Index>(), bit in 0..8_u32) {
        let good = summed(RMC);
        let mut bytes = good.clone().into_bytes();
        let at = at.index(bytes.len());
        bytes[at] ^= 1 << bit;
        let want = speeds(good.as_bytes())[0];
        for have in speeds(&bytes) {
            prop_assert!((have - want).abs() < 1e-9, "byte {at}: {have} m/s of {want}");
        }
    }

    #[test]
    fn any_pause_between_bytes_gives_the_same_speeds(pauses in prop::collection::vec(0..5_000_u32, 200)) {
        let text = summed(RMC) + &summed(GGA) + &summed(VTG);
        let mut state = ReceiverState::default();
        let mut at = Instant::from_micros(0);
        let mut count = 0;
        for (byte, pause) in text.bytes().zip(pauses.into_iter().cycle()) {
            at = at.plus(Micros::new(pause));
            count += usize::from(receiver().take(&mut state, byte, at).is_some_and(|fix| fix.speed.is_some()));
        }
        prop_assert_eq!(count, 1);
    }
}
