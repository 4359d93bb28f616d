//! Any bytes as NMEA 0183: no panic, every fix within its ranges, and a good sentence after them is read.
#![no_main]

use controller::quantity::{Instant, Micros};
use controller::sense::nmea::{Receiver, ReceiverConfig, ReceiverState};
use libfuzzer_sys::fuzz_target;

const GOOD: &[u8] =
    b"\r\n$GNRMC,091503.000,A,4813.0509,N,00824.8699,E,6.56,175.87,101015,,,A,V*0B\r\n";

fuzz_target!(|bytes: &[u8]| {
    let latency = Micros::from_millis(100);
    let receiver = Receiver::new(ReceiverConfig { latency }).expect("0.1 s is right");
    let mut state = ReceiverState::default();
    let mut at = Instant::from_micros(u32::MAX - 1_000);
    for byte in bytes {
        at = at.plus(Micros::new(87));
        if let Some(fix) = receiver.take(&mut state, *byte, at) {
            let speed = fix.speed.map_or(0, |sample| sample.speed.to_bits());
            assert!(speed >= 0, "a receiver's speed has no sign: {fix:?}");
            let utc = fix.utc.map_or(0, |utc| utc.millis());
            assert!(utc < 86_461_000, "{fix:?}");
        }
    }
    // A second later, so that it is an epoch of its own.
    at = at.plus(Micros::from_millis(1_000));
    let read = GOOD.iter().filter_map(|byte| receiver.take(&mut state, *byte, at)).count();
    assert_eq!(read, 1, "a good sentence was not read after {bytes:?}");
});
