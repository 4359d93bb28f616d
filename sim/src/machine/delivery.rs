//! The way from meter to soil: a transport delay, and a spread of it.

/// A delivery tube.
#[derive(Clone, Debug)]
pub struct Delivery {
    falling: Vec<f64>,
    head: usize,
    delay: usize,
    kernel: Vec<(usize, f64)>,
}

impl Delivery {
    /// A tube with `delay_s` and a Gaussian spread of `spread_s` rms, stepped every `step_s`.
    pub fn new(delay_s: f64, spread_s: f64, step_s: f64) -> Self {
        let whole_steps = |seconds: f64| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a delay of seconds"
            )]
            let whole = libm::round(seconds.max(0.0) / step_s) as usize;
            whole
        };
        let delay = whole_steps(delay_s);
        let mut kernel: Vec<(usize, f64)> = Vec::new();
        if spread_s > 0.0 {
            for tenth in -20..=20 {
                let offset = f64::from(tenth) / 10.0;
                kernel.push((
                    whole_steps(delay_s + offset * spread_s),
                    libm::exp(-offset * offset / 2.0),
                ));
            }
            let sum: f64 = kernel.iter().map(|part| part.1).sum();
            for part in &mut kernel {
                part.1 /= sum;
            }
        }
        let longest = kernel.iter().map(|part| part.0).max().unwrap_or(0).max(delay);
        Self { falling: vec![0.0; longest + 1], head: 0, delay, kernel }
    }

    /// Takes what the meter gave in this step and returns what reaches the soil in it, kg.
    pub fn step(&mut self, metered_kg: f64) -> f64 {
        let slots = self.falling.len();
        if self.kernel.is_empty() {
            let slot = self.head + self.delay;
            self.falling[if slot < slots { slot } else { slot - slots }] += metered_kg;
        } else {
            for &(steps, share) in &self.kernel {
                self.falling[(self.head + steps) % slots] += metered_kg * share;
            }
        }
        let landed = core::mem::take(&mut self.falling[self.head]);
        self.head = if self.head + 1 == slots { 0 } else { self.head + 1 };
        landed
    }
}
