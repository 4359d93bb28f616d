//! Messages: what the host asks and what the board answers.

use controller::quantity::{Instant, MetresPerSecond, MilligramsPerSquareMetre};
use controller::seed::Product;
use controller::{Act, Inputs, Outputs};
use core::fmt;

/// An act of the operator that the bench plays, at an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operator {
    /// A new rate of a product, mg/m² in 16 binary places.
    Rate(Product, u32),
    /// Outlets of a side: so many open; those shut lie at an edge.
    Outlets(u8, u16, bool),
    /// A speed by hand, m/s in 20 binary places.
    SpeedByHand(i32),
}

impl Operator {
    /// The act as it is sent; none if the bench never plays it.
    #[must_use]
    pub fn of(act: &Act) -> Option<Self> {
        match *act {
            Act::Rate { product, rate } => Some(Self::Rate(product, rate.to_bits())),
            Act::Outlets { side, open, narrows } => {
                Some(Self::Outlets(u8::try_from(side).ok()?, open, narrows))
            }
            Act::SpeedByHand(Some(speed)) => Some(Self::SpeedByHand(speed.to_bits())),
            Act::SpeedByHand(None)
            | Act::ArmRun(_)
            | Act::ByMap(_)
            | Act::ForgetCorrections
            | Act::Filled { .. } => None,
        }
    }

    /// The act as the controller takes it.
    #[must_use]
    pub fn act(self) -> Act {
        match self {
            Self::Rate(product, bits) => {
                Act::Rate { product, rate: MilligramsPerSquareMetre::from_bits(bits) }
            }
            Self::Outlets(side, open, narrows) => {
                Act::Outlets { side: usize::from(side), open, narrows }
            }
            Self::SpeedByHand(bits) => Act::SpeedByHand(Some(MetresPerSecond::from_bits(bits))),
        }
    }
}

/// What the host asks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// Who is there?
    Hello,
    /// Begin with a controller made afresh, if your settings have this fingerprint.
    Start(u32),
    /// The operator does this.
    Act(Operator, Instant),
    /// A tick.
    Tick(Inputs),
    /// The run is over.
    End,
}

/// Who is there.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Hello {
    /// Version of settings images that it takes.
    pub image: u16,
    /// Fingerprint of its settings, if they are in force.
    pub fingerprint: Option<u32>,
    /// Name and version of its program, ASCII, zeros behind.
    pub build: [u8; 16],
}

/// What a controller counted in a run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Ticks since the start.
    pub ticks: u32,
    /// Area in mm² and mass in µg: in all, and of each product.
    pub accounts: [[u64; 2]; 3],
}

/// Why a question is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// It has another version; `detail` is the answerer's.
    Version,
    /// Its kind or its body has no meaning in this version.
    Unknown,
    /// No settings are in force.
    NoSettings,
    /// The settings are others; `detail` is their fingerprint.
    OtherSettings,
    /// No run was started, or it has ended, or the board has started anew.
    NotStarted,
    /// It is neither the last question again nor the next; `detail` is the number of the next.
    OutOfOrder,
}

/// A refusal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Why.
    pub reason: Reason,
    /// What belongs to it, else zero.
    pub detail: u32,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.reason {
            Reason::Version => write!(f, "it speaks version {}", self.detail),
            Reason::Unknown => write!(f, "it does not know the question"),
            Reason::NoSettings => write!(f, "it has no settings in force"),
            Reason::OtherSettings => write!(f, "it has other settings"),
            Reason::NotStarted => write!(f, "no run was started"),
            Reason::OutOfOrder => write!(f, "it awaits question {}", self.detail),
        }
    }
}

/// What the board answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// To a hello.
    Hello(Hello),
    /// To a start: the fingerprint of the settings that are in force.
    Start(u32),
    /// To an act: whether the controller took it.
    Act(bool),
    /// To a tick.
    Tick(Outputs),
    /// To an end.
    End(Totals),
    /// The question is refused, and nothing was done.
    Refused(Refused),
}
