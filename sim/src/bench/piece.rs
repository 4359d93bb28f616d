//! One piece of a profile under one law.

use super::outcome::{Edge, Outcome, SideOutcome};
use super::{STEP_S, STEPS_PER_TICK};
use crate::ground::{Asked, Ground, Step};
use crate::machine::{BenchDrive, Delivery, EdgeSensor, Edges, Meter, Noise};
use crate::profile::{Piece, Smooth};
use crate::scenario::{Act, Event, Gnss, Scenario, Source};

/// Most sides of a drill.
const MAX_SIDES: usize = controller::MAX_SIDES;

/// Mass rate of 1 kg/ha, kg/m².
const KG_PER_HA: f64 = 1e-4;

/// What a law may look at on a tick.
#[derive(Debug)]
pub struct Senses<'a> {
    /// Instant, s.
    pub t_s: f64,
    /// Ground pulses.
    pub ground: Edges,
    /// A speed sample that arrived since the last tick.
    pub sample: Option<SampleSense>,
    /// Yaw rate, rad/s, anticlockwise positive.
    pub yaw_rad_per_s: f64,
    /// The lift switch as it reads: `true` in work.
    pub lowered: bool,
    /// Master switch.
    pub master: bool,
    /// Side switches.
    pub switches: &'a [bool],
    /// Shaft encoders.
    pub shafts: &'a [Edges],
    /// Rate asked for, kg/ha.
    pub rate_kg_per_ha: f64,
    /// What only the limit law may know, per side.
    pub ahead: &'a [Ahead],
}

/// A timed speed sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SampleSense {
    /// Speed, m/s.
    pub speed_mps: f64,
    /// The instant at which it was true, s.
    pub at_s: f64,
}

/// What a law believes and does on a side, for a person to look at.
#[derive(Clone, Copy, Debug, Default)]
pub struct Shown {
    /// Ground speed believed, m/s.
    pub believed_mps: f64,
    /// Shaft speed wanted, turns/s.
    pub wanted_turns_per_s: f64,
    /// Shaft speed measured, turns/s.
    pub measured_turns_per_s: f64,
    /// State in a word.
    pub state: &'static str,
    /// Number of the alarm, 0 for none.
    pub alarm: u8,
    /// Shut-off energised.
    pub supply: bool,
}

/// The truth that a law without any error would use.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ahead {
    /// True speed of the side at t + τd + θ, at the end of the tick, m/s.
    pub speed_mps: f64,
    /// Rate in force when the seed of that instant passes the outlet, at t + θ, kg/ha.
    pub rate_kg_per_ha: f64,
    /// True gain at t + θ, in the middle of the tick.
    pub gain: f64,
    /// Command over the current that it gives, 1 for a cold coil.
    pub coil: f64,
}

/// A law on the bench.
pub trait Law {
    /// Reads `senses` and sets the valve command (0..1) of each side.
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]);

    /// What it believes and does on a side.
    fn show(&self, side: usize) -> Shown {
        let _ = side;
        Shown::default()
    }

    /// Shaft speed per metre per second of a law without a valve: turns/m at the travel given.
    fn wheel_turns_per_m(&self, travel_m: f64) -> Option<f64> {
        let _ = travel_m;
        None
    }
}

/// Lift and operator inputs as they stand.
struct Hands<'a> {
    events: core::iter::Peekable<core::slice::Iter<'a, Event>>,
    lowered: bool,
    changed_s: f64,
    master: bool,
    switches: Vec<bool>,
    rate: f64,
}

impl<'a> Hands<'a> {
    fn new(scenario: &'a Scenario) -> Self {
        Self {
            events: scenario.events.iter().peekable(),
            lowered: true,
            changed_s: f64::NEG_INFINITY,
            master: true,
            switches: vec![true; scenario.drill.sides.len()],
            rate: scenario.seed_lot.rate_kg_per_ha,
        }
    }

    /// The rate that will be in force at `t`.
    fn rate_at(&self, t: f64) -> f64 {
        let coming = self.events.clone().take_while(|event| event.at_s <= t + 1e-9);
        coming.fold(
            self.rate,
            |rate, event| if let Act::Rate(next) = event.act { next } else { rate },
        )
    }

    /// Plays the events up to `t`.
    fn advance(&mut self, t: f64) {
        while let Some(event) = self.events.next_if(|event| event.at_s <= t + 1e-9) {
            match event.act {
                Act::Lower(lowered) => {
                    if lowered != self.lowered {
                        self.changed_s = t;
                    }
                    self.lowered = lowered;
                }
                Act::Master(on) => self.master = on,
                Act::SideSwitch(side, on) => {
                    if let Some(switch) = self.switches.get_mut(side) {
                        *switch = on;
                    }
                }
                Act::Rate(rate) => self.rate = rate,
            }
        }
    }
}

