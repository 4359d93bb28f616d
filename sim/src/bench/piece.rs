//! One piece of a profile under one law.

use super::course::{curvatures, speeds};
use super::hands::Hands;
use super::line_input::LinePlayer;
use super::openers::Openers;
use super::outcome::Outcome;
use super::pose::Poses;
use super::receiver::{Receivers, Seen};
use super::senses::{Ahead, Law, Look, Senses, Shown};
use super::side::{Asking, KG_PER_HA, SideRun, Told};
use super::{STEP_S, STEPS_PER_TICK};
use crate::machine::{EdgeSensor, Edges};
use crate::profile::Piece;
use crate::scenario::{Scenario, Source};

/// Most sides of a drill.
const MAX_SIDES: usize = controller::MAX_SIDES;

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

struct PieceRun<'a> {
    scenario: &'a Scenario,
    piece: &'a Piece,
    speeds: Vec<f64>,
    curvatures: Vec<f64>,
    hands: Hands<'a>,
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
}

/// Whole steps in `seconds`.
pub(super) fn steps(seconds: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "times of a run, not negative"
    )]
    let steps = libm::round(seconds / STEP_S) as u64;
    steps
}

/// Seconds in `steps`.
pub(super) fn seconds(steps: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a run has far fewer than 2^52 steps")]
    let steps = steps as f64;
    steps * STEP_S
}

impl<'a> PieceRun<'a> {
    fn new(scenario: &'a Scenario, piece: &'a Piece, noise_seed: u64) -> Self {
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
        let count = self.speeds.len() as u64;
        let mut commands = vec![0.0; self.sides.len()];
        for k in 0..count.saturating_sub(1) {
            if k.is_multiple_of(STEPS_PER_TICK) {
                self.tick(k, law, &mut commands, look);
            }
            self.step(k, &commands, law);
        }
        let sides = self.sides.into_iter().map(|side| side.out).collect();
        Outcome { sides, shared_m2: self.shared_m2 }
    }

    /// A value of each side, without a list of its own: this runs in every tick.
    fn each<T: Default>(&self, value: impl Fn(&SideRun) -> T) -> [T; MAX_SIDES] {
        core::array::from_fn(|index| self.sides.get(index).map(&value).unwrap_or_default())
    }

    /// One tick of the law at step `k`.
    fn tick(
        &mut self,
        k: u64,
        law: &mut dyn Law,
        commands: &mut [f64],
        look: &mut dyn FnMut(&Look<'_>),
    ) {
        let t = self.piece.start_s() + seconds(k);
        self.hands.advance(t);
        let works = self.track_works(t);
        let index = usize::try_from(k).unwrap_or(usize::MAX);
        let t0 = self.piece.start_s();
        let pose = |step| self.poses.at(step);
        let fitted = &self.scenario.fitted;
        let seen = Seen { t0, speeds: &self.speeds, pose: &pose, fitted };
        let samples = self.receivers.arrive(k, &seen);
        let antenna_m = self.scenario.drill.antenna_to_opener_m;
        let line = self.line_input.arrives(k, t0, &fitted.lines, antenna_m);
        let count = self.sides.len().min(MAX_SIDES);
        let shafts: [Edges; MAX_SIDES] = self.each(|side| side.encoder.edges());
        let ahead: [Ahead; MAX_SIDES] = self.each(|side| self.ahead(index, t, side));
        let lowered = self.hands.lowered && works;
        let senses = Senses {
            t_s: t,
            ground: self.ground_sensor.edges(),
            samples,
            yaw_rad_per_s: self.speeds[index] * self.curvatures[index],
            backwards: self.speeds[index] < 0.0,
            line,
            lowered: lowered ^ self.bounce(t),
            master: self.hands.master,
            switches: &self.hands.switches,
            shafts: &shafts[..count],
            rates_kg_per_ha: self.hands.rates,
            opened: &self.hands.opened,
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
        let lowered = self.openers.in_ground(lowered, self.travel_m, &self.scenario.drill);
        let lowered = lowered && self.scenario.fitted.lines.want(self.travel_m);
        for (side, &switch) in self.sides.iter_mut().zip(&self.hands.switches) {
            let hand = lowered && self.hands.master && switch;
            if hand && !side.hand {
                side.out.hand_on_s.push(t);
            }
            side.hand = hand;
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

    fn ahead(&self, k: usize, t: f64, side: &SideRun) -> Ahead {
        let drill = &self.scenario.drill;
        // A command is held for a tick: aim at its end.
        let tick_s = seconds(STEPS_PER_TICK);
        let dead_s = drill.truth.drive.dead_time_s;
        let lead =
            usize::try_from(steps(drill.true_delivery_delay_s() + dead_s + tick_s)).unwrap_or(0);
        let at = (k + lead).min(self.speeds.len() - 1);
        let now_mps = self.speeds[k] * (1.0 - self.curvatures[k] * side.offset_m);
        Ahead {
            moving: now_mps > drill.lowest_speed_mps,
            speed_mps: self.speeds[at] * (1.0 - self.curvatures[at] * side.offset_m),
            rate_kg_per_ha: self.hands.rate_at(t + dead_s, side.product),
            gain: side.drive.gain(t + dead_s + tick_s / 2.0),
            coil: side.drive.coil_factor(t + drill.truth.drive.dead_time_s),
            place: side.drive.place(),
            shaft_turns_per_s: side.drive.turns_per_s(),
        }
    }

    /// One step of the physics from step `k` to the next.
    fn step(&mut self, k: u64, commands: &[f64], law: &dyn Law) {
        let index = usize::try_from(k).unwrap_or(usize::MAX);
        let (v0, v1) = (self.speeds[index], self.speeds[index + 1]);
        let t = self.piece.start_s() + seconds(k + 1);
        let ahead_m = f64::midpoint(v0, v1) * STEP_S;
        let slip = self.scenario.fitted.slip.at(t);
        let rolled_m = if slip == 0.0 { ahead_m.abs() } else { ahead_m.abs() * (1.0 - slip) };
        if !self.pulses_are_silent(t) {
            self.ground_sensor.step(self.wheel_m, self.wheel_m + rolled_m, t, STEP_S);
            self.wheel_m += rolled_m;
        }
        self.travel_m += ahead_m;
        self.line_input.step(self.travel_m);
        self.poses.step(ahead_m, self.curvatures[index]);
        let moving = v0 > self.scenario.drill.lowest_speed_mps;
        let curvature = self.curvatures[index];
        for (number, (side, &command)) in self.sides.iter_mut().zip(commands).enumerate() {
            let along = ahead_m * (1.0 - curvature * side.offset_m);
            side.drive.set_supply(law.supply());
            let wheel = law.wheel_turns_per_m(number, self.travel_m);
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
