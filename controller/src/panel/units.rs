//! Figures for the eye: exact fractions, rounded once, half up, in metric or US customary units.
//!
//! | figure | metric | US | exact |
//! |---|---|---|---|
//! | rate | kg/ha | lb/ac | 1 kg/ha = 100 mg/m²; lb = 453 592.37 mg, acre = 4 046.856 422 4 m² |
//! | area | ha | ac | ha = 10^10 mm² |
//! | mass | kg | lb | kg = 10^9 µg |
//! | way | m | ft | ft = 304 800 µm |
//! | speed | km/h | mph | mile = 1 609.344 m |
//! | shaft | /min | /min | |
//!
//! Factors: NIST Special Publication 811, appendix B, exact ones from memory; the international foot and acre.

use super::line::Line;
use crate::quantity::{MetresPerSecond, MilligramsPerSquareMetre, TurnsPerSecond, divide_wide};

/// Units on the display.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Units {
    /// kg/ha, ha, kg, m, km/h.
    #[default]
    Metric,
    /// lb/ac, ac, lb, ft, mph.
    Us,
}

/// A figure as an exact fraction, with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Figure {
    top: u128,
    bottom: u128,
    pub(super) unit: &'static str,
}

impl Figure {
    pub(super) fn new(value: u64, factor: u64, bottom: u64, unit: &'static str) -> Self {
        let top = u128::from(value).saturating_mul(u128::from(factor));
        Self { top, bottom: u128::from(bottom), unit }
    }

    /// A sixtieth of it: a second instead of a minute.
    pub(super) const fn sixtieth(self) -> Self {
        Self { bottom: self.bottom.saturating_mul(60), ..self }
    }

    /// The number of 10^-decimals, rounded half up; none beyond 64 bits.
    pub(super) fn rounded(self, decimals: u32) -> Option<u64> {
        let top = 10_u128.checked_pow(decimals)?.checked_mul(self.top)?.checked_mul(2)?;
        let whole = divide_wide(top.checked_add(self.bottom)?, self.bottom.checked_mul(2)?)?;
        u64::try_from(whole).ok()
    }

    /// Writes the number with the most decimals, up to `decimals`, that leave it within `room` signs; one that is too large
    /// is `>` and nines. Nothing is ever cut.
    pub(super) fn write<const N: usize>(self, line: &mut Line<N>, decimals: u32, room: usize) {
        for decimals in (0..=decimals).rev() {
            let Some(whole) = self.rounded(decimals) else { continue };
            let mut text = Line::<24>::default();
            text.decimal(whole, decimals);
            if text.len() <= room {
                line.text(text.as_str());
                return;
            }
        }
        line.text(">");
        for _ in 1..room {
            line.text("9");
        }
    }
}

impl Units {
    /// A seeding rate.
    pub(super) fn rate(self, rate: MilligramsPerSquareMetre) -> Figure {
        let bits = u64::from(rate.to_bits());
        match self {
            Self::Metric => Figure::new(bits, 1, 100 << 16, "kg/ha"),
            // lb/ac = mg/m² · 4046.8564224 / 453592.37; both by 10^7, and by 2^16 for the format.
            Self::Us => Figure::new(bits, 40_468_564_224, 4_535_923_700_000 << 16, "lb/ac"),
        }
    }

    /// A mean rate of so much mass on so much area; none without area.
    pub(super) fn laid(self, mass_ug: u64, area_mm2: u64) -> Option<Figure> {
        if area_mm2 == 0 {
            return None;
        }
        // kg/ha = 10 µg/mm²; lb/ac = µg/mm² · 4046856422.4 / 453592370.
        let (factor, by, unit) = match self {
            Self::Metric => (10, 1, "kg/ha"),
            Self::Us => (40_468_564_224, 4_535_923_700, "lb/ac"),
        };
        let bottom = u128::from(area_mm2).saturating_mul(by);
        Some(Figure { top: u128::from(mass_ug).saturating_mul(factor), bottom, unit })
    }

