//! Every kind of quantity with its units, and the exact factors.
//!
//! Factors: NIST Special Publication 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 in = 0.0254 m,
//! 1 mi = 1609.344 m, 1 lb = 0.453 592 37 kg, 1 oz = 1/16 lb, all exact. The acre is that of the
//! *international* foot, 43 560 ft² = 4046.856 422 4 m²; the US survey foot was retired at the end of
//! 2022 (NIST, Federal Register 85 FR 62698) and differs by 4 ppm.

use super::dimension::System::{Both, Metric, Us};
use super::{Dimension, Unit};

/// 1 ft, m.
const FOOT_M: f64 = 0.3048;
/// 1 in, m.
const INCH_M: f64 = 0.0254;
/// 1 mi, m.
const MILE_M: f64 = 1609.344;
/// 1 lb, kg.
const POUND_KG: f64 = 0.453_592_37;
/// 1 ac, m².
const ACRE_M2: f64 = 4_046.856_422_4;
/// 1 ha, m².
const HECTARE_M2: f64 = 10_000.0;
/// 1 lbf, N: a pound in standard gravity, 9.806 65 m/s².
const POUND_FORCE_N: f64 = POUND_KG * 9.806_65;
/// 1 US gallon, m³: 231 in³.
const GALLON_M3: f64 = 231.0 * INCH_M * INCH_M * INCH_M;
/// 1 h, s.
const HOUR_S: f64 = 3600.0;

/// A unit with its spellings and its exact size as a fraction.
macro_rules! unit {
    ($system:ident, $numerator:expr, $denominator:expr, $($spelling:literal),+) => {
        Unit {
            spellings: &[$($spelling),+],
            numerator: $numerator,
            denominator: $denominator,
            zero: 0.0,
            system: $system,
        }
    };
}

