//! NOR flash that is harsher than hardware: rules enforced, time counted, power cut at any write step.
//!
//! ```text
//!  program:  word │ word │ word ✂ half a word │ (never reached)       a step a word of 4 bytes, pages of 256 bytes
//!  erase:    ✂ hardly begun ✂ bits at random ✂ nearly done ✂ looks done, but weak      4 steps a sector
//! ```
//!
//! A program only clears bits; one that would have to set a bit is an error here, where hardware would store a wrong
//! word. A word that is cut has some of its bits cleared, by the flash's own seed. A sector whose erase was cut at the
//! very end reads as erased, but words programmed into it lose bits at the next power-up. Times are common practice of
//! serial NOR flash: page program 0.7 ms typical and 3 ms at most, sector erase 45 ms typical and 400 ms at most.

use super::Noise;
use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashError, NorFlashErrorKind, ReadNorFlash, check_erase, check_read,
    check_write,
};
use std::collections::BTreeSet;

/// Bytes of a sector, the least that is erased.
pub const SECTOR: usize = 4096;

/// Bytes of a page, the most that is programmed at once.
pub const PAGE: usize = 256;

/// Bytes of a word, the least that is programmed.
pub const WORD: usize = 4;

/// Steps of an erase.
const ERASE_STEPS: u64 = 4;

/// Time of operations, µs: typical, at most. Common practice.
const PROGRAM_US: (u64, u64) = (700, 3_000);
const ERASE_US: (u64, u64) = (45_000, 400_000);
/// Share of the bits that a weak sector loses at power-up.
const WEAK: f64 = 0.05;

/// What the flash refuses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlashError {
    /// Outside the flash.
    OutOfBounds,
    /// Not at a word or sector.
    NotAligned,
    /// A bit would have to be set by a program: address of the word.
    NotErased(u32),
    /// There is no power.
    NoPower,
}

impl NorFlashError for FlashError {
    fn kind(&self) -> NorFlashErrorKind {
        match self {
            Self::OutOfBounds => NorFlashErrorKind::OutOfBounds,
            Self::NotAligned => NorFlashErrorKind::NotAligned,
            Self::NotErased(_) | Self::NoPower => NorFlashErrorKind::Other,
        }
    }
}

impl From<NorFlashErrorKind> for FlashError {
    fn from(kind: NorFlashErrorKind) -> Self {
        match kind {
            NorFlashErrorKind::NotAligned => Self::NotAligned,
            _ => Self::OutOfBounds,
        }
    }
}

/// Time that the board's program stood still, µs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Busy {
    /// Typical.
    pub typical_us: u64,
    /// At most.
    pub most_us: u64,
}

/// The mock.
#[derive(Clone, Debug)]
pub struct MockFlash {
    bytes: Vec<u8>,
    erases: Vec<u32>,
    weak: BTreeSet<usize>,
    /// Words programmed into weak sectors.
    wrote_weak: BTreeSet<usize>,
    busy: Busy,
    steps: u64,
    cut_at: Option<u64>,
    noise: Noise,
}

impl MockFlash {
    /// An erased flash of so many sectors.
    pub fn new(sectors: usize, seed: u64) -> Self {
        Self {
            bytes: vec![0xFF; sectors * SECTOR],
            erases: vec![0; sectors],
            weak: BTreeSet::new(),
            wrote_weak: BTreeSet::new(),
            busy: Busy::default(),
            steps: 0,
            cut_at: None,
            noise: Noise::new(seed),
        }
    }

    /// Fills the flash with bytes at random.
    pub fn fill_with_garbage(&mut self) {
        for byte in &mut self.bytes {
            *byte = sparse_byte(&mut self.noise, 0.5);
        }
    }

    /// Cuts the power at the write step that comes after so many more.
    pub const fn cut_after(&mut self, steps: u64) {
        self.cut_at = Some(self.steps + steps);
    }

    /// Whether the power is cut.
    pub fn is_cut(&self) -> bool {
        self.cut_at.is_some_and(|at| self.steps > at)
    }

    /// Power is back, and stays: weak sectors lose bits.
    pub fn power_up(&mut self) {
        self.cut_at = None;
        for word in &self.wrote_weak {
            for byte in &mut self.bytes[word * WORD..(word + 1) * WORD] {
                *byte &= !sparse_byte(&mut self.noise, WEAK);
            }
        }
    }

    /// Write steps so far.
    pub const fn steps(&self) -> u64 {
        self.steps
    }

    /// Erases, `[sector]`; those that were cut count.
    pub fn erases(&self) -> &[u32] {
        &self.erases
    }

