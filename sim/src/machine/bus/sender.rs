//! Who sends what, and when.

use super::words;
use crate::profile::candump::BusFrame;
use embedded_can::{ExtendedId, Frame as _};

/// What a sender sends; `Default` is address 0, every group but the yaw rate, every 100 ms.
#[derive(Clone, Debug, PartialEq)]
pub struct BusSenderConfig {
    /// Its address.
    pub address: u8,
    /// The groups it sends, in this order.
    pub sends: Vec<Sends>,
    /// Time between two rounds, s.
    pub interval_s: f64,
    /// What the distance counters show at the start, m.
    pub odometer_m: f64,
}

/// A group that a sender may send.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sends {
    /// Wheel-based speed and distance.
    Wheel,
    /// Ground-based speed and distance.
    Ground,
    /// Machine selected speed and distance, which are the ground-based ones.
    Selected,
    /// State of the rear hitch.
    Hitch,
    /// Yaw rate.
    Yaw,
}

impl Default for BusSenderConfig {
    fn default() -> Self {
        let sends = vec![Sends::Wheel, Sends::Ground, Sends::Selected, Sends::Hitch];
        Self { address: 0, sends, interval_s: 0.1, odometer_m: 0.0 }
    }
}

/// What a sensor of the tractor says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Said {
    /// A speed, m/s, negative backwards.
    Speed(f64),
    /// It does not know.
    NotAvailable,
    /// It is broken.
    Error,
    /// A code that the standard reserves.
    OutOfRange,
}

/// What is true at an instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BusMoment {
    /// Instant, s.
    pub t_s: f64,
    /// Speed of the wheels, with their slip.
    pub wheel: Said,
    /// Speed over ground.
    pub ground: Said,
    /// The hitch is down.
    pub lowered: bool,
    /// Yaw rate, rad/s, anticlockwise positive.
    pub yaw_rad_per_s: f64,
}

/// Plays one address of a tractor's bus.
#[derive(Clone, Debug)]
pub struct BusSender {
    config: BusSenderConfig,
    last: Option<BusMoment>,
    /// Way of wheels and ground, m.
    ways_m: [f64; 2],
    rounds: u32,
    start_s: f64,
}

impl BusSender {
    /// A sender that is switched on.
    pub const fn new(config: BusSenderConfig) -> Self {
        let ways_m = [config.odometer_m; 2];
        Self { config, last: None, ways_m, rounds: 0, start_s: 0.0 }
    }

    /// Goes on to `moment`, later than the one before; the frames of a round where one is due.
    pub fn step(&mut self, moment: BusMoment) -> Vec<BusFrame> {
        if let Some(last) = self.last {
            let half_s = (moment.t_s - last.t_s) / 2.0;
            self.ways_m[0] += (pace(last.wheel) + pace(moment.wheel)) * half_s;
            self.ways_m[1] += (pace(last.ground) + pace(moment.ground)) * half_s;
        } else {
            self.start_s = moment.t_s;
        }
        self.last = Some(moment);
        let due_s = self.start_s + f64::from(self.rounds) * self.config.interval_s;
        // The clocks of steps and rounds are sums of fractions.
        if moment.t_s + 1e-9 < due_s {
            return Vec::new();
        }
        self.rounds += 1;
        self.round(moment)
    }

    /// The frames of a round.
    fn round(&self, moment: BusMoment) -> Vec<BusFrame> {
        let groups = self.config.sends.iter().map(|sends| self.group(*sends, moment));
        groups.filter_map(|(id, bytes)| self.frame(id, bytes)).collect()
    }

    /// Identifier and bytes of a group.
    fn group(&self, sends: Sends, moment: BusMoment) -> (u32, [u8; 8]) {
        let BusMoment { wheel, ground, lowered, yaw_rad_per_s, .. } = moment;
        let [wheel_m, ground_m] = self.ways_m;
        match sends {
            // Power time not available; not turned round, operations started, key on.
            Sends::Wheel => (0x0CFE_4800, words::speed(wheel, wheel_m, [0xFF, 0b0001_0100])),
            Sends::Ground => (0x0CFE_4900, words::speed(ground, ground_m, [0xFF, 0xFC])),
            // Exit code 0 in the lower six bits; source 1 (ground-based), limit 0 (none).
            Sends::Selected => (0x0CF0_2200, words::speed(ground, ground_m, [0xC0, 0b0000_0100])),
            Sends::Hitch => (0x0CFE_4500, words::hitch(lowered)),
            Sends::Yaw => (0x18F0_0900, words::yaw(yaw_rad_per_s)),
        }
    }

    fn frame(&self, id: u32, bytes: [u8; 8]) -> Option<BusFrame> {
        BusFrame::new(ExtendedId::new(id | u32::from(self.config.address))?, &bytes)
    }
}

/// What a distance counter counts, m/s: the way back counts too, what is not known does not.
const fn pace(said: Said) -> f64 {
    match said {
        Said::Speed(mps) => mps.abs(),
        Said::NotAvailable | Said::Error | Said::OutOfRange => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(t_s: f64) -> BusMoment {
        let speed = Said::Speed(2.0);
        BusMoment { t_s, wheel: speed, ground: speed, lowered: true, yaw_rad_per_s: 0.0 }
    }

    #[test]
    fn a_round_comes_every_interval_and_the_way_is_counted() {
        let mut sender = BusSender::new(BusSenderConfig { address: 0x45, ..Default::default() });
        let mut rounds = Vec::new();
        for millis in 0..=1_000 {
            let frames = sender.step(at(5.0 + f64::from(millis) * 0.001));
            if let Some(wheel) = frames.first() {
                rounds.push((millis, frames.len(), *wheel));
            }
        }
        let times: Vec<i32> = rounds.iter().map(|(millis, ..)| *millis).collect();
        assert_eq!(times, [0, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1_000]);
        assert!(rounds.iter().all(|(_, count, _)| *count == 4), "four groups a round");
        let last = rounds[10].2;
        let way = u32::from_le_bytes(last.data()[2..6].try_into().unwrap());
        // 2 m less the rounding of a sum of 1000 steps.
        assert!((1_999..=2_000).contains(&way), "{way} mm");
    }
}
