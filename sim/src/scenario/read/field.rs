//! Reads the field: its corners and how it is to be worked; a way, a speed and lifts come of it.

use super::entry::Entry;
use super::points::points;
use super::section::Section;
use super::wanted::Wanted;
use crate::field::boundary::Boundary;
use crate::field::pace::Pace;
use crate::field::plan::{PlanConfig, plan};
use crate::field::steering::Steering;
use crate::field::{Field, Way};
use crate::input::{InputError, Trouble};
use crate::profile::Profile;
use crate::scenario::{Drill, Event};
use crate::unit::{ACCELERATION, ANGLE, LENGTH, SPEED};
use core::f64::consts::{FRAC_PI_2, TAU};
use geo::Coord;

/// Keys of `[field]`.
pub(super) const KEYS: [&str; 11] = [
    "corners",
    "rounds",
    "heading",
    "stride",
    "overlap",
    "radius",
    "work_speed",
    "headland_speed",
    "acceleration",
    "lower_ahead",
    "lift_past",
];

const PLACE: Wanted = Wanted::new(&LENGTH, -10_000.0, 10_000.0);
const HEADING: Wanted = Wanted::new(&ANGLE, -TAU, TAU);
const OVERLAP: Wanted = Wanted::new(&LENGTH, 0.0, 5.0);
const RADIUS: Wanted = Wanted::new(&LENGTH, 2.0, 100.0);
const DRIVEN: Wanted = Wanted::new(&SPEED, 0.3, 15.0);
const QUICKENING: Wanted = Wanted::new(&ACCELERATION, 0.05, 3.0);
const REACH: Wanted = Wanted::new(&LENGTH, 0.0, 20.0);

/// Speeding up and slowing down where nothing is said, m/s²; common practice in field work.
const ACCELERATION_MPS2: f64 = 0.5;

/// Time from straight on to full lock, s; common practice.
const LOCK_S: f64 = 1.5;

/// What comes of a field.
pub(super) struct Worked {
    pub(super) profile: Profile,
    pub(super) events: Vec<Event>,
    pub(super) field: Field,
}

/// Reads the field and plans its work.
pub(super) fn field(
    section: &Section<'_>,
    root: &Section<'_>,
    drill: &Drill,
) -> Result<Worked, InputError> {
    for (key, why) in [("speed", "gives its own speed"), ("turn", "has turns of its own")] {
        if root.has(key) {
            let what = format!("[field] {why}, and there is {key} as well");
            return Err(section.complain(Trouble::WrongForm, what, format!("drop {key}")));
        }
    }
    if drill.products() > 1 {
        let what =
            format!("drill {:?} has two boxes, and the survey of a field knows one", drill.name);
        let remedy = "write [speed] instead of [field], or another drill".to_owned();
        return Err(section.complain(Trouble::WrongForm, what, remedy));
    }
    let boundary = boundary(&section.need("corners")?)?;
    let pace = Pace {
        work_mps: section.quantity("work_speed", DRIVEN)?,
        headland_mps: section.quantity("headland_speed", DRIVEN)?,
        acceleration_mps2: section.quantity_or("acceleration", QUICKENING, ACCELERATION_MPS2)?,
    };
    let config = config(section, drill, pace.headland_mps)?;
    let route = plan(&boundary, &config).map_err(|why| {
        let remedy = "change rounds, radius, stride or heading".to_owned();
        section.complain(Trouble::OutOfRange, why.to_string(), remedy)
    })?;
    let piece = pace.profile(&route);
    let events = Pace::lifts(&route, &piece);
    let field = Field { boundary: Some(boundary), way: Way::Planned(route.path) };
    Ok(Worked { profile: Profile { pieces: vec![piece] }, events, field })
}

fn boundary(entry: &Entry<'_>) -> Result<Boundary, InputError> {
    let corners = points(entry, [PLACE, PLACE], 3..=1000)?;
    let corners: Vec<Coord<f64>> =
        corners.iter().map(|point| Coord { x: point.x, y: point.y }).collect();
    Boundary::new(&corners).map_err(|why| {
        let remedy = "write the corners in order around the field, [east, north]".to_owned();
        entry.complain(Trouble::WrongForm, why.to_string(), remedy)
    })
}

fn config(
    section: &Section<'_>,
    drill: &Drill,
    headland_mps: f64,
) -> Result<PlanConfig, InputError> {
    let radius = section.need("radius")?;
    let radius_m = radius.quantity(RADIUS)?;
    let (right_m, left_m) = drill.reach_m();
    if left_m.max(-right_m) >= radius_m {
        let what = format!("{} is less than half the drill", radius.shown());
        let remedy = format!("more than {:.2} m", left_m.max(-right_m));
        return Err(radius.complain(Trouble::OutOfRange, what, remedy));
    }
    if (left_m + right_m).abs() > 0.01 {
        let what = "the drill's sides do not lie evenly about its middle".to_owned();
        let remedy = "a drill as wide to the left as to the right".to_owned();
        return Err(section.complain(Trouble::OutOfRange, what, remedy));
    }
    let whole = |key, range, default: u64| {
        section.find(key)?.map_or(Ok(default), |entry: Entry<'_>| entry.whole(range))
    };
    let width_m = left_m - right_m;
    let overlap_m = section.quantity_or("overlap", OVERLAP, 0.0)?;
    Ok(PlanConfig {
        width_m,
        overlap_m: overlap_m.min(width_m / 2.0),
        rounds: u32::try_from(whole("rounds", 0..=20, 0)?).unwrap_or(0),
        heading_rad: FRAC_PI_2 - section.quantity("heading", HEADING)?,
        stride: usize::try_from(whole("stride", 1..=50, 1)?).unwrap_or(1),
        steering: Steering { radius_m, easing_m: LOCK_S * headland_mps },
        lower_ahead_m: section.quantity_or("lower_ahead", REACH, 0.0)?,
        lift_past_m: section.quantity_or("lift_past", REACH, 0.0)?,
    })
}
