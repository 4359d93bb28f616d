//! Messages to bytes and back; every kind's fields stand here, in `inputs.rs` or in `outputs.rs`, once.

use crate::cursor::{Describer, Misfit, Reader, Visit, Writer};
use crate::frame::{Header, MAX_FRAME, write};
use crate::inputs::inputs;
use crate::message::{Answer, Hello, Operator, Question, Reason, Refused, Totals};
use crate::outputs::outputs;
use crate::words::{byte, choice, flag, half, instant, long, word};
use controller::quantity::Instant;
use controller::seed::Product;
use controller::{Inputs, Outputs};

/// An answer's kind is its question's and this.
const ANSWER: u8 = 128;

/// The kind of a refusal, in every version.
const REFUSED: u8 = 255;

/// The place of a reason is its number; those of other versions are added at the end.
const REASONS: [Reason; 6] = [
    Reason::Version,
    Reason::Unknown,
    Reason::NoSettings,
    Reason::OtherSettings,
    Reason::NotStarted,
    Reason::OutOfOrder,
];

/// A field of a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// Kind of the message.
    pub kind: u8,
    /// First byte in the body.
    pub offset: usize,
    /// Its bytes.
    pub size: usize,
    /// Its name.
    pub name: &'static str,
}

fn operator<V: Visit>(visit: &mut V, value: &mut Operator) -> Result<(), Misfit> {
    let (mut kind, mut of, mut number, mut narrows) = match *value {
        Operator::Rate(Product::First, bits) => (1, 0, bits, false),
        Operator::Rate(Product::Second, bits) => (1, 1, bits, false),
        Operator::Outlets(side, open, narrows) => (2, side, u32::from(open), narrows),
        Operator::SpeedByHand(bits) => (3, 0, bits.cast_unsigned(), false),
    };
    byte(visit, "act", &mut kind)?;
    byte(visit, "of", &mut of)?;
    word(visit, "number", &mut number)?;
    flag(visit, "narrows", &mut narrows)?;
    *value = match (kind, of, narrows) {
        (1, 0, false) => Operator::Rate(Product::First, number),
        (1, 1, false) => Operator::Rate(Product::Second, number),
        (2, side, narrows) => {
            Operator::Outlets(side, u16::try_from(number).map_err(|_| Misfit)?, narrows)
        }
        (3, 0, false) => Operator::SpeedByHand(number.cast_signed()),
        _ => return Err(Misfit),
    };
    Ok(())
}

fn hello<V: Visit>(visit: &mut V, value: &mut Hello) -> Result<(), Misfit> {
    half(visit, "image", &mut value.image)?;
    let mut there = value.fingerprint.is_some();
    let mut fingerprint = value.fingerprint.unwrap_or(0);
    flag(visit, "settings", &mut there)?;
    word(visit, "fingerprint", &mut fingerprint)?;
    if !there && fingerprint != 0 {
        return Err(Misfit);
    }
    value.fingerprint = there.then_some(fingerprint);
    value.build.iter_mut().try_for_each(|sign| byte(visit, "build", sign))
}

fn totals<V: Visit>(visit: &mut V, value: &mut Totals) -> Result<(), Misfit> {
    word(visit, "ticks", &mut value.ticks)?;
    value.accounts.iter_mut().try_for_each(|[area, mass]| {
        long(visit, "account.area", area)?;
        long(visit, "account.mass", mass)
    })
}

/// A message of one side.
trait Message: Sized {
    /// One of this kind, to be read into.
    fn blank(kind: u8) -> Option<Self>;

    /// Its kind.
    fn kind(&self) -> u8;

    /// Its body.
    fn body<V: Visit>(&mut self, visit: &mut V) -> Result<(), Misfit>;

    /// Reads a body: all of it, no more and no less.
    fn read(kind: u8, body: &[u8]) -> Option<Self> {
        let mut message = Self::blank(kind)?;
        let mut reader = Reader::new(body);
        message.body(&mut reader).ok()?;
        (reader.left() == 0).then_some(message)
    }

