//! Unit factors that no settings file needs, but hydraulic and field sums do.
//!
//! Definitions: inch 0.0254 m, pound 0.453 592 37 kg, standard gravity 9.806 65 m/s², US gallon 231 in³,
//! bushel 2150.42 in³, knot 1852 m/h, all exact (NIST Special Publication 811, appendix B). What is derived
//! from them is computed, not typed in. Units of files are in [`crate::unit`].

use std::f64::consts::TAU;

/// One inch, m.
pub const INCH_M: f64 = 0.0254;
/// One foot, m.
pub const FOOT_M: f64 = 12.0 * INCH_M;
/// One mile, m.
pub const MILE_M: f64 = 5280.0 * FOOT_M;
/// One US survey mile, m: 5280 feet of 1200/3937 m.
pub const SURVEY_MILE_M: f64 = 5280.0 * 1200.0 / 3937.0;
/// One knot, m/s.
pub const KNOT_MPS: f64 = 1852.0 / 3600.0;
/// One pound, kg.
pub const POUND_KG: f64 = 0.453_592_37;
/// One ounce, kg.
pub const OUNCE_KG: f64 = POUND_KG / 16.0;
/// One short ton, kg.
pub const SHORT_TON_KG: f64 = 2000.0 * POUND_KG;
/// One square foot, m².
pub const SQUARE_FOOT_M2: f64 = FOOT_M * FOOT_M;
/// One acre of the international foot, m².
pub const ACRE_M2: f64 = 43_560.0 * SQUARE_FOOT_M2;
/// One acre of the US survey foot, m²: the acre of SP 811, 4 ppm larger.
pub const SURVEY_ACRE_M2: f64 = SURVEY_MILE_M * SURVEY_MILE_M / 640.0;
/// One hectare, m².
pub const HECTARE_M2: f64 = 10_000.0;
/// One cubic inch, m³.
pub const CUBIC_INCH_M3: f64 = INCH_M * INCH_M * INCH_M;
/// One US gallon, m³.
pub const GALLON_M3: f64 = 231.0 * CUBIC_INCH_M3;
/// One US bushel, m³.
pub const BUSHEL_M3: f64 = 2150.42 * CUBIC_INCH_M3;
/// One litre, m³.
pub const LITRE_M3: f64 = 1e-3;
/// One pound-force, N.
pub const POUND_FORCE_N: f64 = POUND_KG * 9.806_65;
/// One pound-force per square inch, Pa.
pub const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
/// One bar, Pa.
pub const BAR_PA: f64 = 1e5;
/// One pound-force inch, N·m.
pub const POUND_INCH_NM: f64 = POUND_FORCE_N * INCH_M;
/// One pound-force foot, N·m.
pub const POUND_FOOT_NM: f64 = POUND_FORCE_N * FOOT_M;
/// One turn a minute, rad/s.
pub const RPM_RAD_PER_S: f64 = TAU / 60.0;
/// One pound per cubic foot, kg/m³.
pub const POUND_PER_CUBIC_FOOT_KG_PER_M3: f64 = POUND_KG / (SQUARE_FOOT_M2 * FOOT_M);
/// One pound per US gallon, kg/m³.
pub const POUND_PER_GALLON_KG_PER_M3: f64 = POUND_KG / GALLON_M3;
/// One horsepower (550 foot pound-force a second), W.
pub const HORSEPOWER_W: f64 = 550.0 * POUND_FOOT_NM;
/// One pound per acre, kg/ha.
pub const POUND_PER_ACRE_KG_PER_HA: f64 = POUND_KG * HECTARE_M2 / ACRE_M2;