/// One side's machine and soil.
struct SideRun {
    offset_m: f64,
    drive: BenchDrive,
    meter: Meter,
    delivery: Delivery,
    encoder: EdgeSensor,
    turns: f64,
    requested: bool,
    hand: bool,
    out: SideOutcome,
}

/// Runs `law` over one piece; `noise` seeds the sensors.
pub fn run_piece(
    scenario: &Scenario,
    piece: &Piece,
    noise_seed: u64,
    law: &mut dyn Law,
    look: &mut dyn FnMut(&Look<'_>),
) -> Outcome {
    PieceRun::new(scenario, piece, noise_seed).run(law, look)
}

/// What an observer may see after each tick of the law.
#[derive(Debug)]
pub struct Look<'a> {
    /// The senses the law had.
    pub senses: &'a Senses<'a>,
    /// True ground speed, m/s.
    pub speed_mps: f64,
    /// True travel of the drill's centre, m.
    pub travel_m: f64,
    /// The commands it gave.
    pub commands: &'a [f64],
    /// True shaft speeds, turns/s.
    pub shafts_turns_per_s: &'a [f64],
    /// What the law believes and does, per side.
    pub shown: &'a [Shown],
    /// Lift and operator ask for seed, any side.
    pub asked: bool,
}

struct PieceRun<'a> {
    scenario: &'a Scenario,
    piece: &'a Piece,
    speeds: Vec<f64>,
    curvatures: Vec<f64>,
    hands: Hands<'a>,
    ground_sensor: EdgeSensor,
    receiver: Receiver,
    sides: Vec<SideRun>,
    rates: std::collections::VecDeque<f64>,
    travel_m: f64,
    in_work_index: usize,
}

/// Plays a receiver of speed samples.
struct Receiver {
    config: Option<Gnss>,
    noise: Noise,
    next: u64,
}

impl Receiver {
    fn new(source: &Source, seed: u64) -> Self {
        let config = match source {
            Source::Pulses => None,
            Source::Gnss(gnss) => Some(gnss.clone()),
        };
        Self { config, noise: Noise::new(seed), next: 0 }
    }

    /// The sample that arrives at step `k`, if one does.
    fn arrives(&mut self, k: u64, t0: f64, speeds: &[f64]) -> Option<SampleSense> {
        let config = self.config.as_ref()?;
        let period = steps(config.interval_s).max(1);
        if k < self.next {
            return None;
        }
        self.next = k + period;
        let age = usize::try_from(steps(config.latency_s)).unwrap_or(0);
        let index = usize::try_from(k).unwrap_or(usize::MAX).saturating_sub(age);
        let speed_mps = speeds[index] + config.noise_mps * self.noise.gauss();
        Some(SampleSense { speed_mps, at_s: t0 + seconds(k) - config.latency_s })
    }
}

/// Whole steps in `seconds`.
fn steps(seconds: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "times of a run, not negative"
    )]
    let steps = libm::round(seconds / STEP_S) as u64;
    steps
}

/// Seconds in `steps`.
fn seconds(steps: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a run has far fewer than 2^52 steps")]
    let steps = steps as f64;
    steps * STEP_S
}

impl<'a> PieceRun<'a> {
    fn new(scenario: &'a Scenario, piece: &'a Piece, noise_seed: u64) -> Self {
        let drill = &scenario.drill;
        let count = usize::try_from(steps(piece.end_s() - piece.start_s())).unwrap_or(0) + 1;
        let speeds: Vec<f64> = Smooth::new(piece, STEP_S).take(count).collect();
        let curvatures = curvatures(scenario, piece.start_s(), count);
        let pulses = drill.ground_pulses_per_m * (1.0 - drill.truth.wheel_slip);
        let sides = drill.sides.iter().enumerate().map(|(index, side)| {
            let seed = noise_seed.wrapping_mul(64).wrapping_add(index as u64 * 4);
            SideRun {
                offset_m: side.offset_m,
                drive: BenchDrive::new(&drill.truth, &scenario.disturbances, STEP_S),
                meter: Meter::new(&drill.truth.meter, &scenario.seed_lot, STEP_S, seed + 1),
                delivery: Delivery::new(
                    drill.delivery_delay_s,
                    drill.truth.delivery_spread_s,
                    STEP_S,
                ),
                encoder: EdgeSensor::new(
                    f64::from(side.encoder_pulses_per_turn),
                    drill.truth.encoder_jitter,
                    seed + 2,
                ),
                turns: 0.0,
                requested: false,
                hand: false,
                out: SideOutcome {
                    ground: Ground::new(piece.start_s()),
                    width_m: side.width_m,
                    edges: Vec::new(),
                    hand_on_s: Vec::new(),
                    asked_m2: 0.0,
                    owed_kg: 0.0,
                    metered_kg: 0.0,
                },
            }
        });
        let delay = usize::try_from(steps(drill.delivery_delay_s)).unwrap_or(0);
        Self {
            scenario,
            piece,
            speeds,
            curvatures,
            hands: Hands::new(scenario),
            ground_sensor: EdgeSensor::new(pulses, 0.0, noise_seed),
            receiver: Receiver::new(&scenario.source, noise_seed),
            sides: sides.collect(),
            rates: std::iter::repeat_n(scenario.seed_lot.rate_kg_per_ha, delay).collect(),
            travel_m: 0.0,
            in_work_index: 0,
        }
    }

