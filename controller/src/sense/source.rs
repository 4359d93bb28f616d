//! One source of ground speed, and whether it may be believed.
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
//! cannot be told from standing still by one source. A receiver sends at a standstill too: samples that never
//! come, are too old or are stamped ahead of now are a lost source, and one that says *error* or a reserved
//! value is lost at once. No speed is held longer than the source's limit.

use super::{
    Closing, Foretold, Motion, Outlook, PulseMeter, PulseState, Quality, SpeedReport, SpeedSample,
    SpeedSource, TrackerState, Window,
};
use crate::inputs::Inputs;
use crate::quantity::{
    Instant, MetresPerSecond, Micros, Reciprocal, Scale, clamp_i32, mul_shift, scaled_by,
};

/// Windows of pulses are at least so long, and close in even ticks: two ticks long while pulses are fast.
const LEAST_WINDOW: Micros = Micros::from_millis(15);

/// Steepest slowing of a tractor that is believed: 6 m/s², Q20 per µs, times 2^16: 6 · 2^36 / 10^6.
const STEEPEST_SLOWING: i32 = 412_317;

/// Steepest gain of speed that is believed at once: 3 m/s², Q20 per 64 µs, times 2^8.
const STEEPEST_GAIN: u32 = 51_540;

/// No more than the gain of so long, µs, is believed: its product fits 32 bits.
const LONGEST_GAIN: u32 = 1 << 21;

/// Jumps of samples smaller than this are noise: 0.15 m/s, Q20.
const NOISE: i32 = 157_286;

/// The same of pulses, which have hardly any: 0.1 m/s.
const PULSE_NOISE: i32 = 104_858;

/// Times that a jump is doubted.
const DOUBTS: u8 = 3;

/// Silences shorter than this are never called lost, µs.
const SHORTEST_LOSS: u32 = 100_000;

/// A sample stamped so far ahead of now may have come while the tick was read; further ahead it is dropped.
const AHEAD: Micros = Micros::from_millis(20);

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

/// What is remembered of one source.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct SourceState {
    tracker: TrackerState,
    status: GroundStatus,
    /// Speed of the last window, Q20.
    last_speed: i32,
    doubts: u8,
    /// A jump was doubted in the last update.
    doubted: bool,
    /// Since when samples are awaited.
    awaited: Option<Instant>,
    /// Pulses have ceased as no tractor stops.
    suspect: bool,
    /// A sample that came and has not had its turn.
    waiting: Option<SpeedSample>,
    /// The last sample was believed, and the slip has not been learnt from it.
    fresh: bool,
}

/// The channel of ground pulses: there is one, whatever its place among the sources.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct PulseChannel {
    state: PulseState,
    edges: u32,
    /// The most that the speed can be by the wait for an edge, Q20; held while edges come.
    most: i32,
}

/// A source of ground speed, its numbers worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct Source {
    config: SpeedSource,
    /// m/s Q20 · µs per edge.
    scale: Scale,
    /// µm Q10.
    pulse_length: i32,
    meter: PulseMeter,
}

impl Source {
    /// A source whose numbers have been checked.
    pub(crate) fn new(config: SpeedSource) -> Self {
        let per_metre = match config {
            SpeedSource::Pulses { per_metre } => per_metre.to_bits().max(1),
            SpeedSource::Samples { .. } => 1 << 16,
        };
        // One pulse is 65 536 / bits metres; · 10^6 µs/s · 2^20.
        let scale = Scale::ratio(1_000_000 << 36, u64::from(per_metre));
        // A silence of six spacings at a creep of 0.1 m/s, 0.3 s at least, 2 s at most.
        let silence = Reciprocal::of(per_metre).times(60_000_000, 16).clamp(300_000, 2_000_000);
        let meter = PulseMeter {
            least_window: LEAST_WINDOW,
            silence: Micros::new(silence),
            closing: Closing::Even,
        };
        // 10^6 µm · 2^16 / bits, Q10: a pulse is no longer than a metre.
        let length = (1_000_000_i64 << 26).checked_div(i64::from(per_metre)).unwrap_or(0);
        Self { config, scale, pulse_length: clamp_i32(length), meter }
    }

