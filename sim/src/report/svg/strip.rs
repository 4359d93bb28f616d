//! The strip of states: a band a side, in colours and words, and the alarms if there were any.

use super::axis::Axis;
use super::frame::Frame;
use super::palette::{INK, SOFT, state, weight};
use super::scale::Scale;
use super::sheet::{Ink, Sheet, Stroke, width_of};
use crate::report::Judged;
use crate::trace::Tick;

/// Height of a band, px.
const BAND: f64 = 24.0;
/// Width within which only the weightiest state is drawn, px.
const GRAIN: f64 = 0.5;
/// Every state there is, for the legend.
const STATES: [&str; 8] = ["off", "ready", "lifted", "slow", "sowing", "lost", "stopped", "catch"];

/// A stretch of one state.
#[derive(Clone, Debug, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    word: String,
}

/// Height of the strip, px.
pub(super) fn height(ticks: &[Tick]) -> f64 {
    let sides = ticks.first().map_or(0, |tick| tick.sides.len());
    #[expect(clippy::cast_precision_loss, reason = "a few bands")]
    let bands = (sides + usize::from(alarmed(ticks))) as f64;
    BAND * bands.max(1.0)
}

/// Draws the strip.
pub(super) fn draw(sheet: &mut Sheet, frame: Frame, axis: &Axis, given: (&[Tick], &Judged)) {
    let (ticks, judged) = given;
    let across = frame.across(axis);
    let sides = ticks.first().map_or(0, |tick| tick.sides.len());
    let mut top = frame.top;
    for side in 0..sides {
        let word = |tick: &Tick| tick.sides.get(side).map_or("", |it| it.state).to_owned();
        let name = if sides > 1 { judged.sides.get(side).map_or("", String::as_str) } else { "" };
        sheet.words(name, (frame.left - 7.0, top + 16.0), label());
        band(sheet, top, &stretches(ticks, axis, &across, word));
        top += BAND;
    }
    if alarmed(ticks) {
        let word = |tick: &Tick| match tick.alarm {
            0 => String::new(),
            number => format!("alarm {number}"),
        };
        sheet.words("alarm", (frame.left - 7.0, top + 16.0), label());
        band(sheet, top, &stretches(ticks, axis, &across, word));
    }
    frame.title(sheet, "State", &[]);
    legend(sheet, frame, ticks);
    frame.edge(sheet);
}

/// Names at the left of the bands.
const fn label() -> Ink {
    Ink::plain(12.0).anchor("end").colour(SOFT)
}

fn alarmed(ticks: &[Tick]) -> bool {
    ticks.iter().any(|tick| tick.alarm != 0)
}

/// The states that occur, at the right above the strip.
fn legend(sheet: &mut Sheet, frame: Frame, ticks: &[Tick]) {
    let occurs = |word: &str| ticks.iter().any(|t| t.sides.iter().any(|side| side.state == word));
    let mut right = frame.left + frame.width;
    for word in STATES.into_iter().rev().filter(|word| occurs(word)) {
        let from = right - width_of(word, 12.5);
        sheet.words(word, (from, frame.top - 8.0), Ink::plain(12.5));
        sheet.fill((from - 22.0, frame.top - 18.0), (15.0, 11.0), state(word).0);
        let edge = format!("M{:.1} {:.1}h15v11h-15z", from - 22.0, frame.top - 18.0);
        sheet.line(edge, Stroke { colour: SOFT, width: 0.6 });
        right = from - 40.0;
    }
}

/// Runs of equal words, px; what is narrower than a grain gives way to what matters more.
fn stretches(
    ticks: &[Tick],
    axis: &Axis,
    across: &Scale,
    word: impl Fn(&Tick) -> String,
) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    for pair in ticks.windows(2).filter(|pair| pair[0].piece == pair[1].piece) {
        let from = across.at(axis.at(pair[0].piece, pair[0].t_s));
        let to = across.at(axis.at(pair[1].piece, pair[1].t_s));
        let word = word(&pair[0]);
        match found.last_mut() {
            Some(last) if last.word == word => last.to = to,
            Some(last) if last.to - last.from < GRAIN => {
                last.to = to;
                if weight(&word) >= weight(&last.word) {
                    last.word = word;
                }
            }
            Some(_) | None => found.push(Stretch { from, to, word }),
        }
    }
    found
}

/// A band of coloured stretches with words where there is room.
fn band(sheet: &mut Sheet, top: f64, stretches: &[Stretch]) {
    for Stretch { from, to, word } in stretches.iter().filter(|it| !it.word.is_empty()) {
        let (fill, ink) = if word.starts_with("alarm") { state("lost") } else { state(word) };
        sheet.fill((*from, top), ((to - from).max(GRAIN), BAND), fill);
        if *to - *from > width_of(word, 12.0) + 8.0 {
            let ink = Ink::plain(12.0).anchor("middle").colour(ink);
            sheet.words(word, (f64::midpoint(*from, *to), top + 16.0), ink);
        }
        if *to - *from > 3.0 {
            let seam = format!("M{from:.1} {top:.1}v{BAND}");
            sheet.line(seam, Stroke { colour: INK, width: 0.5 });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::sample::record;
    use super::super::axis;
    use super::*;

    #[test]
    fn a_lost_source_of_one_tick_in_an_hour_is_still_seen() {
        let mut ticks = record(1, 3600).trace.ticks;
        ticks[180_000].sides[0].state = "lost";
        let axis = axis::time(&ticks);
        let across = Scale { numbers: axis.range, pixels: (0.0, 1000.0) };
        let stretches = stretches(&ticks, &axis, &across, |tick| tick.sides[0].state.to_owned());
        let words: Vec<&str> = stretches.iter().map(|it| it.word.as_str()).collect();
        assert_eq!(words, ["ready", "sowing", "lost", "sowing", "lifted"]);
    }
}
