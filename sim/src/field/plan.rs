//! A plan for a field: headland rounds from the boundary inward, then straight passes over what is left.
//!
//! ```text
//!  boundary ─► rounds ─► passes ─► legs of work ─► turns between ─► path, lifts and slow parts by distance
//! ```
//!
//! Turns are the shortest within the steering; the implement is up in them. Only the drill's centre is held
//! within the boundary, and only where there is a headland to turn on.

use super::boundary::Boundary;
use super::connect::{connect, length};
use super::leg::Leg;
use super::passes::Passes;
use super::path::{Path, Stretch};
use super::round::{TightCorner, round};
use super::steering::Steering;
use geo::Coord;
use thiserror::Error;

/// What a person wants done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanConfig {
    /// Working width of the drill, m.
    pub width_m: f64,
    /// Overlap of neighbouring passes, m.
    pub overlap_m: f64,
    /// Headland rounds.
    pub rounds: u32,
    /// Heading of the first pass, rad anticlockwise from east.
    pub heading_rad: f64,
    /// Bands from one pass to the next one driven.
    pub stride: usize,
    /// Steering.
    pub steering: Steering,
    /// The implement is lowered this far before the work begins, m.
    pub lower_ahead_m: f64,
    /// The implement is lifted this far after the work ends, m.
    pub lift_past_m: f64,
}

/// Why there is no plan.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum PlanError {
    /// The rounds meet in the middle.
    #[error("{0} headland rounds leave nothing, or a field that falls apart, inside")]
    NothingInside(u32),
    /// A corner of a round is too tight.
    #[error("{0}")]
    Corner(#[from] TightCorner),
    /// No turn joins two legs.
    #[error("no turn leads to the leg that begins at {x_m:.1} m, {y_m:.1} m")]
    NoTurn {
        /// East, m.
        x_m: f64,
        /// North, m.
        y_m: f64,
    },
    /// The way is longer than a run can be.
    #[error("the way is {km:.0} km long; up to {LONGEST_KM:.0} km work")]
    TooLong {
        /// Its length, km.
        km: f64,
    },
    /// The way leaves the field.
    #[error("the way leaves the field at {x_m:.1} m, {y_m:.1} m")]
    Leaves {
        /// East, m.
        x_m: f64,
        /// North, m.
        y_m: f64,
    },
}

/// A planned way with what happens on it; distances from its begin.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// The way of the drill's centre.
    pub path: Path,
    /// Where the implement is down: from, to, m.
    pub works: Vec<(f64, f64)>,
    /// Where it is driven at headland speed: from, to, m.
    pub slow: Vec<(f64, f64)>,
}

/// Longest way of a run, km: two days of work at 2.5 m/s, and some 4 GB of memory.
const LONGEST_KM: f64 = 100.0;

/// Way before the first leg and after the last, m.
const RUN_M: f64 = 5.0;

/// Way between two looks at whether the field is left, m.
const LOOK_M: f64 = 0.5;

/// Plans the work of a field.
///
/// # Errors
///
/// [`PlanError`] says why there is no plan.
pub fn plan(boundary: &Boundary, config: &PlanConfig) -> Result<Route, PlanError> {
    let spacing_m = config.width_m - config.overlap_m;
    let inset =
        |distance: f64| boundary.inset(distance).ok_or(PlanError::NothingInside(config.rounds));
    let mut legs = Vec::new();
    // A round begins behind the end of the one before: room to change lanes.
    let lane_m = 3.0 * config.steering.radius_m + config.steering.easing_m;
    for index in 0..config.rounds {
        let ring = inset(config.width_m / 2.0 + f64::from(index) * spacing_m)?;
        let ahead_m = lane_m * f64::from(index + 1);
        legs.push(round(&ring, config.steering, ahead_m)?);
    }
    let inner = inset(f64::from(config.rounds) * spacing_m)?;
    let passes = Passes {
        heading_rad: config.heading_rad,
        width_m: config.width_m,
        spacing_m,
        stride: config.stride,
    };
    legs.extend(passes.over(&inner));
    let reach = |leg: Leg| leg.reaching(config.lower_ahead_m, config.lift_past_m);
    let route = joined(legs.into_iter().map(reach), config.steering)?;
    let km = route.path.length_m() / 1e3;
    if km > LONGEST_KM {
        return Err(PlanError::TooLong { km });
    }
    if config.rounds > 0 { within(boundary, route) } else { Ok(route) }
}

