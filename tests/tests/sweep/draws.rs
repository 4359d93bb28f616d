//! Draws follow their spread, and one parameter does not disturb another.

use super::{file, ranges};
use sim::sweep::{Draws, read};
use tempfile::tempdir;

/// Share of a spread below a value.
type Below = fn(f64) -> f64;

/// The normal distribution below −1, −0.5, 0, 0.5, 1, 1.5 and 2 deviations, as every table has it.
const PHI: [f64; 7] = [0.158_66, 0.308_54, 0.5, 0.691_46, 0.841_34, 0.933_19, 0.977_25];

#[test]
fn draws_follow_their_spread_whether_shared_or_not() {
    let folder = tempdir().unwrap();
    let vary = "gain = { from = 1, to = 4, spread = \"normal\", mean = 2, deviation = 1 }\n\
        lag = { from = \"0.02 s\", to = \"2 s\", spread = \"log-uniform\" }\n\
        dead_time = { from = \"0.1 s\", to = \"0.3 s\" }";
    let below: [Below; 2] = [|x| (x / 0.02).log10() / 2.0, |x| (x - 0.1) / 0.2];
    let count = 2000_u32;
    let step = |place: usize| f64::from(u32::try_from(place).unwrap()) / f64::from(count);
    // Kolmogorov's distance: 1.95/√n is passed by chance once in a thousand times.
    for (head, most) in [("", 1.95 / f64::from(count).sqrt()), ("hypercube = true", step(1))] {
        let ranges = ranges(&folder, head, vary);
        let draws = Draws::new(&ranges, 7, count);
        let cases: Vec<Vec<f64>> = (1..=count).map(|case| draws.values(case)).collect();
        for (index, below) in below.iter().enumerate() {
            let mut shares: Vec<f64> =
                cases.iter().map(|values| below(values[index + 1])).collect();
            shares.sort_by(f64::total_cmp);
            let far = shares.iter().enumerate().map(|(place, share)| {
                (share - step(place)).abs().max((share - step(place + 1)).abs())
            });
            let far = far.fold(0.0, f64::max);
            assert!(far <= most + 1e-9, "{head:?}, parameter {index}: {far} off, at most {most}");
        }
        for (half, phi) in PHI.iter().enumerate() {
            let x = 1.0 + step(half) * f64::from(count) / 2.0;
            let have = step(cases.iter().filter(|values| values[0] <= x).count());
            let want = (phi - PHI[0]) / (PHI[6] - PHI[0]);
            assert!((have - want).abs() <= most + 1e-4, "{head:?}: {have} below {x}, want {want}");
        }
    }
}

#[test]
fn whole_numbers_are_drawn_alike_and_a_new_parameter_leaves_the_others() {
    let folder = tempdir().unwrap();
    let alone = "encoder_pulses = { from = 1, to = 4 }";
    let ranges = ranges(&folder, "", alone);
    let draws = Draws::new(&ranges, 7, 4000);
    let numbers: Vec<f64> = (1..=4000).map(|case| draws.values(case)[0]).collect();
    for number in [1.0, 2.0, 3.0, 4.0_f64] {
        let count = numbers.iter().filter(|it| it.to_bits() == number.to_bits()).count();
        // Five standard deviations of a quarter of 4000.
        assert!((863..=1137).contains(&count), "{number} came {count} times");
    }
    let more =
        read(&file(&folder, "", &format!("{alone}\ngain = {{ from = 1, to = 2 }}"))).unwrap();
    let more = Draws::new(&more, 7, 4000);
    let again: Vec<f64> = (1..=4000).map(|case| more.values(case)[1]).collect();
    assert_eq!(again, numbers);
}
