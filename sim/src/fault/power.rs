//! Brown-outs: the board is off for a moment and starts anew, its capture counters at zero.

use controller::Inputs;

/// The board is off for so many ticks.
const OFF_TICKS: u32 = 20;

/// A latched fault browns out again after so many ticks.
const EVERY_TICKS: u32 = 200;

/// A supply of the board with a fault.
#[derive(Clone, Copy, Debug, Default)]
pub struct PowerFault {
    since: Option<u32>,
    base: Option<[u32; 3]>,
}

/// The board in a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Power {
    /// It runs.
    On,
    /// It has no supply: outputs are at rest.
    Off,
    /// It has just come back.
    Back,
}

impl PowerFault {
    /// What becomes of the board in a tick.
    pub fn power(&mut self, tick: u32, active: bool) -> Power {
        if active && self.since.is_none_or(|since| tick - since >= EVERY_TICKS) {
            self.since = Some(tick);
        }
        match self.since.map(|since| tick - since) {
            Some(off) if off < OFF_TICKS => Power::Off,
            Some(OFF_TICKS) => Power::Back,
            Some(_) | None => Power::On,
        }
    }

    /// Capture counters began at zero when the board came back.
    pub fn pass(&mut self, inputs: &mut Inputs, power: Power) {
        let counts = [inputs.ground.count, shaft(inputs, 0), shaft(inputs, 1)];
        if power == Power::Back {
            self.base = Some(counts);
        }
        if let Some(base) = self.base {
            inputs.ground.count = counts[0].wrapping_sub(base[0]);
            for (side, (count, base)) in
                inputs.sides.iter_mut().zip(counts.into_iter().zip(base).skip(1))
            {
                side.shaft.count = count.wrapping_sub(base);
            }
        }
    }
}

fn shaft(inputs: &Inputs, side: usize) -> u32 {
    inputs.sides.get(side).map_or(0, |side| side.shaft.count)
}
