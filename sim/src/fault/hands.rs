//! Faults of the operator's buttons.

use controller::Inputs;

/// What is wrong with a button.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HandKind {
    /// The hold button reads pressed.
    HoldStuck,
    /// The hard-wired stop reads pressed; that it cuts the oil by itself is left out.
    StopPressed,
}

impl HandKind {
    /// Changes what is read while the fault is there.
    pub const fn pass(self, inputs: &mut Inputs, active: bool) {
        match self {
            Self::HoldStuck => inputs.hold |= active,
            Self::StopPressed => inputs.stop = Some(active),
        }
    }
}
