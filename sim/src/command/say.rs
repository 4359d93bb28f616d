//! Prints what a command has to say.

use super::Failure;
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Prints `text`. A reader that has gone away (a closed pipe) is no failure.
pub(super) fn say(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::Write { place: "the output channel".into(), why })
        }
        Ok(()) | Err(_) => Ok(()),
    }
}

/// A path as it can be typed.
pub(super) fn typed(path: &Path) -> String {
    let text = path.display().to_string();
    if text.contains(char::is_whitespace) { format!("\"{text}\"") } else { text }
}
