//! Spearman's rank correlation: how far one number rises or falls with another, straight line or not.
//!
//! Pearson's coefficient of the ranks; equal values share the mean of their ranks (Spearman 1904; ties as in
//! Kendall 1948, *Rank correlation methods*, ch. 3):
//!
//! ```text
//!  ρ = Σ (r − r̄)(s − s̄) / √( Σ (r − r̄)² · Σ (s − s̄)² ),   r̄ = s̄ = (n + 1) / 2
//! ```
//!
//! Twice the ranks are whole numbers: the sums are exact, whatever the order of the cases. Without any connexion
//! the variance of ρ is `1 / (n − 1)`.

/// Twice the rank of each value, from 2; equal values share the mean of their ranks.
pub fn ranks(values: &[f64]) -> Vec<u64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![0; values.len()];
    let mut before = 0_u64;
    #[expect(clippy::float_cmp, reason = "ties are values that are the same number")]
    for tied in order.chunk_by(|&a, &b| values[a] == values[b]) {
        let count = tied.len() as u64;
        // Ranks before + 1 to before + count: twice their mean is the sum of the ends.
        for &index in tied {
            ranks[index] = 2 * before + count + 1;
        }
        before += count;
    }
    ranks
}

/// A column of numbers with twice their ranks.
#[derive(Clone, Debug)]
pub struct Ranked {
    values: Vec<f64>,
    ranks: Vec<u64>,
    whole: bool,
}

impl Ranked {
    /// Ranks `values`; NaN stands for one that does not exist.
    pub fn new(values: Vec<f64>) -> Self {
        let whole = !values.iter().any(|value| value.is_nan());
        Self { ranks: ranks(&values), values, whole }
    }

    /// ρ with another column of the same cases: of those in which both numbers exist, none where either is
    /// the same throughout.
    pub fn correlation(&self, other: &Self) -> Option<f64> {
        if self.whole && other.whole {
            return of_ranks(&self.ranks, &other.ranks);
        }
        let pairs = self.values.iter().zip(&other.values);
        let there = pairs.filter(|(x, y)| !x.is_nan() && !y.is_nan());
        let (x, y): (Vec<f64>, Vec<f64>) = there.unzip();
        of_ranks(&ranks(&x), &ranks(&y))
    }
}

/// Spearman's ρ of two columns.
pub fn spearman(x: &[f64], y: &[f64]) -> Option<f64> {
    Ranked::new(x.to_vec()).correlation(&Ranked::new(y.to_vec()))
}

/// Pearson's coefficient of twice the ranks.
fn of_ranks(r: &[u64], s: &[u64]) -> Option<f64> {
    // Twice the mean rank.
    let middle = i128::try_from(r.len()).ok()? + 1;
    let product = |a: &[u64], b: &[u64]| -> i128 {
        let off = |rank: u64| i128::from(rank) - middle;
        a.iter().zip(b).map(|(&a, &b)| off(a) * off(b)).sum()
    };
    #[expect(clippy::cast_precision_loss, reason = "rounded once, at the end")]
    let [both, of_x, of_y] = [product(r, s), product(r, r), product(s, s)].map(|it| it as f64);
    (of_x > 0.0 && of_y > 0.0).then(|| both / (of_x.sqrt() * of_y.sqrt()))
}
