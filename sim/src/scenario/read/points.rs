//! Lists of points `[[x, y], ...]` that must rise.

use super::entry::Entry;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use std::ops::RangeInclusive;

/// A point and where it stands.
pub(super) struct Point<'a> {
    /// First number, in the bench's own unit.
    pub(super) x: f64,
    /// Second number.
    pub(super) y: f64,
    entry: Entry<'a>,
}

impl Point<'_> {
    /// Both numbers.
    pub(super) const fn pair(&self) -> (f64, f64) {
        (self.x, self.y)
    }

    /// A complaint about this point.
    pub(super) fn refuse(&self, what: &str, remedy: &str) -> InputError {
        let what = format!("{} {what}", self.entry.shown());
        self.entry.complain(Trouble::OutOfRange, what, remedy.to_owned())
    }
}

/// Reads the points of `entry`; `wanted` are the kinds of x and y.
pub(super) fn points<'a>(
    entry: &Entry<'a>,
    wanted: [Wanted; 2],
    count: RangeInclusive<usize>,
) -> Result<Vec<Point<'a>>, InputError> {
    let point = |entry: Entry<'a>| {
        let pair = entry.list(2..=2)?;
        let [x, y] = [pair[0].quantity(wanted[0])?, pair[1].quantity(wanted[1])?];
        Ok(Point { x, y, entry })
    };
    entry.list(count)?.into_iter().map(point).collect()
}

/// Refuses the first point at which `value` does not rise; `name` is what should.
pub(super) fn rising(
    points: &[Point<'_>],
    name: &str,
    value: impl Fn(&Point<'_>) -> f64,
) -> Result<(), InputError> {
    let fall = points.windows(2).find(|pair| value(&pair[1]) <= value(&pair[0]));
    fall.map_or(Ok(()), |pair| {
        let what = format!("does not raise the {name} over the point before");
        Err(pair[1].refuse(&what, &format!("write the points in order, {name} strictly rising")))
    })
}
