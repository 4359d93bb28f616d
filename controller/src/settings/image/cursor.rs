//! Cursors over an image: one writes, one reads, one describes. All three visit the same list of fields.

use super::{Field, ImageError};
use heapless::Vec;

/// What can stand in an image: a number of one to eight bytes, little-endian.
pub(super) trait Word: Copy {
    /// Its bytes.
    const SIZE: usize;

    /// As a number without a sign.
    fn raw(self) -> u64;

    /// From such a number; none if it is no value of this kind.
    fn from_raw(raw: u64) -> Option<Self>;
}

/// Visits fields in order.
pub(super) trait Visit {
    /// The field `name` of `size` bytes: writes it from `raw`, or reads it into `raw`.
    fn word(&mut self, name: &'static str, size: usize, raw: &mut u64) -> Result<(), ImageError>;
}

/// A field.
pub(super) fn field<V: Visit, W: Word>(
    visit: &mut V,
    name: &'static str,
    value: &mut W,
) -> Result<(), ImageError> {
    let mut raw = value.raw();
    visit.word(name, W::SIZE, &mut raw)?;
    *value = W::from_raw(raw).ok_or(ImageError::Field(name))?;
    Ok(())
}

/// A list: its length in a byte, then each.
pub(super) fn list<V: Visit, T: Clone, const N: usize>(
    visit: &mut V,
    name: &'static str,
    items: &mut Vec<T, N>,
    blank: T,
    each: fn(&mut V, &mut T) -> Result<(), ImageError>,
) -> Result<(), ImageError> {
    let mut length = u8::try_from(items.len()).map_err(|_| ImageError::Field(name))?;
    field(visit, name, &mut length)?;
    items.resize(usize::from(length), blank).map_err(|_| ImageError::Field(name))?;
    items.iter_mut().try_for_each(|item| each(visit, item))
}

/// Writes.
#[derive(Debug)]
pub(super) struct Writer<'b> {
    left: &'b mut [u8],
    position: usize,
}

impl<'b> Writer<'b> {
    pub(super) const fn new(bytes: &'b mut [u8]) -> Self {
        Self { left: bytes, position: 0 }
    }

    /// Bytes written.
    pub(super) const fn position(&self) -> usize {
        self.position
    }

    pub(super) fn bytes(&mut self, bytes: &[u8]) -> Result<(), ImageError> {
        let left = core::mem::take(&mut self.left);
        let (here, rest) = left.split_at_mut_checked(bytes.len()).ok_or(ImageError::NoRoom)?;
        here.iter_mut().zip(bytes).for_each(|(to, from)| *to = *from);
        self.left = rest;
        self.position = self.position.saturating_add(bytes.len());
        Ok(())
    }
}

impl Visit for Writer<'_> {
    fn word(&mut self, _: &'static str, size: usize, raw: &mut u64) -> Result<(), ImageError> {
        self.bytes(raw.to_le_bytes().get(..size).unwrap_or_default())
    }
}

/// Reads.
#[derive(Debug)]
pub(super) struct Reader<'b> {
    left: &'b [u8],
    position: usize,
}

impl<'b> Reader<'b> {
    pub(super) const fn new(bytes: &'b [u8]) -> Self {
        Self { left: bytes, position: 0 }
    }

    /// Bytes read.
    pub(super) const fn position(&self) -> usize {
        self.position
    }

    /// A number of `size` bytes, eight at most.
    pub(super) fn take(&mut self, size: usize) -> Result<u64, ImageError> {
        let (here, rest) = self.left.split_at_checked(size).ok_or(ImageError::TooShort)?;
        self.left = rest;
        self.position = self.position.saturating_add(size);
        Ok(here.iter().rev().fold(0, |raw, byte| raw << 8 | u64::from(*byte)))
    }
}

impl Visit for Reader<'_> {
    fn word(&mut self, _: &'static str, size: usize, raw: &mut u64) -> Result<(), ImageError> {
        *raw = self.take(size)?;
        Ok(())
    }
}

/// Describes.
#[derive(Debug)]
pub(super) struct Describer<F> {
    offset: usize,
    each: F,
}

impl<F: FnMut(Field)> Describer<F> {
    pub(super) const fn new(offset: usize, each: F) -> Self {
        Self { offset, each }
    }
}

impl<F: FnMut(Field)> Visit for Describer<F> {
    fn word(&mut self, name: &'static str, size: usize, raw: &mut u64) -> Result<(), ImageError> {
        (self.each)(Field { offset: self.offset, size, name, raw: *raw });
        self.offset = self.offset.saturating_add(size);
        Ok(())
    }
}
