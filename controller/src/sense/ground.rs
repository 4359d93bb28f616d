//! Ground speed: which source is followed, and by what scale.
//!
//! ```text
//!  sources in order of preference        the first that lives is followed
//!   pulses ──► × slip ──┐                a better one that comes back: after 3 s of agreement
//!   receiver ───────────┼──► chosen × fade ──► speed, acceleration, direction
//!   bus ────────────────┘                none lives: the speed set by hand, if there is one, else lost
//!
//!  slip  = mean speed over ground / mean speed of the pulses     (6 s; in steady work)
//!  fade  = what the source before said / what this one says, as learnt while both lived; it
//!          goes back to one by 0.5 % a second
//! ```
//!
//! *Fusion*: pulses give the dynamics, the receiver or the bus's ground-based speed the scale, so that wheel slip
//! is corrected while the response stays quick. *Bridge*: while two sources live their ratio is learnt, and a
//! switch-over carries it along: sources that disagree by 8 % do not bump the shaft by 8 %.
//!
//! *Turns*: windows of pulses close in even ticks. What can wait for a tick is done in the odd ones, one piece in each: a
//! look at another source at its turn, else a sample that waits, else a course, else the slip. Where there are no pulses every tick
//! is one of those.
//!
//! A second source also tells what one cannot: pulses that cease while the drill goes on are a broken wire, also
//! when they ceased at a standstill. *Direction* comes from the bus or a switch, from the sign of a sample, or from
//! a course that jumps round; backwards the speed is negative, and no side lays seed.

use super::ratio::{ONE, Ratio};
use super::source::{PulseChannel, Source, SourceState};
use super::{CourseState, Direction, GroundStatus, Outlook, SpeedSource};
use crate::inputs::Inputs;
use crate::quantity::{
    Instant, MetresPerSecond, Micros, PulsesPerMetre, mul_shift, mul_wide, quotient,
};
use heapless::Vec;

/// Most sources of ground speed.
pub const MAX_SOURCES: usize = 4;

/// A better source must agree for so long before it is followed again.
const AGREED_FOR: Micros = Micros::from_millis(3_000);

/// A source that stands, or says so, while others move is lost after so many looks at them: a second beside one.
const CONTRADICTED_LOOKS: u8 = 6;

/// Sources that disagree are told after so many looks in a row, each 0.16 s after the one before: 3 s.
const DISAGREED_LOOKS: u8 = 19;

/// The fade goes back by 0.5 % a second: Q16 per µs · 2^20.
const FADE_RATE: i32 = 344;

/// Most of a switch-over that is carried along, Q16: 0.8 to 1.25.
const FADES: core::ops::RangeInclusive<i32> = 52_429..=81_920;

/// What the ground speed comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Followed {
    /// No source lives.
    #[default]
    Nothing,
    /// The source of this place in the order of preference, from 0.
    Source(u8),
    /// The speed that was set by hand: the last resort.
    Hand,
}

/// What the ground sense remembers.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct GroundState {
    pub(super) sources: [SourceState; MAX_SOURCES],
    pub(super) channel: PulseChannel,
    pub(super) chosen: u8,
    pub(super) on_hand: bool,
    pub(super) by_hand: Option<MetresPerSecond>,
    pub(super) direction: Direction,
    /// How long a better source has agreed.
    pub(super) agreed: Micros,
    /// Looks in a row at sources that moved while the chosen one stood.
    pub(super) contradicted: u8,
    /// Looks in a row at each other source in which it disagreed.
    pub(super) disagreed: [u8; MAX_SOURCES],
    /// Chosen over other, of each other source.
    pub(super) bridges: [Ratio; MAX_SOURCES],
    pub(super) slip: Ratio,
    pub(super) slip_at: Instant,
    /// Pairs in a row that did not fit the slip.
    pub(super) misfits: u8,
    /// Samples in a row with the same speed, that speed, and what the pulses said at the first of them, Q20.
    pub(super) same: u8,
    pub(super) spoken: i32,
    pub(super) held: i32,
    fade: Fade,
    /// Scale of the chosen source and the fade on it, Q16.
    factor: Fade,
    pub(super) ticks: u8,
}

/// A switch-over that fades out, Q16.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct Fade(i32);

impl Default for Fade {
    fn default() -> Self {
        Self(ONE)
    }
}

