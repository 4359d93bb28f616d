//! Cursors over a body: one writes, one reads, one describes. All three visit the same list of fields.

/// A body that cannot be written or read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Misfit;

/// Visits fields in order.
pub(crate) trait Visit {
    /// The field `name` of `size` bytes, eight at most: writes it from `raw`, or reads it into `raw`.
    fn word(&mut self, name: &'static str, size: usize, raw: &mut u64) -> Result<(), Misfit>;
}

/// Writes.
pub(crate) struct Writer<'b> {
    left: &'b mut [u8],
}

impl<'b> Writer<'b> {
    pub(crate) const fn new(bytes: &'b mut [u8]) -> Self {
        Self { left: bytes }
    }

    /// Bytes not written yet.
    pub(crate) const fn left(&self) -> usize {
        self.left.len()
    }
}

impl Visit for Writer<'_> {
    fn word(&mut self, _: &'static str, size: usize, raw: &mut u64) -> Result<(), Misfit> {
        let left = core::mem::take(&mut self.left);
        let (here, rest) = left.split_at_mut_checked(size).ok_or(Misfit)?;
        here.iter_mut().zip(raw.to_le_bytes()).for_each(|(to, from)| *to = from);
        self.left = rest;
        Ok(())
    }
}

/// Reads.
pub(crate) struct Reader<'b> {
    left: &'b [u8],
}

impl<'b> Reader<'b> {
    pub(crate) const fn new(bytes: &'b [u8]) -> Self {
        Self { left: bytes }
    }

    /// Bytes not read yet.
    pub(crate) const fn left(&self) -> usize {
        self.left.len()
    }
}

impl Visit for Reader<'_> {
    fn word(&mut self, _: &'static str, size: usize, raw: &mut u64) -> Result<(), Misfit> {
        let (here, rest) = self.left.split_at_checked(size).ok_or(Misfit)?;
        *raw = here.iter().rev().fold(0, |raw, byte| raw << 8 | u64::from(*byte));
        self.left = rest;
        Ok(())
    }
}

/// Describes: calls `each` with every name and size.
pub(crate) struct Describer<F>(pub(crate) F);

impl<F: FnMut(&'static str, usize)> Visit for Describer<F> {
    fn word(&mut self, name: &'static str, size: usize, _: &mut u64) -> Result<(), Misfit> {
        (self.0)(name, size);
        Ok(())
    }
}
