//! The picture of a sizing: shaft speed and flow over the ground speed, with what is out of reach shaded.
//!
//! ```text
//!  ┌───────┬───────────────────┬─────────┐
//!  │ too   │            ╱ shaft│  too    │   ceilings and floors: dashed, with their names
//!  │ slow  │      ╱            │  fast   │   zones: ground speeds that the first of the limits forbids
//!  └───────┴───────────────────┴─────────┘
//! ```
//!
//! A limit stands where the curve is at its ground speed: that of the tractor's flow is this side's share of it.

use super::axis::Axis;
use super::envelope::path;
use super::frame::Frame;
use super::palette::{HAVE, OUT, SOFT};
use super::scale::Scale;
use super::sheet::{Ink, Sheet, Stroke, width_of};
use super::{FOOT, LEFT, TITLE};
use crate::size::{Binding, Limit, SideSizing, Sizing, Speed};
use crate::unit::{Dimension, FLOW, RATE, SPEED, System};
use svg::node::element::Path;

/// Width of the picture, px.
const WIDTH: f64 = 1000.0;
/// Height of a panel, px.
const HEIGHT: f64 = 250.0;
/// Fill of what is out of reach.
const FORBIDDEN: &str = "#F3D9CC";
/// Height of a line of small words, px.
const LINE: f64 = 15.0;

/// What a panel shows of a side.
struct Shown {
    /// Title with the unit.
    title: String,
    /// One of its unit, in the bench's own.
    factor: f64,
    /// The value of a row, in the bench's own unit.
    value: fn(&Speed) -> f64,
    /// The limits that are limits of it.
    has: fn(Binding) -> bool,
}

/// Draws a sizing.
pub fn sizing_plot(sizing: &Sizing, system: System) -> String {
    let mut sheet = Sheet::default();
    let title = format!("{} with {}", sizing.drill, sizing.seed_lot);
    sheet.words(&title, (LEFT, 34.0), Ink::plain(20.0).bold());
    sheet.words(&headline(sizing, system), (LEFT, 57.0), Ink::plain(13.5).colour(SOFT));
    let (symbol, factor) = unit_of(&SPEED, system);
    let last = (1.35 * sizing.wanted_to_mps).max(1.2 * sizing.to_mps).clamp(2.0, 10.0);
    let axis = Axis::plain(format!("ground speed, {symbol}"), (0.0, last * factor));
    let mut top = 68.0;
    for side in &sizing.sides {
        let name =
            if sizing.sides.len() > 1 { format!(" — {}", side.side) } else { String::new() };
        for shown in panels(side, &name, system) {
            let frame =
                Frame { left: LEFT, top: top + TITLE, width: WIDTH - LEFT - 28.0, height: HEIGHT };
            panel(&mut sheet, frame, (&axis, factor), (side, &shown));
            top = frame.bottom() + FOOT;
        }
    }
    sheet.finish(WIDTH, top, &title)
}

/// Rate, range, and that it is invented.
fn headline(sizing: &Sizing, system: System) -> String {
    let speed = |mps| SPEED.show(mps, system, 3);
    let demo = if sizing.demo { "  ·  demonstration data" } else { "" };
    let range = if sizing.leaves_speed() {
        format!("within reach from {} to {}", speed(sizing.from_mps), speed(sizing.to_mps))
    } else {
        "no ground speed is within reach".to_owned()
    };
    format!("{}  ·  {range}{demo}", RATE.show(sizing.rate_kg_per_ha, system, 3))
}

/// Symbol, and what a number of the bench's own is multiplied by.
fn unit_of(kind: &'static Dimension, system: System) -> (&'static str, f64) {
    kind.preferred(system).map_or(("", 1.0), |unit| (unit.symbol(), unit.from_own(1.0)))
}

