//! The shaft speed between edges (M/T) against `f64`.
//!
//! ```text
//!  a window closes at the first edge at least 20 ms after the one that opened it:  n = edges / span / per turn
//!  between edges, once the wait is longer than the last window:  n ≤ 1 edge / wait
//! ```
//!
//! *Bound*: 1 part in a million and one step of 2^-21 turns/s.

use crate::noise::Noise;
use controller::drive::{MapPoint, ValveKind};
use controller::quantity::{
    Command, Instant, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros,
    MilligramsPerSquareMetre, PulsesPerMetre, TurnsPerSecond,
};
use controller::seed::{MeterPoint, Product};
use controller::sense::{Closing, PulseMeter, PulseState, Pulses, SpeedSource};
use controller::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};
use controller::{Controller, Inputs, Settings};

/// The reference drill, one side, with an encoder of so many edges per turn.
pub(crate) fn config(edges_per_turn: u32) -> SettingsConfig {
    let point = |command, turns: f64| MapPoint {
        command: Command::from_bits(command),
        shaft: TurnsPerSecond::from_bits(word(turns * 2_097_152.0)),
    };
    let side = SideConfig {
        two_channel: false,
        product: Product::First,
        outlets: 24,
        width: Micrometres::from_millimetres(4_000),
        offset: Micrometres::default(),
        edges_per_turn,
        meter: [MeterPoint {
            shaft: TurnsPerSecond::from_bits(1 << 21),
            mass: MicrogramsPerTurn::new(120_000_000),
        }]
        .into_iter()
        .collect(),
        map: [point(13_107, 0.0), point(65_535, 1.65)].into_iter().collect(),
        lag: Micros::from_millis(150),
        dead_time: Micros::from_millis(50),
        valve: ValveKind::Proportional,
    };
    SettingsConfig {
        sides: [side].into_iter().collect(),
        sources: core::iter::once(SpeedSource::Pulses {
            per_metre: PulsesPerMetre::from_bits(130 << 16),
        })
        .collect(),
        correct_slip: false,
        places: PlacesConfig::default(),
        least_gap: Micrometres::from_millimetres(500),
        limits: LimitsConfig::default(),
        rate: MilligramsPerSquareMetre::from_whole(11_000),
        second_rate: None,
        lowest_speed: MetresPerSecond::from_millimetres(150),
        top_speed: MetresPerSecond::from_millimetres(15_000),
        delivery_delay: Micros::from_millis(350),
        lift: LiftConfig {
            from: LiftSource::Switch,
            lowered_level: true,
            debounce: Micros::from_millis(20),
        },
        capture_rate: 100_000,
    }
}

#[expect(clippy::cast_possible_truncation, reason = "numbers of a drill")]
pub(crate) const fn word(value: f64) -> i32 {
    value.round() as i32
}

/// A train of edges whose period wanders about a mean, with its instants in µs.
fn edges(mean_us: u64, seed: u64) -> Vec<u64> {
    let mut noise = Noise::new(seed);
    let (mut at, mut edges) = (1_000, Vec::new());
    while at < 60_000_000 {
        at += mean_us / 2 + noise.below(mean_us) + 1;
        edges.push(at);
    }
    edges
}

/// What the shaft speed must be, in `f64`.
#[derive(Debug, Default)]
struct Model {
    /// The count of the first reading: no edge of it opens a window.
    primed: Option<usize>,
    from: Option<(u64, usize)>,
    speed: f64,
    span: u64,
    odd: bool,
}