    /// Writes a whole frame.
    fn write(mut self, number: u16, frame: &mut [u8; MAX_FRAME]) -> Option<&[u8]> {
        let header = Header::new(self.kind(), number);
        let body = |room: &mut [u8]| {
            let all = room.len();
            let mut writer = Writer::new(room);
            self.body(&mut writer).ok()?;
            all.checked_sub(writer.left())
        };
        write(header, body, frame)
    }
}

impl Message for Question {
    fn blank(kind: u8) -> Option<Self> {
        match kind {
            1 => Some(Self::Hello),
            2 => Some(Self::Start(0)),
            3 => Some(Self::Act(Operator::SpeedByHand(0), Instant::default())),
            4 => Some(Self::Tick(Inputs::default())),
            5 => Some(Self::End),
            _ => None,
        }
    }

    fn kind(&self) -> u8 {
        match self {
            Self::Hello => 1,
            Self::Start(_) => 2,
            Self::Act(..) => 3,
            Self::Tick(_) => 4,
            Self::End => 5,
        }
    }

    fn body<V: Visit>(&mut self, visit: &mut V) -> Result<(), Misfit> {
        match self {
            Self::Hello | Self::End => Ok(()),
            Self::Start(fingerprint) => word(visit, "fingerprint", fingerprint),
            Self::Act(act, at) => {
                operator(visit, act)?;
                instant(visit, "at", at)
            }
            Self::Tick(given) => inputs(visit, given),
        }
    }
}

impl Message for Answer {
    fn blank(kind: u8) -> Option<Self> {
        if kind == REFUSED {
            return Some(Self::Refused(Refused { reason: Reason::Unknown, detail: 0 }));
        }
        match kind.checked_sub(ANSWER)? {
            1 => Some(Self::Hello(Hello::default())),
            2 => Some(Self::Start(0)),
            3 => Some(Self::Act(false)),
            4 => Some(Self::Tick(Outputs::default())),
            5 => Some(Self::End(Totals::default())),
            _ => None,
        }
    }

    fn kind(&self) -> u8 {
        match self {
            Self::Hello(_) => ANSWER | 1,
            Self::Start(_) => ANSWER | 2,
            Self::Act(_) => ANSWER | 3,
            Self::Tick(_) => ANSWER | 4,
            Self::End(_) => ANSWER | 5,
            Self::Refused(_) => REFUSED,
        }
    }

    fn body<V: Visit>(&mut self, visit: &mut V) -> Result<(), Misfit> {
        match self {
            Self::Hello(who) => hello(visit, who),
            Self::Start(fingerprint) => word(visit, "fingerprint", fingerprint),
            Self::Act(taken) => flag(visit, "taken", taken),
            Self::Tick(given) => outputs(visit, given),
            Self::End(counted) => totals(visit, counted),
            Self::Refused(Refused { reason, detail }) => {
                choice(visit, "reason", reason, &REASONS)?;
                word(visit, "detail", detail)
            }
        }
    }
}

impl Question {
    /// Reads the body of a frame; none if it is no question of this version.
    #[must_use]
    pub fn read(kind: u8, body: &[u8]) -> Option<Self> {
        Message::read(kind, body)
    }

    /// Writes the frame of this question.
    pub fn write(self, number: u16, frame: &mut [u8; MAX_FRAME]) -> Option<&[u8]> {
        Message::write(self, number, frame)
    }
}

impl Answer {
    /// Reads the body of a frame; none if it is no answer of this version.
    #[must_use]
    pub fn read(kind: u8, body: &[u8]) -> Option<Self> {
        Message::read(kind, body)
    }

    /// Writes the frame of this answer.
    pub fn write(self, number: u16, frame: &mut [u8; MAX_FRAME]) -> Option<&[u8]> {
        Message::write(self, number, frame)
    }
}

/// Calls `each` with every field of every message, in order.
pub fn describe(mut each: impl FnMut(Field)) {
    for kind in 0..=u8::MAX {
        let mut offset = 0_usize;
        let mut describer = Describer(|name, size| {
            each(Field { kind, offset, size, name });
            offset = offset.saturating_add(size);
        });
        let question = Question::blank(kind).map(|mut it| it.body(&mut describer));
        let answer = Answer::blank(kind).map(|mut it| it.body(&mut describer));
        debug_assert!(
            question.or(answer).is_none_or(|seen| seen.is_ok()),
            "describing refuses nothing"
        );
    }
}
