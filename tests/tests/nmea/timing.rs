//! Instants: the recorded 10 Hz stream with made-up jitter of its port, pauses within a burst, doubt.

use crate::recorded::recording;
use crate::{receiver, summed};
use controller::quantity::{Instant, Micros};
use controller::sense::nmea::{Fix, ReceiverState};
use sim::profile::nmea::{gga, rmc};

/// A byte at 115 200 baud, µs.
const BYTE_US: u32 = 87;

/// A stream with its own clock.
struct Port {
    state: ReceiverState,
    now: Instant,
}

impl Port {
    /// Begins shortly before the counter wraps.
    fn new() -> Self {
        Self { state: ReceiverState::default(), now: Instant::from_micros(u32::MAX - 3_000_000) }
    }

    /// Sends text at once; returns the fixes.
    fn send(&mut self, text: &str) -> Vec<Fix> {
        let mut fixes = Vec::new();
        for byte in text.bytes() {
            fixes.extend(receiver().take(&mut self.state, byte, self.now));
            self.now = self.now.plus(Micros::new(BYTE_US));
        }
        fixes
    }

    /// The speeds of a sentence that comes after a pause.
    fn speeds_after(&mut self, pause_ms: u32, text: &str) -> usize {
        self.now = self.now.plus(Micros::from_millis(pause_ms));
        self.send(&summed(text)).iter().filter(|fix| fix.speed.is_some()).count()
    }
}

/// Lateness 0..30 ms, the same in each run: a linear congruence.
const fn lateness(dice: &mut u32) -> Micros {
    *dice = dice.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
    Micros::new((*dice >> 8) % 30_000)
}

/// The recording's epochs: GGA and RMC of the same time stand together.
fn epochs(text: &str) -> Vec<String> {
    let lines: Vec<&str> = text.lines().collect();
    lines.chunks(2).map(|pair| format!("{}\r\n{}\r\n", pair[0], pair[1])).collect()
}

#[test]
fn the_10_hz_recording_keeps_its_instants_through_30_ms_of_jitter_and_a_leap_of_its_clock() {
    let Some(bytes) = recording("gnss-10hz.nmea") else { return };
    let text = String::from_utf8(bytes).expect("it is text");
    let epochs = epochs(&text);
    let mut port = Port::new();
    let mut truth = port.now;
    let (mut worst, mut raw_worst, mut last) = (0, 0, None);
    let mut dice = 7;
    for (index, epoch) in epochs.iter().enumerate() {
        let mut lines = epoch.lines();
        assert!(lines.next().and_then(gga).is_some() && lines.next().and_then(rmc).is_some());
        truth = truth.plus(Micros::from_millis(100));
        let late = lateness(&mut dice);
        port.now = truth.plus(late);
        let fixes = port.send(epoch);
        let speed = fixes.iter().find_map(|fix| fix.speed).expect("each epoch has a speed");
        assert!(fixes.iter().all(|fix| fix.position.is_none_or(|it| it.at == speed.at)));
        if let Some(last) = last.replace(speed.at) {
            assert!(Instant::is_before(last, speed.at), "epoch {index} is not after the last");
        }
        // Ten epochs settle it after the start and after the leap of 630 s behind the 104th.
        if !(index < 10 || (104..114).contains(&index)) {
            let off = speed.at.micros().wrapping_sub(truth.micros()).cast_signed().unsigned_abs();
            (worst, raw_worst) = (off.max(worst), late.get().max(raw_worst));
        }
    }
    println!("{} epochs, arrival late by up to {raw_worst} µs: {worst} µs are left", epochs.len());
    assert_eq!(epochs.len(), 122);
    assert!(raw_worst > 25_000, "{raw_worst} µs of jitter try nothing");
    assert!(worst <= 10_000, "{worst} µs are left, wanted 10 000 at most");
}

const RMC: &str = "GPRMC,091503.000,A,4813.0509,N,00824.8699,E,6.56,175.87,101015,,";
const VOID: &str = "GPRMC,091503.000,V,4813.0509,N,00824.8699,E,6.56,175.87,101015,,";
const VTG: &str = "GPVTG,175.87,T,,M,6.56,N,12.1,K";

#[test]
fn a_vtg_that_repeats_the_speed_after_a_pause_is_of_the_same_epoch() {
    let mut port = Port::new();
    assert_eq!(port.speeds_after(0, RMC), 1);
    assert_eq!(port.speeds_after(60, VTG), 0, "the same speed after 60 ms");
    assert_eq!(port.speeds_after(60, &VTG.replace("6.56", "6.61")), 1, "another speed");
    assert_eq!(port.speeds_after(500, &VTG.replace("6.56", "6.61")), 1, "the same, but later");
}

#[test]
fn a_void_rmc_speaks_for_the_vtg_until_it_is_valid_again_or_silent() {
    let mut port = Port::new();
    assert_eq!(port.speeds_after(0, VOID), 0);
    assert_eq!(port.speeds_after(60, VTG), 0, "after a pause too");
    assert_eq!(port.speeds_after(400, VTG), 0, "before the next RMC");
    assert_eq!(port.state.refused().status, 3, "each is counted");
    assert_eq!(port.speeds_after(400, RMC), 1);
    assert_eq!(port.speeds_after(500, VTG), 1, "the RMC is valid again");
    assert_eq!(port.speeds_after(500, VOID), 0);
    assert_eq!(port.speeds_after(2_900, VTG), 0);
    assert_eq!(port.speeds_after(200, VTG), 1, "no RMC for 3 s");
}

#[test]
fn a_vtg_that_is_not_valid_speaks_for_itself_alone() {
    let mut port = Port::new();
    assert_eq!(port.speeds_after(0, &format!("{VTG},N")), 0);
    assert_eq!(port.speeds_after(200, &format!("{VTG},A")), 1);
    assert_eq!(port.state.refused().status, 1);
}
