//! The board's side: takes bytes, runs the controller, gives answers. It drives nothing.

use crate::VERSION;
use crate::frame::{Collector, Header, MAX_FRAME};
use crate::message::{Answer, Hello, Question, Reason, Refused, Totals};
use controller::seed::Product;
use controller::settings::image;
use controller::tally::Account;
use controller::{Controller, Settings};

/// What a board says of itself.
#[derive(Clone, Debug)]
pub struct StationConfig {
    /// Its settings and their fingerprint, if they are in force.
    pub settings: Option<(Settings, u32)>,
    /// Name and version of its program; sixteen bytes of it are told.
    pub build: &'static str,
}

/// A run that was started.
#[derive(Clone, Debug)]
struct Run {
    controller: Controller,
    ticks: u32,
}

/// A refusal.
const fn refused(reason: Reason, detail: u32) -> Refused {
    Refused { reason, detail }
}

/// Bytes that go out.
#[derive(Debug)]
struct Out {
    frame: [u8; MAX_FRAME],
    length: usize,
}

impl Out {
    const fn new() -> Self {
        Self { frame: [0; MAX_FRAME], length: 0 }
    }

    fn put(&mut self, answer: Answer, number: u16) {
        self.length = answer.write(number, &mut self.frame).map_or(0, <[u8]>::len);
    }

    fn bytes(&self) -> Option<&[u8]> {
        self.frame.get(..self.length)
    }
}

/// The board's side of the live bench.
#[derive(Debug)]
pub struct Station {
    config: StationConfig,
    collector: Collector,
    run: Option<Run>,
    /// The last question that was taken, and the answer to it: if it comes again, so does the answer.
    last: Option<Header>,
    answer: Out,
    /// A refusal changes nothing: the answer before it stays.
    refusal: Out,
}

impl Station {
    /// A station without a run.
    #[must_use]
    pub fn new(config: StationConfig) -> Self {
        let collector = Collector::default();
        Self { config, collector, run: None, last: None, answer: Out::new(), refusal: Out::new() }
    }

    /// Takes a byte; a whole question gives the bytes of its answer.
    pub fn take(&mut self, byte: u8) -> Option<&[u8]> {
        let (header, body) = self.collector.take(byte)?;
        if self.last == Some(header) {
            return self.answer.bytes();
        }
        let asked = if header.version == VERSION {
            Question::read(header.kind, body).ok_or(refused(Reason::Unknown, 0))
        } else {
            Err(refused(Reason::Version, u32::from(VERSION)))
        };
        match asked.and_then(|question| self.obey(question, header.number)) {
            Ok(answer) => {
                self.last = Some(header);
                self.answer.put(answer, header.number);
                self.answer.bytes()
            }
            Err(refused) => {
                self.refusal.put(Answer::Refused(refused), header.number);
                self.refusal.bytes()
            }
        }
    }

    fn obey(&mut self, question: Question, number: u16) -> Result<Answer, Refused> {
        match question {
            Question::Hello => {
                self.run = None;
                Ok(Answer::Hello(self.hello()))
            }
            Question::Start(wanted) => {
                self.run = None;
                let settings = self.config.settings.as_ref();
                let (settings, fingerprint) = settings.ok_or(refused(Reason::NoSettings, 0))?;
                if *fingerprint != wanted {
                    return Err(refused(Reason::OtherSettings, *fingerprint));
                }
                let controller = Controller::new(settings.clone());
                self.run = Some(Run { controller, ticks: 0 });
                Ok(Answer::Start(*fingerprint))
            }
            Question::Act(act, at) => {
                let taken = self.turn(number)?.controller.act(act.act(), at);
                Ok(Answer::Act(taken.is_ok()))
            }
            Question::Tick(inputs) => {
                let run = self.turn(number)?;
                run.ticks = run.ticks.saturating_add(1);
                Ok(Answer::Tick(run.controller.tick(&inputs)))
            }
            Question::End => {
                let totals = self.turn(number)?.totals();
                self.run = None;
                Ok(Answer::End(totals))
            }
        }
    }

    fn hello(&self) -> Hello {
        let mut build = [0; 16];
        build.iter_mut().zip(self.config.build.bytes()).for_each(|(to, from)| *to = from);
        let fingerprint = self.config.settings.as_ref().map(|(_, fingerprint)| *fingerprint);
        Hello { image: image::VERSION, fingerprint, build }
    }

    /// The run, if it is this question's turn.
    fn turn(&mut self, number: u16) -> Result<&mut Run, Refused> {
        let run = self.run.as_mut().ok_or(refused(Reason::NotStarted, 0))?;
        let next = self.last.map_or(0, |last| last.number.wrapping_add(1));
        if number == next { Ok(run) } else { Err(refused(Reason::OutOfOrder, u32::from(next))) }
    }
}

impl Run {
    fn totals(&self) -> Totals {
        let counted = |account: Account| [account.area_mm2, account.mass_ug];
        let [first, second] = Product::ALL.map(|it| counted(self.controller.account_of(it)));
        let all = counted(self.controller.account());
        Totals { ticks: self.ticks, accounts: [all, first, second] }
    }
}
