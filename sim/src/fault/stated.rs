//! What is stated of a fault: by which items of the watch it is told, how soon, and what it may cost unseen.
//!
//! ```text
//!  exposed: the fault is there and shows (the valve is driven, the drill moves, …), by the bench's own truth
//!  due:     exposed without a break for longer than the stated time
//! ```
//!
//! What is not told before it is due is missed. What is never due (a blip that is over, a wire that breaks while
//! nothing moves) may lay no more seed wrongly than is stated, or the fault must name the pair of runs that shows why
//! nobody could tell.

use super::pair::Pair;
use super::rig::Look;
use super::setup::TURNS_PER_M;
use controller::quantity::Command;
use controller::watch::Item;

/// When a fault shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shows {
    /// Always.
    Always,
    /// While the first side's valve is driven.
    Driven,
    /// While the first side's shaft turns although its valve is at rest.
    TurnsAtRest,
    /// While the first side's shaft turns under a driven valve.
    Turns,
    /// While the drill moves faster than this, m/s ...
    Moving(f64),
    /// ... and did when the fault began.
    MovingFromStart(f64),
    /// While the first side's shaft turns at less than four fifths of what the ground asks for.
    FallsShort,
    /// While the first side's valve is at rest and its shaft stands.
    AtRest,
    /// Never by itself.
    Never,
}

impl Shows {
    /// Whether the fault shows in a tick.
    #[must_use]
    pub fn exposed(self, look: &Look, speed_at_start: f64) -> bool {
        let driven = look.outputs.sides[0].command > Command::ZERO;
        let turns = look.shafts[0] > TURNS;
        look.active
            && match self {
                Self::Always => true,
                Self::Driven => driven,
                Self::TurnsAtRest => !driven && turns,
                Self::Turns => driven && turns,
                Self::Moving(from) => look.speed_mps > from,
                Self::MovingFromStart(from) => look.speed_mps > from && speed_at_start > from,
                Self::FallsShort => driven && look.shafts[0] < 0.8 * asked_turns_per_s(look),
                Self::AtRest => !driven && !turns,
                Self::Never => false,
            }
    }
}

/// Shaft speed of the first side that its ground speed asks for, turns/s.
#[must_use]
pub fn asked_turns_per_s(look: &Look) -> f64 {
    look.speed_mps * TURNS_PER_M
}

/// A shaft that turns faster than this is seen to turn, turns/s.
const TURNS: f64 = 0.05;

/// What is stated of a fault on a set-up.
#[derive(Clone, Copy, Debug)]
pub struct Statement {
    /// It tells itself: every side is stopped, until a fresh off→on of the master.
    pub stops: bool,
    /// Any of these tells it; none for a fault that is tolerated or cannot be told.
    pub items: &'static [Item],
    /// At the latest after so long, s ...
    pub within_s: f64,
    /// ... and so many edges that the ground asks the shaft for ...
    pub edges: f64,
    /// ... how that comes about ...
    pub formula: &'static str,
    /// ... while it shows.
    pub shows: Shows,
    /// Seed wrongly laid by an injection that is not told, at the most, g.
    pub unseen_g: f64,
    /// The pair of runs that proves that some or all injections cannot be told.
    pub pair: Option<Pair>,
    /// Something could tell it and nothing does: why.
    pub unwatched: Option<&'static str>,
}

impl Statement {
    /// Nothing tells it; it costs little.
    #[must_use]
    pub const fn tolerated(unseen_g: f64) -> Self {
        Self {
            stops: false,
            items: &[],
            within_s: 0.0,
            edges: 0.0,
            formula: "",
            shows: Shows::Never,
            unseen_g,
            pair: None,
            unwatched: None,
        }
    }

    /// Nothing can tell it.
    #[must_use]
    pub const fn undetectable(pair: Pair) -> Self {
        Self { pair: Some(pair), ..Self::tolerated(0.0) }
    }

    /// Told by one of `items`.
    #[must_use]
    pub const fn told(items: &'static [Item], within_s: f64, formula: &'static str) -> Self {
        Self { items, within_s, formula, shows: Shows::Always, ..Self::tolerated(0.0) }
    }

    /// The board is stopped after so long.
    #[must_use]
    pub const fn stopped(within_s: f64, formula: &'static str) -> Self {
        Self { stops: true, ..Self::told(&[], within_s, formula) }
    }

    /// Whether anything is to tell it.
    #[must_use]
    pub const fn is_told(&self) -> bool {
        self.stops || !self.items.is_empty()
    }

    /// ... and after so many edges.
    #[must_use]
    pub const fn and_edges(self, edges: f64) -> Self {
        Self { edges, ..self }
    }

    /// It shows only then.
    #[must_use]
    pub const fn while_it(self, shows: Shows) -> Self {
        Self { shows, ..self }
    }

    /// Unseen it costs so much, g.
    #[must_use]
    pub const fn unseen(self, unseen_g: f64) -> Self {
        Self { unseen_g, ..self }
    }

    /// Something could tell it and nothing does.
    #[must_use]
    pub const fn unwatched(self, why: &'static str) -> Self {
        Self { unwatched: Some(why), ..self }
    }

    /// Where it does not show, this pair proves that nothing can tell it.
    #[must_use]
    pub const fn or_pair(self, pair: Pair) -> Self {
        Self { pair: Some(pair), ..self }
    }
}
