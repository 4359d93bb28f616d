//! One source of ground speed: `controller::sense::source` in f32.

use crate::tracker::{Foretold, Outlook, Table, Tracker};
use crate::{Bounded, real, seconds};
use controller::Inputs;
use controller::quantity::{Instant, Micros};
use controller::sense::{
    Closing, GroundStatus, PulseMeter, PulseState, Quality, Sampled, SpeedReport, SpeedSample,
    SpeedSource, Window,
};
use controller::settings::SettingsConfig;

const STEEPEST_SLOWING: f32 = 6.0;
const STEEPEST_GAIN: f32 = 3.0;
const NOISE: f32 = 0.15;
const DOUBTS: u8 = 3;
const SHORTEST_LOSS: Micros = Micros::from_millis(100);
const AHEAD: Micros = Micros::from_millis(20);

/// The source.
pub(crate) struct Ground {
    /// Metres · µs/s of a pulse; none for samples.
    length: Option<f32>,
    from: Sampled,
    limit: Micros,
    meter: PulseMeter,
    table: Table,
}

/// What it remembers.
#[derive(Default)]
pub(crate) struct GroundState {
    tracker: Tracker,
    channel: PulseState,
    status: GroundStatus,
    last_speed: f32,
    doubts: u8,
}

impl Ground {
    pub(crate) fn new(config: &SettingsConfig) -> Self {
        let (length, from, limit) = match config.sources.first() {
            Some(SpeedSource::Samples { from, limit }) => (None, *from, *limit),
            Some(SpeedSource::Pulses { per_metre }) => {
                let per_metre = real(per_metre.to_bits(), 16);
                (Some(1e6 / per_metre), Sampled::Receiver, Micros::ZERO)
            }
            None => (None, Sampled::Receiver, Micros::ZERO),
        };
        let quality = if length.is_some() { Quality::Pulses } else { Quality::Samples };
        // Six pulses at 0.1 m/s, 0.3 s at least, 2 s at most.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held before")]
        let silence = length.map_or(0, |length| (length * 60.0).clamp(3e5, 2e6) as u32);
        let meter = PulseMeter {
            least_window: Micros::from_millis(15),
            silence: Micros::new(silence),
            closing: Closing::Even,
        };
        Self { length, from, limit, meter, table: Table::new(quality) }
    }

    pub(crate) const fn quality(&self) -> Quality {
        if self.length.is_some() { Quality::Pulses } else { Quality::Samples }
    }

    /// Takes what came.
    pub(crate) fn update(&self, state: &mut GroundState, inputs: &Inputs) {
        let now = inputs.now;
        if let Some(length) = self.length {
            self.take_pulses(state, inputs, length);
            let limit = self.meter.silence.saturating_add(self.meter.silence);
            state.age(limit, now);
        } else {
            let report = match self.from {
                Sampled::Receiver => inputs.speeds.receiver,
                Sampled::BusWheel => inputs.speeds.bus_wheel,
                Sampled::BusGround => inputs.speeds.bus_ground,
                Sampled::BusSelected => inputs.speeds.bus_selected,
            };
            match report {
                Some(SpeedReport::Speed(sample)) => self.take_sample(state, sample, now),
                Some(SpeedReport::Error | SpeedReport::OutOfRange) => state.lose(),
                Some(SpeedReport::NotAvailable) | None => {}
            }
            state.age(self.limit, now);
        }
    }

    fn take_pulses(&self, state: &mut GroundState, inputs: &Inputs, length: f32) {
        let (edges, window) = self.meter.update(&mut state.channel, inputs.ground, inputs.now);
        if let Some(window) = window {
            let speed = mean(length, window);
            state.take(&self.table, speed, window.middle);
            return;
        }
        if edges > 0 {
            return;
        }
        if state.status == GroundStatus::Moving {
            let waited = state.channel.waited();
            let fall = state.last_speed - bound(length, waited);
            if fall > STEEPEST_SLOWING * seconds(waited) && waited >= SHORTEST_LOSS {
                state.lose();
            }
        }
        if state.channel.is_silent() {
            if state.status == GroundStatus::Moving {
                state.status = GroundStatus::Standing;
            }
            state.tracker.forget();
        }
    }

    fn take_sample(&self, state: &mut GroundState, sample: SpeedSample, now: Instant) {
        let at = sample.at;
        if now.since_or_zero(at) > self.limit || at.since_or_zero(now) > AHEAD {
            return;
        }
        let at = if now.is_before(at) { now } else { at };
        // Two fractions of a word of 32 bits: the conversion is part of the price.
        #[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
        let speed = sample.speed.to_bits() as f32 * (1.0 / 1_048_576.0);
        state.take(&self.table, speed, at);
    }

    /// Ground speed now, bounded by what the wait since the last pulse allows; without a quotient where it does.
    #[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
    pub(crate) fn now(&self, state: &GroundState, outlook: &Outlook) -> f32 {
        let free = outlook.speed;
        let Some(length) = self.length else { return free };
        let waited = state.channel.waited();
        if free >= 0.0 && free * waited.get() as f32 <= length {
            return free;
        }
        let most = bound(length, waited);
        free.at_most(most).at_least(-most)
    }
}

#[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
fn mean(length: f32, window: Window) -> f32 {
    length * window.edges as f32 / window.span.get() as f32
}

#[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
fn bound(length: f32, waited: Micros) -> f32 {
    length / waited.get().max(1) as f32
}

impl GroundState {
    /// The motion at an instant and how it goes on, zero where the source is not believed.
    pub(crate) fn outlook(&self, at: Instant) -> Outlook {
        if self.lives() { self.tracker.outlook(at) } else { Outlook::default() }
    }

    /// The speed alone.
    pub(crate) fn speed(&self, at: Instant) -> f32 {
        if self.lives() { self.tracker.outlook(at).speed } else { 0.0 }
    }

    fn lives(&self) -> bool {
        self.status == GroundStatus::Moving && self.tracker.is_live()
    }

    fn lose(&mut self) {
        self.status = GroundStatus::Lost;
        self.tracker.forget();
    }

    fn age(&mut self, limit: Micros, now: Instant) {
        let live = self.tracker.is_live() && self.status != GroundStatus::Lost;
        if live && now.since_or_zero(self.tracker.at()) > limit {
            self.lose();
        }
    }

    /// Takes a speed if it is believed.
    fn take(&mut self, table: &Table, speed: f32, at: Instant) {
        if self.tracker.is_live() {
            let foretold = self.tracker.foretell(at);
            let expected = foretold.as_ref().map_or(self.tracker.last(), Foretold::speed);
            let since = seconds(at.since_or_zero(self.tracker.at()));
            if speed > expected + STEEPEST_GAIN * since + NOISE && self.doubts < DOUBTS {
                self.doubts += 1;
                return;
            }
            if self.doubts >= DOUBTS {
                self.tracker.begin(speed, at);
            } else if let Some(foretold) = foretold {
                self.tracker.correct(foretold, table, speed);
            }
        } else {
            self.tracker.begin(speed, at);
        }
        self.doubts = 0;
        self.last_speed = speed;
        self.status = GroundStatus::Moving;
    }
}
