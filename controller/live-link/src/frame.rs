//! Frames: a header, a body and a check sum in COBS, between zeros.

use crate::VERSION;
use crate::cursor::Misfit;
use controller::settings::image::crc32;

/// Version, kind, number.
const HEADER: usize = 4;

/// The check sum.
const SUM: usize = 4;

/// Most bytes of a frame before COBS; below 254, so COBS adds one.
pub const MAX_PAYLOAD: usize = 160;

/// Most bytes of a frame on the line: COBS and both zeros.
pub const MAX_FRAME: usize = MAX_PAYLOAD + 3;

/// What stands before the body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Header {
    /// Version of who sent it.
    pub version: u8,
    /// Kind of the message.
    pub kind: u8,
    /// Number of the question.
    pub number: u16,
}

impl Header {
    /// A header of this version.
    #[must_use]
    pub const fn new(kind: u8, number: u16) -> Self {
        Self { version: VERSION, kind, number }
    }
}

/// Writes a frame at the start of `frame`, both zeros with it; `body` writes the body and says how long it is. Returns the
/// frame's bytes; none if there is no room.
pub fn write(
    header: Header,
    body: impl FnOnce(&mut [u8]) -> Option<usize>,
    frame: &mut [u8; MAX_FRAME],
) -> Option<&[u8]> {
    let mut payload = [0; MAX_PAYLOAD];
    let (head, rest) = payload.split_at_mut(HEADER);
    let [low, high] = header.number.to_le_bytes();
    head.copy_from_slice(&[header.version, header.kind, low, high]);
    let end = body(rest)?.checked_add(HEADER)?;
    let sum = crc32(payload.get(..end)?).to_le_bytes();
    let whole = end.checked_add(SUM)?;
    payload.get_mut(end..whole)?.copy_from_slice(&sum);
    let (first, rest) = frame.split_first_mut()?;
    *first = 0;
    let coded = cobs::try_encode(payload.get(..whole)?, rest).ok()?;
    *rest.get_mut(coded)? = 0;
    frame.get(..coded.checked_add(2)?)
}

/// Collects bytes until they are a frame.
#[derive(Clone, Debug)]
pub struct Collector {
    bytes: [u8; MAX_FRAME],
    length: usize,
    /// More came than a frame has: all is dropped up to the next zero.
    over: bool,
    garbage: u32,
}

impl Default for Collector {
    fn default() -> Self {
        Self { bytes: [0; MAX_FRAME], length: 0, over: false, garbage: 0 }
    }
}

impl Collector {
    /// Pieces between zeros that were no frame, so far.
    #[must_use]
    pub const fn garbage(&self) -> u32 {
        self.garbage
    }

    /// Takes a byte; a whole frame gives its header and its body.
    pub fn take(&mut self, byte: u8) -> Option<(Header, &[u8])> {
        if byte != 0 {
            match self.bytes.get_mut(self.length) {
                Some(place) => {
                    *place = byte;
                    self.length = self.length.saturating_add(1);
                }
                None => self.over = true,
            }
            return None;
        }
        let (length, over) = (self.length, self.over);
        (self.length, self.over) = (0, false);
        if length == 0 {
            return None;
        }
        let whole = if over { Err(Misfit) } else { self.decode(length) };
        let Ok((header, end)) = whole else {
            self.garbage = self.garbage.saturating_add(1);
            return None;
        };
        Some((header, self.bytes.get(HEADER..end)?))
    }

    /// Decodes the first bytes in place; the header, and where the body ends.
    fn decode(&mut self, length: usize) -> Result<(Header, usize), Misfit> {
        let coded = self.bytes.get_mut(..length).ok_or(Misfit)?;
        let whole = cobs::decode_in_place(coded).map_err(|_| Misfit)?;
        let end = whole.checked_sub(SUM).ok_or(Misfit)?;
        let (said, rest) = self.bytes.split_at_checked(end).ok_or(Misfit)?;
        let sum = rest.first_chunk::<SUM>().ok_or(Misfit)?;
        if crc32(said) != u32::from_le_bytes(*sum) {
            return Err(Misfit);
        }
        let [version, kind, low, high] = *said.first_chunk::<HEADER>().ok_or(Misfit)?;
        Ok((Header { version, kind, number: u16::from_le_bytes([low, high]) }, end))
    }
}
