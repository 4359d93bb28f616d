//! The sum over what the controller answers.
//!
//! A tick gives two words, three for each of the four sides, and five for a gap that ended:
//!
//! | word | what |
//! |---|---|
//! | 0 | alarm (8 bits), supply, ground status (2), followed (none, hand, source; 2), place of the source (8) |
//! | 1 | ground speed |
//! | side | command (16 bits), run of a motorised valve (2), state (4) |
//! | side | shaft speed wanted |
//! | side | shaft speed measured |
//!
//! From time to time, and at the end of every run, come the accounts: totals of every side, the correction of its map, the
//! gaps' number and way. The sum is CRC-32 of ISO-HDLC over the words' bytes, the lowest first; its check value is tested.

use controller::drive::ValveTurn;
use controller::gap::Gap;
use controller::section::SideState;
use controller::sense::{Followed, GroundStatus};
use controller::{Controller, MAX_SIDES, Outputs, SideOutputs};
use crc::{CRC_32_ISO_HDLC, Crc, Digest, Table};

static CRC: Crc<u32, Table<1>> = Crc::<u32, Table<1>>::new(&CRC_32_ISO_HDLC);

/// A sum that grows.
#[expect(missing_debug_implementations, reason = "the digest has none")]
pub struct Sum(Digest<'static, u32, Table<1>>);

impl Default for Sum {
    fn default() -> Self {
        Self::new()
    }
}

impl Sum {
    /// Over nothing.
    pub fn new() -> Self {
        Self(CRC.digest())
    }

    /// The sum.
    pub const fn end(self) -> u32 {
        self.0.finalize()
    }

    /// A word more.
    pub const fn word(&mut self, word: u32) {
        self.0.update(&word.to_le_bytes());
    }

    const fn wide(&mut self, wide: u64) {
        self.0.update(&wide.to_le_bytes());
    }

    /// What a tick gave.
    pub fn tick(&mut self, controller: &mut Controller, outputs: &Outputs) {
        self.word(shown(outputs));
        self.word(outputs.speed.to_bits().cast_unsigned());
        for side in &outputs.sides {
            self.word(driven(side));
            self.word(side.wanted.to_bits().cast_unsigned());
            self.word(side.measured.to_bits().cast_unsigned());
        }
        if let Some(gap) = controller.take_gap() {
            self.gap(gap);
        }
    }

    fn gap(&mut self, gap: Gap) {
        let cause = u32::from(gap.cause.number());
        self.word(u32::from(gap.number) | u32::from(gap.side) << 16 | cause << 24);
        self.word(gap.start_mm);
        self.word(gap.length_mm);
        self.word(gap.position.map_or(u32::MAX, |at| at.latitude().cast_unsigned()));
        self.word(gap.position.map_or(u32::MAX, |at| at.longitude().cast_unsigned()));
    }

    /// What has been counted by now. It divides wide, so it is not for every tick.
    #[inline(never)]
    pub fn accounts(&mut self, controller: &Controller) {
        let snapshot = controller.snapshot();
        for side in &snapshot.sides {
            for count in
                [side.distance_um, side.area_mm2, side.shared_mm2, side.mass_ug, side.by_map]
            {
                self.wide(count);
            }
        }
        for corrected in (0..MAX_SIDES).filter_map(|side| controller.corrected(side)) {
            self.word(corrected.per_mille().cast_unsigned());
        }
        self.word(u32::from(snapshot.gaps));
        self.word(snapshot.way_mm);
    }
}

fn shown(outputs: &Outputs) -> u32 {
    let ground = match outputs.ground {
        GroundStatus::Standing => 0,
        GroundStatus::Moving => 1,
        GroundStatus::Lost => 2,
    };
    let (followed, place) = match outputs.followed {
        Followed::Nothing => (0, 0),
        Followed::Hand => (1, 0),
        Followed::Source(place) => (2, u32::from(place)),
    };
    let alarm = outputs.alarm.map_or(0, |item| u32::from(item.number()));
    alarm | u32::from(outputs.supply) << 8 | ground << 9 | followed << 11 | place << 13
}

fn driven(side: &SideOutputs) -> u32 {
    let turn = match side.turn {
        ValveTurn::Hold => 0,
        ValveTurn::Open => 1,
        ValveTurn::Close => 2,
    };
    u32::from(side.command.to_bits()) | turn << 16 | state(side.state) << 18
}

const fn state(state: SideState) -> u32 {
    match state {
        SideState::Stopped => 0,
        SideState::Off => 1,
        SideState::Lifted => 2,
        SideState::Outside => 3,
        SideState::Slow => 4,
        SideState::Lost => 5,
        SideState::Sowing => 6,
        SideState::ByHand => 7,
        SideState::Run => 8,
    }
}

#[cfg(test)]
mod tests {
    use super::Sum;

    #[test]
    fn the_sum_has_the_check_value_of_its_kind() {
        let mut sum = Sum::new();
        sum.0.update(b"123456789");
        assert_eq!(sum.end(), 0xcbf4_3926);
    }
}
