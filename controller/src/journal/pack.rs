//! Numbers in as few bytes as they need: seven bits a byte, the lowest first, the eighth says that more follow.
//!
//! A number with a sign is folded first, so that small negative ones are short too: 0, −1, 1, −2 … become 0, 1, 2, 3 …

use super::JournalError;
use heapless::Vec;

/// A record that is being packed.
#[derive(Debug, Default)]
pub(super) struct Packer<const N: usize> {
    bytes: Vec<u8, N>,
}

impl<const N: usize> Packer<N> {
    pub(super) fn byte(&mut self, byte: u8) -> Result<(), JournalError> {
        self.bytes.push(byte).map_err(|_| JournalError::TooBig)
    }

    pub(super) fn all(&mut self, bytes: &[u8]) -> Result<(), JournalError> {
        self.bytes.extend_from_slice(bytes).map_err(|_| JournalError::TooBig)
    }

    pub(super) fn number(&mut self, number: impl Into<u64>) -> Result<(), JournalError> {
        let mut left = number.into();
        loop {
            let [low, ..] = left.to_le_bytes();
            left = left.wrapping_shr(7);
            if left == 0 {
                return self.byte(low & 0x7F);
            }
            self.byte(low | 0x80)?;
        }
    }

    pub(super) fn signed(&mut self, number: impl Into<i64>) -> Result<(), JournalError> {
        let number = number.into();
        let folded = number.wrapping_shl(1) ^ number.wrapping_shr(63);
        self.number(folded.cast_unsigned())
    }

    pub(super) fn bytes(&self) -> &[u8] {
        &self.bytes
    }
}

/// A record that is being unpacked; none where it does not hold what is asked for.
#[derive(Debug)]
pub(super) struct Unpacker<'b> {
    left: &'b [u8],
}

impl<'b> Unpacker<'b> {
    pub(super) const fn new(bytes: &'b [u8]) -> Self {
        Self { left: bytes }
    }

    pub(super) fn byte(&mut self) -> Option<u8> {
        let (byte, left) = self.left.split_first()?;
        self.left = left;
        Some(*byte)
    }

    pub(super) fn number<T: TryFrom<u64>>(&mut self) -> Option<T> {
        let mut number = 0_u64;
        for place in 0_u32..10 {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7F);
            let placed = bits.wrapping_shl(place.saturating_mul(7));
            if placed.wrapping_shr(place.saturating_mul(7)) != bits {
                return None;
            }
            number |= placed;
            if byte & 0x80 == 0 {
                return T::try_from(number).ok();
            }
        }
        None
    }

    pub(super) fn signed<T: TryFrom<i64>>(&mut self) -> Option<T> {
        let folded = self.number::<u64>()?;
        let half = folded.wrapping_shr(1).cast_signed();
        T::try_from(half ^ (folded & 1).cast_signed().wrapping_neg()).ok()
    }

    /// What is left.
    pub(super) const fn rest(&self) -> &'b [u8] {
        self.left
    }

    /// `value`, if nothing is left.
    pub(super) fn end<T>(&self, value: T) -> Option<T> {
        self.left.is_empty().then_some(value)
    }
}

#[cfg(test)]
mod tests {
    use super::{Packer, Unpacker};

    #[test]
    fn numbers_come_back_and_small_ones_are_short() {
        for (number, length) in [(0, 1), (-1, 1), (63, 1), (64, 2), (i64::MAX, 10), (i64::MIN, 10)]
        {
            let mut packer = Packer::<16>::default();
            packer.signed(number).unwrap();
            let mut unpacker = Unpacker::new(packer.bytes());
            assert_eq!(packer.bytes().len(), length, "bytes of {number}");
            assert_eq!(unpacker.signed(), Some(number));
            assert_eq!(unpacker.end(()), Some(()), "all of it");
        }
    }

    #[test]
    fn what_does_not_fit_is_none() {
        assert_eq!(Unpacker::new(&[0x80, 0x02]).number::<u8>(), None, "256 in a byte");
        assert_eq!(Unpacker::new(&[0x80]).number::<u8>(), None, "cut off");
        assert_eq!(Unpacker::new(&[0xFF; 10]).number::<u64>(), None, "more than 64 bits");
    }
}