/// The ground sense.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Ground {
    sources: Vec<Source, MAX_SOURCES>,
    /// Places of the pulses and of what corrects them.
    pub(super) fused: Option<(u8, u8)>,
    has_pulses: bool,
}

/// What was travelled in a tick, for the tally.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Travelled {
    /// Ground pulses.
    pub(crate) pulses: u32,
    /// What is to be added to their own length, µm Q20; the whole where there are no pulses.
    pub(crate) beyond: i64,
}

impl Ground {
    /// A ground sense of sources whose numbers have been checked.
    pub(crate) fn new(configs: &[SpeedSource], correct_slip: bool) -> Self {
        // Not collected: the list's own `collect` can panic.
        let mut sources = Vec::new();
        for config in configs.iter().take(MAX_SOURCES) {
            // There is room for as many.
            let _full = sources.push(Source::new(*config)).is_err();
        }
        let place = |wanted: fn(&SpeedSource) -> bool| {
            let mut places = (0_u8..4).zip(configs);
            places.find(|(_, config)| wanted(config)).map(|(place, _)| place)
        };
        let pulses = place(|config| matches!(config, SpeedSource::Pulses { .. }));
        let truth = place(|config| config.is_over_ground());
        let fused = pulses.zip(truth).filter(|_| correct_slip);
        Self { sources, fused, has_pulses: pulses.is_some() }
    }

    /// Pulses per metre, if pulses are a source.
    #[must_use]
    pub fn pulses_per_metre(&self) -> Option<PulsesPerMetre> {
        self.sources.iter().find_map(|source| match source.config() {
            SpeedSource::Pulses { per_metre } => Some(per_metre),
            SpeedSource::Samples { .. } => None,
        })
    }

    /// Takes what came since the tick before, `elapsed` ago.
    pub(crate) fn update(
        &self,
        state: &mut GroundState,
        course: &mut CourseState,
        inputs: &Inputs,
        elapsed: Micros,
    ) {
        for (source, memory) in self.sources.iter().zip(&mut state.sources) {
            source.update(memory, &mut state.channel, inputs);
        }
        state.ticks = state.ticks.wrapping_add(1);
        // Windows of pulses close in even ticks.
        if state.ticks & 1 == 1 || !self.has_pulses {
            self.work(state, course, inputs.now);
        }
        let back = course.reversing();
        let by_course = if back { Direction::Reverse } else { Direction::Forward };
        state.direction = inputs.direction.unwrap_or(by_course);
        self.choose(state, inputs.now, elapsed);
        state.fade.step(elapsed);
        let scale = self.scale(state, state.chosen);
        let fade = state.fade.0;
        state.factor = Fade(if fade == ONE { scale } else { mul_shift::<16>(scale, fade) });
    }

    /// One piece of the work that can wait for a tick: a look at another source, a sample, a course, or the slip.
    fn work(&self, state: &mut GroundState, course: &mut CourseState, now: Instant) {
        if let Some(place) = self.turn(state) {
            self.compare(state, place, now);
            return;
        }
        let samples = &mut state.sources;
        if !course.presses() && samples.iter_mut().any(|memory| memory.take_waiting(now)) {
            course.pass_over();
            return;
        }
        if course.take_waiting() {
            return;
        }
        self.learn_slip(state);
    }

    /// Follows the first source that lives; a better one only after it has agreed for a while.
    fn choose(&self, state: &mut GroundState, now: Instant, elapsed: Micros) {
        if state.contradicted >= CONTRADICTED_LOOKS {
            state.contradicted = 0;
            if let Some(source) = state.sources.get_mut(usize::from(state.chosen)) {
                source.lose();
            }
        }
        let first = state.chosen == 0 && !state.on_hand;
        if first && state.status_of(0) != GroundStatus::Lost {
            // The best one is followed already.
            state.agreed = Micros::ZERO;
            return;
        }
        let lives = |place: &u8| state.status_of(*place) != GroundStatus::Lost;
        let best = self.places().find(lives);
        let followed = (lives(&state.chosen) && !state.on_hand).then_some(state.chosen);
        match (followed, best) {
            (Some(now_followed), Some(best)) if best < now_followed => {
                let agrees = self.agrees(state, best, now);
                state.agreed =
                    if agrees { state.agreed.saturating_add(elapsed) } else { Micros::ZERO };
                if state.agreed >= AGREED_FOR {
                    state.switch_to(best);
                }
            }
            (Some(_), _) => state.agreed = Micros::ZERO,
            (None, Some(best)) => state.switch_to(best),
            (None, None) => {
                state.on_hand = state.by_hand.is_some();
                state.agreed = Micros::ZERO;
            }
        }
    }

