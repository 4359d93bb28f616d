//! Statics as large as the types of the core: the symbol table tells their sizes.

#![no_std]
#![no_main]

use controller::{Controller, Inputs, Outputs, Settings, SettingsConfig};
use probe as _;

macro_rules! sizes {
    ($($name:ident: $type:ty,)*) => {
        $(
            #[unsafe(no_mangle)]
            static $name: [u8; size_of::<$type>()] = [1; size_of::<$type>()];
        )*

        /// What the linker starts from: refers to every static.
        #[unsafe(no_mangle)]
        pub extern "C" fn _start(which: u32) -> *const u8 {
            let all: [*const u8; _] = [$($name.as_ptr()),*];
            // Read through a pointer that the compiler cannot see through, so that none is left out.
            core::hint::black_box(all).get(which as usize).copied().unwrap_or(core::ptr::null())
        }
    };
}

sizes! {
    SIZE_OF_CONTROLLER: Controller,
    SIZE_OF_SETTINGS: Option<Settings>,
    SIZE_OF_SETTINGS_CONFIG: SettingsConfig,
    SIZE_OF_SIDE: [u8; Controller::STATE_OF_A_SIDE],
    SIZE_OF_INPUTS: Inputs,
    SIZE_OF_OUTPUTS: Outputs,
}
