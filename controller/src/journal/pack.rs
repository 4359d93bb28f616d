//! Numbers in as few bytes as they need: seven bits a byte, the lowest first, the eighth says that more follow.
//!
//! A number with a sign is folded first, so that small negative ones are short too: 0, −1, 1, −2 … become 0, 1, 2, 3 …

use super::JournalError;

/// A record that is being packed, where it lies: what is written to the flash is never moved on the stack.
#[derive(Debug)]
pub(super) struct Packer<'r> {
    room: &'r mut [u8],
    length: usize,
}

impl<'r> Packer<'r> {
    pub(super) const fn new(room: &'r mut [u8]) -> Self {
        Self { room, length: 0 }
    }

    pub(super) fn byte(&mut self, byte: u8) -> Result<(), JournalError> {
        *self.room.get_mut(self.length).ok_or(JournalError::TooBig)? = byte;
        self.length = self.length.saturating_add(1);
        Ok(())
    }

    /// What `write` writes into the room that is left; it says how many bytes.
    pub(super) fn all(
        &mut self,
        write: impl FnOnce(&mut [u8]) -> Option<usize>,
    ) -> Result<(), JournalError> {
        let left = self.room.get_mut(self.length..).ok_or(JournalError::TooBig)?;
        let most = left.len();
        let taken = write(left).filter(|taken| *taken <= most).ok_or(JournalError::TooBig)?;
        self.length = self.length.saturating_add(taken);
        Ok(())
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
        self.room.get(..self.length).unwrap_or_default()
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
    use super::{JournalError, Packer, Unpacker};

    #[test]
    fn numbers_come_back_and_small_ones_are_short() {
        for (number, length) in [(0, 1), (-1, 1), (63, 1), (64, 2), (i64::MAX, 10), (i64::MIN, 10)]
        {
            let mut room = [0; 16];
            let mut packer = Packer::new(&mut room);
            packer.signed(number).unwrap();
            let mut unpacker = Unpacker::new(packer.bytes());
            assert_eq!(packer.bytes().len(), length, "bytes of {number}");
            assert_eq!(unpacker.signed(), Some(number));
            assert_eq!(unpacker.end(()), Some(()), "all of it");
        }
    }

    #[test]
    fn what_has_no_room_is_too_big() {
        let mut room = [0; 3];
        let mut packer = Packer::new(&mut room);
        assert_eq!(packer.byte(7), Ok(()));
        assert_eq!(packer.all(|left| Some(left.len() + 1)), Err(JournalError::TooBig));
        assert_eq!(packer.number(u32::MAX), Err(JournalError::TooBig), "five bytes in two");
        let mut room = [0; 3];
        let mut packer = Packer::new(&mut room);
        let wrote = packer.all(|left| {
            left[..2].copy_from_slice(&[1, 2]);
            Some(2)
        });
        assert_eq!((wrote, packer.byte(3)), (Ok(()), Ok(())));
        assert_eq!((packer.byte(4), packer.bytes()), (Err(JournalError::TooBig), &[1, 2, 3][..]));
    }

    #[test]
    fn what_does_not_fit_is_none() {
        assert_eq!(Unpacker::new(&[0x80, 0x02]).number::<u8>(), None, "256 in a byte");
        assert_eq!(Unpacker::new(&[0x80]).number::<u8>(), None, "cut off");
        assert_eq!(Unpacker::new(&[0xFF; 10]).number::<u64>(), None, "more than 64 bits");
    }
}
