//! The shortest way from one pose to another within the steering: two turns with a straight between, or
//! three turns (an omega).
//!
//! ```text
//!   turn, straight, turn                      three turns: circles of one size touch
//!    ──►╮                                          ╭──╮
//!       │ straight                              ──►╯ · ╰──►    d(C1,C2) = d(C2,C3) = 2ρ
//!       ╰──►                                      C1    C3
//! ```
//!
//! Two turns: the deflection of the first is sought so that the second ends on the goal's line. Three
//! turns of full lock: with the centre of a turn at (a, b) from its begin, ρ² = a² + b², two turns in a row
//! have their centres 2ρ apart.

use super::path::{Stretch, end_of};
use super::pose::{Pose, wrapped};
use super::steering::Steering;
use core::f64::consts::TAU;
use geo::Coord;

/// Deflections of the first turn that are tried.
const TRIED: u32 = 120;

/// Largest miss of the goal, m.
const MISS_M: f64 = 1e-6;

/// The shortest way; none only if arithmetic fails.
pub fn connect(from: Pose, to: Pose, steering: Steering) -> Option<Vec<Stretch>> {
    let hands = [1.0, -1.0];
    let two = hands.iter().flat_map(|&first| hands.map(|second| (first, second)));
    let two = two.flat_map(|hands| two_turns(from, to, steering, hands));
    let three = hands.iter().flat_map(|&hand| three_turns(from, to, steering, hand));
    let arrives = |way: &Vec<Stretch>| {
        let end = end_of(way, from);
        distance(end.at(), to.at()) < MISS_M
    };
    two.chain(three).filter(arrives).min_by(|a, b| length(a).total_cmp(&length(b)))
}

/// Length of a way, m.
pub fn length(way: &[Stretch]) -> f64 {
    way.iter().map(|stretch| stretch.length_m).sum()
}

fn distance(a: Coord<f64>, b: Coord<f64>) -> f64 {
    libm::hypot(a.x - b.x, a.y - b.y)
}

/// What is left after two turns of which the first deflects by `first`.
struct Rest {
    second: f64,
    /// Way between the turns along the heading there, and across it, m.
    along_m: f64,
    across_m: f64,
}

fn rest(from: Pose, to: Pose, steering: Steering, (first, hand): (f64, f64)) -> Rest {
    let out = end_of(&steering.turn(first), from);
    let second = hand * wrapped(hand * (to.heading_rad - out.heading_rad));
    // The second turn as it would begin here.
    let end = end_of(&steering.turn(second), out);
    let (dx, dy) = (to.x_m - end.x_m, to.y_m - end.y_m);
    let (sin, cos) = (libm::sin(out.heading_rad), libm::cos(out.heading_rad));
    Rest { second, along_m: dx * cos + dy * sin, across_m: dy * cos - dx * sin }
}

/// Ways of two turns, one to each of `hands` (1 left, -1 right).
fn two_turns(from: Pose, to: Pose, steering: Steering, hands: (f64, f64)) -> Vec<Vec<Stretch>> {
    let step = TAU / f64::from(TRIED);
    let rest = |first: f64| rest(from, to, steering, (hands.0 * first, hands.1));
    let mut ways = Vec::new();
    for index in 0..TRIED {
        let (low, high) = (f64::from(index) * step, f64::from(index + 1) * step);
        let first = match (rest(low).across_m, rest(high).across_m) {
            (a, _) if a.abs() < 1e-9 => low,
            (a, b) if (a < 0.0) != (b < 0.0) => bisect(low, high, |at| rest(at).across_m),
            _ => continue,
        };
        let found = rest(first);
        if found.along_m > -1e-9 {
            let mut way = steering.turn(hands.0 * first).to_vec();
            way.push(Stretch::straight(found.along_m.max(0.0)));
            way.extend(steering.turn(found.second));
            ways.push(way);
        }
    }
    ways
}

