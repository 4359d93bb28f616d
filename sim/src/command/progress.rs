//! The progress bar: on a terminal only, on the error channel.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::{Mutex, PoisonError};

/// Steps of the bar.
const STEPS: f64 = 1000.0;

/// How far several pieces of work have come.
#[derive(Debug)]
pub(super) struct Progress {
    bar: ProgressBar,
    parts: Mutex<Vec<Part>>,
}

/// A piece of work.
#[derive(Clone, Copy, Debug)]
struct Part {
    /// Its share of the whole.
    weight: f64,
    /// How much of it is done, 0..1.
    done: f64,
}

impl Progress {
    /// Nothing done yet; `work` is how much there is of each piece, in any unit.
    pub(super) fn new(work: &[f64]) -> Self {
        let whole: f64 = work.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        let parts = work.iter().map(|&work| Part { weight: work / whole, done: 0.0 }).collect();
        let bar = if std::io::stderr().is_terminal() { visible() } else { ProgressBar::hidden() };
        Self { bar, parts: Mutex::new(parts) }
    }

    /// `share` (0..1) of piece `index` is done.
    pub(super) fn tell(&self, index: usize, share: f64) {
        let mut parts = self.parts.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(part) = parts.get_mut(index) {
            part.done = share.clamp(0.0, 1.0);
        }
        let done: f64 = parts.iter().map(|part| part.weight * part.done).sum();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 0 and 1000"
        )]
        self.bar.set_position((done * STEPS) as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

/// How many equal pieces of work are done. Telling takes no lock, so that threads do not wait for one another.
#[derive(Debug)]
pub(super) struct Count {
    bar: ProgressBar,
}

impl Count {
    /// Nothing done yet of `pieces`.
    pub(super) fn new(pieces: usize) -> Self {
        let bar = if std::io::stderr().is_terminal() { visible() } else { ProgressBar::hidden() };
        bar.set_length(pieces as u64);
        Self { bar }
    }

    /// One more is done.
    pub(super) fn tell(&self) {
        self.bar.inc(1);
    }
}

impl Drop for Count {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

fn visible() -> ProgressBar {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1000")]
    let bar = ProgressBar::with_draw_target(Some(STEPS as u64), ProgressDrawTarget::stderr());
    let style = ProgressStyle::with_template("on the bench {bar:40} {percent:>3} %  {eta} to go");
    match style {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
