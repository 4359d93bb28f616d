//! One file's path as another file names it.

use std::io::{Error, ErrorKind, Result};
use std::path::{Component, Path, PathBuf};

/// The path of `named`, seen from the folder of `from`, which need not exist yet; absolute where
/// they share no root.
pub(super) fn relative(from: &Path, named: &Path) -> Result<PathBuf> {
    let from = settled(from)?;
    let named = named.canonicalize()?;
    let folder: Vec<Component<'_>> = from.parent().unwrap_or(&from).components().collect();
    let target: Vec<Component<'_>> = named.components().collect();
    let shared = folder.iter().zip(&target).take_while(|(a, b)| a == b).count();
    // Sharing nothing but the root is no neighbourhood: such a path breaks as soon as one moves.
    if shared <= 1 {
        return Ok(named);
    }
    let up = folder[shared..].iter().map(|_| Component::ParentDir);
    Ok(up.chain(target[shared..].iter().copied()).collect())
}

/// Absolute and without links, though its last parts may not exist.
fn settled(path: &Path) -> Result<PathBuf> {
    let whole = std::path::absolute(path)?;
    let found = whole.ancestors().find_map(|it| Some((it, it.canonicalize().ok()?)));
    let (there, settled) = found.ok_or_else(|| Error::from(ErrorKind::NotFound))?;
    Ok(whole.strip_prefix(there).map_or_else(|_| whole.clone(), |rest| settled.join(rest)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn a_path_leads_from_a_folder_that_is_yet_to_be_made() {
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path();
        fs::create_dir(root.join("logs")).unwrap();
        fs::write(root.join("logs/a.csv"), "").unwrap();
        let path = relative(&root.join("new/deep/x.toml"), &root.join("logs/a.csv")).unwrap();
        assert_eq!(path, Path::new("../../logs/a.csv"));
    }
}
