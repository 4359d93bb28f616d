//! One tick of a controller that comes from outside.

#![no_std]
#![no_main]

use controller::{Controller, Inputs, Outputs};

/// What the linker starts from.
#[unsafe(no_mangle)]
pub extern "C" fn _start(
    controller: &mut Controller,
    inputs: &Inputs,
    outputs: &mut Outputs,
    words: &[u32; 2],
) -> u32 {
    controller.tick_into(inputs, outputs);
    probe::control(*words)
}
