//! Plays a trace to the core and to the law in f32, and says how far apart they are.

#![no_std]
#![no_main]

use float::beside::Beside;

#[cortex_m_rt::entry]
fn main() -> ! {
    let mut beside = Beside::default();
    let played = replay::replay(arm::trace(), &mut beside);
    arm::end(played.map(|_| beside))
}
