//! What the controller remembers between ticks, and the tick itself.

mod around;
mod bare;
mod hand;
mod tick;

pub(crate) use tick::{State, worse};
