//! How far off the results were: median, 95 %, worst, against the bound.

use std::fmt;

/// Errors of one number over all machines.
#[derive(Clone, Debug)]
pub(crate) struct Distribution {
    name: &'static str,
    unit: &'static str,
    bound: f64,
    errors: Vec<f64>,
}

impl Distribution {
    pub(crate) const fn new(name: &'static str, unit: &'static str, bound: f64) -> Self {
        Self { name, unit, bound, errors: Vec::new() }
    }

    /// Takes in one machine's error, whatever its sign.
    pub(crate) fn add(&mut self, error: f64) {
        self.errors.push(if error.is_nan() { f64::INFINITY } else { error.abs() });
    }

    /// The error that this share of the machines is at or below.
    fn at(&self, share: f64) -> f64 {
        let mut sorted = self.errors.clone();
        sorted.sort_by(f64::total_cmp);
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "some hundred machines"
        )]
        let place = (share * (sorted.len() - 1) as f64).round() as usize;
        sorted[place]
    }

    /// Every machine keeps the bound.
    pub(crate) fn check(&self) {
        eprintln!("{self}");
        let worst = self.at(1.0);
        let place = self.errors.iter().position(|&error| error >= worst).unwrap_or(0);
        assert!(worst <= self.bound, "{self}; machine {place} is the worst");
    }
}

impl fmt::Display for Distribution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { name, unit, bound, errors } = self;
        let count = errors.len();
        let [median, most, worst] = [0.5, 0.95, 1.0].map(|share| self.at(share));
        write!(
            f,
            "{name}: {count} machines, error median {median:.3}, 95 % {most:.3}, worst {worst:.3} {unit}, bound \
             {bound} {unit}"
        )
    }
}
