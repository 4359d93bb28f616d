//! The bench without a controller: what a piece of a profile does to machine, sensors and soil.
//!
//! ```text
//!  every 10 ms  tick: hands, samples that arrive ─► senses ─► a law, or a board at its pins
//!  every 1 ms   step: commands, shut-off ─► drive ─► meter ─► delivery ─► soil; edges of the sensors
//! ```
//!
//! [`run_piece`](super::run_piece) puts a law between the two; a board that runs elsewhere is wired to the same calls.

use super::clock::{STEP_S, STEPS_PER_TICK, seconds, steps};
use super::course::{curvatures, speeds};
use super::given::Given;
use super::hands::Hands;
use super::line_input::LinePlayer;
use super::openers::Openers;
use super::outcome::Outcome;
use super::pose::Poses;
use super::receiver::{Receivers, Seen};
use super::senses::{Ahead, LineSense, Samples, Senses};
use super::side::{Asking, KG_PER_HA, SideRun, Told};
use crate::machine::{EdgeSensor, Edges};
use crate::profile::Piece;
use crate::scenario::{Scenario, Source};

/// Most sides of a drill.
pub(super) const MAX_SIDES: usize = controller::MAX_SIDES;

/// Machine, sensors, hands and soil of one piece.
pub struct World<'a> {
    pub(super) scenario: &'a Scenario,
    piece: &'a Piece,
    pub(super) speeds: Vec<f64>,
    pub(super) curvatures: Vec<f64>,
    pub(super) hands: Hands<'a>,
    ground_sensor: EdgeSensor,
    receivers: Receivers,
    poses: Poses,
    line_input: LinePlayer,
    wheel_m: f64,
    openers: Openers,
    sides: Vec<SideRun>,
    /// Pairs of sides on the same ground.
    twins: Vec<[usize; 2]>,
    shared_m2: f64,
    travel_m: f64,
    in_work_index: usize,
    /// The step that comes next.
    step: u64,
    now: Now,
}

/// What the last tick found.
#[derive(Default)]
struct Now {
    t_s: f64,
    index: usize,
    samples: Samples,
    line: Option<LineSense>,
    /// The lift in truth, and as its switch reads.
    lowered: bool,
    read: bool,
    shafts: [Edges; MAX_SIDES],
    ahead: [Ahead; MAX_SIDES],
}

impl core::fmt::Debug for World<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("World").field("step", &self.step).finish_non_exhaustive()
    }
}

impl<'a> World<'a> {
    /// A piece before its first step; `noise_seed` seeds the sensors.
    pub fn new(scenario: &'a Scenario, piece: &'a Piece, noise_seed: u64) -> Self {
        let drill = &scenario.drill;
        let speeds = speeds(piece);
        let curvatures = curvatures(scenario, piece.start_s(), &speeds);
        let pulses = drill.true_ground_pulses_per_m() * (1.0 - drill.truth.wheel_slip);
        let sides = drill.sides.iter().enumerate().map(|(index, side)| {
            let seed = noise_seed.wrapping_mul(64).wrapping_add(index as u64 * 4);
            SideRun::new(scenario, side, piece.start_s(), seed)
        });
        // Only a receiver tells places, and nobody else asks for them.
        let places = scenario.sources().any(|source| matches!(source, Source::Gnss(_)));
        Self {
            scenario,
            piece,
            speeds,
            curvatures,
            hands: Hands::new(scenario),
            ground_sensor: EdgeSensor::new(pulses, 0.0, noise_seed),
            receivers: Receivers::new(&scenario.source, &scenario.fitted, noise_seed),
            poses: Poses::new(if places { 2_100 } else { 0 }),
            line_input: LinePlayer::new(&scenario.fitted.lines, noise_seed),
            wheel_m: 0.0,
            openers: Openers::new(true),
            sides: sides.collect(),
            twins: drill.twins(),
            shared_m2: 0.0,
            travel_m: 0.0,
            in_work_index: 0,
            step: 0,
            now: Now::default(),
        }
    }

    /// The piece is driven to its end.
    pub const fn is_over(&self) -> bool {
        self.step + 1 >= self.speeds.len() as u64
    }

    /// A tick is due before the next step.
    pub const fn is_tick(&self) -> bool {
        self.step.is_multiple_of(STEPS_PER_TICK)
    }

    /// How many sides the drill has.
    pub const fn sides(&self) -> usize {
        self.sides.len()
    }

    /// Instants at which ground pulses came in the last step, s.
    pub fn ground_edges(&self) -> &[f64] {
        self.ground_sensor.passed()
    }

    /// The same of the encoder of a side.
    pub fn shaft_edges(&self, side: usize) -> &[f64] {
        self.sides.get(side).map_or(&[], |side| side.encoder.passed())
    }

    /// Lift and operator ask for seed on any side.
    pub fn asked(&self) -> bool {
        self.now.lowered && self.hands.master && self.hands.switches.contains(&true)
    }

    /// True ground speed at the last tick, m/s.
    pub fn speed_mps(&self) -> f64 {
        self.speeds.get(self.now.index).copied().unwrap_or_default()
    }

    /// True travel of the drill's centre, m.
    pub const fn travel_m(&self) -> f64 {
        self.travel_m
    }

    /// Seed metered by all sides so far, kg.
    pub fn metered_kg(&self) -> f64 {
        self.sides.iter().map(|side| side.out.metered_kg).sum()
    }

    /// Area that was asked for so far, side by side, m².
    pub fn asked_m2(&self) -> f64 {
        self.sides.iter().map(|side| side.out.asked_m2).sum()
    }

    /// True shaft speeds, turns/s; zero for a side that there is not.
    pub fn shafts_turns_per_s(&self) -> [f64; MAX_SIDES] {
        self.each(|side| side.drive.turns_per_s())
    }

