//! Files a command leaves behind: all of them whole, or none.
//!
//! Each is written under another name in its target folder and renamed when all are complete.

use super::Failure;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};

/// A file to be written.
#[derive(Debug)]
pub(super) struct Output {
    /// Where.
    pub file: PathBuf,
    /// What.
    pub content: String,
}

/// Proves that `file` can be written, without leaving anything.
pub(super) fn check(file: &Path) -> Result<(), Failure> {
    let refuse = |why: String| Failure::Target { place: file.to_owned(), why };
    if file.is_dir() {
        return Err(refuse("there is a folder of that name".to_owned()));
    }
    let there = existing(folder(file));
    if !there.is_dir() {
        return Err(refuse(format!("{} is not a folder", there.display())));
    }
    tempfile::tempfile_in(there).map(drop).map_err(|why| refuse(why.to_string()))
}

/// The same for a file that is not there yet, or may be replaced.
pub(super) fn fresh(file: &Path, replace: bool) -> Result<(), Failure> {
    check(file)?;
    // A link that leads nowhere is something of that name too.
    if file.symlink_metadata().is_ok() && !replace {
        let why = "there is a file of that name, and --replace was not given".to_owned();
        return Err(Failure::Target { place: file.to_owned(), why });
    }
    Ok(())
}

/// Refuses an output that would take the place of an input.
pub(super) fn spare(output: &Path, inputs: &[&Path]) -> Result<(), Failure> {
    let same = |input: &&Path| match (output.canonicalize(), input.canonicalize()) {
        (Ok(output), Ok(input)) => output == input,
        _ => false,
    };
    if inputs.iter().any(same) {
        let why = "it is one of the files that are read".to_owned();
        return Err(Failure::Target { place: output.to_owned(), why });
    }
    Ok(())
}

/// Writes all of `outputs`, making their folders as needed.
pub(super) fn write(outputs: &[Output]) -> Result<(), Failure> {
    let failed = |output: &Output, why| Failure::Write { place: output.file.clone(), why };
    let mut complete = Vec::new();
    for output in outputs {
        let staged = staged(&output.file, output.content.as_bytes());
        complete.push((output, staged.map_err(|why| failed(output, why))?));
    }
    for (output, staged) in complete {
        staged.persist(&output.file).map_err(|error| failed(output, error.error))?;
    }
    Ok(())
}

/// Writes a file that is no text.
pub(super) fn write_bytes(file: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let failed = |why| Failure::Write { place: file.to_owned(), why };
    let staged = staged(file, bytes).map_err(failed)?;
    staged.persist(file).map(drop).map_err(|error| failed(error.error))
}

/// The content under another name in the same folder; it goes away by itself unless it is renamed.
fn staged(target: &Path, content: &[u8]) -> io::Result<NamedTempFile> {
    let folder = folder(target);
    fs::create_dir_all(folder)?;
    let mut builder = Builder::new();
    builder.prefix(".meterwright-");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(content)?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// The folder of a file; the current one where its name has none.
fn folder(file: &Path) -> &Path {
    file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."))
}

/// The nearest that exists of a folder and those above it.
fn existing(folder: &Path) -> &Path {
    let found =
        folder.ancestors().find(|it| !it.as_os_str().is_empty() && it.symlink_metadata().is_ok());
    found.unwrap_or_else(|| Path::new("."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn output(file: PathBuf) -> Output {
        Output { file, content: "whole\n".to_owned() }
    }

    #[test]
    fn checking_a_target_leaves_nothing_and_makes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        assert!(check(&folder.path().join("new/deep/a.csv")).is_ok());
        assert_eq!(folder.path().read_dir().unwrap().count(), 0);
    }

    #[test]
    fn a_target_below_a_file_or_named_like_a_folder_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("file"), "").unwrap();
        fs::create_dir(folder.path().join("a.csv")).unwrap();
        for name in ["file/a.csv", "a.csv"] {
            let refused = check(&folder.path().join(name));
            assert!(matches!(refused, Err(Failure::Target { .. })), "{name}: {refused:?}");
        }
    }

    #[test]
    #[cfg(unix)]
    fn a_link_that_leads_nowhere_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let link = folder.path().join("link");
        std::os::unix::fs::symlink("nowhere", &link).unwrap();
        assert!(matches!(fresh(&link, false), Err(Failure::Target { .. })));
        assert!(matches!(fresh(&link.join("a.csv"), false), Err(Failure::Target { .. })));
        assert!(link.symlink_metadata().unwrap().is_symlink());
    }

    #[test]
    fn when_one_file_cannot_be_written_none_is() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("file"), "").unwrap();
        let good = output(folder.path().join("a.csv"));
        let bad = output(folder.path().join("file/b.csv"));
        assert!(matches!(write(&[good, bad]), Err(Failure::Write { .. })));
        let left: Vec<_> =
            folder.path().read_dir().unwrap().map(|it| it.unwrap().file_name()).collect();
        assert_eq!(left, ["file"]);
    }

    #[test]
    fn a_file_is_replaced_whole_and_can_be_read_by_others() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("deep/a.csv");
        write(&[output(file.clone())]).unwrap();
        write(&[output(file.clone())]).unwrap();
        assert_eq!(fs::read_to_string(&file).unwrap(), "whole\n");
        assert_eq!(file.parent().unwrap().read_dir().unwrap().count(), 1);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = fs::metadata(&file).unwrap().permissions().mode();
            assert_ne!(mode & 0o077, 0, "mode {mode:o} is as private as a temporary file's");
        }
    }
}
