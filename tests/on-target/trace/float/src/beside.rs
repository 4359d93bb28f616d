//! The law in f32 beside the core: the same inputs, tick by tick, and how far apart their commands are.

use crate::Law;
use controller::section::SideState;
use controller::settings::SettingsConfig;
use controller::{Controller, Inputs, MAX_SIDES, Outputs};
use core::fmt::{self, Display, Formatter};
use replay::{Player, tick_of_core};

/// Both laws.
#[derive(Default)]
#[expect(missing_debug_implementations, reason = "it is displayed")]
pub struct Beside {
    law: Option<Law>,
    /// Commands of sides that sow, and their differences, 2⁻¹⁶ of full command.
    commands: u32,
    apart: u64,
    worst: u16,
}

/// The tick of the law in f32: a function of its own, so that its cycles can be counted from outside.
#[inline(never)]
pub fn tick_in_float(
    law: &mut Law,
    inputs: &Inputs,
    sows: [bool; MAX_SIDES],
    commands: &mut [u16; MAX_SIDES],
) {
    *commands = law.tick(inputs, sows);
}

impl Player for Beside {
    fn begin(&mut self, config: &SettingsConfig) {
        self.law = Some(Law::new(config));
    }

    fn tick(&mut self, controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs) {
        tick_of_core(controller, inputs, outputs);
        let Some(law) = &mut self.law else { return };
        let sows = outputs.sides.map(|side| side.state == SideState::Sowing);
        let mut commands = [0; MAX_SIDES];
        tick_in_float(law, inputs, sows, &mut commands);
        let sides = outputs.sides.iter().zip(commands).zip(sows).take(law.sides());
        for ((side, command), _) in sides.filter(|(_, sows)| *sows) {
            let apart = side.command.to_bits().abs_diff(command);
            self.commands += 1;
            self.apart += u64::from(apart);
            self.worst = self.worst.max(apart);
        }
    }
}

impl Display for Beside {
    fn fmt(&self, text: &mut Formatter<'_>) -> fmt::Result {
        let million = |bits: u64| (bits * 1_000_000) >> 16;
        let mean = million(self.apart) / u64::from(self.commands.max(1));
        let worst = million(u64::from(self.worst));
        write!(text, "commands={} apart_ppm={mean} worst_ppm={worst}", self.commands)
    }
}
