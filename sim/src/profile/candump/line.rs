//! Lines of candump text, each a frame.
//!
//! `ID` is 3 hexadecimal digits (11 bits) or 8 (29 bits); then `#` and up to 8 bytes, or `#R` and a length for a remote
//! frame. Error frames, whose identifier has bit 29 set, are skipped: they are the adapter's word, not the bus's.

use super::BusFrame;
use crate::input::{InputError, InputFile, Trouble};
use embedded_can::{ExtendedId, Frame as _, Id, StandardId};
use std::fmt;

/// A frame and when it came.
#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Instant, s, as the log has it.
    pub t_s: f64,
    /// The bus it came on.
    pub bus: String,
    /// The frame.
    pub frame: BusFrame,
    /// First byte of its line in the file.
    pub(super) at: usize,
}

impl Logged {
    /// A frame that came at `t_s`.
    pub fn new(t_s: f64, bus: &str, frame: BusFrame) -> Self {
        Self { t_s, bus: bus.to_owned(), frame, at: 0 }
    }
}

/// As a line of candump text, without its end.
impl fmt::Display for Logged {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "({:.6}) {} ", self.t_s, self.bus)?;
        match self.frame.id() {
            Id::Standard(id) => write!(f, "{:03X}#", id.as_raw())?,
            Id::Extended(id) => write!(f, "{:08X}#", id.as_raw())?,
        }
        if self.frame.is_remote_frame() {
            return write!(f, "R{}", self.frame.dlc());
        }
        self.frame.data().iter().try_for_each(|byte| write!(f, "{byte:02X}"))
    }
}

/// The frames of a log, in their order.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row, the offending text and what would be right.
pub fn frames(file: &InputFile) -> Result<Vec<Logged>, InputError> {
    let mut frames: Vec<Logged> = Vec::new();
    let mut at = 0;
    for line in file.text().split('\n') {
        let last_s = frames.last().map_or(0.0, |last| last.t_s);
        frames.extend(Line { file, text: line, at }.read(last_s)?);
        at += line.len() + 1;
    }
    Ok(frames)
}

/// A line that begins at byte `at`.
struct Line<'a> {
    file: &'a InputFile,
    text: &'a str,
    at: usize,
}

impl Line<'_> {
    /// The frame, not before `last_s`; none in a blank line or an error frame.
    fn read(&self, last_s: f64) -> Result<Option<Logged>, InputError> {
        let mut fields = self.text.split_whitespace();
        let Some(time) = fields.next() else { return Ok(None) };
        let (Some(bus), Some(text)) = (fields.next(), fields.next()) else {
            return Err(self.refuse(self.text.trim(), "is no frame"));
        };
        if fields.next().is_some_and(|way| way != "R" && way != "T") {
            return Err(self.refuse(self.text.trim(), "goes on after the frame"));
        }
        let t_s = self.time(time, last_s)?;
        let frame = self.frame(text)?;
        let (bus, at) = (bus.to_owned(), self.at);
        Ok(frame.map(|frame| Logged { t_s, bus, frame, at }))
    }

    fn time(&self, text: &str, last_s: f64) -> Result<f64, InputError> {
        let bare = text.strip_prefix('(').and_then(|it| it.strip_suffix(')'));
        let t_s = bare.and_then(|it| it.parse::<f64>().ok());
        let t_s = t_s.filter(|t_s| (0.0..=1.0e10).contains(t_s));
        let t_s = t_s.ok_or_else(|| self.refuse(text, "is no time in seconds"))?;
        if t_s < last_s {
            return Err(self.refuse(text, "is before the line above"));
        }
        Ok(t_s)
    }

    fn frame(&self, text: &str) -> Result<Option<BusFrame>, InputError> {
        let Some((id, data)) = text.split_once('#') else {
            return Err(self.refuse(text, "has no #"));
        };
        if data.starts_with('#') {
            return Err(self.refuse(text, "is a frame of CAN FD, which no tractor bus has"));
        }
        let raw = u32::from_str_radix(id, 16).ok().filter(|_| plain(id));
        let wrong = || self.refuse(id, "is no identifier of 3 or 8 hexadecimal digits");
        let raw = raw.ok_or_else(wrong)?;
        let id = match id.len() {
            3 => u16::try_from(raw).ok().and_then(StandardId::new).map(Id::Standard),
            8 if raw & 0x2000_0000 != 0 => return Ok(None),
            8 => ExtendedId::new(raw).map(Id::Extended),
            _ => None,
        };
        let id = id.ok_or_else(wrong)?;
        let frame = match data.strip_prefix('R') {
            Some("") => BusFrame::new_remote(id, 0),
            Some(length) => length.parse().ok().and_then(|dlc| BusFrame::new_remote(id, dlc)),
            None => bytes(data).and_then(|bytes| BusFrame::new(id, &bytes)),
        };
        let wrong = || self.refuse(data, "is not 0 to 8 bytes of two hexadecimal digits each");
        frame.ok_or_else(wrong).map(Some)
    }

    /// A complaint about a part of the line.
    fn refuse(&self, part: &str, why: &str) -> InputError {
        let at = self.at + self.text.find(part).unwrap_or(0);
        let remedy = "a line such as (12.345678) can0 0CFE4845#9426881300000314".to_owned();
        self.file.complain(at, Trouble::BadRow, format!("{part:?} {why}"), remedy)
    }
}

