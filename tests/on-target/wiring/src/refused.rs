//! What the board of two sides cannot be wired to: such a scenario is refused by name, and not played in part.

use sim::scenario::{Act, Scenario, Source};

/// Valves of the board.
pub(crate) const SIDES: usize = 2;

/// Why a scenario cannot be wired to the board.
pub(crate) fn refused(scenario: &Scenario) -> Option<&'static str> {
    let acts = || scenario.events.iter().map(|event| &event.act);
    let reasons = [
        (scenario.profile.pieces.len() != 1, "it has not one piece"),
        (scenario.drill.sides.len() > SIDES, "the board has two valves"),
        (scenario.sources().any(|source| matches!(source, Source::Bus(_))), "the board has no bus"),
        (
            acts().any(|act| matches!(act, Act::Rate { .. } | Act::Outlets(..))),
            "the board has no buttons for rate and outlets",
        ),
        (scenario.fitted.by_hand_mps.is_some(), "the board has no button for a speed by hand"),
        (scenario.fitted.lines.input.is_some(), "the board has no line input"),
        (scenario.fitted.direction_known, "the board has no direction input"),
    ];
    reasons.into_iter().find_map(|(is, why)| is.then_some(why))
}