/// Shaft speed, and flow where it is known.
fn panels(side: &SideSizing, name: &str, system: System) -> Vec<Shown> {
    let (symbol, factor) = unit_of(&FLOW, system);
    let share = if name.is_empty() { "" } else { " (of the tractor's: its share)" };
    let shaft = Shown {
        title: format!("Meter shaft, turns/min{name}"),
        factor: 60.0,
        value: |row| row.turns_per_s,
        has: |by| !is_flow(by) && !is_ground(by),
    };
    let flow = Shown {
        title: format!("Flow of the motor, {symbol}{name}{share}"),
        factor,
        value: |row| row.flow_m3_per_s.unwrap_or(0.0),
        has: is_flow,
    };
    let known = side.curve.iter().any(|row| row.flow_m3_per_s.is_some());
    if known { vec![shaft, flow] } else { vec![shaft] }
}

/// Limits of the flow.
const fn is_flow(by: Binding) -> bool {
    matches!(by, Binding::ValveFlow | Binding::TractorFlow)
}

/// Limits of the ground speed itself.
const fn is_ground(by: Binding) -> bool {
    matches!(by, Binding::LowestSowingSpeed | Binding::GroundCapture)
}

/// One panel.
fn panel(
    sheet: &mut Sheet,
    frame: Frame,
    (axis, speed): (&Axis, f64),
    (side, shown): (&SideSizing, &Shown),
) {
    let across = frame.across(axis);
    let last = axis.range.1 / speed;
    let high = at(side, shown, last).max(f64::MIN_POSITIVE) * shown.factor * 1.06;
    let upward = frame.upward(0.0, high);
    let edges = [side.lowest.speed_mps, side.highest.speed_mps].map(|mps| across.held(mps * speed));
    let right = frame.left + frame.width;
    let [low, fast] = if edges[0] < edges[1] { edges } else { [right, right] };
    for (from, to) in [(frame.left, low), (fast, right)] {
        sheet.fill((from, frame.top), (to - from, frame.height), FORBIDDEN);
    }
    beyond(sheet, (frame, &upward), (low, fast), (side, shown));
    frame.draw(sheet, axis, &upward);
    let place =
        |mps: f64| (across.at(mps * speed), upward.held(at(side, shown, mps) * shown.factor));
    let stretch = |from: f64, to: f64| -> String {
        let between = side.curve.iter().map(|row| row.speed_mps).filter(|&it| it > from && it < to);
        let points: Vec<_> = std::iter::once(from).chain(between).chain([to]).map(place).collect();
        path(&points)
    };
    sheet.line(stretch(0.0, last), Stroke { colour: SOFT, width: 1.2 });
    if low < fast {
        let to = side.highest.speed_mps.min(last);
        sheet.line(stretch(side.lowest.speed_mps, to), Stroke { colour: HAVE, width: 3.0 });
    }
    limits(sheet, frame, &upward, (side, shown));
    zones(sheet, frame, (low, fast));
    frame.title(sheet, &shown.title, &[]);
    let shaded = format!(
        "shaded: too slow ({}), too fast ({})",
        name(side.lowest.by),
        name(side.highest.by)
    );
    sheet.words(&shaded, (right, frame.top - 8.0), Ink::plain(12.5).anchor("end"));
    frame.foot(sheet, axis);
    frame.edge(sheet);
}

/// Words in the zones, where there is room.
fn zones(sheet: &mut Sheet, frame: Frame, (low, fast): (f64, f64)) {
    let right = frame.left + frame.width;
    for (from, to, word) in [(frame.left, low, "too slow"), (fast, right, "too fast")] {
        if to - from > width_of(word, 13.0) + 12.0 {
            let ink = Ink::plain(13.0).anchor("middle").colour(OUT).bold();
            sheet.words(word, (f64::midpoint(from, to), frame.top + 0.55 * frame.height), ink);
        }
    }
}

