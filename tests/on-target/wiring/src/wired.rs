//! One scenario between its first step and its score.
//!
//! ```text
//!  files in memory ─► scenario ─┬─► settings image
//!                               ├─► world ◄─ commands, shut-off     edges, levels, sentences ─►
//!                               └─► the bench's own run            both ─► score
//! ```

use crate::refused::{SIDES, refused};
use crate::sentence::rmc;
use sim::bench::{Given, STEP_S, World, run, settings};
use sim::carry::Image;
use sim::input::{Folder, InputFile};
use sim::profile::Piece;
use sim::scenario::{Bound, Scenario, Tolerance, read};
use sim::score::{FIGURES, Score, score};
use std::path::Path;
use std::sync::Arc;

/// A scenario that is played.
pub(crate) struct Wired {
    scenario: &'static Scenario,
    piece: &'static Piece,
    seed: u64,
    steps: u32,
    world: Option<World<'static>>,
    /// Of the board at its pins, and of the bench's own run.
    scores: [Option<Score>; 2],
}

impl Wired {
    /// Reads a scenario out of a folder in memory.
    pub(crate) fn load(folder: Folder, name: &str, seed: u64) -> Result<Self, String> {
        let file = InputFile::among(Arc::new(folder), Path::new(name));
        let scenario = file.and_then(|file| read::scenario_of(&file));
        let scenario = scenario.map_err(|error| error.to_string())?;
        if let Some(why) = refused(&scenario) {
            return Err(format!("{name}: {why}"));
        }
        // An instance plays one scenario and ends with it: what is kept for good here is kept once.
        let scenario: &'static Scenario = Box::leak(Box::new(scenario));
        let piece = scenario.profile.pieces.first().ok_or("no piece")?;
        let world = Some(World::new(scenario, piece, seed));
        Ok(Self { scenario, piece, seed, steps: 0, world, scores: [None, None] })
    }

    /// The settings image of what the scenario tells the controller.
    pub(crate) fn image(&self) -> Result<Vec<u8>, String> {
        let image = Image::of(&settings(self.scenario)).map_err(|error| error.to_string())?;
        Ok(image.bytes().to_vec())
    }

    pub(crate) const fn world(&self) -> Option<&World<'static>> {
        self.world.as_ref()
    }

    pub(crate) fn is_over(&self) -> bool {
        self.world.as_ref().is_none_or(World::is_over)
    }

    /// Time since the piece began, s.
    pub(crate) fn now_s(&self) -> f64 {
        f64::from(self.steps) * STEP_S
    }

    /// An instant of the bench as time since the piece began, s.
    pub(crate) fn since_s(&self, instant_s: f64) -> f64 {
        instant_s - self.piece.start_s()
    }

    /// A tick if one is due; the sentence that starts now, if any.
    pub(crate) fn tick(&mut self) -> String {
        let Some(world) = self.world.as_mut().filter(|world| world.is_tick()) else {
            return String::new();
        };
        world.tick();
        let sample = world.senses().samples.receiver;
        sample.map_or_else(String::new, |sample| rmc(&sample, self.since_s(sample.at_s)))
    }

    /// A step under these commands.
    pub(crate) fn step(&mut self, commands: [f64; SIDES], supply: bool) {
        let Some(world) = self.world.as_mut().filter(|world| !world.is_over()) else { return };
        let sides = world.sides().min(SIDES);
        world.step(&Given { commands: &commands[..sides], supply, wheel: &|_, _| None });
        self.steps += 1;
    }

    /// The score of what lies on the soil by now; nothing is driven after it.
    pub(crate) fn finish(&mut self) {
        let Some(world) = self.world.take() else { return };
        self.scores[0] = Some(score(&self.scenario.drill, &[world.outcome()], None).0);
    }

    /// The bench's own run, as `verify` runs it.
    pub(crate) fn run_own(&mut self) -> Result<(), String> {
        let run = run(self.scenario, self.seed).map_err(|error| error.to_string())?;
        self.scores[1] = Some(run.score);
        Ok(())
    }

    /// A figure of a score, by its place in [`FIGURES`]; NaN where there is none.
    pub(crate) fn figure(&self, whose: usize, figure: usize) -> f64 {
        let score = self.scores.get(whose).and_then(Option::as_ref);
        let key = FIGURES.get(figure);
        score.zip(key).and_then(|(score, key)| score.figure(key)).unwrap_or(f64::NAN)
    }

    /// A tolerance of the scenario.
    pub(crate) fn tolerance(&self, index: usize) -> Option<&Tolerance> {
        self.scenario.tolerances.get(index)
    }
}

/// The limit of a bound and its kind: 1 at least, 2 at most, 3 within.
pub(crate) const fn limit(bound: Bound) -> (f64, u32) {
    match bound {
        Bound::AtLeast(limit) => (limit, 1),
        Bound::AtMost(limit) => (limit, 2),
        Bound::Within(limit) => (limit, 3),
    }
}
