//! Framing: from bytes to the text between `$` and `*`, its checksum checked.

use heapless::Vec;

/// The standard allows 82 characters in all; some receivers send more.
pub(super) const LONGEST: usize = 100;

/// Where in a sentence the stream is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
enum Part {
    /// Between sentences.
    #[default]
    Between,
    /// After `$`.
    Text,
    /// After `*`.
    FirstDigit,
    /// After the first digit of the checksum.
    SecondDigit(u8),
}

/// What a byte did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// Nothing yet.
    More,
    /// A sentence began.
    Began,
    /// A sentence is whole: its text is [`LineState::text`].
    Whole,
    /// A sentence is refused: its checksum is wrong or missing.
    WrongSum,
    /// A sentence is refused: it is too long.
    TooLong,
}

/// What is remembered of the line.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct LineState {
    part: Part,
    text: Vec<u8, LONGEST>,
    sum: u8,
}

impl LineState {
    /// Takes a byte.
    pub(super) fn take(&mut self, byte: u8) -> Step {
        if byte == b'$' {
            let cut = self.part != Part::Between;
            self.text.clear();
            self.sum = 0;
            self.part = Part::Text;
            // A sentence that is cut off has no sum; the new one begins all the same.
            return if cut { Step::WrongSum } else { Step::Began };
        }
        match self.part {
            Part::Between => Step::More,
            Part::Text => self.text_byte(byte),
            Part::FirstDigit => match hex(byte) {
                Some(digit) => {
                    self.part = Part::SecondDigit(digit);
                    Step::More
                }
                None => self.refuse(Step::WrongSum),
            },
            Part::SecondDigit(first) => {
                let sum = hex(byte).map(|second| first.wrapping_shl(4) | second);
                let right = sum == Some(self.sum);
                self.refuse(if right { Step::Whole } else { Step::WrongSum })
            }
        }
    }

    fn text_byte(&mut self, byte: u8) -> Step {
        match byte {
            b'*' => {
                self.part = Part::FirstDigit;
                Step::More
            }
            // A line end before the sum, or noise.
            0..=31 | 127..=255 => self.refuse(Step::WrongSum),
            _ if self.text.push(byte).is_err() => self.refuse(Step::TooLong),
            _ => {
                self.sum ^= byte;
                Step::More
            }
        }
    }

    /// Ends the sentence.
    const fn refuse(&mut self, why: Step) -> Step {
        self.part = Part::Between;
        why
    }

    /// A new sentence begins with the last byte.
    pub(super) fn begins(&self) -> bool {
        self.part == Part::Text && self.text.is_empty()
    }

    /// The text of a whole sentence.
    pub(super) fn text(&self) -> &[u8] {
        &self.text
    }
}

/// The value of a hexadecimal digit in either case.
const fn hex(byte: u8) -> Option<u8> {
    match byte {
        b'0'..=b'9' => Some(byte.wrapping_sub(b'0')),
        b'A'..=b'F' => Some(byte.wrapping_sub(b'A').wrapping_add(10)),
        b'a'..=b'f' => Some(byte.wrapping_sub(b'a').wrapping_add(10)),
        _ => None,
    }
}
