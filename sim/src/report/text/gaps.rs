//! Gaps that the controller logged: where ground was left bare, for how long a way, and why.

use crate::report::{Judged, Results};
use crate::unit::{LENGTH, System};
use crate::verdict::LoggedGap;
use std::fmt::Write;

/// Most gaps of a scenario that are listed; the longest are.
const MOST: usize = 5;

/// The list of gaps; nothing when there are none.
pub(super) fn text(results: &Results<'_>) -> Option<String> {
    let mut text = "Gaps the controller logged and told (switched off: logged alone)\n".to_owned();
    let mut any = false;
    for judged in results.judged {
        let mut gaps: Vec<&LoggedGap> = judged.verdict.gaps.iter().collect();
        any |= !gaps.is_empty();
        gaps.sort_by(|a, b| b.length_m.total_cmp(&a.length_m));
        for gap in gaps.iter().take(MOST) {
            text.push_str(&line(judged, gap, results.system));
        }
        if let Some(more) = gaps.len().checked_sub(MOST).filter(|more| *more > 0) {
            let _ = writeln!(text, "  {}: and {more} more, none longer", judged.verdict.scenario);
        }
    }
    any.then_some(text)
}

fn line(judged: &Judged, gap: &LoggedGap, system: System) -> String {
    let side = if judged.sides.len() > 1 { format!("{}, ", gap.side) } else { String::new() };
    let length = LENGTH.show(gap.length_m, system, 3);
    let start = LENGTH.show(gap.start_m, system, 4);
    let scenario = &judged.verdict.scenario;
    let mut text = format!("  {scenario}: {side}{length} from {start} of work on: {}", gap.cause);
    if let (Some(latitude), Some(longitude)) = (gap.latitude_deg, gap.longitude_deg) {
        let _ = write!(text, ", at {latitude:.6}°, {longitude:.6}°");
    }
    text + "\n"
}
