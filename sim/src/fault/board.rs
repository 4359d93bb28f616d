//! The board on the fault bench: the controller, or a wrong build of it.

use super::setup::Setup;
use controller::tally::Account;
use controller::watch::Item;
use controller::{Act, Controller, Inputs, Outputs, Settings, SettingsError};
use std::sync::Arc;

/// What runs on the board. A clone goes on from the same instant by itself.
pub trait Board: Clone + Send + Sync {
    /// One tick.
    fn tick(&mut self, inputs: &Inputs) -> Outputs;

    /// What it has counted.
    fn account(&self) -> Account;

    /// It lost its supply and starts anew.
    fn power_up(&mut self);
}

/// The controller as it is flashed.
#[derive(Clone, Debug)]
pub struct Flashed {
    settings: Arc<Settings>,
    controller: Controller,
    alarm: Option<Item>,
    /// The operator of this set-up goes on by the map.
    goes_by_map: bool,
}

impl Flashed {
    /// With the settings of a set-up.
    ///
    /// # Errors
    ///
    /// That of the settings.
    pub fn new(setup: Setup) -> Result<Self, SettingsError> {
        let settings = Arc::new(Settings::new(&setup.settings())?);
        let controller = Controller::new(Settings::clone(&settings));
        Ok(Self { settings, controller, alarm: None, goes_by_map: setup.is_full() })
    }
}

/// The first side, whose encoder is the one that fails.
const FIRST: usize = 0;

impl Board for Flashed {
    /// An operator who sees two channels of every shaft lets a side whose encoder is lost go on by its map, once the
    /// master is off.
    fn tick(&mut self, inputs: &Inputs) -> Outputs {
        let silent = self.alarm == Some(Item::ShaftSilent);
        if silent && !inputs.master && self.goes_by_map {
            // Refused where the encoder is well: then there is nothing to go on by.
            let _refused = self.controller.act(Act::ByMap(FIRST), inputs.now);
        }
        let outputs = self.controller.tick(inputs);
        self.alarm = outputs.alarm;
        outputs
    }

    fn account(&self) -> Account {
        self.controller.account()
    }

    fn power_up(&mut self) {
        self.controller = Controller::new(Settings::clone(&self.settings));
        self.alarm = None;
    }
}
