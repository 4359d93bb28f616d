//! The fields of a tick's outputs: one list writes, reads and describes, so that the three cannot differ.

use crate::cursor::{Misfit, Visit};
use crate::words::{Done, byte, choice, flag, half, signed, speed};
use controller::drive::ValveTurn;
use controller::quantity::{Command, TurnsPerSecond};
use controller::section::SideState;
use controller::sense::{Followed, GroundStatus};
use controller::watch::Item;
use controller::{Outputs, SideOutputs};

const TURNS: [ValveTurn; 3] = [ValveTurn::Hold, ValveTurn::Open, ValveTurn::Close];

const STATES: [SideState; 9] = [
    SideState::Stopped,
    SideState::Off,
    SideState::Lifted,
    SideState::Outside,
    SideState::Slow,
    SideState::Lost,
    SideState::Sowing,
    SideState::ByHand,
    SideState::Run,
];

fn shaft<V: Visit>(visit: &mut V, name: &'static str, value: &mut TurnsPerSecond) -> Done {
    let mut raw = value.to_bits();
    signed(visit, name, &mut raw)?;
    *value = TurnsPerSecond::from_bits(raw);
    Ok(())
}

fn side_outputs<V: Visit>(visit: &mut V, value: &mut SideOutputs) -> Done {
    let mut command = value.command.to_bits();
    half(visit, "side.command", &mut command)?;
    value.command = Command::from_bits(command);
    choice(visit, "side.turn", &mut value.turn, &TURNS)?;
    choice(visit, "side.state", &mut value.state, &STATES)?;
    shaft(visit, "side.wanted", &mut value.wanted)?;
    shaft(visit, "side.measured", &mut value.measured)
}

/// The items of the watch, by their numbers.
const ITEMS: [Option<Item>; 28] = [
    None,
    Some(Item::SpeedLost),
    Some(Item::SpeedImplausible),
    Some(Item::ShaftSilent),
    Some(Item::ShaftTurnsAtRest),
    Some(Item::ShaftDoesNotFollow),
    Some(Item::TargetAbove),
    Some(Item::TargetBelow),
    Some(Item::InputsStale),
    Some(Item::SettingsInvalid),
    Some(Item::TickLate),
    Some(Item::SpeedByHand),
    Some(Item::SourceMissing),
    Some(Item::SourcesDisagree),
    Some(Item::Gap),
    Some(Item::HopperEmpty),
    Some(Item::NoSeedInTubes),
    Some(Item::LiftUnknown),
    Some(Item::StopPressed),
    Some(Item::RoadSpeed),
    Some(Item::RaisedLong),
    Some(Item::ShaftBackwards),
    Some(Item::OpenedTooFar),
    Some(Item::CorrectionAtLimit),
    Some(Item::RateOff),
    Some(Item::ByMap),
    Some(Item::BoxLow),
    Some(Item::BoxWillNotLast),
];

const STATUSES: [GroundStatus; 3] =
    [GroundStatus::Standing, GroundStatus::Moving, GroundStatus::Lost];

/// 0 nothing, 1 by hand, from 2 on the sources in their order.
fn followed<V: Visit>(visit: &mut V, value: &mut Followed) -> Done {
    let mut raw = match *value {
        Followed::Nothing => 0,
        Followed::Hand => 1,
        Followed::Source(place) => place.checked_add(2).ok_or(Misfit)?,
    };
    byte(visit, "followed", &mut raw)?;
    *value = match raw {
        0 => Followed::Nothing,
        1 => Followed::Hand,
        other => Followed::Source(other.saturating_sub(2)),
    };
    Ok(())
}

/// What the board would drive and show.
pub(crate) fn outputs<V: Visit>(visit: &mut V, value: &mut Outputs) -> Done {
    value.sides.iter_mut().try_for_each(|side| side_outputs(visit, side))?;
    flag(visit, "supply", &mut value.supply)?;
    choice(visit, "alarm", &mut value.alarm, &ITEMS)?;
    speed(visit, "speed", &mut value.speed)?;
    choice(visit, "ground", &mut value.ground, &STATUSES)?;
    followed(visit, &mut value.followed)
}

#[cfg(test)]
mod tests {
    use super::ITEMS;

    #[test]
    fn an_item_stands_at_its_number() {
        for (place, item) in ITEMS.into_iter().enumerate() {
            let number = item.map_or(0, |item| usize::from(item.number()));
            assert_eq!(number, place, "{item:?}");
        }
    }
}