/// A kind of quantity: documentation, name, example, bare numbers allowed, units.
macro_rules! dimension {
    ($(#[$doc:meta])* $name:ident, $words:literal, $example:literal, $bare:literal, $($unit:expr),+) => {
        $(#[$doc])*
        pub static $name: Dimension =
            Dimension { name: $words, example: $example, units: &[$($unit),+], bare: $bare };
    };
}

dimension!(
    /// Length, m.
    LENGTH, "a length", r#""4.0 m", "13 ft" or "7 1/2 in""#, false,
    unit!(Metric, 1.0, 1.0, "m"), unit!(Metric, 1.0, 100.0, "cm"), unit!(Metric, 1.0, 1000.0, "mm"),
    unit!(Metric, 1000.0, 1.0, "km"), unit!(Us, FOOT_M, 1.0, "ft", "'", "′", "foot", "feet"),
    unit!(Us, INCH_M, 1.0, "in", "\"", "″", "inch", "inches"),
    unit!(Us, MILE_M, 1.0, "mi")
);
dimension!(
    /// Speed, m/s.
    SPEED, "a speed", r#""1.5 m/s", "8 km/h" or "5 mph""#, false,
    unit!(Metric, 1.0, 1.0, "m/s"), unit!(Metric, 1000.0, HOUR_S, "km/h"),
    unit!(Us, MILE_M, HOUR_S, "mph", "mi/h", "MPH"), unit!(Us, FOOT_M, 1.0, "ft/s"),
    unit!(Us, FOOT_M, 60.0, "ft/min")
);
dimension!(
    /// Acceleration, m/s².
    ACCELERATION, "an acceleration", r#""0.5 m/s2" or "1.6 ft/s2""#, false,
    unit!(Metric, 1.0, 1.0, "m/s²", "m/s2"), unit!(Us, FOOT_M, 1.0, "ft/s²", "ft/s2")
);
dimension!(
    /// Time, s.
    TIME, "a time", r#""0.35 s" or "350 ms""#, false,
    unit!(Both, 1.0, 1.0, "s"), unit!(Both, 1.0, 1000.0, "ms"), unit!(Both, 60.0, 1.0, "min"),
    unit!(Both, HOUR_S, 1.0, "h")
);
dimension!(
    /// Mass, kg.
    MASS, "a mass", r#""250 kg", "550 lb" or "3 lb 4 oz""#, false,
    unit!(Metric, 1.0, 1.0, "kg"), unit!(Metric, 1.0, 1000.0, "g"), unit!(Us, POUND_KG, 1.0, "lb", "lbs", "pound", "pounds"),
    unit!(Us, POUND_KG, 16.0, "oz", "ounce", "ounces"), unit!(Metric, 1000.0, 1.0, "t"),
    unit!(Metric, 1.0, 1e6, "mg")
);
dimension!(
    /// Mass that one turn of the meter shaft delivers, kg.
    MASS_PER_TURN, "a mass per turn", r#""0.12 kg", "120 g" or "4.2 oz""#, false,
    unit!(Metric, 1.0, 1.0, "kg", "kg/turn"), unit!(Metric, 1.0, 1000.0, "g", "g/turn"),
    unit!(Us, POUND_KG, 1.0, "lb", "lb/turn"), unit!(Us, POUND_KG, 16.0, "oz", "oz/turn")
);
dimension!(
    /// Seeding rate, kg/ha.
    RATE, "a seeding rate", r#""110 kg/ha" or "98 lb/ac""#, false,
    unit!(Metric, 1.0, 1.0, "kg/ha"), unit!(Metric, 10.0, 1.0, "g/m2", "g/m²"),
    unit!(Us, POUND_KG * HECTARE_M2, ACRE_M2, "lb/ac", "lb/acre", "lbs/ac", "lbs/acre")
);
dimension!(
    /// Area, m².
    AREA, "an area", r#""12 ha" or "30 ac""#, false,
    unit!(Metric, HECTARE_M2, 1.0, "ha"), unit!(Metric, 1.0, 1.0, "m2", "m²"),
    unit!(Us, ACRE_M2, 1.0, "ac", "acre", "acres"), unit!(Us, FOOT_M * FOOT_M, 1.0, "ft2", "ft²")
);
dimension!(
    /// Speed of the meter shaft, turns/s.
    SHAFT_SPEED, "a shaft speed", r#""1.65 turns/s" or "99 turns/min""#, false,
    unit!(Both, 1.0, 1.0, "turns/s", "turn/s"),
    unit!(Both, 1.0, 60.0, "turns/min", "turn/min", "rpm", "RPM")
);
dimension!(
    /// Pulses per length of travel, 1/m.
    PULSES_PER_LENGTH, "a number of pulses per length", r#""130 /m" or "40 /ft""#, false,
    unit!(Metric, 1.0, 1.0, "/m", "pulses/m"), unit!(Us, 1.0, FOOT_M, "/ft", "pulses/ft")
);
dimension!(
    /// Share, 1.
    RATIO, "a share", r#""5 %" or 0.05"#, true,
    unit!(Both, 1.0, 100.0, "%")
);
dimension!(
    /// Angle, rad.
    ANGLE, "an angle", r#""12 deg""#, false,
    unit!(Both, std::f64::consts::PI, 180.0, "deg", "°"), unit!(Both, 1.0, 1.0, "rad")
);
dimension!(
    /// Angular rate, rad/s.
    ANGULAR_RATE, "an angular rate", r#""0.9 rad/s""#, false,
    unit!(Both, 1.0, 1.0, "rad/s"), unit!(Both, std::f64::consts::PI, 180.0, "deg/s", "°/s")
);
dimension!(
    /// Number in a time, 1/s.
    FREQUENCY, "a frequency", r#""10 Hz""#, false,
    unit!(Both, 1.0, 1.0, "Hz", "/s")
);

dimension!(
    /// Flow, m³/s.
    FLOW, "a flow", r#""12 L/min" or "3 gpm""#, false,
    unit!(Metric, 1e-3, 60.0, "L/min", "l/min", "lpm"), unit!(Metric, 1e-6, 1.0, "cm3/s", "cm³/s"),
    unit!(Metric, 1.0, 1.0, "m3/s", "m³/s"), unit!(Us, GALLON_M3, 60.0, "gpm", "gal/min", "GPM")
);
dimension!(
    /// Pressure, Pa.
    PRESSURE, "a pressure", r#""160 bar" or "2300 psi""#, false,
    unit!(Metric, 1e5, 1.0, "bar"), unit!(Metric, 1e6, 1.0, "MPa"), unit!(Metric, 1e3, 1.0, "kPa"),
    unit!(Metric, 1.0, 1.0, "Pa"), unit!(Us, POUND_FORCE_N, INCH_M * INCH_M, "psi", "PSI")
);
dimension!(
    /// Torque, N·m.
    TORQUE, "a torque", r#""40 N·m" or "350 lb-in""#, false,
    unit!(Metric, 1.0, 1.0, "N·m", "Nm", "N m", "N*m"),
    unit!(Us, POUND_FORCE_N * FOOT_M, 1.0, "lb-ft", "ft-lb", "lbf-ft"),
    unit!(Us, POUND_FORCE_N * INCH_M, 1.0, "lb-in", "in-lb", "lbf-in")
);
dimension!(
    /// Displacement of a motor or pump in one turn, m³.
    DISPLACEMENT, "a displacement", r#""100 cm3" or "6.1 in3""#, false,
    unit!(Metric, 1e-6, 1.0, "cm3", "cm³", "cc", "cm3/turn", "cm³/turn", "cc/rev", "cm3/rev"),
    unit!(Metric, 1e-3, 1.0, "L", "l"), unit!(Metric, 1.0, 1.0, "m3", "m³"),
    unit!(Us, INCH_M * INCH_M * INCH_M, 1.0, "in3", "in³", "in3/turn", "in³/turn", "in3/rev", "cu in", "cir")
);
dimension!(
    /// Number on an area, 1/m²: seeds, plants.
    PER_AREA, "a number on an area", r#""280 /m2" or "26 /ft2""#, false,
    unit!(Metric, 1.0, 1.0, "/m2", "/m²", "plants/m2", "plants/m²", "seeds/m2", "seeds/m²"),
    unit!(Metric, 1.0, HECTARE_M2, "/ha", "plants/ha", "seeds/ha"),
    unit!(Us, 1.0, FOOT_M * FOOT_M, "/ft2", "/ft²", "plants/ft2", "plants/ft²", "seeds/ft2", "seeds/ft²", "/sq ft"),
    unit!(Us, 1.0, ACRE_M2, "/ac", "plants/ac", "seeds/ac", "plants/acre", "seeds/acre")
);
dimension!(
    /// Number along a row, 1/m: seeds.
    PER_LENGTH, "a number along a row", r#""46 seeds/m" or "14 seeds/ft""#, false,
    unit!(Metric, 1.0, 1.0, "seeds/m"), unit!(Us, 1.0, FOOT_M, "seeds/ft")
);
dimension!(
    /// Number in a mass, 1/kg: seeds.
    PER_MASS, "a number in a mass", r#""211400 seeds/kg" or "200000 seeds/lb""#, false,
    unit!(Metric, 1.0, 1.0, "seeds/kg"), unit!(Metric, 1000.0, 1.0, "seeds/g"),
    unit!(Us, 1.0, POUND_KG, "seeds/lb"), unit!(Us, 16.0, POUND_KG, "seeds/oz")
);
dimension!(
    /// Price of a mass, money/kg; which money, the person knows.
    PRICE, "a price of a mass", r#""2.40 /kg" or "1.10 /lb""#, false,
    unit!(Metric, 1.0, 1.0, "/kg"), unit!(Metric, 1.0, 1000.0, "/t"), unit!(Us, 1.0, POUND_KG, "/lb")
);
dimension!(
    /// Ground covered in a time, m²/s.
    WORK_RATE, "a work rate", r#""3.2 ha/h" or "8 ac/h""#, false,
    unit!(Metric, HECTARE_M2, HOUR_S, "ha/h"), unit!(Us, ACRE_M2, HOUR_S, "ac/h", "acres/h")
);
dimension!(
    /// Mass in a time, kg/s.
    MASS_FLOW, "a mass in a time", r#""350 kg/h" or "770 lb/h""#, false,
    unit!(Metric, 1.0, HOUR_S, "kg/h"), unit!(Metric, 1.0, 1.0, "kg/s"), unit!(Us, POUND_KG, HOUR_S, "lb/h", "lbs/h")
);
/// Temperature, °C.
pub static TEMPERATURE: Dimension = Dimension {
    name: "a temperature",
    example: r#""40 °C" or "104 °F""#,
    units: &[
        Unit {
            spellings: &["°C", "C", "degC"],
            numerator: 1.0,
            denominator: 1.0,
            zero: 0.0,
            system: Metric,
        },
        Unit {
            spellings: &["°F", "F", "degF"],
            numerator: 5.0,
            denominator: 9.0,
            zero: 32.0,
            system: Us,
        },
    ],
    bare: false,
};

/// Every kind of quantity, for naming what a stray unit measures.
pub static ALL: [&Dimension; 25] = [
    &LENGTH,
    &SPEED,
    &ACCELERATION,
    &TIME,
    &MASS,
    &MASS_PER_TURN,
    &RATE,
    &AREA,
    &SHAFT_SPEED,
    &PULSES_PER_LENGTH,
    &RATIO,
    &ANGLE,
    &ANGULAR_RATE,
    &FREQUENCY,
    &FLOW,
    &PRESSURE,
    &TORQUE,
    &DISPLACEMENT,
    &PER_AREA,
    &PER_LENGTH,
    &PER_MASS,
    &PRICE,
    &WORK_RATE,
    &MASS_FLOW,
    &TEMPERATURE,
];
