//! Quantiles of Student's t and of chi-square, as tables print them.
//!
//! NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 (t) and 1.3.6.7.4 (chi-square):
//! <https://www.itl.nist.gov/div898/handbook/eda/section3/eda3672.htm>, `eda3674.htm`. Three decimals.

use crate::near;
use sim::desk::confidence::{chi_square_quantile, half_width, t_quantile};

#[test]
fn points_of_students_t_are_those_of_the_table() {
    let table =
        [(1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (9, 2.262), (11, 2.201), (29, 2.045)];
    for (degrees, printed) in table {
        let have = t_quantile(0.975, degrees).expect("a degree of freedom");
        near(&format!("t, {degrees} degrees"), have, printed, 0.0005);
    }
}

#[test]
fn points_of_chi_square_are_those_of_the_table() {
    let table = [
        (1, 0.001, 5.024),
        (2, 0.051, 7.378),
        (3, 0.216, 9.348),
        (4, 0.484, 11.143),
        (9, 2.700, 19.023),
        (29, 16.047, 45.722),
    ];
    for (degrees, low, high) in table {
        let point = |share| chi_square_quantile(share, degrees).expect("a degree of freedom");
        near(&format!("2.5 %, {degrees} degrees"), point(0.025), low, 0.0005);
        near(&format!("97.5 %, {degrees} degrees"), point(0.975), high, 0.0005);
    }
}

/// With one and with two degrees of freedom t has closed forms: tan(π(p − ½)) and (2p − 1)·√(2/(4p(1 − p))).
#[test]
fn few_degrees_of_freedom_agree_with_the_closed_forms() {
    let p = 0.975_f64;
    let one = (std::f64::consts::PI * (p - 0.5)).tan();
    let two = (2.0 * p - 1.0) * (2.0 / (4.0 * p * (1.0 - p))).sqrt();
    near("one", t_quantile(p, 1).unwrap_or(f64::NAN), one, 1e-8);
    near("two", t_quantile(p, 2).unwrap_or(f64::NAN), two, 1e-8);
    // Two catches 1 % apart in standard deviation: the mean is known to 9 %, not to 1 %.
    near(
        "two catches",
        half_width(0.01, 2).unwrap_or(f64::NAN),
        one * 0.01 / 2.0_f64.sqrt(),
        1e-10,
    );
}
