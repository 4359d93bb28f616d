//! A board at the end of a line: one question, one answer.

use super::{LiveError, Port};
use controller::settings::image::spell;
use live_link::{Answer, BAUD, Collector, Hello, MAX_FRAME, Question, Reason, Refused, VERSION};
use serde::Serialize;
use std::time::{Duration, Instant};

/// An answer is waited for so long, then the question is asked again. A tick takes some milliseconds; the line and the adapter
/// at its end take more.
pub const WAIT: Duration = Duration::from_millis(500);

/// A question is asked so often.
pub const TRIES: u32 = 6;

/// What came over the line so far.
#[derive(Clone, Copy, Debug, Default, Serialize)]
pub struct Heard {
    /// Ticks that were answered.
    pub ticks: u64,
    /// Acts of the operator that were answered.
    pub acts: u64,
    /// Questions that were asked again.
    pub asked_again: u64,
    /// Pieces that were no frames.
    pub garbage: u32,
}

/// A board at the end of a line.
#[derive(Debug)]
pub struct Board {
    port: Port,
    collector: Collector,
    number: u16,
    heard: Heard,
    hello: Hello,
}

impl Board {
    /// Opens the port and greets.
    ///
    /// # Errors
    ///
    /// [`LiveError`]: no port, nobody there, another version.
    pub fn greet(name: &str) -> Result<Self, LiveError> {
        let port = Port::open(name, BAUD).map_err(LiveError::Port)?;
        let (collector, heard) = (Collector::default(), Heard::default());
        let mut board = Self { port, collector, number: 0, heard, hello: Hello::default() };
        let answer = board.ask(Question::Hello).map_err(|error| match error {
            LiveError::Silent { garbage, .. } => LiveError::Nobody { baud: BAUD, garbage },
            other => other,
        })?;
        match answer {
            Answer::Hello(hello) => board.hello = hello,
            other => return Err(board.lost(&other)),
        }
        Ok(board)
    }

    /// Who it is.
    pub const fn hello(&self) -> &Hello {
        &self.hello
    }

    /// Its program as it names itself.
    pub fn build(&self) -> String {
        let name =
            self.hello.build.iter().take_while(|sign| sign.is_ascii_graphic() || **sign == b' ');
        name.map(|sign| char::from(*sign)).collect()
    }

    /// Fingerprint of its settings as it is spelt.
    pub fn fingerprint(&self) -> Option<String> {
        self.hello.fingerprint.map(|it| spell(it).to_string())
    }

    /// What came over the line so far.
    pub const fn heard(&self) -> Heard {
        Heard { garbage: self.collector.garbage(), ..self.heard }
    }

    /// Asks, and waits for the answer to this very question; asks again where none comes.
    ///
    /// # Errors
    ///
    /// [`LiveError`]: the line broke, no answer came, or it is of another version.
    pub fn ask(&mut self, question: Question) -> Result<Answer, LiveError> {
        let number = self.number;
        self.number = number.wrapping_add(1);
        let mut room = [0; MAX_FRAME];
        let frame = question.write(number, &mut room).unwrap_or_default();
        for attempt in 0..TRIES {
            self.heard.asked_again += u64::from(attempt > 0);
            self.port.send(frame).map_err(LiveError::Line)?;
            if let Some(answer) = self.listen(&question, number)? {
                self.heard.ticks += u64::from(matches!(answer, Answer::Tick(_)));
                self.heard.acts += u64::from(matches!(answer, Answer::Act(_)));
                return Ok(answer);
            }
        }
        Err(LiveError::Silent { ticks: self.heard.ticks, garbage: self.collector.garbage() })
    }

    /// Listens for the answer; none if it does not come in time. Answers to other questions are late ones: they are dropped.
    fn listen(&mut self, question: &Question, number: u16) -> Result<Option<Answer>, LiveError> {
        let end = Instant::now() + WAIT;
        let mut room = [0; 256];
        while Instant::now() < end {
            let length = self.port.read(&mut room).map_err(LiveError::Line)?;
            let mut have = None;
            for byte in room.iter().take(length) {
                let Some((header, body)) = self.collector.take(*byte) else { continue };
                let answer = Answer::read(header.kind, body);
                if let Some(Answer::Refused(Refused { reason: Reason::Version, detail })) = answer {
                    return Err(LiveError::Version(detail));
                }
                if header.version != VERSION {
                    return Err(LiveError::Version(u32::from(header.version)));
                }
                if header.number == number {
                    have = answer.filter(|answer| fits(question, answer)).or(have);
                }
            }
            if have.is_some() {
                return Ok(have);
            }
        }
        Ok(None)
    }

    /// It answered what makes no sense within a run.
    pub(super) fn lost(&self, answer: &Answer) -> LiveError {
        let why = match answer {
            Answer::Refused(refused) => refused.to_string(),
            _ => "its answer belongs to another question".to_owned(),
        };
        LiveError::Lost { ticks: self.heard.ticks, why }
    }
}

/// Whether an answer is one to this question.
const fn fits(question: &Question, answer: &Answer) -> bool {
    matches!(
        (question, answer),
        (Question::Hello, Answer::Hello(_))
            | (Question::Start(_), Answer::Start(_))
            | (Question::Act(..), Answer::Act(_))
            | (Question::Tick(_), Answer::Tick(_))
            | (Question::End, Answer::End(_))
            | (_, Answer::Refused(_))
    )
}
