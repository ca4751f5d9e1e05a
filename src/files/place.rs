//! Which file a path means: links followed, two names of one file recognised.

use super::Target;
use crate::error::{Error, Result};
use std::fs;
use std::path::{Path, PathBuf};

/// The files that are read, none of which is written over.
#[derive(Debug)]
pub struct Inputs<'a>(Vec<(&'a Path, Identity)>);

/// What tells one file from another.
#[derive(Debug, PartialEq, Eq)]
enum Identity {
    /// Device and number, the same for all its names.
    #[cfg(unix)]
    File(u64, u64),
    /// The path, for a file that is not there, and where files have no number.
    Path(PathBuf),
}

impl<'a> Inputs<'a> {
    /// Of these paths; `-` is standard input.
    pub fn new(paths: impl IntoIterator<Item = &'a Path>) -> Self {
        let known = |path: &'a Path| Some((path, identity(file_of(path, "/dev/stdin"))?));
        Self(paths.into_iter().filter_map(known).collect())
    }

    /// Makes sure that `target`, which `option` names, is none of them, through links and hard
    /// links too.
    ///
    /// # Errors
    /// If it is one of them.
    pub fn check_apart(&self, target: &Target, option: &str) -> Result<()> {
        let target = target.path().unwrap_or(Path::new("-"));
        let Some(written) = identity(file_of(target, "/dev/stdout")) else {
            return Ok(());
        };
        match self.0.iter().find(|(_, read)| *read == written) {
            None => Ok(()),
            Some((input, _)) => Err(Error::usage(format!(
                "'{}' is read and cannot be written over",
                input.display()
            ))
            .option(option)
            .hint("choose another name")),
        }
    }
}

/// The system's name of a standard stream, which may be a file; a path as it is.
fn file_of<'a>(path: &'a Path, stream: &'a str) -> &'a Path {
    if path == Path::new("-") {
        Path::new(stream)
    } else {
        path
    }
}

/// None for what is no file: a device, a pipe, a folder.
fn identity(path: &Path) -> Option<Identity> {
    match fs::metadata(path) {
        Ok(facts) if !facts.is_file() => None,
        #[cfg(unix)]
        Ok(facts) => {
            use std::os::unix::fs::MetadataExt;
            Some(Identity::File(facts.dev(), facts.ino()))
        }
        _ => Some(Identity::Path(place(path))),
    }
}

pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

/// The most links that are followed one after another, as many as Linux follows.
const MAX_LINKS: usize = 40;

/// Where `path` leads: with links followed as far as it exists, so that two spellings of one file
/// are equal. A link to a file that is not there leads to where that file would be.
pub fn place(path: &Path) -> PathBuf {
    if let Ok(whole) = fs::canonicalize(path) {
        return whole;
    }
    let mut end = path.to_path_buf();
    for _ in 0..MAX_LINKS {
        let Ok(next) = fs::read_link(&end) else { break };
        end = end.parent().unwrap_or(Path::new("")).join(next);
    }
    match (fs::canonicalize(folder_of(&end)), end.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => end,
    }
}

/// Whether `path` names standard output: `-`, or as Unix systems call it.
pub fn is_stdout(path: &Path) -> bool {
    ["-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"]
        .iter()
        .any(|name| path == Path::new(name))
}
