//! The words of a trace.

use crate::inputs::WORDS;
use crate::{MARK, Wrong};

/// Reads word by word.
pub(crate) struct Reader<'a> {
    rest: &'a [u8],
    /// Ticks that the trace says it has.
    pub(crate) ticks: u32,
}

impl<'a> Reader<'a> {
    /// At the first record. What lies behind the trace is left alone: a memory ends where it ends.
    pub(crate) fn new(trace: &'a [u8]) -> Result<Self, Wrong> {
        let mut reader = Self { rest: trace, ticks: 0 };
        if reader.word()? != MARK {
            return Err(Wrong::Mark);
        }
        reader.ticks = reader.word()?;
        let bytes = usize::try_from(reader.word()?).ok().and_then(|words| words.checked_mul(4));
        reader.rest = bytes.and_then(|bytes| reader.rest.get(..bytes)).ok_or(Wrong::Length)?;
        Ok(reader)
    }

    /// The next word, none at the end.
    pub(crate) fn next(&mut self) -> Option<u32> {
        let (word, rest) = self.rest.split_first_chunk::<4>()?;
        self.rest = rest;
        Some(u32::from_le_bytes(*word))
    }

    /// The next word.
    pub(crate) fn word(&mut self) -> Result<u32, Wrong> {
        self.next().ok_or(Wrong::Length)
    }

    /// A settings image.
    pub(crate) fn image(&mut self) -> Result<&'a [u8], Wrong> {
        let length = usize::try_from(self.word()?).map_err(|_| Wrong::Length)?;
        let image = self.rest.get(..length).ok_or(Wrong::Length)?;
        self.rest = self.rest.get(length.next_multiple_of(4)..).ok_or(Wrong::Length)?;
        Ok(image)
    }

    /// Takes the words that have changed.
    pub(crate) fn change(&mut self, changed: u32, words: &mut [u32; WORDS]) -> Result<(), Wrong> {
        for (place, word) in words.iter_mut().enumerate() {
            if changed & (1 << place) != 0 {
                *word = self.word()?;
            }
        }
        Ok(())
    }
}