    /// Whether a better source says what the followed one does: within 5 % and 0.1 m/s.
    fn agrees(&self, state: &GroundState, better: u8, now: Instant) -> bool {
        let want = state.outlook(now).speed().to_bits().saturating_abs();
        let have = self.scaled(state, better, now).to_bits();
        let bridge = state.bridges.get(usize::from(better)).map_or(ONE, Ratio::value);
        let plain = want.abs_diff(have);
        let bridged = want.abs_diff(mul_shift::<16>(have, bridge));
        plain.min(bridged) <= quotient(want.unsigned_abs(), 20).saturating_add(104_858)
    }

    pub(super) fn places(&self) -> impl Iterator<Item = u8> + use<> {
        0..self.count()
    }

    pub(super) fn count(&self) -> u8 {
        u8::try_from(self.sources.len()).unwrap_or(0)
    }

    /// Speed by one source, by its own scale.
    #[inline(never)]
    pub(super) fn scaled(&self, state: &GroundState, place: u8, at: Instant) -> MetresPerSecond {
        let index = usize::from(place);
        let Some(memory) = state.sources.get(index) else { return MetresPerSecond::ZERO };
        let (speed, scale) = (memory.outlook(at).speed(), self.scale(state, place));
        if scale == ONE {
            return speed;
        }
        MetresPerSecond::from_bits(mul_shift::<16>(speed.to_bits(), scale))
    }

    /// Scale of one source, Q16.
    const fn scale(&self, state: &GroundState, place: u8) -> i32 {
        match self.fused {
            Some((pulses, _)) if pulses == place => state.slip.value(),
            Some(_) | None => ONE,
        }
    }

    /// Ground speed now, first bounded by what the wait since the last pulse allows, then not.
    pub(crate) fn now(&self, state: &GroundState, outlook: &Outlook) -> [MetresPerSecond; 2] {
        let free = outlook.speed();
        let index = usize::from(state.chosen);
        let followed = self.sources.get(index).zip(state.sources.get(index));
        let Some((source, memory)) = followed.filter(|_| state.hand().is_none()) else {
            return [free; 2];
        };
        let Some(most) = source.most(&state.channel) else { return [free; 2] };
        // Where another source says that the drill goes on, pulses that cease as no tractor stops are held till they
        // are lost.
        let others_go_on = memory.is_suspect()
            && self.places().any(|place| {
                place != state.chosen
                    && state.bridges.get(usize::from(place)).is_some_and(Ratio::is_known)
                    && state.status_of(place) == GroundStatus::Moving
            });
        if others_go_on {
            return [free; 2];
        }
        let most = Outlook::steady(most).times(state.factor.0).speed();
        // Backwards the bound lies on the other side.
        let bounded = free.min(most).max(MetresPerSecond::ZERO.saturating_sub(most));
        [bounded, free]
    }

    /// Whether there is one source only, which none can contradict.
    pub(crate) fn is_alone(&self) -> bool {
        self.sources.len() < 2
    }

    /// Whether a source is lost.
    pub(crate) fn lacks_one(&self, state: &GroundState) -> bool {
        let of_ours = self.sources.iter().zip(&state.sources);
        of_ours.into_iter().any(|(_, memory)| memory.status() == GroundStatus::Lost)
    }

    /// What was travelled since the tick before at the speed `now`.
    pub(crate) fn travelled(
        &self,
        state: &GroundState,
        speed: MetresPerSecond,
        elapsed: Micros,
    ) -> Travelled {
        let index = usize::from(state.chosen);
        match self.sources.get(index) {
            Some(source) if state.hand().is_none() => match source.pulse_length() {
                Some(length) => {
                    let pulses = state.channel.edges();
                    let off = state.factor.0.saturating_sub(ONE);
                    Travelled { pulses, beyond: beyond(length, pulses, off) }
                }
                None => Travelled::at(speed, elapsed),
            },
            Some(_) | None => Travelled::at(speed, elapsed),
        }
    }
}

/// What pulses of a length (µm Q10) are to be corrected by, whose scale (Q16) is `off` one.
fn beyond(length: i32, pulses: u32, off: i32) -> i64 {
    if off == 0 || pulses == 0 {
        return 0;
    }
    // A tick has a thousand pulses at the most, and no scale is above two: 26 bits. Q10 and Q16 down to Q20.
    let share = pulses.min(1_000).cast_signed().wrapping_mul(off.clamp(-ONE, ONE));
    mul_wide(length, share).wrapping_shr(6)
}