impl Model {
    /// Reads `count` edges, the last at `edge`, at `now`; edges/s.
    #[expect(clippy::cast_precision_loss, reason = "spans and counts are small")]
    fn read(&mut self, count: usize, edge: u64, now: u64) -> f64 {
        let primed = *self.primed.get_or_insert(count);
        // Windows close in odd ticks.
        self.odd = !self.odd;
        match self.from {
            None if count > primed => self.from = Some((edge, count)),
            Some((from, opened)) if self.odd && count > opened && edge - from >= 15_000 => {
                self.speed = (count - opened) as f64 * 1e6 / (edge - from) as f64;
                self.span = edge - from;
                self.from = Some((edge, count));
            }
            None | Some(_) => {
                let waited = now - edge.min(now);
                if self.odd && self.from.is_some() && waited > self.span {
                    self.speed = self.speed.min(1e6 / waited as f64);
                }
            }
        }
        self.speed
    }
}

#[test]
fn the_measured_shaft_speed_is_that_of_floats() {
    for (per_turn, mean) in [(180, 4_000), (180, 11_000), (60, 37_000), (4, 400_000), (4_096, 60)] {
        let settings = Settings::new(&config(per_turn)).expect("valid");
        let mut controller = Controller::new(settings);
        let mut model = Model::default();
        let edges = edges(mean, u64::from(per_turn));
        let mut seen = 0;
        // A clock that wraps ten seconds in.
        let start = u32::MAX - 10_000_000;
        for tick in 1..6_000_u64 {
            let now = tick * 10_000;
            seen += edges[seen..].iter().take_while(|at| **at <= now).count();
            let edge = seen.checked_sub(1).map_or(0, |last| edges[last]);
            let want = model.read(seen, edge, now);
            let instant = |at: u64| {
                Instant::from_micros(start).plus(Micros::new(u32::try_from(at).expect("a minute")))
            };
            let mut inputs = Inputs { now: instant(now), ..Inputs::default() };
            inputs.sides[0].shaft =
                Pulses { count: u32::try_from(seen).expect("few"), edge_at: instant(edge) };
            let out = controller.tick(&inputs);
            let have = f64::from(out.sides[0].measured.to_bits()) / 2_097_152.0;
            let want = want / f64::from(per_turn);
            let off = (have - want).abs();
            assert!(
                off <= want * 1e-6 + 0.5e-6,
                "{per_turn}, {mean} µs, {now}: {have}, want {want}"
            );
        }
        assert!(model.speed > 0.0);
    }
}

#[test]
fn windows_lose_no_edge_and_no_time() {
    // The windows tile the train: the sum of their edges and spans is the whole of it.
    let meter = PulseMeter {
        least_window: Micros::from_millis(20),
        silence: Micros::from_millis(2_000),
        closing: Closing::Every,
    };
    for mean in [900, 7_000, 45_000, 333_000] {
        let edges = edges(mean, mean);
        let mut state = PulseState::default();
        let (mut seen, mut counted, mut spans) = (0, 0_u64, 0_u64);
        let (mut opened, mut closed) = (None, 0);
        for tick in 0..6_000_u64 {
            let now = Instant::from_micros(u32::try_from(tick * 10_000).expect("a minute"));
            seen += edges[seen..].iter().take_while(|at| **at <= tick * 10_000).count();
            let edge = seen.checked_sub(1).map_or(0, |last| edges[last]);
            let pulses = Pulses {
                count: u32::try_from(seen).expect("few").wrapping_sub(1_000),
                edge_at: Instant::from_micros(u32::try_from(edge).expect("a minute")),
            };
            let (edges, window) = meter.update(&mut state, pulses, now);
            if edges > 0 && opened.is_none() {
                opened = Some(edge);
            }
            if let Some(window) = window {
                counted += u64::from(window.edges);
                spans += u64::from(window.span.get());
                closed = edge;
                let middle = u64::from(window.middle.micros());
                assert!(middle.abs_diff(edge - u64::from(window.span.get()) / 2) <= 1);
            }
        }
        let whole = closed - opened.expect("edges came");
        assert_eq!(spans, whole, "mean {mean}: time is lost");
        let between = edges.iter().filter(|at| **at > opened.unwrap() && **at <= closed).count();
        assert_eq!(counted, u64::try_from(between).expect("few"), "mean {mean}: edges are lost");
    }
}
