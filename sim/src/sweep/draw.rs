//! The values of a case, from the seed and the case's number alone.
//!
//! Counter-based: the random word of a case is a hash of (seed, name of the parameter, case), so that a case is
//! the same in any shard, and a parameter that is added leaves the others as they were.
//!
//! ```text
//!  uniform:      x = a + u (b − a)
//!  log-uniform:  x = a (b/a)^u
//!  normal:       Φ((x − m)/s) = Φ((a − m)/s) + u (Φ((b − m)/s) − Φ((a − m)/s)), cut off at a and b
//! ```
//!
//! As a Latin hypercube (`McKay`, Beckman and Conover 1979) each of the n cases has a slice of its own of each
//! parameter: `u = (slice + w) / n`, the slices shuffled by the seed.

use super::{Ranges, Spread, Varied};

/// The values of every case.
#[derive(Clone, Debug)]
pub struct Draws<'a> {
    ranges: &'a Ranges,
    seed: u64,
    cases: u32,
    /// `[parameter][case]`, the slice of the hypercube; empty without one.
    slices: Vec<Vec<u32>>,
}

impl<'a> Draws<'a> {
    /// Draws of `cases` cases.
    pub fn new(ranges: &'a Ranges, seed: u64, cases: u32) -> Self {
        let shuffled = |varied: &Varied| shuffled(word(seed, varied.parameter.key, 0), cases);
        let slices =
            if ranges.hypercube { ranges.varied.iter().map(shuffled).collect() } else { vec![] };
        Self { ranges, seed, cases, slices }
    }

    /// Values of a case (from 1), in the order of the varied parameters.
    pub fn values(&self, case: u32) -> Vec<f64> {
        let varied = self.ranges.varied.iter().enumerate();
        varied.map(|(index, varied)| varied.at(self.share(index, varied, case))).collect()
    }

    /// Seed of the noise of a case.
    pub fn noise_seed(&self, case: u32) -> u64 {
        // Short enough to be typed.
        word(self.seed, "noise", case) >> 33
    }

    /// Where in its spread a parameter of a case lies, 0..1.
    fn share(&self, index: usize, varied: &Varied, case: u32) -> f64 {
        let within = unit(word(self.seed, varied.parameter.key, case));
        let slice = self.slices.get(index).and_then(|all| all.get(case.checked_sub(1)? as usize));
        slice.map_or(within, |&slice| (f64::from(slice) + within) / f64::from(self.cases))
    }
}

impl Varied {
    /// The value below which the share `u` (0..1) of the draws lies.
    fn at(&self, u: f64) -> f64 {
        let half = if self.parameter.whole { 0.5 } else { 0.0 };
        let (from, to) = (self.from - half, self.to + half);
        let value = match self.spread {
            Spread::Uniform => from + u * (to - from),
            Spread::LogUniform => from * libm::pow(to / from, u),
            Spread::Normal { mean, deviation } => normal(u, (from, to), (mean, deviation)),
        };
        let value = if self.parameter.whole { libm::round(value) } else { value };
        value.clamp(self.from, self.to)
    }
}

/// The value of a normal distribution that is cut off at both ends, by halving the interval.
fn normal(u: f64, (from, to): (f64, f64), (mean, deviation): (f64, f64)) -> f64 {
    let below = |x: f64| 0.5 * libm::erfc((mean - x) / (deviation * core::f64::consts::SQRT_2));
    let wanted = below(from) + u * (below(to) - below(from));
    let (mut low, mut high) = (from, to);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if below(middle) < wanted { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// Numbers below `count`, in an order of the seed's own.
fn shuffled(seed: u64, count: u32) -> Vec<u32> {
    let mut order: Vec<u32> = (0..count).collect();
    order.sort_by_key(|&case| (mixed(seed ^ u64::from(case)), case));
    order
}

/// Uniform in 0..1, both ends excluded.
fn unit(word: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "52 bits fit")]
    let bits = (word >> 12) as f64;
    (bits + 0.5) / 4_503_599_627_370_496.0
}

/// The random word of a case and a name.
fn word(seed: u64, name: &str, case: u32) -> u64 {
    let named = name.bytes().fold(mixed(seed), |word, byte| mixed(word ^ u64::from(byte)));
    mixed(named ^ u64::from(case))
}

/// A step of `SplitMix64` (Steele, Lea and Flood 2014): every bit of the word moves every bit of the result.
const fn mixed(word: u64) -> u64 {
    let word = word.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let word = (word ^ (word >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let word = (word ^ (word >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    word ^ (word >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Φ(1) = 0.841 344 746, from the tables of the normal distribution.
    #[test]
    fn the_normal_quantile_is_that_of_the_tables() {
        let wide = (-50.0, 50.0);
        assert!((normal(0.841_344_746_068_543, wide, (0.0, 1.0)) - 1.0).abs() < 1e-9);
        assert!((normal(0.5, (3.0, 9.0), (6.0, 1.0)) - 6.0).abs() < 1e-9);
    }

    /// First output of the published generator for state 0, as in its reference code.
    #[test]
    fn the_hash_is_the_published_generator() {
        assert_eq!(mixed(0), 0xE220_A839_7B1D_CDAF);
    }

    #[test]
    fn a_shuffle_holds_every_number_once() {
        let mut order = shuffled(7, 1000);
        assert_ne!(order[..10], [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
        order.sort_unstable();
        assert_eq!(order, (0..1000).collect::<Vec<_>>());
    }
}
