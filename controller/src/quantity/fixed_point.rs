//! The fixed-point quantities.

use fixed::types::{I8F24, I11F21, I12F20, U0F16, U6F26, U16F16};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $fixed:ty, $bits:ty, $format:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
        #[must_use]
        pub struct $name($fixed);

        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(<$fixed>::ZERO);
            /// Largest value.
            pub const MAX: Self = Self(<$fixed>::MAX);

            /// The quantity with these raw bits.
            pub const fn from_bits(bits: $bits) -> Self {
                Self(<$fixed>::from_bits(bits))
            }

            /// The raw bits.
            pub const fn to_bits(self) -> $bits {
                self.0.to_bits()
            }

            /// The value as a `fixed` number.
            #[must_use]
            pub const fn get(self) -> $fixed {
                self.0
            }

            /// Sum, held at the ends of the range.
            pub const fn saturating_add(self, other: Self) -> Self {
                Self(self.0.saturating_add(other.0))
            }

            /// Difference, held at the ends of the range.
            pub const fn saturating_sub(self, other: Self) -> Self {
                Self(self.0.saturating_sub(other.0))
            }
        }

        #[cfg(feature = "defmt")]
        impl defmt::Format for $name {
            fn format(&self, f: defmt::Formatter<'_>) {
                // The raw word with its format: no float on the target.
                defmt::write!(f, $format, self.to_bits());
            }
        }

        #[cfg(feature = "serde")]
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                self.to_bits().serialize(serializer)
            }
        }

        #[cfg(feature = "serde")]
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                <$bits>::deserialize(deserializer).map(Self::from_bits)
            }
        }
    };
}

quantity!(
    /// Speed over ground in metres per second, Q12.20: ±2 048 m/s in steps of 0.95 µm/s.
    MetresPerSecond, I12F20, i32, "{=i32}q20 m/s"
);
quantity!(
    /// Acceleration in metres per second squared, Q12.20: ±2 048 m/s² in steps of 0.95 µm/s².
    MetresPerSecondSquared, I12F20, i32, "{=i32}q20 m/s2"
);
quantity!(
    /// Yaw rate in radians per second, Q8.24: ±128 rad/s in steps of 60 nrad/s, anticlockwise positive (ISO 8855).
    RadiansPerSecond, I8F24, i32, "{=i32}q24 rad/s"
);
quantity!(
    /// Shaft speed in turns per second, Q11.21: ±1 024 turns/s in steps of 0.48 µturns/s.
    TurnsPerSecond, I11F21, i32, "{=i32}q21 turns/s"
);
quantity!(
    /// Meter shaft turns per metre of travel, Q6.26: 0 to 64 turns/m in steps of 15 nturns/m.
    TurnsPerMetre, U6F26, u32, "{=u32}q26 turns/m"
);
quantity!(
    /// Seeding rate in milligrams per square metre, Q16.16: 0 to 65 536 mg/m² in steps of 15 ng/m²; 1 kg/ha is 100 mg/m².
    MilligramsPerSquareMetre, U16F16, u32, "{=u32}q16 mg/m2"
);
quantity!(
    /// Ground pulses per metre of travel, Q16.16: 0 to 65 536 per metre.
    PulsesPerMetre, U16F16, u32, "{=u32}q16 1/m"
);
quantity!(
    /// Valve command as a share of full command, Q0.16: 0 to 0.999 985.
    Command, U0F16, u16, "{=u16}q16"
);

impl MetresPerSecond {
    /// The speed of a word of 1 mm/s per bit, as ISO 11783-7 sends it. Held at 2 047.9 m/s; rounded to the nearest step.
    pub const fn from_millimetres(millimetres_per_second: u32) -> Self {
        // 2^20 / 1000 = 2^17 / 125, rounded half up.
        let scaled =
            (millimetres_per_second as u64).saturating_mul(1 << 17).saturating_add(62) / 125;
        if scaled > i32::MAX as u64 {
            return Self::MAX;
        }
        #[expect(
            clippy::cast_possible_truncation,
            reason = "compared with the largest value just above"
        )]
        let bits = scaled as i32;
        Self::from_bits(bits)
    }

    /// The larger of two speeds.
    pub fn at_least(self, floor: Self) -> Self {
        self.max(floor)
    }
}

impl MilligramsPerSquareMetre {
    /// The rate of so many hundredths of a kilogram per hectare, which is so many whole mg/m².
    pub const fn from_whole(milligrams_per_square_metre: u16) -> Self {
        Self::from_bits((milligrams_per_square_metre as u32) << 16)
    }
}
