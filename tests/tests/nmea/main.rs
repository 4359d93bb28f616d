//! NMEA 0183: published sentences, any split and any bytes, recorded streams against an independent
//! reader, refusals by reason, instants.

mod published;
mod recorded;
mod refusals;
mod stream;
mod timing;

use controller::quantity::{Instant, Micros};
use controller::sense::nmea::{Fix, Receiver, ReceiverConfig, ReceiverState};

/// A receiver whose fixes are as old as their arrival.
pub(crate) fn receiver() -> Receiver {
    Receiver::new(ReceiverConfig { latency: Micros::ZERO }).expect("no latency is right")
}

/// All fixes of a stream, a byte every 100 µs (about 115 200 baud).
pub(crate) fn fixes(bytes: &[u8]) -> (Vec<Fix>, ReceiverState) {
    let mut state = ReceiverState::default();
    let receiver = receiver();
    let mut fixes = Vec::new();
    let mut at = Instant::from_micros(u32::MAX - 20_000);
    for byte in bytes {
        at = at.plus(Micros::new(100));
        fixes.extend(receiver.take(&mut state, *byte, at));
    }
    (fixes, state)
}

/// The speeds of a stream, m/s.
pub(crate) fn speeds(bytes: &[u8]) -> Vec<f64> {
    let (fixes, _) = fixes(bytes);
    let speed = |fix: &Fix| fix.speed.map(|sample| f64::from(sample.speed.to_bits()) / 1_048_576.0);
    fixes.iter().filter_map(speed).collect()
}

/// A sentence with its sum and line end.
pub(crate) fn summed(text: &str) -> String {
    let sum = text.bytes().fold(0_u8, |sum, byte| sum ^ byte);
    format!("${text}*{sum:02X}\r\n")
}
