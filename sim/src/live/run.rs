//! Scenarios on a board.

use super::{Board, Compared, LiveError, Remote};
use crate::bench::{judge_outside, settings};
use crate::carry::{CarryError, Image};
use crate::scenario::Scenario;
use crate::verdict::Verdict;
use controller::SettingsError;
use controller::settings::image::{fingerprint, spell};

/// A tick, s.
const TICK_S: f64 = 0.01;

/// A scenario that wants a board.
#[derive(Debug)]
pub struct Wanted<'a> {
    /// Its name, for the report.
    pub name: String,
    /// The file, as it is typed.
    pub typed: String,
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Fingerprint of the settings that the controller is to have.
    pub fingerprint: u32,
}

impl<'a> Wanted<'a> {
    /// The scenario of a file.
    ///
    /// # Errors
    ///
    /// The controller refuses its settings.
    pub fn new(typed: String, scenario: &'a Scenario) -> Result<Self, CarryError> {
        let image = Image::of(&settings(scenario))?;
        let fingerprint = fingerprint(image.bytes());
        Ok(Self { name: scenario.name.clone(), typed, scenario, fingerprint })
    }

    /// Ticks that it takes, about.
    pub fn ticks(&self) -> f64 {
        let pieces = self.scenario.profile.pieces.iter();
        let seconds: f64 = pieces.map(|piece| piece.end_s() - piece.start_s()).sum();
        #[expect(clippy::cast_precision_loss, reason = "at most a thousand seeds")]
        let runs = self.scenario.noise_seeds().map_or(1.0, |seeds| seeds.len() as f64);
        (seconds * runs / TICK_S).max(1.0)
    }

    /// Whether a board has its settings.
    ///
    /// # Errors
    ///
    /// [`LiveError::NoSettings`], [`LiveError::OtherSettings`].
    pub fn check(&self, board: &Board) -> Result<(), LiveError> {
        let scenario = self.typed.clone();
        let Some(have) = board.hello().fingerprint else {
            return Err(LiveError::NoSettings { scenario });
        };
        if have == self.fingerprint {
            return Ok(());
        }
        let [have, want] = [have, self.fingerprint].map(|it| spell(it).to_string());
        Err(LiveError::OtherSettings { have, want, scenario })
    }

    /// The verdict on what the board gives; `told` hears of every tick how many it answered so far.
    ///
    /// # Errors
    ///
    /// [`NoVerdict`].
    pub fn judge(
        &self,
        board: &mut Board,
        told: &dyn Fn(u64),
    ) -> Result<(Verdict, Compared), NoVerdict> {
        let mut remote = Remote::new(board, (self.name.clone(), self.fingerprint), told);
        let verdict = judge_outside(self.scenario, &mut remote).map_err(NoVerdict::Refused)?;
        Ok((verdict, remote.outcome().map_err(NoVerdict::Live)?))
    }
}

/// Why there is no verdict.
#[derive(Debug)]
pub enum NoVerdict {
    /// The controller refuses the settings of the scenario.
    Refused(SettingsError),
    /// The board.
    Live(LiveError),
}