    /// What it leaves for the score.
    pub fn outcome(self) -> Outcome {
        let sides = self.sides.into_iter().map(|side| side.out).collect();
        Outcome { sides, shared_m2: self.shared_m2 }
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

    /// A value of each side, without a list of its own: this runs in every tick.
    fn each<T: Default>(&self, value: impl Fn(&SideRun) -> T) -> [T; MAX_SIDES] {
        core::array::from_fn(|index| self.sides.get(index).map(&value).unwrap_or_default())
    }

    /// A tick: what the hands do and what arrives. Comes before a step that [`Self::is_tick`] names.
    pub fn tick(&mut self) {
        let k = self.step;
        let t0 = self.piece.start_s();
        let t = t0 + seconds(k);
        self.hands.advance(t);
        let works = self.track_works(t);
        let index = usize::try_from(k).unwrap_or(usize::MAX);
        let fitted = &self.scenario.fitted;
        let pose = |step| self.poses.at(step);
        let seen = Seen { t0, speeds: &self.speeds, pose: &pose, fitted };
        let samples = self.receivers.arrive(k, &seen);
        let antenna_m = self.scenario.drill.antenna_to_opener_m;
        let line = self.line_input.arrives(k, t0, &fitted.lines, antenna_m);
        let lowered = self.hands.lowered && works;
        self.now = Now {
            t_s: t,
            index,
            samples,
            line,
            lowered,
            read: lowered ^ self.bounce(t),
            shafts: self.each(|side| side.encoder.edges()),
            ahead: self.each(|side| self.ahead(index, t, side)),
        };
        self.lower(t);
    }

    /// The openers follow the lift, and each side is asked for seed or not.
    fn lower(&mut self, t: f64) {
        let lowered = self.openers.in_ground(self.now.lowered, self.travel_m, &self.scenario.drill);
        let lowered = lowered && self.scenario.fitted.lines.want(self.travel_m);
        for (side, &switch) in self.sides.iter_mut().zip(&self.hands.switches) {
            let hand = lowered && self.hands.master && switch;
            if hand && !side.hand {
                side.out.hand_on_s.push(t);
            }
            side.hand = hand;
        }
    }

    /// What the last tick found.
    pub fn senses(&self) -> Senses<'_> {
        let (now, count) = (&self.now, self.sides.len().min(MAX_SIDES));
        Senses {
            t_s: now.t_s,
            ground: self.ground_sensor.edges(),
            samples: now.samples,
            yaw_rad_per_s: self.speeds[now.index] * self.curvatures[now.index],
            backwards: self.speeds[now.index] < 0.0,
            line: now.line,
            lowered: now.read,
            master: self.hands.master,
            switches: &self.hands.switches,
            shafts: &now.shafts[..count],
            rates_kg_per_ha: self.hands.rates,
            opened: &self.hands.opened,
            ahead: &now.ahead[..count],
        }
    }

    /// Whether the ground sensor's wire is broken at `t`.
    fn pulses_are_silent(&self, t: f64) -> bool {
        let fitted = &self.scenario.fitted;
        let place = self.scenario.sources().position(|source| matches!(source, Source::Pulses));
        place.is_some_and(|place| fitted.is_silent(place, t))
    }

    /// Whether the lift switch reads the wrong way at `t`.
    fn bounce(&self, t: f64) -> bool {
        let since = t - self.hands.changed_s;
        since >= 0.0
            && since < self.scenario.drill.truth.lift_bounce_s
            && (steps(since) / STEPS_PER_TICK).is_multiple_of(2)
    }

    /// One step of the physics.
    pub fn step(&mut self, given: &Given<'_>) {
        let k = self.step;
        self.step += 1;
        let index = usize::try_from(k).unwrap_or(usize::MAX);
        let (v0, v1) = (self.speeds[index], self.speeds[index + 1]);
        let t = self.piece.start_s() + seconds(k + 1);
        let ahead_m = f64::midpoint(v0, v1) * STEP_S;
        let slip = self.scenario.fitted.slip.at(t);
        let rolled_m = if slip == 0.0 { ahead_m.abs() } else { ahead_m.abs() * (1.0 - slip) };
        let rolled_m = if self.pulses_are_silent(t) { 0.0 } else { rolled_m };
        self.ground_sensor.step(self.wheel_m, self.wheel_m + rolled_m, t, STEP_S);
        self.wheel_m += rolled_m;
        self.travel_m += ahead_m;
        self.line_input.step(self.travel_m);
        self.poses.step(ahead_m, self.curvatures[index]);
        let moving = v0 > self.scenario.drill.lowest_speed_mps;
        let curvature = self.curvatures[index];
        for (number, (side, &command)) in self.sides.iter_mut().zip(given.commands).enumerate() {
            let along = ahead_m * (1.0 - curvature * side.offset_m);
            side.drive.set_supply(given.supply);
            let wheel = (given.wheel)(number, self.travel_m);
            let rate = self.hands.rates[side.product] * KG_PER_HA;
            let told = Told { rate, opened: self.hands.opened[number] };
            side.step(command, along, Asking { told, moving, end_s: t, wheel });
        }
        self.share(ahead_m, curvature);
    }

    /// Ground that was asked for of both products in a step: of two strips the narrower, which lies in the other.
    fn share(&mut self, ahead_m: f64, curvature: f64) {
        for pair in &self.twins {
            let [one, other] = pair.map(|index| &self.sides[index]);
            if one.requested && other.requested {
                let narrowed = pair.map(|index| self.hands.opened[index].narrowed());
                let width_m = one.out.width_m * (1.0 - narrowed[0].max(narrowed[1]));
                self.shared_m2 += ahead_m * (1.0 - curvature * one.offset_m) * width_m;
            }
        }
    }
}
