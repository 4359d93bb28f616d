//! A recorded trace of inputs, played to the controller; a sum over all that it answers.
//!
//! ```text
//!  trace ─► settings image ─► Controller
//!        ─► acts, inputs ────────► tick ─► outputs, gaps, accounts ─► words ─► CRC-32
//! ```
//!
//! Every target runs this library; only who calls it differs. Where two sums are equal, so was every word of every tick.
//! A trace is a string of little-endian 32-bit words:
//!
//! | word | meaning |
//! |---|---|
//! | [`MARK`] | what the file is |
//! | ticks | how many there are |
//! | words | how many come behind this one |
//! | 0 to 2³¹−1 | a tick: bit n is set where word n of the inputs differs from the tick before; the new words follow, the lowest first |
//! | [`BEGIN`] | length in bytes, then a settings image filled up to whole words: a controller at power-up |
//! | [`ACT`] | two words of an act and its instant |
//!
//! The words of inputs, acts and outputs are laid out in [`inputs`], [`acts`] and [`outputs`].

#![no_std]

pub mod inputs;
pub mod acts;
pub mod outputs;
mod reader;

use controller::settings::{SettingsConfig, image};
use controller::{Controller, Inputs, Outputs, Settings};
use core::fmt::{self, Display, Formatter};
use outputs::Sum;
use reader::Reader;

/// First word of a trace: its version is the last sign.
pub const MARK: u32 = u32::from_le_bytes(*b"INP1");
/// Before a settings image.
pub const BEGIN: u32 = 1 << 31;
/// Before an act.
pub const ACT: u32 = BEGIN + 1;
/// Ticks between two looks at the accounts.
const LOOK: u32 = 1_024;

/// What came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Report {
    /// CRC-32 over every word of every tick.
    pub sum: u32,
    /// Ticks played.
    pub ticks: u32,
}

impl Display for Report {
    fn fmt(&self, text: &mut Formatter<'_>) -> fmt::Result {
        write!(text, "sum={:08x} ticks={}", self.sum, self.ticks)
    }
}

/// Why a trace cannot be played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// Its first word is another.
    Mark,
    /// It ends too early, or has another number of ticks than it says.
    Length,
    /// There is no such act, or no controller yet.
    Act,
    /// The settings image is wrong.
    Settings,
}

/// Who plays.
pub trait Player {
    /// A controller was made anew with these settings.
    fn begin(&mut self, config: &SettingsConfig) {
        let _ = config;
    }

    /// A tick: calls [`tick_of_core`], and may measure it.
    fn tick(&mut self, controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs);
}

impl<F: FnMut(&mut Controller, &Inputs, &mut Outputs)> Player for F {
    fn tick(&mut self, controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs) {
        self(controller, inputs, outputs);
    }
}

/// The tick, as the image calls it: a function of its own, so that its cycles can be counted from outside.
#[inline(never)]
pub fn tick_of_core(controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs) {
    controller.tick_into(inputs, outputs);
}

/// Plays a trace.
///
/// # Errors
///
/// [`Wrong`] says what is wrong with the trace.
pub fn replay(trace: &[u8], player: &mut impl Player) -> Result<Report, Wrong> {
    let mut reader = Reader::new(trace)?;
    let mut sum = Sum::new();
    let mut controller = None;
    let (mut words, mut outputs, mut ticks) = ([0; inputs::WORDS], Outputs::default(), 0_u32);
    while let Some(word) = reader.next() {
        match word {
            BEGIN => {
                if let Some(controller) = &controller {
                    sum.accounts(controller);
                }
                words = [0; inputs::WORDS];
                controller = Some(begin(reader.image()?, player)?);
            }
            ACT => {
                let act = acts::read([reader.word()?, reader.word()?]).ok_or(Wrong::Act)?;
                let now = inputs::instant(reader.word()?);
                let controller = controller.as_mut().ok_or(Wrong::Act)?;
                sum.word(u32::from(controller.act(act, now).is_ok()));
            }
            changed => {
                reader.change(changed, &mut words)?;
                let controller = controller.as_mut().ok_or(Wrong::Act)?;
                player.tick(controller, &inputs::read(&words), &mut outputs);
                sum.tick(controller, &outputs);
                ticks = ticks.wrapping_add(1);
                if ticks % LOOK == 0 {
                    sum.accounts(controller);
                }
            }
        }
    }
    if let Some(controller) = &controller {
        sum.accounts(controller);
    }
    if ticks == reader.ticks { Ok(Report { sum: sum.end(), ticks }) } else { Err(Wrong::Length) }
}

/// A controller at power-up. A function of its own: reading settings takes more stack than a tick.
#[inline(never)]
fn begin(bytes: &[u8], player: &mut impl Player) -> Result<Controller, Wrong> {
    let config = image::read(bytes).map_err(|_| Wrong::Settings)?;
    player.begin(&config);
    Ok(Controller::new(Settings::new(&config).map_err(|_| Wrong::Settings)?))
}
