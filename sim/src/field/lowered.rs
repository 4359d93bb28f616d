//! When the implement was down, by the scenario's own inputs.

use crate::profile::Piece;
use crate::scenario::{Act, Scenario};

/// From, to, s: every time the implement was down in a piece. Each piece begins lowered, as on the bench;
/// a recorded track's own flag counts as well.
pub fn lowered(scenario: &Scenario, piece: &Piece) -> Vec<(f64, f64)> {
    let mut changes: Vec<(f64, Side)> = vec![(f64::NEG_INFINITY, Side::Hand(true))];
    changes.extend(scenario.events.iter().filter_map(|event| match event.act {
        Act::Lower(down) => Some((event.at_s, Side::Hand(down))),
        Act::Master(_) | Act::SideSwitch(..) | Act::Rate { .. } | Act::Outlets(..) => None,
    }));
    let flags = piece.samples.iter().map(|it| (it.t_s, Side::Track(it.in_work.unwrap_or(true))));
    changes.extend(flags);
    changes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut hand, mut track) = (true, true);
    let mut since: Option<f64> = None;
    let mut spans = Vec::new();
    for (t, change) in changes {
        match change {
            Side::Hand(down) => hand = down,
            Side::Track(works) => track = works,
        }
        match (since, hand && track) {
            (None, true) => since = Some(t.max(piece.start_s())),
            (Some(from), false) => {
                spans.extend((t > from).then_some((from, t)));
                since = None;
            }
            (None, false) | (Some(_), true) => {}
        }
    }
    spans.extend(since.map(|from| (from, piece.end_s())));
    spans
}

/// Who says so.
#[derive(Clone, Copy)]
enum Side {
    Hand(bool),
    Track(bool),
}
