//! The board as the bench's brain: every tick goes over the line and is compared with the bench's own.

use super::compare::{Compared, Place, first};
use super::{Board, LiveError};
use crate::bench::Brain;
use controller::quantity::Instant;
use controller::tally::Account;
use controller::{Act, Inputs, Outputs};
use live_link::{Answer, Operator, Question, Totals};

/// The board as the bench's brain. After an error it rests: the bench runs to its end, and the error tells.
pub struct Remote<'a> {
    board: &'a mut Board,
    fingerprint: u32,
    scenario: String,
    told: &'a dyn Fn(u64),
    compared: Compared,
    error: Option<LiveError>,
    /// What the board gave in the runs since the last that were no repeats.
    tape: Vec<Outputs>,
    /// The place on the tape, while runs are repeated.
    playing: Option<usize>,
    tick: u64,
}

impl core::fmt::Debug for Remote<'_> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Remote").field("scenario", &self.scenario).finish_non_exhaustive()
    }
}

impl<'a> Remote<'a> {
    /// For a scenario whose settings have this fingerprint; `told` hears of every tick how many there were.
    pub fn new(
        board: &'a mut Board,
        (scenario, fingerprint): (String, u32),
        told: &'a dyn Fn(u64),
    ) -> Self {
        let compared = Compared::default();
        Self {
            board,
            fingerprint,
            scenario,
            told,
            compared,
            error: None,
            tape: Vec::new(),
            playing: None,
            tick: 0,
        }
    }

    /// What came of it.
    ///
    /// # Errors
    ///
    /// The first that came up.
    pub fn outcome(self) -> Result<Compared, LiveError> {
        self.error.map_or(Ok(self.compared), Err)
    }

    /// Asks, unless there was an error before.
    fn ask(&mut self, question: Question) -> Option<Answer> {
        if self.error.is_some() {
            return None;
        }
        match self.board.ask(question) {
            Ok(answer) => Some(answer),
            Err(error) => {
                self.error = Some(error);
                None
            }
        }
    }

    /// An answer that belongs to no such question.
    fn lost(&mut self, answer: Option<&Answer>) {
        if let (None, Some(answer)) = (&self.error, answer) {
            self.error = Some(self.board.lost(answer));
        }
    }

    fn differs(&mut self, now: Instant, field: [String; 3]) {
        let Self { scenario, tick, .. } = self;
        let run = self.compared.runs.saturating_sub(1);
        let place = Place { scenario: scenario.clone(), run, tick: *tick, now };
        self.compared.first.get_or_insert_with(|| place.difference(field));
    }
}

impl Brain for Remote<'_> {
    fn repeat(&mut self, again: bool) {
        self.playing = again.then_some(0);
        if !again {
            self.tape.clear();
        }
    }

    fn begin(&mut self) {
        if self.playing.is_some() {
            return;
        }
        self.tick = 0;
        self.compared.runs += 1;
        match self.ask(Question::Start(self.fingerprint)) {
            Some(Answer::Start(have)) if have == self.fingerprint => {}
            other => self.lost(other.as_ref()),
        }
    }

    fn act(&mut self, act: &Act, now: Instant, taken: bool) {
        let Some(act) = Operator::of(act).filter(|_| self.playing.is_none()) else { return };
        match self.ask(Question::Act(act, now)) {
            Some(Answer::Act(there)) if there == taken => {}
            Some(Answer::Act(there)) => {
                self.compared.differing_acts += 1;
                self.differs(now, ["act taken".into(), there.to_string(), taken.to_string()]);
            }
            other => self.lost(other.as_ref()),
        }
    }

    fn tick(&mut self, inputs: &Inputs, own: &Outputs) -> Outputs {
        if let Some(place) = &mut self.playing {
            let given = self.tape.get(*place).copied().unwrap_or_default();
            *place += 1;
            return given;
        }
        let given = match self.ask(Question::Tick(*inputs)) {
            Some(Answer::Tick(outputs)) => outputs,
            other => {
                self.lost(other.as_ref());
                return Outputs::default();
            }
        };
        if let Some(field) = first(&given, own) {
            self.compared.differing_ticks += 1;
            self.differs(inputs.now, field);
        }
        self.tape.push(given);
        self.tick += 1;
        (self.told)(self.board.heard().ticks);
        given
    }

    fn end(&mut self, counted: [Account; 3]) {
        if self.playing.is_some() {
            return;
        }
        let accounts = counted.map(|account| [account.area_mm2, account.mass_ug]);
        let ticks = u32::try_from(self.tick).unwrap_or(u32::MAX);
        let want = Totals { ticks, accounts };
        match self.ask(Question::End) {
            Some(Answer::End(have)) if have == want => {}
            Some(Answer::End(have)) => {
                self.compared.differing_counts += 1;
                let field = ["counts".into(), format!("{have:?}"), format!("{want:?}")];
                self.differs(Instant::default(), field);
            }
            other => self.lost(other.as_ref()),
        }
    }
}
