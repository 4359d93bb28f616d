//! Ground speed from one source, and whether that source may be believed.
//!
//! ```text
//!            edge or sample                        silence, plausible
//!   ┌──────────────────────────► Moving ─────────────────────────────► Standing
//!   │                              │  ▲                                   │
//!   │        implausible silence,  │  └───────────────────────────────────┘
//!   │        sample too old        ▼              edge or sample
//!   └──────────────────────────── Lost
//! ```
//!
//! Between pulses the speed is at most one pulse spacing over the time waited. If that implies a
//! deceleration above 6 m/s² from the last speed the source is *lost*; else the tractor is *standing*.
//! An upward jump above 3 m/s² is doubted three times, then believed. A wire that breaks at standstill
//! cannot be told from standing still. A receiver sends at a standstill too: samples that never come, are too
//! old or are stamped ahead of now are a lost source. No speed is held longer than the source's limit.

use super::{Motion, PulseMeter, PulseState, Pulses, Quality, SpeedSample, TrackerState, Window};
use crate::quantity::{
    Instant, MetresPerSecond, Micros, PulsesPerMetre, Reciprocal, Scale, clamp_i32, mul_wide,
    per_million,
};

/// Steepest slowing of a tractor that is believed: 6 m/s², Q20.
const STEEPEST_SLOWING: i32 = 6 << 20;

/// Steepest gain of speed that is believed at once: 3 m/s², Q20.
const STEEPEST_GAIN: i32 = 3 << 20;

/// Jumps smaller than this are noise: 0.15 m/s, Q20.
const NOISE: i32 = 157_286;

/// Times that a jump is doubted.
const DOUBTS: u8 = 3;

/// Silences shorter than this are never called lost, µs.
const SHORTEST_LOSS: u32 = 100_000;

/// A sample stamped so far ahead of now may have come while the tick was read; further ahead it is dropped.
const AHEAD: Micros = Micros::from_millis(20);

/// The source of ground speed, checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum SpeedSource {
    /// Pulses of a wheel or radar.
    Pulses {
        /// Pulses per metre of travel, 1 to 2000.
        per_metre: PulsesPerMetre,
    },
    /// Timed samples.
    Samples {
        /// A sample older than this is stale: the source is lost. 0.1 to 5 s.
        limit: Micros,
    },
}

impl SpeedSource {
    /// How noisy its measurements are.
    pub const fn quality(self) -> Quality {
        match self {
            Self::Pulses { .. } => Quality::Pulses,
            Self::Samples { .. } => Quality::Samples,
        }
    }
}

/// Whether the source may be believed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum GroundStatus {
    /// Nothing has come yet, or a plausible slowdown ended in silence.
    #[default]
    Standing,
    /// Measurements come.
    Moving,
    /// The source fell silent in a way that no tractor stops, or its samples are too old.
    Lost,
}

/// What the ground sense remembers.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct GroundState {
    pulses: PulseState,
    tracker: TrackerState,
    status: GroundStatus,
    /// Speed of the last window, Q20.
    last_speed: i32,
    doubts: u8,
    /// A jump was doubted in the last update.
    doubted: bool,
    edges: u32,
    /// Since when samples are awaited.
    awaited: Option<Instant>,
}

/// The ground sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Ground {
    source: SpeedSource,
    /// m/s Q20 · µs per edge.
    scale: Scale,
    meter: PulseMeter,
}

impl Ground {
    /// A ground sense for a source whose numbers have been checked.
    pub(crate) fn new(source: SpeedSource) -> Self {
        let per_metre = match source {
            SpeedSource::Pulses { per_metre } => per_metre.to_bits().max(1),
            SpeedSource::Samples { .. } => 1 << 16,
        };
        // One pulse is 65 536 / bits metres; · 10^6 µs/s · 2^20.
        let scale = Scale::ratio(1_000_000 << 36, u64::from(per_metre));
        // A silence of six spacings at a creep of 0.1 m/s, 0.3 s at least, 2 s at most.
        let silence = Reciprocal::of(per_metre).times(60_000_000, 16).clamp(300_000, 2_000_000);
        let meter =
            PulseMeter { least_window: Micros::from_millis(20), silence: Micros::new(silence) };
        Self { source, scale, meter }
    }

    /// The source.
    pub const fn source(&self) -> SpeedSource {
        self.source
    }

    /// Takes what came by `now`.
    pub fn update(
        &self,
        state: &mut GroundState,
        pulses: Pulses,
        sample: Option<SpeedSample>,
        now: Instant,
    ) {
        state.doubted = false;
        state.edges = 0;
        match self.source {
            SpeedSource::Pulses { .. } => {
                self.take_pulses(state, pulses, now);
                // Windows close within the meter's silence, unless the capture's clock hangs.
                let since = state.tracker.is_live().then(|| state.tracker.at());
                state.age(since, self.meter.silence.saturating_add(self.meter.silence), now);
            }
            SpeedSource::Samples { limit } => {
                let began = *state.awaited.get_or_insert(now);
                if let Some(sample) = sample {
                    state.take_sample(sample, limit, now);
                }
                let since = if state.tracker.is_live() { state.tracker.at() } else { began };
                state.age(Some(since), limit, now);
            }
        }
    }