/// Nothing but hexadecimal digits, no sign.
fn plain(text: &str) -> bool {
    text.bytes().all(|it| it.is_ascii_hexdigit())
}

/// Two digits a byte.
fn bytes(text: &str) -> Option<Vec<u8>> {
    if !plain(text) || !text.len().is_multiple_of(2) {
        return None;
    }
    let pair = |at: usize| u8::from_str_radix(&text[at..at + 2], 16).ok();
    (0..text.len()).step_by(2).map(pair).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    fn read(text: &str) -> Result<Vec<Logged>, InputError> {
        frames(&InputFile::from_bytes(Path::new("bus.log"), text.into())?)
    }

    #[test]
    fn every_kind_of_frame_is_read_and_written_back() {
        let lines = [
            "(0.000000) can0 0CFE4845#9426881300000314",
            "(0.000100) can1 7FF#",
            "(0.000100) can0 18EA0017#00EE00",
            "(1.500000) can0 123#R8",
        ];
        let frames = read(&lines.join("\n")).unwrap();
        let written: Vec<String> = frames.iter().map(Logged::to_string).collect();
        assert_eq!(written, lines);
    }

    #[test]
    fn error_frames_blank_lines_and_the_way_are_let_pass() {
        let text = "(0.1) can0 20000004#0004000000000000\n\n(0.2) can0 123#11 R\r\n";
        let frames = read(text).unwrap();
        assert_eq!(frames.len(), 1, "{frames:?}");
        assert_eq!(frames[0].frame.data(), [0x11]);
    }

    #[test]
    fn a_bad_line_is_named_with_line_and_column() {
        let good = "(0.1) can0 123#11";
        for (bad, want) in [
            ("(0.2) can0", "2:1: \"(0.2) can0\" is no frame"),
            ("0.2 can0 123#11", "2:1: \"0.2\" is no time in seconds"),
            ("(nan) can0 123#11", "2:1: \"(nan)\" is no time in seconds"),
            ("(0.0) can0 123#11", "2:1: \"(0.0)\" is before the line above"),
            ("(0.2) can0 12311", "2:12: \"12311\" has no #"),
            ("(0.2) can0 123##111", "2:12: \"123##111\" is a frame of CAN FD"),
            ("(0.2) can0 1234#11", "2:12: \"1234\" is no identifier"),
            ("(0.2) can0 +23#11", "2:12: \"+23\" is no identifier"),
            ("(0.2) can0 800#11", "2:12: \"800\" is no identifier"),
            ("(0.2) can0 123#112", "2:16: \"112\" is not 0 to 8 bytes"),
            ("(0.2) can0 123#112233445566778899", "2:16: \"112233445566778899\" is not 0 to 8"),
            ("(0.2) can0 123#R9", "2:16: \"R9\" is not 0 to 8 bytes"),
            ("(0.2) can0 123#11 x", "2:1: \"(0.2) can0 123#11 x\" goes on"),
        ] {
            let have = read(&format!("{good}\n{bad}\n")).unwrap_err().to_string();
            assert!(have.contains(want), "{bad}: want {want}, have {have}");
        }
    }
}