    /// Length of a pulse, µm Q10; none without pulses.
    pub(crate) const fn pulse_length(&self) -> Option<i32> {
        match self.config {
            SpeedSource::Pulses { .. } => Some(self.pulse_length),
            SpeedSource::Samples { .. } => None,
        }
    }

    /// What was set.
    pub(crate) const fn config(&self) -> SpeedSource {
        self.config
    }

    /// Takes what came by `now`.
    #[inline(never)]
    pub(crate) fn update(
        &self,
        state: &mut SourceState,
        channel: &mut PulseChannel,
        inputs: &Inputs,
    ) {
        let now = inputs.now;
        state.doubted = false;
        state.suspect = false;
        match self.config {
            SpeedSource::Pulses { .. } => {
                self.take_pulses(state, channel, inputs);
                // Windows close within the meter's silence, unless the capture's clock hangs.
                let since = state.tracker.is_live().then(|| state.tracker.at());
                state.age(since, self.meter.silence.saturating_add(self.meter.silence), now);
            }
            SpeedSource::Samples { from, limit } => {
                let began = *state.awaited.get_or_insert(now);
                match from.report(&inputs.speeds) {
                    Some(SpeedReport::Speed(sample)) if !sample.is_odd(limit, now) => {
                        state.waiting = Some(sample);
                    }
                    Some(SpeedReport::Error | SpeedReport::OutOfRange) => state.lose(),
                    Some(SpeedReport::Speed(_) | SpeedReport::NotAvailable) | None => {}
                }
                // One that waits is alive; one whose turn never comes is not to be believed for ever.
                let waits = if state.waiting.is_some() { limit } else { Micros::ZERO };
                let since = if state.tracker.is_live() { state.tracker.at() } else { began };
                state.age(Some(since), limit.saturating_add(waits), now);
            }
        }
    }

    fn take_pulses(&self, state: &mut SourceState, channel: &mut PulseChannel, inputs: &Inputs) {
        let (edges, window) = self.meter.update(&mut channel.state, inputs.ground, inputs.now);
        channel.edges = edges;
        channel.most = i32::MAX;
        if let Some(window) = window {
            self.take_window(state, window);
            return;
        }
        if edges > 0 {
            return;
        }
        if state.status == GroundStatus::Moving {
            let waited = channel.state.waited();
            channel.most = self.bound(waited);
            let fall = state.last_speed.saturating_sub(channel.most);
            // fall / waited > 6 m/s²; µs · (m/s² Q20) / 10^6 is m/s Q20.
            let believable = mul_shift::<16>(clamp_i32(i64::from(waited.get())), STEEPEST_SLOWING);
            state.suspect = fall > believable;
            if state.suspect && waited.get() >= SHORTEST_LOSS {
                state.lose();
            }
        }
        if channel.state.is_silent() {
            if state.status == GroundStatus::Moving {
                state.status = GroundStatus::Standing;
            }
            state.tracker.forget();
        }
    }

    fn take_window(&self, state: &mut SourceState, window: Window) {
        let speed = MetresPerSecond::from_bits(window.speed(self.scale));
        state.take(SpeedSample { speed, at: window.middle }, Quality::Pulses);
    }

    /// The fastest that a source can be going which has been silent for `waited`, Q20.
    #[inline(never)]
    fn bound(&self, waited: Micros) -> i32 {
        let bits = scaled_by(self.scale, 1, waited.get().max(1));
        i32::try_from(bits).unwrap_or(i32::MAX)
    }

    /// The most that the speed can be by the wait since the last pulse; none for samples, and while pulses come.
    pub(crate) fn most(&self, channel: &PulseChannel) -> Option<MetresPerSecond> {
        let waits = matches!(self.config, SpeedSource::Pulses { .. }) && channel.most < i32::MAX;
        waits.then(|| MetresPerSecond::from_bits(channel.most))
    }
}

impl SpeedSample {
    /// Whether it is too old, or stamped ahead of now.
    fn is_odd(self, limit: Micros, now: Instant) -> bool {
        now.since_or_zero(self.at) > limit || self.at.since_or_zero(now) > AHEAD
    }
}

