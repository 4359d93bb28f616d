//! Rows of a page: what each shows, fitted to the width. A figure is never cut.

use super::drill_state::reason_of;
use super::line::Line;
use super::screen::SIGNS;
use super::units::{Figure, shaft};
use super::view::View;

/// What a row shows. Sides and boxes from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub enum Row {
    /// State, a `!` while there is an alarm, ground speed.
    State,
    /// Rate asked for and rate laid in this field, of a box.
    Rates(usize),
    /// Shaft speed of a side.
    Shaft(usize),
    /// By how much the map of a side is corrected.
    Map(usize),
    /// Seed left in a box.
    Left(usize),
    /// Seed sown in this field from a box.
    Sown(usize),
    /// The lot of a box.
    Lot(usize),
    /// Number of the field.
    Field,
    /// Area of the field.
    Area,
    /// Way sown in the field.
    Way,
}

type Text = Line<SIGNS>;

impl Row {
    /// Whether this drill has it.
    #[must_use]
    pub fn is_there(self, view: &View<'_>) -> bool {
        match self {
            Self::State | Self::Field | Self::Area | Self::Way => true,
            Self::Shaft(side) | Self::Map(side) => side < view.seen.sides,
            Self::Rates(product) | Self::Left(product) | Self::Sown(product) => {
                product < view.seen.boxes
            }
            Self::Lot(product) => product < view.seen.boxes && !view.lots.is_empty(),
        }
    }

    /// Its text, filled up to the width of the display.
    pub(super) fn line(self, view: &View<'_>) -> Text {
        match self {
            Self::State => state(view),
            Self::Rates(product) => rates(view, product),
            Self::Shaft(side) => {
                let speed = view.seen.shafts.get(side).copied().unwrap_or_default();
                let figure = shaft(speed);
                spread(view, &numbered("Shaft ", side), &with_unit(figure, 2, 4))
            }
            Self::Map(side) => spread(view, &numbered("Map ", side), &correction(view, side)),
            Self::Left(product) => {
                let label = numbered("Box ", product);
                let left = view.seen.left_ug.get(product).copied().flatten();
                let left = left.map_or_else(|| said("not set"), |left| mass(view, left));
                spread(view, &label, &left)
            }
            Self::Sown(product) => {
                let sown = mass(view, view.of_box(product).mass_ug);
                spread(view, &numbered("Sown ", product), &sown)
            }
            Self::Lot(product) => {
                let one = view.seen.boxes < 2;
                let label = if one { said("Lot") } else { numbered("", product) };
                spread(view, &label, &said(view.lot_name(product)))
            }
            Self::Field => field(view),
            Self::Area => {
                let figure = view.units.area(view.of_all().area_mm2);
                spread(view, &said("Area"), &with_unit(figure, 2, 8))
            }
            Self::Way => {
                let figure = view.units.way(view.of_all().distance_um);
                spread(view, &said("Way"), &with_unit(figure, 0, 9))
            }
        }
    }
}

fn said(text: &str) -> Text {
    let mut line = Text::default();
    line.text(text);
    line
}

/// A label and a number from 1.
fn numbered(label: &str, place: usize) -> Text {
    let mut line = said(label);
    line.number(u64::try_from(place.saturating_add(1)).unwrap_or(u64::MAX));
    line
}

/// A figure within so many signs and its unit.
pub(super) fn with_unit(figure: Figure, decimals: u32, room: usize) -> Text {
    let mut line = Text::default();
    figure.write(&mut line, decimals, room);
    line.text(figure.unit);
    line
}

/// By how much the map of a side is corrected: `+8.4 %`; beyond a thousand per cent it is `>999`.
fn correction(view: &View<'_>, side: usize) -> Text {
    let per_mille = view.seen.corrections.get(side).copied().unwrap_or_default();
    let mut line = said(if per_mille < 0 { "-" } else { "+" });
    Figure::new(u64::from(per_mille.unsigned_abs()), 1, 10, " %").write(&mut line, 1, 4);
    line.text(" %");
    line
}

/// A mass in seven signs.
pub(super) fn mass(view: &View<'_>, mass_ug: u64) -> Text {
    with_unit(view.units.mass(mass_ug), 1, 7)
}

/// A text at the left and one at the right; the right one only where both fit with a blank between.
fn spread(view: &View<'_>, left: &Text, right: &Text) -> Text {
    let width = view.size.width();
    let mut line = left.clone();
    if let Some(start) = width.checked_sub(right.len())
        && start > left.len()
    {
        line.pad(start);
        line.text(right.as_str());
    }
    line.pad(width);
    line
}

fn state(view: &View<'_>) -> Text {
    let mut word = said(reason_of(view.seen.leading()));
    if view.alarm.is_some() {
        word.text("!");
    }
    spread(view, &word, &with_unit(view.units.speed(view.seen.speed), 1, 4))
}

/// `110.0/108.4kg/ha`: 16 signs at most; the wide display has room for the number of the box and a blank.
fn rates(view: &View<'_>, product: usize) -> Text {
    let asked = view.units.rate(view.seen.rates.get(product).copied().unwrap_or_default());
    let sown = view.of_box(product);
    let mut both = Text::default();
    asked.write(&mut both, 2, 5);
    both.text("/");
    match view.units.laid(sown.mass_ug, sown.area_mm2) {
        Some(laid) => laid.write(&mut both, 2, 5),
        None => both.text("--"),
    }
    let wide = view.size.width() > 16;
    both.text(if wide { " " } else { "" });
    both.text(asked.unit);
    let label = if wide && view.seen.boxes > 1 { numbered("", product) } else { Text::default() };
    if both.len() == view.size.width() { both } else { spread(view, &label, &both) }
}

fn field(view: &View<'_>) -> Text {
    let number = view.field.number;
    if number == 0 {
        return spread(view, &said("Field"), &said("none yet"));
    }
    let mut label = said("Field ");
    label.number(u64::from(number));
    spread(view, &label, &said(if view.field.open { "open" } else { "done" }))
}