    /// An area.
    pub(super) fn area(self, area_mm2: u64) -> Figure {
        match self {
            Self::Metric => Figure::new(area_mm2, 1, 10_000_000_000, "ha"),
            Self::Us => Figure::new(area_mm2, 10, 40_468_564_224, "ac"),
        }
    }

    /// A mass.
    pub(super) fn mass(self, mass_ug: u64) -> Figure {
        match self {
            Self::Metric => Figure::new(mass_ug, 1, 1_000_000_000, "kg"),
            Self::Us => Figure::new(mass_ug, 1, 453_592_370, "lb"),
        }
    }

    /// A way.
    pub(super) fn way(self, way_um: u64) -> Figure {
        match self {
            Self::Metric => Figure::new(way_um, 1, 1_000_000, "m"),
            Self::Us => Figure::new(way_um, 1, 304_800, "ft"),
        }
    }

    /// A ground speed, without its sign.
    pub(super) fn speed(self, speed: MetresPerSecond) -> Figure {
        let bits = u64::from(speed.to_bits().unsigned_abs());
        match self {
            Self::Metric => Figure::new(bits, 36, 10 << 20, "km/h"),
            Self::Us => Figure::new(bits, 3_600_000, 1_609_344 << 20, "mph"),
        }
    }
}

/// A shaft speed, without its sign, in turns per minute.
pub(super) fn shaft(shaft: TurnsPerSecond) -> Figure {
    Figure::new(u64::from(shaft.to_bits().unsigned_abs()), 60, 1 << 21, "/min")
}

#[cfg(test)]
mod tests {
    use super::{Figure, Units, shaft};
    use crate::panel::line::Line;
    use crate::quantity::{MetresPerSecond, MilligramsPerSquareMetre, TurnsPerSecond};
    use heapless::String;

    fn text(figure: Figure, decimals: u32, room: usize) -> String<24> {
        let mut line = Line::default();
        figure.write(&mut line, decimals, room);
        line.text(figure.unit);
        line.into_text()
    }

    #[test]
    fn known_quantities_read_as_in_the_tables() {
        let rate = MilligramsPerSquareMetre::from_whole(11_000);
        assert_eq!(text(Units::Metric.rate(rate), 2, 5), "110.0kg/ha");
        // 110 kg/ha × 0.892 179 = 98.14 lb/ac.
        assert_eq!(text(Units::Us.rate(rate), 2, 5), "98.14lb/ac");
        assert_eq!(text(Units::Us.area(40_468_564_224), 2, 6), "10.00ac");
        assert_eq!(text(Units::Metric.area(123_456_000_000), 2, 6), "12.35ha");
        assert_eq!(text(Units::Us.mass(22_679_618_500), 1, 6), "50.0lb");
        assert_eq!(text(Units::Us.way(30_480_000), 0, 7), "100ft");
        let speed = MetresPerSecond::from_millimetres(2_000);
        assert_eq!(text(Units::Metric.speed(speed), 1, 4), "7.2km/h");
        assert_eq!(text(Units::Us.speed(speed), 1, 4), "4.5mph");
        assert_eq!(text(shaft(TurnsPerSecond::from_bits(1 << 21)), 1, 4), "60.0/min");
        let laid = Units::Metric.laid(11_000_000, 1_000_000).expect("an area");
        assert_eq!(text(laid, 2, 5), "110.0kg/ha");
    }

    #[test]
    fn a_half_is_rounded_up_once_and_what_is_too_large_says_so() {
        // 99.95: with two decimals it has no room in four signs, with one it would be 100.0, which has none either.
        assert_eq!(text(Figure::new(9_995, 1, 100, ""), 2, 4), "100");
        assert_eq!(text(Figure::new(9_994, 1, 100, ""), 2, 4), "99.9");
        assert_eq!(text(Figure::new(5, 1, 10, ""), 0, 4), "1");
        assert_eq!(text(Figure::new(9_999, 1, 1, ""), 2, 4), "9999");
        assert_eq!(text(Figure::new(10_000, 1, 1, ""), 2, 4), ">999");
        assert_eq!(text(Figure::new(u64::MAX, u64::MAX, 1, ""), 2, 4), ">999");
    }
}
