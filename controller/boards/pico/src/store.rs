//! Settings and controller, laid where they stay.

use crate::image::{self, Refused};
use crate::told::stays;
use controller::{Controller, SettingsConfig};

/// The settings as the image has them, and the image's fingerprint.
///
/// # Errors
///
/// [`Refused`] says why nothing may run.
#[inline(never)]
pub(crate) fn config() -> Result<(&'static mut SettingsConfig, u32), Refused> {
    let (config, fingerprint) = image::read()?;
    Ok((stays!(SettingsConfig, config), fingerprint))
}

/// A controller for these settings, stopped.
///
/// # Errors
///
/// [`Refused`] says why nothing may run.
#[inline(never)]
pub(crate) fn controller(config: &mut SettingsConfig) -> Result<&'static mut Controller, Refused> {
    Ok(stays!(Controller, Controller::new(image::checked(config)?)))
}

/// A controller without settings: it runs nothing and says so.
#[inline(never)]
pub(crate) fn unconfigured() -> &'static mut Controller {
    stays!(Controller, Controller::unconfigured())
}
