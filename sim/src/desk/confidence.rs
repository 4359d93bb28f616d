//! What a few repeated weighings tell about the true mean and the true scatter.
//!
//! ```text
//!  mean     m ± t(n−1, 97.5 %) · s / √n                              (Student 1908)
//!  scatter  K = s/m lies with 95 % in
//!           K / √(((u₁+2)/n − 1)·K² + u₁/(n−1))  ..  the same with u₂   (Vangel 1996)
//!           u₁, u₂: 97.5 % and 2.5 % points of chi-square with n−1 degrees
//! ```
//!
//! Both take the weighings for draws of one normal distribution. Vangel, "Confidence intervals for a normal coefficient
//! of variation", The American Statistician 50(1), 21–26, corrects `McKay`'s approximation of 1932; it holds for scatters
//! below a third of the mean. All figures are shares of the mean. Quantiles are those of the `statrs` crate, checked in
//! `tests/tests/published` against printed tables.

use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};

/// Two-sided confidence of every interval here.
pub const CONFIDENCE: f64 = 0.95;

/// Largest number of weighings that is looked at.
const MOST: u32 = 1000;

/// Point of Student's t below which `share` of it lies; none without a degree of freedom.
pub fn t_quantile(share: f64, degrees: u32) -> Option<f64> {
    let t = StudentsT::new(0.0, 1.0, f64::from(degrees)).ok()?;
    (0.0 < share && share < 1.0).then(|| t.inverse_cdf(share))
}

/// Point of chi-square below which `share` of it lies; none without a degree of freedom.
pub fn chi_square_quantile(share: f64, degrees: u32) -> Option<f64> {
    let chi = ChiSquared::new(f64::from(degrees)).ok()?;
    (0.0 < share && share < 1.0).then(|| chi.inverse_cdf(share))
}

/// Half the confidence interval of the mean of `count` weighings with a scatter of `cv`; none below two.
pub fn half_width(cv: f64, count: u32) -> Option<f64> {
    let t = t_quantile(0.5 + 0.5 * CONFIDENCE, count.checked_sub(1)?)?;
    Some(t * cv / f64::from(count).sqrt())
}

/// Confidence interval of the scatter itself. The upper end is none where so few weighings set no bound.
pub fn cv_interval(cv: f64, count: u32) -> Option<(f64, Option<f64>)> {
    let degrees = count.checked_sub(1)?;
    let end = |share| {
        let u = chi_square_quantile(share, degrees)?;
        let square = ((u + 2.0) / f64::from(count) - 1.0) * cv * cv + u / f64::from(degrees);
        Some((square > 0.0).then(|| cv / square.sqrt()))
    };
    let (low, high) = (end(0.5 + 0.5 * CONFIDENCE)?, end(0.5 - 0.5 * CONFIDENCE)?);
    Some((low.unwrap_or(0.0), high))
}

/// Fewest weighings, from `from` on, whose mean would be known to ± `wished` with this scatter; none up to a thousand.
pub fn weighings_needed(cv: f64, wished: f64, from: u32) -> Option<u32> {
    (from.max(2)..=MOST).find(|&count| half_width(cv, count).is_some_and(|half| half <= wished))
}

