//! A small generator of noise with a seed: `SplitMix64`.

/// Its state.
#[derive(Clone, Debug)]
pub(crate) struct Noise(u64);

impl Noise {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut word = self.0;
        word = (word ^ (word >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        word = (word ^ (word >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        word ^ (word >> 31)
    }

    /// A whole number below `most`.
    pub(crate) const fn below(&mut self, most: u64) -> u64 {
        self.next() % most
    }

    /// A number from 0 to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "2^53 steps are enough")]
        let unit = (self.next() >> 11) as f64 / 9_007_199_254_740_992.0;
        unit
    }
}
