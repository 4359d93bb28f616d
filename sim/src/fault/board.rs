//! The board on the fault bench: the controller, or a wrong build of it.

use super::setup::Setup;
use controller::tally::Account;
use controller::{Controller, Inputs, Outputs, Settings, SettingsError};
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
        Ok(Self { settings, controller })
    }
}

impl Board for Flashed {
    fn tick(&mut self, inputs: &Inputs) -> Outputs {
        self.controller.tick(inputs)
    }

    fn account(&self) -> Account {
        self.controller.account()
    }

    fn power_up(&mut self) {
        self.controller = Controller::new(Settings::clone(&self.settings));
    }
}
