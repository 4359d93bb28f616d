//! A text file taken in whole, with the line and column of every byte.

use super::{InputError, Place, Trouble};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Longest file that is taken in, bytes; a season of 10 Hz samples has a fifth of it.
const LONGEST: u64 = 256 << 20;

/// Files that are in memory instead of on a disk, by the names under which they are asked for.
pub type Folder = BTreeMap<PathBuf, Vec<u8>>;

/// A text file in memory.
#[derive(Clone, Debug)]
pub struct InputFile {
    path: PathBuf,
    text: String,
    /// Where the files lie that it names; on the disk for none.
    folder: Option<Arc<Folder>>,
}

impl InputFile {
    /// Takes in the file at `path`.
    ///
    /// # Errors
    ///
    /// Missing, a directory, unreadable, too long, empty or binary.
    pub fn read(path: &Path) -> Result<Self, InputError> {
        Self::from_bytes(path, bytes(path)?)
    }

    /// Takes in the file at `path` of a folder in memory; the files that it names are taken from there too.
    ///
    /// # Errors
    ///
    /// Missing, empty or binary.
    pub fn among(folder: Arc<Folder>, path: &Path) -> Result<Self, InputError> {
        let bytes = folder.get(path).cloned().ok_or_else(|| missing(path))?;
        Ok(Self { folder: Some(folder), ..Self::from_bytes(path, bytes)? })
    }

    /// Takes in the file at `path`, where this one came from.
    ///
    /// # Errors
    ///
    /// As [`Self::read`].
    pub fn open(&self, path: &Path) -> Result<Self, InputError> {
        let among = |folder| Self::among(Arc::clone(folder), path);
        self.folder.as_ref().map_or_else(|| Self::read(path), among)
    }

    /// Whether there is a file at `path`, where this one came from.
    pub fn is_there(&self, path: &Path) -> bool {
        self.folder.as_ref().map_or_else(|| path.is_file(), |folder| folder.contains_key(path))
    }

    /// Reads `path`, a recording in which noise may stand between the text: what is no text becomes U+FFFD.
    ///
    /// # Errors
    ///
    /// Missing, a folder, unreadable, too long or empty.
    pub fn read_noisy(path: &Path) -> Result<Self, InputError> {
        let bytes = bytes(path)?;
        let text = String::from_utf8_lossy(&bytes).replace('\0', "\u{fffd}");
        Self::from_bytes(path, text.into_bytes())
    }

    /// Takes in bytes that are already there; `path` is the name to blame.
    ///
    /// # Errors
    ///
    /// Empty or binary.
    pub fn from_bytes(path: &Path, bytes: Vec<u8>) -> Result<Self, InputError> {
        let text = String::from_utf8(bytes).map_err(|error| {
            let good = error.utf8_error().valid_up_to();
            let bytes = error.as_bytes();
            let place = place(&String::from_utf8_lossy(&bytes[..good]), good);
            binary(path, place, bytes[good])
        })?;
        let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
        if let Some(at) = text.find('\0') {
            return Err(binary(path, place(&text, at), 0));
        }
        if text.trim().is_empty() {
            let remedy = "copy it again, or see what was to write it";
            return Err(whole(path, Trouble::Empty, "the file is empty", remedy));
        }
        Ok(Self { path: path.to_owned(), text, folder: None })
    }

    /// The name of the file, as given.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte.
    pub fn place(&self, byte: usize) -> Place {
        place(&self.text, byte)
    }

    /// Another file that this one names: relative to this file's folder, or absolute.
    pub fn beside(&self, name: &str) -> PathBuf {
        self.path.parent().unwrap_or_else(|| Path::new("")).join(name)
    }

    /// A complaint about the byte `at`.
    pub fn complain(
        &self,
        at: usize,
        trouble: Trouble,
        what: String,
        remedy: String,
    ) -> InputError {
        let place = Some(self.place(at));
        InputError { file: self.path.clone(), place, trouble, what, remedy }
    }
}

/// The bytes of a file, whatever they are.
///
/// # Errors
///
/// Missing, a directory, unreadable or too long.
pub fn bytes(path: &Path) -> Result<Vec<u8>, InputError> {
    let refuse = |trouble, what: &str, remedy: &str| whole(path, trouble, what, remedy);
    if path.is_dir() {
        let remedy = "name a file inside it";
        return Err(refuse(Trouble::Directory, "it is a directory", remedy));
    }
    let mut bytes = Vec::new();
    let taken = File::open(path).and_then(|file| file.take(LONGEST + 1).read_to_end(&mut bytes));
    match taken {
        Ok(count) if count as u64 > LONGEST => {
            let remedy = "split it into files below 256 MiB";
            Err(refuse(Trouble::Unreadable, "it is longer than 256 MiB", remedy))
        }
        Ok(_) => Ok(bytes),
        Err(error) if error.kind() == ErrorKind::NotFound => Err(missing(path)),
        Err(error) => {
            let remedy = "check that it may be read";
            Err(refuse(Trouble::Unreadable, &error.to_string(), remedy))
        }
    }
}

/// A complaint about a file that is not there.
fn missing(path: &Path) -> InputError {
    let remedy = "check the name and the folder";
    whole(path, Trouble::MissingFile, "there is no such file", remedy)
}

/// A complaint about a file as a whole.
fn whole(path: &Path, trouble: Trouble, what: &str, remedy: &str) -> InputError {
    let (what, remedy) = (what.to_owned(), remedy.to_owned());
    InputError { file: path.to_owned(), place: None, trouble, what, remedy }
}

/// A complaint about a byte that is not text.
fn binary(path: &Path, place: Place, byte: u8) -> InputError {
    let what = format!("byte 0x{byte:02X} is not text");
    let remedy = "a plain text file in UTF-8".to_owned();
    let place = Some(place);
    InputError { file: path.to_owned(), place, trouble: Trouble::Binary, what, remedy }
}

/// Line and column of byte `at` of `text`.
fn place(text: &str, at: usize) -> Place {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    Place { line, column }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_counted_in_characters_from_one() {
        assert_eq!(place("äö = 1\nb", 5), Place { line: 1, column: 4 });
        assert_eq!(place("a\nbc", 3), Place { line: 2, column: 2 });
        assert_eq!(place("a\n", 99), Place { line: 2, column: 1 });
    }

    #[test]
    fn a_byte_order_mark_is_not_part_of_the_text() {
        let file = InputFile::from_bytes(Path::new("x"), "\u{feff}a".into()).unwrap();
        assert_eq!(file.text(), "a");
    }

    #[test]
    fn what_a_file_in_memory_names_is_sought_in_memory() {
        let files = [("a/x.toml", "x"), ("a/../b/y.toml", "y")];
        let folder = files.map(|(name, text)| (PathBuf::from(name), text.into()));
        let file = InputFile::among(Arc::new(folder.into()), Path::new("a/x.toml")).unwrap();
        let beside = file.beside("../b/y.toml");
        assert!(file.is_there(&beside));
        assert_eq!(file.open(&beside).unwrap().text(), "y");
        assert!(!file.is_there(Path::new("Cargo.toml")), "the disk is not looked at");
        assert_eq!(file.open(Path::new("Cargo.toml")).unwrap_err().trouble, Trouble::MissingFile);
    }
}