    fn take_pulses(&self, state: &mut GroundState, pulses: Pulses, now: Instant) {
        let (edges, window) = self.meter.update(&mut state.pulses, pulses, now);
        state.edges = edges;
        if let Some(window) = window {
            self.take_window(state, window);
            return;
        }
        if edges > 0 {
            return;
        }
        if state.status == GroundStatus::Moving {
            let waited = state.pulses.waited();
            let bound = self.bound(waited);
            let fall = state.last_speed.saturating_sub(bound);
            // fall / waited > 6 m/s²; µs · (m/s² Q20) / 10^6 is m/s Q20.
            let believable =
                per_million(mul_wide(STEEPEST_SLOWING, clamp_i32(i64::from(waited.get()))));
            if waited.get() >= SHORTEST_LOSS && i64::from(fall) > believable {
                state.status = GroundStatus::Lost;
                state.tracker.forget();
            }
        }
        if state.pulses.is_silent() {
            if state.status == GroundStatus::Moving {
                state.status = GroundStatus::Standing;
            }
            state.tracker.forget();
        }
    }

    fn take_window(&self, state: &mut GroundState, window: Window) {
        let speed = window.speed(self.scale);
        if state.believe(speed, window.middle) {
            state.last_speed = speed;
            state.status = GroundStatus::Moving;
            state.tracker.observe(
                MetresPerSecond::from_bits(speed),
                window.middle,
                Quality::Pulses,
            );
        }
    }

    /// The fastest that a source can be going which has been silent for `waited`, Q20.
    fn bound(&self, waited: Micros) -> i32 {
        let bits = Reciprocal::of(waited.get().max(1)).scaled(self.scale, 1);
        i32::try_from(bits).unwrap_or(i32::MAX)
    }

    /// Ground speed and acceleration at `at`, zero where the source is not believed.
    pub fn motion(&self, state: &GroundState, at: Instant) -> Motion {
        if state.status != GroundStatus::Moving || !state.tracker.is_live() {
            return Motion::default();
        }
        state.tracker.motion(at)
    }

    /// Ground speed now: the motion, bounded by what the wait since the last pulse allows.
    pub fn now(&self, state: &GroundState, now: Instant) -> MetresPerSecond {
        let speed = self.motion(state, now).speed.at_least(MetresPerSecond::ZERO);
        match self.source {
            SpeedSource::Pulses { .. } => {
                speed.min(MetresPerSecond::from_bits(self.bound(state.pulses.waited())))
            }
            SpeedSource::Samples { .. } => speed,
        }
    }
}

impl GroundState {
    /// Whether a measured speed is believed: a sudden jump up is doubted a few times.
    fn believe(&mut self, speed: i32, at: Instant) -> bool {
        if !self.tracker.is_live() {
            self.doubts = 0;
            return true;
        }
        let foretold = self.tracker.motion(at).speed.to_bits();
        let since = clamp_i32(i64::from(at.since_or_zero(self.tracker.at()).get()));
        let gain = per_million(mul_wide(STEEPEST_GAIN, since));
        let most = i64::from(foretold).saturating_add(gain).saturating_add(i64::from(NOISE));
        if i64::from(speed) > most && self.doubts < DOUBTS {
            self.doubts = self.doubts.saturating_add(1);
            self.doubted = true;
            return false;
        }
        if self.doubts >= DOUBTS {
            self.tracker.forget();
        }
        self.doubts = 0;
        true
    }

    /// A source that says nothing new for longer than `limit` is lost.
    fn age(&mut self, since: Option<Instant>, limit: Micros, now: Instant) {
        if self.status != GroundStatus::Lost
            && since.is_some_and(|since| now.since_or_zero(since) > limit)
        {
            self.status = GroundStatus::Lost;
            self.tracker.forget();
        }
    }

    fn take_sample(&mut self, sample: SpeedSample, limit: Micros, now: Instant) {
        let SpeedSample { speed, at } = sample;
        if now.since_or_zero(at) > limit || at.since_or_zero(now) > AHEAD {
            return;
        }
        let at = if now.is_before(at) { now } else { at };
        if self.believe(speed.to_bits(), at) {
            self.last_speed = speed.to_bits();
            self.status = GroundStatus::Moving;
            self.tracker.observe(speed, at, Quality::Samples);
        }
    }

    /// Whether the source may be believed.
    pub const fn status(&self) -> GroundStatus {
        self.status
    }

    /// Whether a jump was doubted just now.
    #[must_use]
    pub const fn doubted(&self) -> bool {
        self.doubted
    }

    /// Pulses since the last update.
    #[must_use]
    pub const fn edges(&self) -> u32 {
        self.edges
    }
}
