//! Settling up after a fill: what was laid, against what was asked for, and how sure that is.
//!
//! ```text
//!  mass   M = loaded − left       u_M = u_weighing √(number of weighings)
//!  rate   r = M / A               (u_r / r)² = (u_M / M)² + (u_A / A)²
//!  turn   q = M / N               u_q / q = u_M / M       turns are counted, not measured
//!  over   M − r₀ A                u² = u_M² + (r₀ u_A)²
//! ```
//!
//! Every uncertainty is half the 95 % interval. Those of different causes are independent, so that their squares add
//! (JCGM 100:2008, *Guide to the expression of uncertainty in measurement*, 5.1.2). Several fills are joined by
//! weights 1/u² (the same, 4.2 and annex G); where they scatter more than they say they can, the mean's uncertainty
//! grows by the ratio (R. T. Birge, Phys. Rev. 40 (1932) 207).

use serde::Serialize;

/// Standard deviations in half a 95 % interval of a normal distribution.
const HALF_95: f64 = 1.96;

/// A value and half its 95 % interval.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Sure {
    /// The value.
    pub value: f64,
    /// Half the 95 % interval, in the same unit.
    pub uncertainty: f64,
}

impl Sure {
    /// The uncertainty as a share of the value.
    pub const fn share(&self) -> f64 {
        (self.uncertainty / self.value).abs()
    }

    /// The same in another unit.
    #[must_use]
    pub const fn times(&self, factor: f64) -> Self {
        Self { value: self.value * factor, uncertainty: self.uncertainty * factor.abs() }
    }

    /// Whether it differs from `other` by more than it can be wrong by.
    pub const fn differs_from(&self, other: f64) -> bool {
        (self.value - other).abs() > self.uncertainty
    }

    /// The quotient of two that have nothing to do with one another.
    #[must_use]
    pub fn over(&self, other: &Self) -> Self {
        let value = self.value / other.value;
        Self { value, uncertainty: value.abs() * together(self.share(), other.share()) }
    }
}

/// Two independent uncertainties in one: the root of the sum of their squares.
pub fn together(one: f64, other: f64) -> f64 {
    libm::hypot(one, other)
}

/// Seed laid, kg: what was loaded less what was left, each of so many weighings sure to `weighing_kg`.
pub fn laid_kg(loaded_kg: f64, left_kg: f64, weighings: u32, weighing_kg: f64) -> Sure {
    let uncertainty = weighing_kg * f64::from(weighings).sqrt();
    Sure { value: loaded_kg - left_kg, uncertainty }
}

/// Seeding rate, kg/ha, of a mass on an area.
pub fn rate_kg_per_ha(laid_kg: &Sure, area_m2: &Sure) -> Sure {
    laid_kg.over(area_m2).times(10_000.0)
}

/// Seed laid beyond what `asked_kg_per_ha` would have been, kg; below zero where it was less.
pub fn over_kg(laid_kg: &Sure, area_m2: &Sure, asked_kg_per_ha: f64) -> Sure {
    let asked = area_m2.times(asked_kg_per_ha / 10_000.0);
    let uncertainty = together(laid_kg.uncertainty, asked.uncertainty);
    Sure { value: laid_kg.value - asked.value, uncertainty }
}

/// Mass of a turn, kg, from a mass and the turns that were counted, all shafts together.
pub const fn kg_per_turn(laid_kg: &Sure, turns: f64) -> Sure {
    laid_kg.times(1.0 / turns)
}

/// The mean of several, each weighted by how sure it is; none of none.
pub fn mean(all: &[Sure]) -> Option<Sure> {
    if all.is_empty() {
        return None;
    }
    let weight = |one: &Sure| 1.0 / (one.uncertainty * one.uncertainty);
    let sum: f64 = all.iter().map(weight).sum();
    let value = all.iter().map(|one| weight(one) * one.value).sum::<f64>() / sum;
    let squares = |one: &Sure| weight(one) * (one.value - value) * (one.value - value);
    let squares = HALF_95 * HALF_95 * all.iter().map(squares).sum::<f64>();
    Some(Sure { value, uncertainty: sum.sqrt().recip() * birge(squares, all.len(), 1) })
}

