//! Thins a curve to what a pixel can show: of every pixel column the smallest and largest value.

use std::fmt::Write;

/// Path data of a curve through `points` (px), in order of x.
pub(super) fn path(points: &[(f64, f64)]) -> String {
    let mut data = String::new();
    let thinned = thinned(points);
    for (index, &(x, y)) in thinned.iter().enumerate() {
        let flat = index > 0
            && thinned.get(index + 1).is_some_and(|next| same(next.1, y))
            && same(thinned[index - 1].1, y);
        if flat {
            continue;
        }
        let letter = if index == 0 { 'M' } else { 'L' };
        let _ = write!(data, "{letter}{} {}", tenth(x), tenth(y));
    }
    data
}

/// All points where there are few, else the lowest and the highest of each pixel column.
fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let width = points.last().map_or(0.0, |it| it.0) - points.first().map_or(0.0, |it| it.0);
    #[expect(clippy::cast_precision_loss, reason = "a number of points is far below 2^52")]
    let many = points.len() as f64 > 4.0 * width.max(8.0);
    if !many {
        return points.to_vec();
    }
    let columns = points.chunk_by(|a, b| same_column(a.0, b.0));
    columns.flat_map(ends).collect()
}

/// Lowest and highest point of a column, in order of x; one point if they are equal.
fn ends(column: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64)> + use<> {
    let low = column.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1));
    let high = column.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
    let (first, second) = match (low, high) {
        (Some(low), Some(high)) if high.0 < low.0 => (Some(high), Some(low)),
        (low, high) => (low, high.filter(|high| low.is_some_and(|low| !same(low.1, high.1)))),
    };
    first.into_iter().chain(second)
}

/// Both in one pixel column.
pub(super) fn same_column(a: f64, b: f64) -> bool {
    libm::floor(a).total_cmp(&libm::floor(b)).is_eq()
}

/// Rounded to the tenth of a pixel.
pub(super) fn tenth(pixels: f64) -> f64 {
    // Adding zero turns -0 into 0.
    libm::round(pixels * 10.0) / 10.0 + 0.0
}

/// The same tenth of a pixel: a slow slope is not flat.
fn same(a: f64, b: f64) -> bool {
    (tenth(a) - tenth(b)).abs() < 0.05
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_peak_of_one_sample_among_thousands_survives() {
        let points: Vec<(f64, f64)> = (0..100_000_u32)
            .map(|k| (f64::from(k) / 1000.0, if k == 55_555 { 9.0 } else { 1.0 }))
            .collect();
        let thinned = thinned(&points);
        assert!(thinned.len() < 250, "{} points", thinned.len());
        assert!(thinned.contains(&(55.555, 9.0)));
        assert!(path(&points).contains("L55.6 9"), "{}", path(&points));
    }

    #[test]
    fn few_points_are_all_kept_but_for_those_on_a_flat_line() {
        assert_eq!(path(&[(0.0, 1.0), (1.0, 1.0), (2.0, 1.0), (3.0, 5.0)]), "M0 1L2 1L3 5");
    }

    #[test]
    fn a_slow_slope_is_never_off_by_more_than_its_rounding() {
        let points: Vec<(f64, f64)> =
            (0..3000_u32).map(|k| (f64::from(k), 0.02 * f64::from(k))).collect();
        let data = path(&points);
        let drawn = data.split(['M', 'L']).filter_map(|it| it.split_once(' '));
        let drawn: Vec<(f64, f64)> =
            drawn.map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap())).collect();
        for pair in drawn.windows(2) {
            let middle = f64::midpoint(pair[0].0, pair[1].0);
            let have = f64::midpoint(pair[0].1, pair[1].1);
            assert!((have - 0.02 * middle).abs() <= 0.1, "at {middle}: {have}");
        }
    }
}
