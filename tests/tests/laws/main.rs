//! Laws of the controller under any input sequence: proptest.

mod any_input;
mod clock;
mod operator;
mod rig;
mod scale;