    /// Whether a recorded track says that the implement works at `t`.
    fn track_works(&mut self, t: f64) -> bool {
        let samples = &self.piece.samples;
        while self.in_work_index + 1 < samples.len()
            && samples[self.in_work_index + 1].t_s <= t + 1e-9
        {
            self.in_work_index += 1;
        }
        samples[self.in_work_index].in_work.unwrap_or(true)
    }

    fn run(mut self, law: &mut dyn Law, look: &mut dyn FnMut(&Look<'_>)) -> Outcome {
        let t0 = self.piece.start_s();
        let count = self.speeds.len() as u64;
        let mut commands = vec![0.0; self.sides.len()];
        for k in 0..count.saturating_sub(1) {
            let t = t0 + seconds(k);
            if k % STEPS_PER_TICK == 0 {
                self.tick(k, t, law, &mut commands, look);
            }
            self.step(k, &commands, law);
        }
        Outcome { sides: self.sides.into_iter().map(|side| side.out).collect() }
    }

    /// A value of each side, without a list of its own: this runs in every tick.
    fn each<T: Default>(&self, value: impl Fn(&SideRun) -> T) -> [T; MAX_SIDES] {
        core::array::from_fn(|index| self.sides.get(index).map(&value).unwrap_or_default())
    }

    /// One tick of the law at step `k`.
    fn tick(
        &mut self,
        k: u64,
        t: f64,
        law: &mut dyn Law,
        commands: &mut [f64],
        look: &mut dyn FnMut(&Look<'_>),
    ) {
        self.hands.advance(t);
        let works = self.track_works(t);
        let index = usize::try_from(k).unwrap_or(usize::MAX);
        let sample = self.receiver.arrives(k, self.piece.start_s(), &self.speeds);
        let count = self.sides.len().min(MAX_SIDES);
        let shafts: [Edges; MAX_SIDES] = self.each(|side| side.encoder.edges());
        let ahead: [Ahead; MAX_SIDES] = self.each(|side| self.ahead(index, t, side));
        let lowered = self.hands.lowered && works;
        let senses = Senses {
            t_s: t,
            ground: self.ground_sensor.edges(),
            sample,
            yaw_rad_per_s: self.speeds[index] * self.curvatures[index],
            lowered: lowered ^ self.bounce(t),
            master: self.hands.master,
            switches: &self.hands.switches,
            shafts: &shafts[..count],
            rate_kg_per_ha: self.hands.rate,
            ahead: &ahead[..count],
        };
        law.tick(&senses, commands);
        let speeds: [f64; MAX_SIDES] = self.each(|side| side.drive.turns_per_s());
        let shown: [Shown; MAX_SIDES] = core::array::from_fn(|side| law.show(side));
        look(&Look {
            senses: &senses,
            shown: &shown[..count],
            speed_mps: self.speeds[index],
            travel_m: self.travel_m,
            commands,
            shafts_turns_per_s: &speeds[..count],
            asked: lowered && self.hands.master && self.hands.switches.contains(&true),
        });
        for (side, &switch) in self.sides.iter_mut().zip(&self.hands.switches) {
            let hand = lowered && self.hands.master && switch;
            if hand && !side.hand {
                side.out.hand_on_s.push(t);
            }
            side.hand = hand;
        }
    }

    /// Whether the lift switch reads the wrong way at `t`.
    fn bounce(&self, t: f64) -> bool {
        let since = t - self.hands.changed_s;
        since >= 0.0
            && since < self.scenario.drill.truth.lift_bounce_s
            && steps(since) / 10 % 2 == 0
    }

    fn ahead(&self, k: usize, t: f64, side: &SideRun) -> Ahead {
        let drill = &self.scenario.drill;
        // A command is held for a tick: aim at its end.
        let tick_s = seconds(STEPS_PER_TICK);
        let dead_s = drill.truth.drive.dead_time_s;
        let lead = usize::try_from(steps(drill.delivery_delay_s + dead_s + tick_s)).unwrap_or(0);
        let at = (k + lead).min(self.speeds.len() - 1);
        Ahead {
            speed_mps: self.speeds[at] * (1.0 - self.curvatures[at] * side.offset_m),
            rate_kg_per_ha: self.hands.rate_at(t + dead_s),
            gain: side.drive.gain(t + dead_s + tick_s / 2.0),
            coil: side.drive.coil_factor(t + drill.truth.drive.dead_time_s),
        }
    }

    /// One step of the physics from step `k` to the next.
    fn step(&mut self, k: u64, commands: &[f64], law: &dyn Law) {
        let index = usize::try_from(k).unwrap_or(usize::MAX);
        let (v0, v1) = (self.speeds[index], self.speeds[index + 1]);
        let t = self.piece.start_s() + seconds(k + 1);
        let ahead_m = (v0 + v1) / 2.0 * STEP_S;
        self.ground_sensor.step(self.travel_m, self.travel_m + ahead_m, t, STEP_S);
        self.travel_m += ahead_m;
        self.rates.push_back(self.hands.rate);
        let rate_landing = self.rates.pop_front().unwrap_or(self.hands.rate) * KG_PER_HA;
        let rate_now = self.hands.rate * KG_PER_HA;
        let moving = v0 > self.scenario.drill.lowest_speed_mps;
        let curvature = self.curvatures[index];
        for (side, &command) in self.sides.iter_mut().zip(commands) {
            let along = ahead_m * (1.0 - curvature * side.offset_m);
            let wheel = law.wheel_turns_per_m(self.travel_m);
            side.step(command, along, t, wheel, Asking { rate_now, rate_landing, moving });
        }
    }
}

/// What is asked of every side in a step.
#[derive(Clone, Copy)]
struct Asking {
    rate_now: f64,
    rate_landing: f64,
    moving: bool,
}

impl SideRun {
    fn step(&mut self, command: f64, along_m: f64, t: f64, wheel: Option<f64>, asking: Asking) {
        let before = self.turns;
        let n = match wheel {
            None => {
                let n0 = self.drive.turns_per_s();
                let n1 = self.drive.step(command, t);
                self.turns += (n0 + n1) / 2.0 * STEP_S;
                n1
            }
            Some(turns_per_m) => {
                self.turns += if self.hand { (turns_per_m * along_m).max(0.0) } else { 0.0 };
                turns_per_m * along_m / STEP_S
            }
        };
        self.encoder.step(before, self.turns, t, STEP_S);
        let metered = self.meter.step(before, self.turns, n);
        self.out.metered_kg += metered;
        let landed = self.delivery.step(metered);
        let to = self.out.ground.travel_m() + along_m;
        let asked = Asked { lift_and_operator: self.hand, rate_kg_per_m2: asking.rate_landing };
        let requested = self.hand && asking.moving && along_m > 0.0;
        if requested != self.requested {
            self.requested = requested;
            let travel_m = self.out.ground.travel_m();
            self.out.edges.push(Edge { on: requested, by_hand: false, t_s: t, travel_m });
        }
        if requested {
            self.out.asked_m2 += along_m * self.out.width_m;
            self.out.owed_kg += along_m * self.out.width_m * asking.rate_now;
        }
        self.out.ground.step(to, landed, asked, Step { end_s: t, step_s: STEP_S });
    }
}

/// Curvature of the path at every step, 1/m: a driver turns the wheel with the lags of the tractor.
fn curvatures(scenario: &Scenario, t0: f64, count: usize) -> Vec<f64> {
    if scenario.turns.is_empty() {
        return vec![0.0; count];
    }
    let keep = libm::exp(-STEP_S / 0.3);
    let mut lags = [0.0; 2];
    let mut turns = scenario.turns.iter().peekable();
    let mut aim = 0.0;
    let mut curve = Vec::with_capacity(count);
    for k in 0..count as u64 {
        let t = t0 + seconds(k);
        while let Some(turn) = turns.next_if(|turn| turn.at_s <= t) {
            aim = turn.curvature_per_m;
        }
        lags[0] = aim + (lags[0] - aim) * keep;
        lags[1] = lags[0] + (lags[1] - lags[0]) * keep;
        curve.push(lags[1]);
    }
    curve
}