/// Joins legs by turns.
///
/// # Errors
///
/// [`PlanError::NoTurn`].
pub fn joined(legs: impl IntoIterator<Item = Leg>, steering: Steering) -> Result<Route, PlanError> {
    let mut legs = legs.into_iter().peekable();
    let start = legs.peek().map(|leg| leg.start.along(-RUN_M, 0.0)).unwrap_or_default();
    let mut route = Route { path: Path::new(start), works: Vec::new(), slow: Vec::new() };
    for leg in legs {
        let (x_m, y_m) = (leg.start.x_m, leg.start.y_m);
        let turn = connect(route.path.end(), leg.start, steering);
        route.turn(&turn.ok_or(PlanError::NoTurn { x_m, y_m })?);
        route.work(&leg);
    }
    route.path.extend(&[Stretch::straight(RUN_M)]);
    Ok(route)
}

impl Route {
    /// Goes on by a turn.
    fn turn(&mut self, way: &[Stretch]) {
        let from = self.path.length_m();
        self.path.extend(way);
        self.slow.push((from, from + length(way)));
    }

    /// Goes on by a leg; its corners are slow.
    fn work(&mut self, leg: &Leg) {
        let from = self.path.length_m();
        let mut at = from;
        for stretch in &leg.way {
            let curved = stretch.from_per_m.abs() + stretch.to_per_m.abs() > 0.0;
            if curved {
                self.slow.push((at, at + stretch.length_m));
            }
            at += stretch.length_m;
        }
        self.path.extend(&leg.way);
        self.works.push((from, self.path.length_m()));
    }
}

/// Refuses a route that leaves the field.
fn within(boundary: &Boundary, route: Route) -> Result<Route, PlanError> {
    let mut s = 0.0;
    while s < route.path.length_m() {
        let at @ Coord { x, y } = route.path.pose(s).at();
        if !boundary.contains(at) {
            return Err(PlanError::Leaves { x_m: x, y_m: y });
        }
        s += LOOK_M;
    }
    Ok(route)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field() -> Boundary {
        let corners = [(0.0, 0.0), (150.0, 0.0), (150.0, 100.0), (0.0, 100.0)];
        Boundary::new(&corners.map(|(x, y)| Coord { x, y })).expect("a rectangle")
    }

    const CONFIG: PlanConfig = PlanConfig {
        width_m: 6.0,
        overlap_m: 0.0,
        rounds: 3,
        heading_rad: 0.0,
        stride: 3,
        steering: Steering { radius_m: 6.0, easing_m: 2.0 },
        lower_ahead_m: 1.0,
        lift_past_m: 0.5,
    };

    #[test]
    fn the_work_of_a_rectangle_is_as_long_as_its_area_over_the_width() {
        let route = plan(&field(), &CONFIG).expect("a plan");
        let work_m: f64 = route.works.iter().map(|(from, to)| to - from).sum();
        // Three rounds and eleven passes of 114 m, the last of which is not all needed (64 m of inner field).
        assert_eq!(route.works.len(), 3 + 11);
        let passes_m = 11.0 * (114.0 + 1.5);
        let rounds_m = 2.0 * (144.0 + 94.0 + 132.0 + 82.0 + 120.0 + 70.0) + 3.0 * 1.5;
        // Each rounded corner is shorter than its two tangents; twelve of them.
        let cut_m = rounds_m + passes_m - work_m;
        assert!(cut_m > 0.0 && cut_m < 12.0 * 4.0, "{cut_m}");
    }

    #[test]
    fn a_headland_too_narrow_for_the_turn_is_refused() {
        let narrow = PlanConfig { rounds: 1, stride: 1, ..CONFIG };
        assert!(matches!(plan(&field(), &narrow), Err(PlanError::Leaves { .. })));
        let many = PlanConfig { rounds: 8, ..CONFIG };
        assert!(matches!(plan(&field(), &many), Err(PlanError::Corner(_))));
        let strip = [(0.0, 0.0), (150.0, 0.0), (150.0, 29.0), (0.0, 29.0)];
        let strip = Boundary::new(&strip.map(|(x, y)| Coord { x, y })).expect("a rectangle");
        let nimble = PlanConfig { steering: Steering { radius_m: 2.0, easing_m: 1.0 }, ..CONFIG };
        assert_eq!(plan(&strip, &nimble), Err(PlanError::NothingInside(3)));
    }
}
