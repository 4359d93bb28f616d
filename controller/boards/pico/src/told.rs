//! What settings image and journal say at start: controller, panel, start line.

use crate::board::PANEL_CONFIG;
use crate::keep::{Found, Keep};
use crate::store;
use controller::Controller;
use controller::drive::ValveKind;
use controller::journal::Recovered;
use controller::panel::{BOXES, Field, LotBook, Panel};
use controller::settings::image::{VERSION, spell};
use core::fmt::Write as _;
use heapless::String;

/// Lays a value where it stays.
macro_rules! stays {
    ($type:ty, $value:expr) => {{
        let value = $value;
        match cortex_m::singleton!(: $type = value) {
            Some(place) => place,
            None => panic!("started twice"),
        }
    }};
}
pub(crate) use stays;

/// What the settings image and the journal say, and the line that tells it.
pub(crate) struct Told {
    pub(crate) controller: &'static mut Controller,
    pub(crate) kinds: [Option<ValveKind>; 2],
    pub(crate) two_channel: [bool; 2],
    pub(crate) line: String<192>,
}

/// Reads the settings image, and what was counted by it. Fingerprint, or why it is refused, stand in the start line.
#[inline(never)]
pub(crate) fn told(bitten: bool, keep: Option<&mut Keep>, found: &Recovered) -> Told {
    let mut line = String::new();
    let version = env!("CARGO_PKG_VERSION");
    let reset = if bitten { "watchdog" } else { "power" };
    let read = store::config().and_then(|(config, fingerprint)| {
        let controller = store::controller(config)?;
        Ok((controller, config, fingerprint))
    });
    // What does not fit in the line is left out; the longest reason fits.
    match read {
        Ok((controller, config, fingerprint)) => {
            let counts = keep.map_or(Found::Broken, |keep| keep.resume(controller, found, config));
            let side = |index: usize| config.sides.get(index);
            let _fits = write!(
                line,
                "start fingerprint={} version={version} image={VERSION} sides={} reset={reset} counts={}",
                spell(fingerprint),
                config.sides.len(),
                counts.word()
            );
            let kinds = [0, 1].map(|index| side(index).map(|side| side.valve));
            let two_channel = [0, 1].map(|index| side(index).is_some_and(|side| side.two_channel));
            Told { controller, kinds, two_channel, line }
        }
        Err(why) => {
            let _fits = write!(
                line,
                "start fingerprint=- version={version} image={VERSION} sides=0 reset={reset} refused={why}"
            );
            Told {
                controller: store::unconfigured(),
                kinds: [None; 2],
                two_channel: [false; 2],
                line,
            }
        }
    }
}

/// A panel without display and buttons; its numbers are constants and its book is empty. Events go on after the last.
#[inline(never)]
pub(crate) fn panel(event: u32) -> &'static mut Panel {
    let panel = match Panel::new(PANEL_CONFIG, LotBook::default()) {
        Ok(panel) => stays!(Panel, panel),
        Err(_) => unreachable!("the panel's numbers are constants"),
    };
    panel.resume(Field::default(), [None; BOXES], event);
    panel
}