    /// Time that programs and erases took.
    pub const fn busy(&self) -> Busy {
        self.busy
    }

    /// All bytes.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Flips the bits of `pattern` in a byte.
    pub fn flip(&mut self, at: usize, pattern: u8) {
        self.bytes[at] ^= pattern;
    }

    /// Counts a step; whether the power is cut in it, or was before.
    const fn step(&mut self) -> Power {
        let Some(at) = self.cut_at else {
            self.steps += 1;
            return Power::On;
        };
        let power = if self.steps < at {
            Power::On
        } else if self.steps == at {
            Power::Falls
        } else {
            return Power::Off;
        };
        self.steps += 1;
        power
    }

    fn program_page(&mut self, at: usize, page: &[u8]) -> Result<(), FlashError> {
        for (index, word) in page.chunks(WORD).enumerate() {
            let place = at + index * WORD;
            let power = self.step();
            if power == Power::Off {
                return Err(FlashError::NoPower);
            }
            let bits = self.bytes[place..place + WORD].iter().zip(word);
            if bits.into_iter().any(|(have, want)| have & want != *want) {
                return Err(FlashError::NotErased(u32::try_from(place).unwrap_or(u32::MAX)));
            }
            for (offset, want) in word.iter().enumerate() {
                let kept =
                    if power == Power::Falls { sparse_byte(&mut self.noise, 0.5) } else { 0 };
                self.bytes[place + offset] &= want | kept;
            }
            if self.weak.contains(&(place / SECTOR)) {
                self.wrote_weak.insert(place / WORD);
            }
            if power == Power::Falls {
                return Err(FlashError::NoPower);
            }
        }
        self.busy.typical_us += PROGRAM_US.0;
        self.busy.most_us += PROGRAM_US.1;
        Ok(())
    }

    fn erase_sector(&mut self, sector: usize) -> Result<(), FlashError> {
        for step in 0..ERASE_STEPS {
            match self.step() {
                Power::On => {}
                Power::Falls => {
                    self.erases[sector] += 1;
                    self.cut_erase(sector, step);
                    return Err(FlashError::NoPower);
                }
                Power::Off => return Err(FlashError::NoPower),
            }
        }
        self.bytes[sector * SECTOR..(sector + 1) * SECTOR].fill(0xFF);
        self.heal(sector);
        self.erases[sector] += 1;
        self.busy.typical_us += ERASE_US.0;
        self.busy.most_us += ERASE_US.1;
        Ok(())
    }

    /// Leaves a sector as a cut erase does: each bit is set with a chance that grows with the step.
    fn cut_erase(&mut self, sector: usize, step: u64) {
        let share = [0.02, 0.5, 0.98, 1.0][usize::try_from(step).unwrap_or(3)];
        self.heal(sector);
        for byte in &mut self.bytes[sector * SECTOR..(sector + 1) * SECTOR] {
            *byte |= sparse_byte(&mut self.noise, share);
        }
        self.weak.insert(sector);
    }

    fn heal(&mut self, sector: usize) {
        self.weak.remove(&sector);
        self.wrote_weak.retain(|word| word * WORD / SECTOR != sector);
    }
}

/// The power in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Power {
    On,
    Falls,
    Off,
}

/// A byte of which each bit is set with a chance.
fn sparse_byte(noise: &mut Noise, chance: f64) -> u8 {
    (0..8).fold(0, |byte, _| byte << 1 | u8::from(noise.uniform() < chance))
}

impl ErrorType for MockFlash {
    type Error = FlashError;
}

impl ReadNorFlash for MockFlash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), FlashError> {
        check_read(self, offset, bytes.len())?;
        if self.is_cut() {
            return Err(FlashError::NoPower);
        }
        let at = offset as usize;
        bytes.copy_from_slice(&self.bytes[at..at + bytes.len()]);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.bytes.len()
    }
}

impl NorFlash for MockFlash {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = SECTOR;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), FlashError> {
        check_erase(self, from, to)?;
        (from as usize / SECTOR..to as usize / SECTOR)
            .try_for_each(|sector| self.erase_sector(sector))
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), FlashError> {
        check_write(self, offset, bytes.len())?;
        let mut at = offset as usize;
        let mut left = bytes;
        while !left.is_empty() {
            // A program does not go past the end of its page.
            let (page, rest) = left.split_at((PAGE - at % PAGE).min(left.len()));
            self.program_page(at, page)?;
            at += page.len();
            left = rest;
        }
        Ok(())
    }
}
