//! One case of a sweep: a scenario on one machine, with one set of numbers told to the controller.

use super::Parameter;
use crate::bench::{Law, Ours, SampleSense, Samples, Senses, Shown, run_piece};
use crate::scenario::Scenario;
use crate::score::{Score, Tallies, score};
use controller::SettingsError;

/// A machine, and what the controller is told about it.
#[derive(Clone, Debug)]
pub struct Case {
    /// The machine as it truly is, with speed, acts and disturbances.
    pub truth: Scenario,
    /// The same scenario as a person would have written it for the controller.
    pub told: Scenario,
    /// Seed of every noise in it.
    pub noise_seed: u64,
    /// By how much the age of a GNSS sample is told too large, s.
    pub(super) latency_error_s: f64,
    /// Time between supply dips, s.
    pub(super) dip_every_s: f64,
    /// Length of a supply dip, s.
    pub(super) dip_length_s: f64,
}

/// Time between supply dips where none is named, s.
const DIP_EVERY_S: f64 = 10.0;

/// Length of a supply dip where none is named, s.
const DIP_LENGTH_S: f64 = 1.0;

impl Case {
    /// The scenario with parameters put into it, which come in the order of the table.
    pub fn new<'a>(
        scenario: &Scenario,
        noise_seed: u64,
        values: impl IntoIterator<Item = (&'a Parameter, f64)>,
    ) -> Self {
        let mut case = Self {
            truth: scenario.clone(),
            told: scenario.clone(),
            noise_seed,
            latency_error_s: 0.0,
            dip_every_s: DIP_EVERY_S,
            dip_length_s: DIP_LENGTH_S,
        };
        values.into_iter().for_each(|(parameter, value)| (parameter.apply)(&mut case, value));
        case
    }

    /// The figures of the case.
    ///
    /// # Errors
    ///
    /// That of the settings the controller is told.
    pub fn run(&self) -> Result<Score, SettingsError> {
        let mut score = self.ours(&self.truth)?;
        if let Some(smooth) = self.smooth() {
            let alone = self.ours(&smooth)?;
            let both = score.rms_pct;
            score.control_within_5_pct = alone.within_5_pct;
            score.control_within_10_pct = alone.within_10_pct;
            score.control_rms_pct = alone.rms_pct;
            score.meter_rms_pct = (both * both - alone.rms_pct * alone.rms_pct).max(0.0).sqrt();
        }
        Ok(score)
    }

    /// The controller on a machine.
    fn ours(&self, machine: &Scenario) -> Result<Score, SettingsError> {
        let mut tallies = Tallies::default();
        let mut pieces = Vec::new();
        for piece in &machine.profile.pieces {
            let ours = Ours::new(&self.told)?;
            let mut law = Misdated { ours, late_s: self.latency_error_s };
            pieces.push(run_piece(machine, piece, self.noise_seed, &mut law, &mut |_| {}));
            tallies = tallies.plus(law.ours.tallies());
        }
        Ok(score(&machine.drill, &pieces, Some(tallies)).0)
    }

    /// The machine with a smooth meter, if its meter scatters: the controller sees no seed, so that its run
    /// is the same and what is left is its own part.
    fn smooth(&self) -> Option<Scenario> {
        let meter = &self.truth.drill.truth.meter;
        if meter.pulsation == 0.0 && meter.wander == 0.0 {
            return None;
        }
        let mut smooth = self.truth.clone();
        smooth.drill.truth.meter.pulsation = 0.0;
        smooth.drill.truth.meter.wander = 0.0;
        Some(smooth)
    }
}

/// The controller on a board that is told a wrong age of the speed samples.
struct Misdated {
    ours: Ours,
    late_s: f64,
}

impl Law for Misdated {
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        let date = |sample: SampleSense| SampleSense { at_s: sample.at_s - self.late_s, ..sample };
        let samples = Samples { receiver: senses.samples.receiver.map(date), ..senses.samples };
        self.ours.tick(&Senses { samples, ..*senses }, commands);
    }

    fn show(&self, side: usize) -> Shown {
        self.ours.show(side)
    }
}