/// Speeds below this are rest for the distance integral: 0.03 m/s, Q20.
const DEAD_ZONE: i32 = 31_457;

impl Travelled {
    /// v · t: m/s Q20 · µs = µm Q20.
    pub(crate) fn at(speed: MetresPerSecond, elapsed: Micros) -> Self {
        let bits = speed.to_bits();
        let micros = i32::try_from(elapsed.get()).unwrap_or(i32::MAX);
        let beyond = if bits < DEAD_ZONE { 0 } else { mul_wide(bits, micros) };
        Self { pulses: 0, beyond }
    }
}

impl Fade {
    /// Goes back to one by 0.5 % a second.
    fn step(&mut self, elapsed: Micros) {
        if self.0 == ONE {
            return;
        }
        let micros = i32::try_from(elapsed.get()).unwrap_or(i32::MAX);
        let step = mul_shift::<20>(micros, FADE_RATE).max(1);
        let off = self.0.saturating_sub(ONE);
        self.0 = self.0.saturating_sub(off.min(step).max(step.saturating_neg()));
    }
}

impl GroundState {
    /// The motion of the drill at `at` and how it goes on: zero where no source is believed, negative backwards.
    #[inline(never)]
    pub(crate) fn outlook(&self, at: Instant) -> Outlook {
        if let Some(by_hand) = self.hand() {
            return Outlook::steady(by_hand).towards(self.direction);
        }
        let memory = self.sources.get(usize::from(self.chosen));
        let outlook = memory.map_or_else(Outlook::default, |memory| memory.outlook(at));
        outlook.times(self.factor.0).towards(self.direction)
    }

    /// Whether a source may be believed.
    #[inline(never)]
    pub(super) fn status_of(&self, place: u8) -> GroundStatus {
        self.sources.get(usize::from(place)).map_or(GroundStatus::Lost, SourceState::status)
    }

    /// The speed by hand, while it is in use.
    const fn hand(&self) -> Option<MetresPerSecond> {
        if self.on_hand { self.by_hand } else { None }
    }

    fn switch_to(&mut self, place: u8) {
        if place == self.chosen && !self.on_hand {
            return;
        }
        if self.on_hand {
            self.fade = Fade::default();
        } else {
            let bridge = self.bridges.get(usize::from(place)).map_or(ONE, Ratio::value);
            let carried = mul_shift::<16>(self.fade.0, bridge);
            self.fade = Fade(carried.clamp(*FADES.start(), *FADES.end()));
        }
        self.on_hand = false;
        self.agreed = Micros::ZERO;
        self.chosen = place;
        self.bridges = [Ratio::default(); MAX_SOURCES];
        self.disagreed = [0; MAX_SOURCES];
    }

    /// Sets or drops the speed by hand; it is used only while no source lives.
    pub(crate) const fn set_by_hand(&mut self, speed: Option<MetresPerSecond>) {
        self.by_hand = speed;
        if speed.is_none() {
            self.on_hand = false;
        }
    }

    /// Whether the ground speed may be believed.
    pub fn status(&self) -> GroundStatus {
        if self.hand().is_some() {
            return GroundStatus::Moving;
        }
        self.sources.get(usize::from(self.chosen)).map_or(GroundStatus::Lost, SourceState::status)
    }

    /// What is followed.
    pub fn followed(&self) -> Followed {
        if self.hand().is_some() {
            Followed::Hand
        } else if self.status() == GroundStatus::Lost {
            Followed::Nothing
        } else {
            Followed::Source(self.chosen)
        }
    }

    /// Whether a jump of any source was doubted just now: one that is not followed may correct the slip.
    #[must_use]
    pub fn doubted(&self) -> bool {
        self.sources.iter().any(SourceState::doubted)
    }

    /// Whether two sources have disagreed for a while.
    #[must_use]
    pub fn disagree(&self) -> bool {
        self.disagreed.iter().any(|looks| *looks >= DISAGREED_LOOKS)
    }

    /// Which way the drill goes.
    pub const fn direction(&self) -> Direction {
        self.direction
    }

    /// Speed over ground over that of the pulses, Q16; one where it is not measured.
    #[must_use]
    pub const fn slip(&self) -> i32 {
        self.slip.value()
    }
}
