//! The view as one line of text for a second serial port.
//!
//! `state=turn sides=6,1 rate=110.00 laid=108.40 speed=2.000 shaft=0.733,0.730 left=1200.0 area=12.3456 way=30864.2
//! field=3 lot=2 alarm=0 corrected=8.4,-1.2`
//!
//! Keys and their order are stable; new ones come at the end. Units do not follow the display: kg/ha, m/s, turns/s, kg,
//! ha, m, and %. A list has one number a side or a box; `-` is not known. Sides are numbers of [`EventKind::State`].
//!
//! [`EventKind::State`]: super::EventKind::State

use super::drill_state::number_of;
use super::line::Line;
use super::seen::Seen;
use super::units::{Figure, Units, shaft};
use super::view::View;
use heapless::String;

/// Signs of the longest line.
const LONGEST: usize = 400;

/// A status line.
pub type StatusLine = String<LONGEST>;

type Text = Line<LONGEST>;

/// A figure with so many decimals; `-` where there is none.
fn figure(line: &mut Text, figure: Option<Figure>, decimals: u32) {
    match figure.and_then(|figure| figure.rounded(decimals)) {
        Some(number) => line.decimal(number, decimals),
        None => line.text("-"),
    }
}

/// A list of figures.
fn list(line: &mut Text, key: &str, figures: impl Iterator<Item = Option<Figure>>, decimals: u32) {
    line.text(key);
    let mut comma = "";
    for one in figures {
        line.text(comma);
        figure(line, one, decimals);
        comma = ",";
    }
    if comma.is_empty() {
        line.text("-");
    }
}

/// The line, without an end of line.
pub(super) fn status(view: &View<'_>) -> StatusLine {
    let (seen, metric) = (view.seen, Units::Metric);
    let boxes = 0..seen.boxes;
    let mut line = Text::default();
    line.text("state=");
    line.text(seen.state().word());
    let numbers = seen.states.iter().take(seen.sides);
    let numbers = numbers.map(|state| Some(Figure::new(u64::from(number_of(*state)), 1, 1, "")));
    list(&mut line, " sides=", numbers, 0);
    let rates = seen.rates.iter().take(seen.boxes).map(|rate| Some(metric.rate(*rate)));
    list(&mut line, " rate=", rates, 2);
    let laid = boxes.clone().map(|product| {
        let sown = view.of_box(product);
        metric.laid(sown.mass_ug, sown.area_mm2)
    });
    list(&mut line, " laid=", laid, 2);
    // 2^-20 m/s; with a sign, as the drill may reverse.
    let speed = Figure::new(u64::from(seen.speed.to_bits().unsigned_abs()), 1, 1 << 20, "");
    line.text(if seen.speed.to_bits() < 0 { " speed=-" } else { " speed=" });
    figure(&mut line, Some(speed), 3);
    let shafts = seen.shafts.iter().take(seen.sides);
    let shafts = shafts.map(|speed| Some(shaft(*speed).sixtieth()));
    list(&mut line, " shaft=", shafts, 3);
    let left = seen.left_ug.iter().take(seen.boxes);
    list(&mut line, " left=", left.map(|left| left.map(|left| metric.mass(left))), 1);
    let whole = view.of_all();
    list(&mut line, " area=", core::iter::once(Some(metric.area(whole.area_mm2))), 4);
    list(&mut line, " way=", core::iter::once(Some(metric.way(whole.distance_um))), 1);
    line.text(" field=");
    line.number(if view.field.open { u64::from(view.field.number) } else { 0 });
    let lots = boxes.map(|product| {
        let lot = view.chosen.get(product).copied().flatten()?;
        Some(Figure::new(u64::try_from(lot.saturating_add(1)).ok()?, 1, 1, ""))
    });
    list(&mut line, " lot=", lots, 0);
    line.text(" alarm=");
    line.number(view.alarm.map_or(0, |item| u64::from(item.number())));
    corrected(&mut line, seen);
    line.into_text()
}

/// By how much each side's map is corrected, with its sign.
fn corrected(line: &mut Text, seen: &Seen) {
    line.text(" corrected=");
    let mut comma = "";
    for correction in seen.corrections.iter().take(seen.sides) {
        line.text(comma);
        line.text(if *correction < 0 { "-" } else { "" });
        line.decimal(u64::from(correction.unsigned_abs()), 1);
        comma = ",";
    }
    if comma.is_empty() {
        line.text("-");
    }
}
