//! Ground of two products: counted once for each, and once in all.
//!
//! ```text
//!  second   │  side 3   │           side 3 lies on the very ground of side 1: the two are twins
//!  first    │  side 1   │  side 2   │
//!           left                  right
//! ```
//!
//! Whether twins sow at the same time is seen in the tick, whichever of them is on where. Of ground that is shared in
//! part nobody could tell that, so it is refused.

use super::checked::SideSettings;
use super::error::within;
use super::{Rule, SettingsError, SideConfig};
use crate::quantity::Micrometres;

/// The twin of a side among those before it.
pub(super) fn twin(
    before: &[SideSettings],
    side: &SideConfig,
    number: u8,
) -> Result<Option<u8>, SettingsError> {
    let mut twin = None;
    for (other, its) in (0_u8..4).zip(before).filter(|(_, its)| its.product != side.product) {
        if apart((side.offset, side.width), (its.offset, its.width)) {
            continue;
        }
        let same = (side.offset, side.width) == (its.offset, its.width);
        // One side has one twin: of three on one ground nobody could tell which two sowed it.
        let taken = twin.is_some() || before.iter().any(|third| third.twin == Some(other));
        let wrong = !same || taken || its.twin.is_some();
        let shared = if wrong { i64::from(other).saturating_add(1) } else { 0 };
        within(Rule::SharedGround, Some(number), shared, 0, 0)?;
        twin = Some(other);
    }
    Ok(twin)
}

/// Whether two strips, each by its middle and its width, have no ground in common; rounding to micrometres aside.
fn apart(one: (Micrometres, Micrometres), other: (Micrometres, Micrometres)) -> bool {
    let middle = |(offset, _): (Micrometres, Micrometres)| i64::from(offset.get());
    let width = |(_, width): (Micrometres, Micrometres)| i64::from(width.get());
    let between = middle(one).saturating_sub(middle(other)).saturating_abs();
    between.saturating_mul(2).saturating_add(4) >= width(one).saturating_add(width(other))
}
