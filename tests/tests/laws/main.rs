//! Laws of the controller under any input sequence: proptest.

mod any_input;
mod clock;
mod operator;
mod products;
mod rig;
mod scale;
