//! Plays a trace on a Cortex-M4 under QEMU and on an emulated Cortex-M0+, and says the sum over semihosting.

#![no_std]
#![no_main]

use arm::count::{Count, Counted};
use controller::{Controller, Inputs, Outputs};

#[cortex_m_rt::entry]
fn main() -> ! {
    let mut count = Count::start();
    let mut player = |controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs| {
        count.over(|| replay::tick_of_core(controller, inputs, outputs));
    };
    let all = replay::replay(arm::trace(), &mut player);
    arm::end(all.map(|report| Counted { report, count }))
}
