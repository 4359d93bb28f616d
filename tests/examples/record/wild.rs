//! Inputs that no machine gives: words of a healthy run, some of them replaced by chance.
//!
//! They drive the arithmetic to its ends, where targets would differ first.

use crate::faults::healthy;
use crate::trace::Trace;
use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng as _;
use replay::inputs;
use sim::bench::Heard;
use sim::fault::setup::Setup;

/// Ticks.
const TICKS: u32 = 4_000;
/// Ticks from one power-up to the next.
const RUN: usize = 500;

pub(crate) fn record(trace: &mut Trace) -> Result<(), String> {
    let mut chance = Pcg32::new(6, 60_000);
    for (tick, heard) in healthy(TICKS)?.iter().enumerate() {
        if tick % RUN == 0 {
            trace.begin(&Setup::All.settings())?;
        }
        let Heard::Tick(given) = heard else { continue };
        let mut words = trace.last();
        inputs::write(given, &mut words);
        // Every run begins well, so that it sows by then.
        if tick % RUN > RUN / 4 && chance.next_u32().is_multiple_of(8) {
            let place = chance.next_u32() as usize % inputs::WORDS;
            words[place] = chance.next_u32() >> (chance.next_u32() % 32);
        }
        trace.words(words);
    }
    Ok(())
}