/// Where `value` changes its sign.
fn bisect(mut low: f64, mut high: f64, value: impl Fn(f64) -> f64) -> f64 {
    let negative = value(low) < 0.0;
    for _ in 0..52 {
        let middle = f64::midpoint(low, high);
        if (value(middle) < 0.0) == negative {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Ways of three turns of full lock, the first and the last to `hand`.
fn three_turns(from: Pose, to: Pose, steering: Steering, hand: f64) -> Vec<Vec<Stretch>> {
    let (a, b) = steering.centre();
    let reach = 2.0 * libm::hypot(a, b);
    let (first, last) = (from.point(a, hand * b), to.point(-a, hand * b));
    let apart = distance(first, last);
    if apart >= 2.0 * reach || apart < 1e-9 {
        return Vec::new();
    }
    let rise = (reach * reach - apart * apart / 4.0).sqrt();
    let base = angle(first, last);
    let middle = |side: f64| {
        let half = Pose::new(first, base);
        half.point(apart / 2.0, side * rise)
    };
    let lean = libm::atan2(hand * b, a);
    let way = |centre: Coord<f64>| {
        let (out, back) = (angle(first, centre) + lean, angle(centre, last) - lean);
        let turns = [
            hand * wrapped(hand * (out - from.heading_rad)),
            -hand * wrapped(-hand * (back - out)),
            hand * wrapped(hand * (to.heading_rad - back)),
        ];
        let full = turns.iter().all(|turn| turn.abs() >= steering.easings_rad());
        full.then(|| turns.iter().flat_map(|&turn| steering.turn(turn)).collect())
    };
    [1.0, -1.0].into_iter().filter_map(|side| way(middle(side))).collect()
}

/// Direction from one point to another, rad.
fn angle(from: Coord<f64>, to: Coord<f64>) -> f64 {
    libm::atan2(to.y - from.y, to.x - from.x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use core::f64::consts::PI;

    const STEERING: Steering = Steering { radius_m: 8.0, easing_m: 3.0 };

    fn pose(x_m: f64, y_m: f64, heading_rad: f64) -> Pose {
        Pose { x_m, y_m, heading_rad }
    }

    #[test]
    fn every_goal_around_is_reached_within_the_steering() {
        for k in 0..72_u32 {
            let turn = f64::from(k) * 0.7;
            let goal = pose(30.0 * libm::cos(turn), 25.0 * libm::sin(turn * 1.3), turn * 2.1);
            let way = connect(Pose::default(), goal, STEERING).expect("a way");
            let end = end_of(&way, Pose::default());
            assert!(distance(end.at(), goal.at()) < MISS_M, "{goal:?}: {end:?}");
            let off = wrapped(end.heading_rad - goal.heading_rad + PI) - PI;
            assert!(off.abs() < 1e-6, "{goal:?}: {end:?}");
            let tightest = way.iter().map(|it| it.from_per_m.abs()).fold(0.0, f64::max);
            assert!(tightest <= 1.0 / 8.0 + 1e-12, "{tightest}");
        }
    }

    #[test]
    fn straight_ahead_is_straight() {
        let way = connect(Pose::default(), pose(12.0, 0.0, 0.0), STEERING).expect("a way");
        assert!((length(&way) - 12.0).abs() < 1e-6, "{way:?}");
    }

    #[test]
    fn the_next_pass_close_by_takes_an_omega_and_one_far_off_a_half_circle() {
        let near = connect(Pose::default(), pose(0.0, 6.0, PI), STEERING).expect("a way");
        let hands: Vec<bool> = near.iter().map(|it| it.from_per_m + it.to_per_m < 0.0).collect();
        assert!(hands.contains(&true), "an omega swings out first: {near:?}");
        let far = connect(Pose::default(), pose(0.0, 20.0, PI), STEERING).expect("a way");
        assert!(far.iter().all(|it| it.from_per_m >= 0.0), "{far:?}");
        assert!(length(&far) < length(&near), "{} {}", length(&far), length(&near));
    }
}