/// What the value changes by from one to the next, by the weighted straight line through all; none below three.
pub fn trend(all: &[Sure]) -> Option<Sure> {
    if all.len() < 3 {
        return None;
    }
    let weight = |one: &Sure| 1.0 / (one.uncertainty * one.uncertainty);
    let placed = || (0_u32..).map(f64::from).zip(all);
    let sum: f64 = all.iter().map(weight).sum();
    let middle = placed().map(|(x, one)| weight(one) * x).sum::<f64>() / sum;
    let level = all.iter().map(|one| weight(one) * one.value).sum::<f64>() / sum;
    let wide: f64 = placed().map(|(x, one)| weight(one) * (x - middle) * (x - middle)).sum();
    let tilt: f64 = placed().map(|(x, one)| weight(one) * (x - middle) * (one.value - level)).sum();
    let value = tilt / wide;
    let off = |(x, one): (f64, &Sure)| {
        let off = one.value - level - value * (x - middle);
        weight(one) * off * off
    };
    let squares = HALF_95 * HALF_95 * placed().map(off).sum::<f64>();
    Some(Sure { value, uncertainty: wide.sqrt().recip() * birge(squares, all.len(), 2) })
}

/// Birge's ratio: how much more they scatter than they say; never below one.
fn birge(squares: f64, count: usize, fitted: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a lot has far fewer than 2^52 fills")]
    let free = count.saturating_sub(fitted) as f64;
    if free > 0.0 { (squares / free).sqrt().max(1.0) } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(have: f64, want: f64, what: &str) {
        assert!((have - want).abs() <= 1e-9 * want.abs().max(1.0), "{what}: {have}, want {want}");
    }

    /// By hand: 1350 kg less 30 kg, two weighings of ±3 kg: 1320 ± 3√2 kg. On 12 ha ± 1 %: 110 kg/ha, shares
    /// 0.321412 % and 1 % together 1.050384 %: √(18 / 1320² + 10⁻⁴). By 11 000 turns: 0.12 kg.
    #[test]
    fn a_fill_that_was_worked_by_hand() {
        let laid = laid_kg(1350.0, 30.0, 2, 3.0);
        near(laid.value, 1320.0, "laid");
        near(laid.uncertainty, 4.242_640_687_119_285, "laid ±");
        let area = Sure { value: 120_000.0, uncertainty: 1_200.0 };
        let rate = rate_kg_per_ha(&laid, &area);
        near(rate.value, 110.0, "rate");
        near(rate.uncertainty, 1.155_422_000_829_134, "rate ±");
        let turn = kg_per_turn(&laid, 11_000.0);
        near(turn.value, 0.12, "turn");
        near(turn.share(), 0.003_214_121_732_6, "turn ±");
        // 12 ha at 105 kg/ha are 1260 kg ± 12.6; 60 kg over, ± √(18 + 158.76).
        let over = over_kg(&laid, &area, 105.0);
        near(over.value, 60.0, "over");
        near(over.uncertainty, 176.76_f64.sqrt(), "over ±");
    }

    #[test]
    fn a_surer_fill_weighs_more_and_scatter_makes_the_mean_less_sure() {
        // Weights 1 and 1/4: (10 + 12/4) / 1.25 = 10.4, u = 1/√1.25. Squares 3.8416 (0.16 + 2.56/4) = 3.07.
        let two = [Sure { value: 10.0, uncertainty: 1.0 }, Sure { value: 12.0, uncertainty: 2.0 }];
        let joined = mean(&two).expect("two");
        near(joined.value, 10.4, "mean");
        near(joined.uncertainty, 1.25_f64.sqrt().recip() * 3.073_28_f64.sqrt(), "mean ±");
        let alike = [Sure { value: 10.0, uncertainty: 1.0 }; 4];
        near(mean(&alike).expect("four").uncertainty, 0.5, "four alike ±");
        assert_eq!(mean(&[]), None);
    }

    #[test]
    fn a_straight_line_has_its_slope_and_two_fills_have_none() {
        let at = |value| Sure { value, uncertainty: 0.1 };
        let slope = trend(&[at(1.0), at(1.5), at(2.0), at(2.5)]).expect("four");
        near(slope.value, 0.5, "slope");
        // Σ(x − x̄)² = 5 for four: 0.1/√5.
        near(slope.uncertainty, 0.1 / 5.0_f64.sqrt(), "slope ±");
        assert_eq!(trend(&[at(1.0), at(2.0)]), None);
    }
}
