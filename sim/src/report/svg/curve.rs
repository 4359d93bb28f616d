//! Panels of curves over time: ground speed, meter shaft, valve command.

use super::axis::Axis;
use super::envelope::path;
use super::frame::{Frame, Key};
use super::palette::{HAVE, IDLE, INK, WANTED};
use super::scale::Scale;
use super::sheet::{Sheet, Stroke};
use crate::trace::Tick;
use crate::unit::{SPEED, System};

/// What was asked for or given: wide and light.
const WIDE: Stroke = Stroke { colour: WANTED, width: 4.0 };
/// What is there: thin and dark, over it.
const THIN: Stroke = Stroke { colour: HAVE, width: 1.5 };

/// Ground speed, true and as the controller believes it.
pub(super) fn speed(sheet: &mut Sheet, frame: Frame, axis: &Axis, given: (&[Tick], System)) {
    let (ticks, system) = given;
    let (unit, factor) =
        SPEED.preferred(system).map_or(("m/s", 1.0), |unit| (unit.symbol(), unit.from_own(1.0)));
    let high = largest(ticks, |tick| tick.speed_mps.max(tick.believed_mps)) * factor;
    let low = largest(ticks, |tick| -tick.speed_mps) * factor;
    let panel = Panel { frame, axis, ticks, upward: frame.upward(-low.max(0.0), room(high)) };
    panel.ground(sheet);
    panel.curve(sheet, WIDE, |tick| tick.speed_mps * factor);
    panel.curve(sheet, THIN, |tick| tick.believed_mps * factor);
    let keys = [
        Key { words: "no seed asked for", stroke: Stroke { colour: "#d4d4d4", width: 9.0 } },
        Key { words: "true", stroke: WIDE },
        Key { words: "as the controller believes", stroke: THIN },
    ];
    frame.title(sheet, &format!("Ground speed, {unit}"), &keys);
    frame.edge(sheet);
}

/// Meter shaft of a side, asked and true.
pub(super) fn shaft(sheet: &mut Sheet, frame: Frame, axis: &Axis, given: (&[Tick], usize, &str)) {
    let (ticks, side, name) = given;
    let wanted = |tick: &Tick| tick.sides.get(side).map_or(f64::NAN, |it| it.wanted_turns_per_s);
    let have = |tick: &Tick| tick.sides.get(side).map_or(f64::NAN, |it| it.true_turns_per_s);
    let high = largest(ticks, |tick| wanted(tick).max(have(tick)));
    let panel = Panel { frame, axis, ticks, upward: frame.upward(0.0, room(high)) };
    panel.ground(sheet);
    panel.curve(sheet, WIDE, wanted);
    panel.curve(sheet, THIN, have);
    let keys = [Key { words: "asked", stroke: WIDE }, Key { words: "true", stroke: THIN }];
    frame.title(sheet, &named("Meter shaft, turns/s", name), &keys);
    frame.edge(sheet);
}

/// Valve command of a side.
pub(super) fn valve(sheet: &mut Sheet, frame: Frame, axis: &Axis, given: (&[Tick], usize, &str)) {
    let (ticks, side, name) = given;
    let command = |tick: &Tick| tick.sides.get(side).map_or(f64::NAN, |it| it.command * 100.0);
    let panel = Panel { frame, axis, ticks, upward: frame.upward(0.0, 100.0) };
    panel.ground(sheet);
    panel.curve(sheet, Stroke { colour: INK, width: 1.5 }, command);
    frame.title(sheet, &named("Valve command, % of full", name), &[]);
    frame.edge(sheet);
}

/// A title with the side's name, if there are several.
fn named(title: &str, side: &str) -> String {
    if side.is_empty() { title.to_owned() } else { format!("{title} — {side}") }
}

/// Largest value; zero where there is none.
fn largest(ticks: &[Tick], value: impl Fn(&Tick) -> f64) -> f64 {
    ticks.iter().map(value).filter(|it| it.is_finite()).fold(0.0, f64::max)
}

/// Top of a panel with some room above the largest value.
fn room(high: f64) -> f64 {
    if high > 0.0 { high * 1.12 } else { 1.0 }
}

/// A panel with what its curves share.
struct Panel<'a> {
    frame: Frame,
    axis: &'a Axis,
    ticks: &'a [Tick],
    upward: Scale,
}

impl Panel<'_> {
    /// Background where no seed is asked for, and the grid.
    fn ground(&self, sheet: &mut Sheet) {
        let across = self.frame.across(self.axis);
        for idle in self.ticks.chunk_by(|a, b| a.asked == b.asked && a.piece == b.piece) {
            let (Some(first), Some(last)) = (idle.first(), idle.last()) else { continue };
            if first.asked {
                continue;
            }
            let from = across.at(self.axis.at(first.piece, first.t_s));
            let to = across.at(self.axis.at(last.piece, last.t_s));
            sheet.fill((from, self.frame.top), ((to - from).max(0.5), self.frame.height), IDLE);
        }
        self.frame.draw(sheet, self.axis, &self.upward);
    }

    /// A curve, broken between pieces.
    fn curve(&self, sheet: &mut Sheet, stroke: Stroke, value: impl Fn(&Tick) -> f64) {
        let across = self.frame.across(self.axis);
        let pieces = self.ticks.chunk_by(|a, b| a.piece == b.piece);
        let data: String = pieces
            .map(|piece| {
                let point = |tick: &Tick| {
                    let x = across.at(self.axis.at(tick.piece, tick.t_s));
                    (x, self.upward.held(value(tick)))
                };
                let points: Vec<_> =
                    piece.iter().map(point).filter(|it| it.1.is_finite()).collect();
                path(&points)
            })
            .collect();
        sheet.line(data, stroke);
    }
}