/// The value of a panel at a ground speed, between the points of the curve.
fn at(side: &SideSizing, shown: &Shown, speed_mps: f64) -> f64 {
    let value = |row: &Speed| (row.speed_mps, (shown.value)(row));
    let after = side.curve.iter().position(|row| row.speed_mps >= speed_mps);
    let (x0, y0) = match after {
        Some(0) => (0.0, 0.0),
        Some(index) => value(&side.curve[index - 1]),
        None => return side.curve.last().map_or(0.0, shown.value),
    };
    let (x1, y1) = after.map_or((1.0, 0.0), |index| value(&side.curve[index]));
    y0 + (y1 - y0) * (speed_mps - x0) / (x1 - x0)
}

/// The limits of a panel, dashed, each with its name: ceilings at the left, where the curve is low, floors at the right.
fn limits(sheet: &mut Sheet, frame: Frame, upward: &Scale, given: (&SideSizing, &Shown)) {
    for (list, share) in [(&given.0.from_above, 0.05), (&given.0.from_below, 0.5)] {
        for (y, name) in lines(list, frame, upward, given) {
            dashed(sheet, frame, y);
            let place = (frame.left + share * frame.width, y - 4.0);
            sheet.words(name, place, Ink::plain(12.5));
        }
    }
}

/// Heights of the limits of a list that are limits of a panel and to be seen in it, px, with their names. One that is no
/// line of words from the one before is left out: that one binds first.
fn lines(
    list: &[Limit],
    frame: Frame,
    upward: &Scale,
    (side, shown): (&SideSizing, &Shown),
) -> Vec<(f64, &'static str)> {
    let mut seen: Vec<(f64, &'static str)> = Vec::new();
    for limit in list.iter().filter(|limit| (shown.has)(limit.by)) {
        let y = upward.at(at(side, shown, limit.speed_mps) * shown.factor);
        let apart = seen.last().is_none_or(|before| (before.0 - y).abs() > LINE);
        if apart && y > frame.top + 1.0 && y < frame.bottom() - 1.0 {
            seen.push((y, name(limit.by)));
        }
    }
    seen
}

/// A dashed line across a panel.
fn dashed(sheet: &mut Sheet, frame: Frame, y: f64) {
    let line = Path::new()
        .set("d", format!("M{:.1} {y:.1}h{:.1}", frame.left, frame.width))
        .set("stroke", OUT)
        .set("stroke-width", 1.2)
        .set("stroke-dasharray", "7 4");
    sheet.shape(line);
}

/// Shades what lies beyond the first ceiling and the first floor of a panel, between the zones.
fn beyond(
    sheet: &mut Sheet,
    (frame, upward): (Frame, &Scale),
    (low, fast): (f64, f64),
    (side, shown): (&SideSizing, &Shown),
) {
    let first = |list: &[Limit]| list.iter().copied().find(|limit| (shown.has)(limit.by));
    let height = |limit: Limit| upward.held(at(side, shown, limit.speed_mps) * shown.factor);
    if let Some(y) = first(&side.from_above).map(height) {
        sheet.fill((low, frame.top), (fast - low, y - frame.top), FORBIDDEN);
    }
    if let Some(y) = first(&side.from_below).map(height) {
        sheet.fill((low, y), (fast - low, frame.bottom() - y), FORBIDDEN);
    }
}

/// A limit in few words.
const fn name(by: Binding) -> &'static str {
    match by {
        Binding::LowestSowingSpeed => "lowest sowing speed",
        Binding::SmoothTurning => "1/64 of full speed",
        Binding::EncoderResolution => "edges too far apart",
        Binding::MotorLowest => "motor's lowest smooth speed",
        Binding::FullCommand => "full command",
        Binding::ShaftCapture => "edges that the board captures",
        Binding::GroundCapture => "ground pulses that the board captures",
        Binding::MotorHighest => "motor's highest speed",
        Binding::ValveFlow => "valve's flow",
        Binding::TractorFlow => "tractor's flow",
    }
}
