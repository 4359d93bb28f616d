//! What the board gave against what the bench's own controller gave, bit for bit.

use controller::quantity::Instant;
use controller::{Outputs, SideOutputs};
use serde::Serialize;

/// A field in which the board differs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Difference {
    /// The scenario.
    pub scenario: String,
    /// Run of the scenario, from 0: one for each piece of the profile and each noise seed.
    pub run: usize,
    /// Tick of the run, from 0.
    pub tick: u64,
    /// The controller's clock, µs.
    pub now_us: u32,
    /// What differs: `side 1 command`.
    pub field: String,
    /// What the board gave; raw words where it is a number.
    pub board: String,
    /// What the bench's own controller gave.
    pub bench: String,
}

/// What came of the comparison.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Compared {
    /// Runs, each with a controller made afresh.
    pub runs: usize,
    /// Ticks whose outputs differ.
    pub differing_ticks: u64,
    /// Acts that one took and the other refused.
    pub differing_acts: u64,
    /// Runs whose counts differ.
    pub differing_counts: u64,
    /// The first difference.
    pub first: Option<Difference>,
}

impl Compared {
    /// Both together; of both the first difference.
    #[must_use]
    pub fn plus(self, later: Self) -> Self {
        Self {
            runs: self.runs + later.runs,
            differing_ticks: self.differing_ticks + later.differing_ticks,
            differing_acts: self.differing_acts + later.differing_acts,
            differing_counts: self.differing_counts + later.differing_counts,
            first: self.first.or(later.first),
        }
    }

    /// Everything was the same.
    pub const fn is_equal(&self) -> bool {
        self.differing_ticks == 0 && self.differing_acts == 0 && self.differing_counts == 0
    }
}

/// A field in which two outputs differ: its name, then both values.
pub(super) type Field = [String; 3];

/// The first field in which the board's outputs differ from the bench's.
pub(super) fn first(board: &Outputs, bench: &Outputs) -> Option<Field> {
    let sides = board.sides.iter().zip(&bench.sides).enumerate();
    let mut sides = sides.filter_map(|(index, (one, other))| side(index + 1, one, other));
    sides.next().or_else(|| rest(board, bench))
}

fn side(number: usize, board: &SideOutputs, bench: &SideOutputs) -> Option<Field> {
    let words = |it: &SideOutputs| {
        [
            ("command", it.command.to_bits().to_string()),
            ("turn", format!("{:?}", it.turn)),
            ("state", format!("{:?}", it.state)),
            ("wanted", it.wanted.to_bits().to_string()),
            ("measured", it.measured.to_bits().to_string()),
        ]
    };
    let [name, one, other] = differing(words(board), words(bench))?;
    Some([format!("side {number} {name}"), one, other])
}

fn rest(board: &Outputs, bench: &Outputs) -> Option<Field> {
    let words = |it: &Outputs| {
        [
            ("supply", it.supply.to_string()),
            ("alarm", it.alarm.map_or(0, controller::watch::Item::number).to_string()),
            ("speed", it.speed.to_bits().to_string()),
            ("ground", format!("{:?}", it.ground)),
            ("followed", format!("{:?}", it.followed)),
        ]
    };
    differing(words(board), words(bench))
}

fn differing<const N: usize>(
    board: [(&str, String); N],
    bench: [(&str, String); N],
) -> Option<Field> {
    let mut pairs = board.into_iter().zip(bench);
    let ((name, one), (_, other)) = pairs.find(|((_, one), (_, other))| one != other)?;
    Some([name.to_owned(), one, other])
}

/// Where a difference is.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) scenario: String,
    pub(super) run: usize,
    pub(super) tick: u64,
    pub(super) now: Instant,
}

impl Place {
    pub(super) fn difference(self, [field, board, bench]: Field) -> Difference {
        let Self { scenario, run, tick, now } = self;
        Difference { scenario, run, tick, now_us: now.micros(), field, board, bench }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use controller::quantity::{Command, MetresPerSecond};

    #[test]
    fn equal_outputs_have_no_difference() {
        assert_eq!(first(&Outputs::default(), &Outputs::default()), None);
    }

    #[test]
    fn one_bit_of_a_command_is_named() {
        let mut board = Outputs::default();
        board.sides[1].command = Command::from_bits(1);
        let have = first(&board, &Outputs::default());
        assert_eq!(have, Some(["side 2 command", "1", "0"].map(ToOwned::to_owned)));
    }

    #[test]
    fn what_is_no_sides_is_named_as_well() {
        let board = Outputs { speed: MetresPerSecond::from_bits(-1), ..Outputs::default() };
        let have = first(&board, &Outputs::default());
        assert_eq!(have, Some(["speed", "-1", "0"].map(ToOwned::to_owned)));
    }
}