/// Half the confidence interval of the mean of `of` outlets, of which `caught` were weighed and spread by `cv`: as
/// [`half_width`], with the finite population correction √(1 − caught/of) (Cochran, Sampling Techniques, 1977, 2.6).
pub fn uncaught_half_width(cv: f64, caught: u32, of: u32) -> Option<f64> {
    let left = 1.0 - f64::from(caught.min(of)) / f64::from(of);
    if left <= 0.0 { Some(0.0) } else { Some(half_width(cv, caught)? * left.sqrt()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_weighing_tells_nothing_of_scatter() {
        assert_eq!(half_width(0.01, 1), None);
        assert_eq!(half_width(0.01, 0), None);
        assert_eq!(cv_interval(0.01, 1), None);
    }

    #[test]
    fn more_weighings_are_asked_for_until_the_mean_is_known() {
        let count = weighings_needed(0.02, 0.01, 2).expect("some number is enough");
        assert!(half_width(0.02, count).unwrap() <= 0.01);
        assert!(half_width(0.02, count - 1).unwrap() > 0.01);
        assert_eq!(weighings_needed(0.5, 0.001, 2), None, "no thousand weighings are enough");
    }

    #[test]
    fn all_outlets_caught_leave_none_to_guess() {
        assert_eq!(uncaught_half_width(0.05, 12, 12), Some(0.0));
        assert!(uncaught_half_width(0.05, 6, 12).unwrap() < half_width(0.05, 6).unwrap());
        assert_eq!(uncaught_half_width(0.05, 1, 12), None);
    }

    /// Share of samples of `count` whose scatter is at most `seen` when the true one is `true_cv`, without any
    /// approximation: √n/K is noncentral t (Johnson and Welch, Biometrika 31, 1940), integrated over chi by Simpson's
    /// rule. The shifted normal takes the place of a table.
    fn at_most(seen: f64, true_cv: f64, count: u32) -> f64 {
        const STEPS: u32 = 4000;
        let nu = f64::from(count - 1);
        let root = f64::from(count).sqrt();
        let normal = |x: f64| 0.5 * libm::erfc(-x / std::f64::consts::SQRT_2);
        let norm = libm::exp2(1.0 - 0.5 * nu) / libm::tgamma(0.5 * nu);
        let step = (nu.sqrt() + 10.0) / f64::from(STEPS);
        let sum: f64 = (0..=STEPS)
            .map(|at| {
                let x = f64::from(at) * step;
                let density = norm * x.powf(nu - 1.0) * (-0.5 * x * x).exp();
                // The scatter is at most `seen` where the mean is at least s/seen.
                let there = normal(root / true_cv - root / seen * x / nu.sqrt());
                let weight = if at == 0 || at == STEPS {
                    1.0
                } else if at % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                weight * density * there
            })
            .sum();
        sum * step / 3.0
    }

    /// To half a thousandth in each tail, where the end is below the third of the mean that the approximation is for.
    #[test]
    fn the_interval_of_the_scatter_is_that_of_the_noncentral_t() {
        let mut compared = 0;
        for count in [2, 3, 4, 5, 8, 12, 25] {
            for cv in [0.001, 0.005, 0.0132, 0.03, 0.06] {
                let (low, high) = cv_interval(cv, count).expect("two are enough");
                let above = 1.0 - at_most(cv, low, count);
                assert!((above - 0.025).abs() < 0.0005, "{count} at {cv}, lower: {above}");
                let Some(high) = high.filter(|&end| end < 1.0 / 3.0) else { continue };
                let below = at_most(cv, high, count);
                assert!((below - 0.025).abs() < 0.0005, "{count} at {cv}, upper: {below}");
                compared += 1;
            }
        }
        // Two weighings at 1.32 % and above, and three at 6 %, have their upper ends beyond a third.
        assert_eq!(compared, 31);
    }

    /// 40 000 series of each number: a share of 0.95 comes out within 0.0033, three standard deviations.
    #[test]
    fn both_intervals_hold_the_truth_in_95_of_100_series() {
        const SERIES: u32 = 40_000;
        let mut noise = crate::machine::Noise::new(7);
        let (true_mean, true_cv) = (0.12, 0.02);
        for count in [2_u32, 3, 5, 10] {
            let (mut means, mut scatters) = (0_u32, 0_u32);
            for _ in 0..SERIES {
                let draw = |_| true_mean * (1.0 + true_cv * noise.gauss());
                let seen: Vec<f64> = (0..count).map(draw).collect();
                let mean = crate::desk::catch::mean_g(&seen);
                let cv = crate::desk::catch::scatter_pct(&seen) / 100.0;
                let half = half_width(cv, count).unwrap() * mean;
                let (low, high) = cv_interval(cv, count).unwrap();
                means += u32::from((mean - true_mean).abs() <= half);
                scatters += u32::from(low <= true_cv && high.is_none_or(|it| true_cv <= it));
            }
            for (what, held) in [("mean", means), ("scatter", scatters)] {
                let share = f64::from(held) / f64::from(SERIES);
                assert!((share - 0.95).abs() < 0.0033, "{what} of {count}: {share}");
            }
        }
    }
}
