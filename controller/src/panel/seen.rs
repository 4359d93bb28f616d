//! What the panel reads of the drill: the one place where it looks into the controller.

use super::boxes::BOXES;
use super::drill_state::DrillState;
use crate::MAX_SIDES;
use crate::controller::Controller;
use crate::drive::Corrected;
use crate::inputs::Inputs;
use crate::outputs::Outputs;
use crate::quantity::{MetresPerSecond, MilligramsPerSquareMetre, Position, TurnsPerSecond};
use crate::section::SideState;
use crate::seed::Product;
use crate::tally::Account;
use crate::watch::Item;

/// The drill as the panel sees it at one instant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Seen {
    /// Sides in use, 0 where there are no settings.
    pub sides: usize,
    /// Boxes in use.
    pub boxes: usize,
    /// State of each side.
    pub states: [SideState; MAX_SIDES],
    /// Shaft speed of each side.
    pub shafts: [TurnsPerSecond; MAX_SIDES],
    /// By how much the map of each side is corrected, thousandths.
    pub corrections: [i32; MAX_SIDES],
    /// A side whose encoder is lost and that does not run by its map.
    pub lost: Option<usize>,
    /// Ground speed as believed.
    pub speed: MetresPerSecond,
    /// The alarm of this tick.
    pub alarm: Option<Item>,
    /// The rate in force of each box.
    pub rates: [MilligramsPerSquareMetre; BOXES],
    /// Width that each box sows, µm.
    pub widths_um: [u32; BOXES],
    /// What each box sowed since the counts began.
    pub accounts: [Account; BOXES],
    /// All boxes together, ground counted once.
    pub whole: Account,
    /// Seed left in each box, µg; none before a fill was told.
    pub left_ug: [Option<u64>; BOXES],
    /// Way of the drill in work since the counts began, mm.
    pub way_mm: u32,
    /// The implement is in work.
    pub in_work: bool,
    /// Where the antenna is.
    pub position: Option<Position>,
    /// Master switch.
    pub master: bool,
    /// Hold-to-run button.
    pub hold: bool,
    /// Side switches.
    pub switches: [bool; MAX_SIDES],
}

impl Seen {
    /// Reads the drill after a tick.
    pub fn of(controller: &Controller, inputs: &Inputs, outputs: &Outputs) -> Self {
        let mut seen = Self {
            sides: controller.settings().map_or(0, |settings| settings.sides.len()),
            boxes: 1,
            states: outputs.sides.map(|side| side.state),
            shafts: outputs.sides.map(|side| side.measured),
            lost: controller.lost_encoder(),
            speed: outputs.speed,
            alarm: outputs.alarm,
            whole: controller.account(),
            way_mm: controller.gap_counts().1,
            in_work: controller.in_work(),
            position: controller.position(),
            master: inputs.master,
            hold: inputs.hold,
            switches: inputs.sides.map(|side| side.switch),
            ..Self::default()
        };
        for (index, correction) in (0..MAX_SIDES).zip(&mut seen.corrections) {
            *correction = controller.corrected(index).map_or(0, Corrected::per_mille);
        }
        seen.read_boxes(controller);
        seen
    }

    /// What belongs to a box.
    fn read_boxes(&mut self, controller: &Controller) {
        let Some(settings) = controller.settings() else { return };
        let second = settings.sides.iter().any(|side| side.product == Product::Second);
        self.boxes = if second { 2 } else { 1 };
        for product in Product::ALL {
            let own = settings.sides.iter().filter(|side| side.product == product);
            let width = own
                .map(|side| side.width.get().max(0).unsigned_abs())
                .fold(0_u32, u32::saturating_add);
            let counted = controller.hopper_is_counted(product);
            *product.of_mut(&mut self.rates) = product.of(settings.rates);
            *product.of_mut(&mut self.widths_um) = width;
            *product.of_mut(&mut self.accounts) = controller.account_of(product);
            *product.of_mut(&mut self.left_ug) = counted.then(|| controller.hopper_left(product));
        }
    }

    /// The side whose state matters most.
    pub fn leading(&self) -> SideState {
        let sides = self.states.iter().take(self.sides);
        sides.copied().max_by_key(|state| DrillState::of(*state)).unwrap_or_default()
    }

    /// What the drill does.
    pub fn state(&self) -> DrillState {
        DrillState::of(self.leading())
    }
}