impl SourceState {
    /// Takes the sample that waits, if one does.
    pub(crate) fn take_waiting(&mut self, now: Instant) -> bool {
        let Some(sample) = self.waiting.take() else { return false };
        self.take_sample(sample, now);
        true
    }

    /// Pulses have ceased as no tractor stops.
    pub(crate) const fn is_suspect(&self) -> bool {
        self.suspect
    }

    /// The motion at `at` and how it goes on.
    pub(crate) fn outlook(&self, at: Instant) -> Outlook {
        if self.status != GroundStatus::Moving || !self.tracker.is_live() {
            return Outlook::default();
        }
        self.tracker.outlook(at)
    }

    /// The source is not to be believed.
    #[inline(never)]
    pub(crate) fn lose(&mut self) {
        self.status = GroundStatus::Lost;
        self.tracker.forget();
        self.waiting = None;
        self.fresh = false;
    }

    /// Takes a measured speed if it is believed: a sudden jump up is doubted a few times.
    #[inline(never)]
    fn take(&mut self, measured: SpeedSample, quality: Quality) -> bool {
        let SpeedSample { speed, at } = measured;
        let noise = match quality {
            Quality::Pulses => PULSE_NOISE,
            Quality::Samples => NOISE,
        };
        if self.tracker.is_live() {
            let foretold = self.tracker.foretell(at);
            let expected = foretold.as_ref().map_or(self.tracker.last(), Foretold::speed);
            let since = at.since_or_zero(self.tracker.at()).get().min(LONGEST_GAIN);
            let gain = since.wrapping_shr(6).wrapping_mul(STEEPEST_GAIN).wrapping_shr(8);
            let most = expected.saturating_add_unsigned(gain).saturating_add(noise);
            if speed.to_bits() > most && self.doubts < DOUBTS {
                self.doubts = self.doubts.saturating_add(1);
                self.doubted = true;
                return false;
            }
            if self.doubts >= DOUBTS {
                self.tracker.begin(speed, at);
            } else if let Some(foretold) = foretold {
                self.tracker.correct(foretold, speed, quality);
            }
        } else {
            self.tracker.begin(speed, at);
        }
        self.doubts = 0;
        self.last_speed = speed.to_bits();
        self.status = GroundStatus::Moving;
        true
    }

    /// A source that says nothing new for longer than `limit` is lost.
    fn age(&mut self, since: Option<Instant>, limit: Micros, now: Instant) {
        if self.status != GroundStatus::Lost
            && since.is_some_and(|since| now.since_or_zero(since) > limit)
        {
            self.lose();
        }
    }

    fn take_sample(&mut self, sample: SpeedSample, now: Instant) {
        let SpeedSample { speed, at } = sample;
        let at = if now.is_before(at) { now } else { at };
        self.fresh =
            self.take(SpeedSample { speed, at }, Quality::Samples) && self.tracker.at() == at;
    }

    /// Whether the source may be believed.
    pub(crate) const fn status(&self) -> GroundStatus {
        self.status
    }

    /// Whether a jump was doubted just now.
    #[must_use]
    pub(crate) const fn doubted(&self) -> bool {
        self.doubted
    }

    /// The slip has been learnt from the last sample.
    pub(crate) const fn has_been_used(&mut self) {
        self.fresh = false;
    }

    /// The last sample, if it was believed and the slip has not been learnt from it.
    pub(crate) fn fresh(&self) -> Option<SpeedSample> {
        let sample = SpeedSample {
            speed: MetresPerSecond::from_bits(self.last_speed),
            at: self.tracker.at(),
        };
        self.fresh.then_some(sample)
    }

    /// Speed and acceleration at the instant of the last measurement, and that instant.
    pub(crate) fn last(&self) -> (Motion, Instant) {
        (self.tracker.motion(self.tracker.at()), self.tracker.at())
    }
}

impl PulseChannel {
    /// Pulses since the last update.
    #[must_use]
    pub(crate) const fn edges(&self) -> u32 {
        self.edges
    }
}
