//! Sources of timed samples: a GNSS receiver (late, noisy, with course and place) and the bus's speed messages.

use super::clock::{seconds, steps};
use super::senses::{SampleSense, Samples};
use crate::field::pose::Pose;
use crate::machine::Noise;
use crate::scenario::{BusGroup, Fitted, Gnss, Source};

/// Interval of the bus's speed messages, s (ISO 11783-7).
const BUS_INTERVAL_S: f64 = 0.1;

/// Steps of the bus's speed in 1 m/s.
const BUS_STEPS: f64 = 1000.0;

/// All sources of samples of a run.
pub(super) struct Receivers {
    each: Vec<Receiver>,
}

/// Plays one source of samples.
struct Receiver {
    source: Source,
    /// Place in the order of preference.
    place: usize,
    noise: Noise,
    course_noise: Noise,
    next: u64,
}

/// What the samples are taken from.
pub(super) struct Seen<'a> {
    pub(super) t0: f64,
    pub(super) speeds: &'a [f64],
    /// Pose at a step not long ago.
    pub(super) pose: &'a dyn Fn(usize) -> Option<Pose>,
    pub(super) fitted: &'a Fitted,
}

impl Receivers {
    pub(super) fn new(first: &Source, fitted: &Fitted, seed: u64) -> Self {
        let sources = core::iter::once(first).chain(&fitted.also).enumerate();
        let each = sources.filter(|(_, source)| !matches!(source, Source::Pulses));
        let receiver = |(place, source): (usize, &Source)| Receiver {
            source: source.clone(),
            place,
            noise: Noise::new(seed),
            course_noise: Noise::new(seed ^ 0xC0_04_5E),
            next: 0,
        };
        Self { each: each.map(receiver).collect() }
    }

    /// The samples that arrive at step `k`.
    pub(super) fn arrive(&mut self, k: u64, seen: &Seen<'_>) -> Samples {
        let mut samples = Samples::default();
        for receiver in &mut self.each {
            let Some(sample) = receiver.arrives(k, seen) else { continue };
            if seen.fitted.is_silent(receiver.place, seen.t0 + seconds(k)) {
                continue;
            }
            let slot = match &receiver.source {
                Source::Pulses | Source::Gnss(_) => &mut samples.receiver,
                Source::Bus(bus) => match bus.group {
                    BusGroup::Wheel => &mut samples.bus_wheel,
                    BusGroup::Ground => &mut samples.bus_ground,
                    BusGroup::Selected => &mut samples.bus_selected,
                },
            };
            *slot = Some(sample);
        }
        samples
    }
}

impl Receiver {
    /// The sample that arrives at step `k`, if one does.
    fn arrives(&mut self, k: u64, seen: &Seen<'_>) -> Option<SampleSense> {
        let (interval_s, latency_s) = match &self.source {
            Source::Pulses => return None,
            Source::Gnss(gnss) => (gnss.interval_s, gnss.latency_s),
            Source::Bus(bus) => (BUS_INTERVAL_S, bus.latency_s),
        };
        if k < self.next {
            return None;
        }
        self.next = k + steps(interval_s).max(1);
        let age = usize::try_from(steps(latency_s)).unwrap_or(0);
        let index = usize::try_from(k).unwrap_or(usize::MAX).saturating_sub(age);
        let at_s = seen.t0 + seconds(k) - latency_s;
        let true_mps = seen.speeds[index];
        match &self.source {
            Source::Gnss(gnss) => {
                let gnss = gnss.clone();
                Some(self.fix(&gnss, true_mps, (seen.pose)(index), at_s))
            }
            Source::Pulses => None,
            Source::Bus(bus) => {
                let slips = match bus.group {
                    BusGroup::Wheel | BusGroup::Selected => seen.fitted.slip.at(at_s),
                    BusGroup::Ground => 0.0,
                };
                let shown = libm::round(true_mps * (1.0 - slips) * BUS_STEPS) / BUS_STEPS;
                Some(SampleSense { speed_mps: shown, at_s, ..SampleSense::default() })
            }
        }
    }

    /// A fix of the receiver: speed is a length and has no sign, the course tells where it goes.
    fn fix(&mut self, gnss: &Gnss, mps: f64, pose: Option<Pose>, at_s: f64) -> SampleSense {
        let noisy = mps + gnss.noise_mps * self.noise.gauss();
        let speed_mps = if mps < 0.0 { noisy.abs() } else { noisy };
        let course_rad = pose.map(|pose| {
            let off = gnss.noise_mps * self.course_noise.gauss();
            // The antenna's velocity is off sideways; backwards the course is the other way round.
            let round = if mps < 0.0 { core::f64::consts::PI } else { 0.0 };
            core::f64::consts::FRAC_PI_2 - pose.heading_rad
                + round
                + libm::atan2(off, mps.abs().max(0.05))
        });
        SampleSense { speed_mps, at_s, course_rad, place_m: pose.map(|pose| [pose.x_m, pose.y_m]) }
    }
}
