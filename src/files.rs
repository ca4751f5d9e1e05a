//! The only reader and writer of files: whole or not at all, never over another file unless
//! allowed, `-` for the standard streams.

mod draft;
mod lock;
mod place;
mod private;
mod text;

pub use lock::{Lock, lock};
pub use place::{Inputs, is_stdout, place};
pub use private::Private;
pub use text::{as_text, is_picture};

use crate::error::{Error, Result};
use draft::Draft;
use place::folder_of;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// The largest file that is read: 1 GiB.
pub const MOST_BYTES: u64 = 1 << 30;

/// Whether an existing file may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replace {
    /// Never.
    No,
    /// As `--force` asks.
    Yes,
}

impl From<bool> for Replace {
    /// `--force` replaces.
    fn from(force: bool) -> Self {
        if force { Self::Yes } else { Self::No }
    }
}

/// Where bytes go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// Standard output.
    Stdout,
    /// A file.
    File(PathBuf),
}

impl Target {
    /// `-` and `/dev/stdout` are standard output, anything else a file.
    pub fn new(path: impl Into<PathBuf>) -> Self {
        let path = path.into();
        if is_stdout(&path) {
            Self::Stdout
        } else {
            Self::File(path)
        }
    }

    /// The file, if it is one.
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::Stdout => None,
            Self::File(path) => Some(path),
        }
    }
}

/// The bytes of a file, or of standard input for `-`.
///
/// # Errors
/// If it cannot be read, or is larger than 1 GiB.
pub fn read(path: &Path) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let too_large = || Error::new("the file is larger than 1 GiB").hint("make it smaller first");
    let taken = if path == Path::new("-") {
        io::stdin()
            .lock()
            .take(MOST_BYTES + 1)
            .read_to_end(&mut bytes)
    } else {
        let file = fs::File::open(path).map_err(|e| Error::io("read", path, e))?;
        if let Ok(facts) = file.metadata() {
            if facts.len() > MOST_BYTES {
                return Err(too_large().file(path));
            }
            bytes.reserve_exact(facts.len() as usize);
        }
        file.take(MOST_BYTES + 1).read_to_end(&mut bytes)
    };
    taken.map_err(|e| Error::io("read", path, e))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large().file(path));
    }
    Ok(bytes)
}

/// The text of a file in UTF-8, a mark at its head taken off; `wanted` is what it should be, such
/// as `a palette`.
///
/// # Errors
/// If it cannot be read, or is no text.
pub fn read_text(path: &Path, wanted: &str) -> Result<String> {
    as_text(read(path)?, wanted).map_err(|error| error.file(path))
}

/// Makes sure, before any work is done, that `target` may be written.
///
/// # Errors
/// If it exists and may not be replaced, or its folder is missing or not writable.
pub fn check(target: &Target, replace: Replace) -> Result<()> {
    let Target::File(path) = target else {
        return Ok(());
    };
    match fs::metadata(path) {
        Ok(facts) if facts.is_dir() => {
            return Err(Error::new("that is a folder")
                .file(path)
                .hint("name a file in it"));
        }
        Ok(_) if is_device(path) => return Ok(()),
        Ok(_) if replace == Replace::No => return Err(exists(path)),
        _ => {}
    }
    let ends_in_slash = |text: &str| text.ends_with(std::path::is_separator);
    let place = place(path);
    if place.is_symlink() {
        return Err(Error::new("its links lead in a circle")
            .file(path)
            .hint("choose another name"));
    }
    let folder = if path.to_str().is_some_and(ends_in_slash) {
        path
    } else {
        folder_of(&place)
    };
    match fs::metadata(folder) {
        Ok(facts) if facts.is_dir() => {}
        Ok(_) => {
            return Err(Error::new("its folder is a file")
                .file(path)
                .hint("name a folder"));
        }
        Err(_) => {
            return Err(
                Error::new(format!("there is no folder '{}'", folder.display()))
                    .file(path)
                    .hint("make the folder first"),
            );
        }
    }
    // Only trying shows it: permissions alone do not (root, read-only mounts, quotas).
    tempfile::tempfile_in(folder)
        .map(drop)
        .map_err(|e| Error::io("write", path, e))
}

/// Writes `bytes` to `target`: a file appears whole, under its name, or not at all. Links are
/// followed, and stay.
///
/// # Errors
/// If it exists and may not be replaced, or the system refuses.
pub fn write(target: &Target, bytes: &[u8], replace: Replace) -> Result<()> {
    write_all(&[(target, bytes)], replace)
}

/// Writes all of `outputs`, or none: files get their names only when every byte has found its
/// place.
///
/// Not promised if the system fails between two names.
///
/// # Errors
/// As [`write()`].
pub fn write_all<B: AsRef<[u8]>>(outputs: &[(&Target, B)], replace: Replace) -> Result<()> {
    let mut ready = Vec::new();
    for (target, bytes) in outputs {
        if let Target::File(path) = target
            && !is_device(path)
        {
            let bytes = bytes.as_ref();
            let draft = Draft::new(path, bytes).map_err(|e| Error::io("write", path, e))?;
            ready.push((path, bytes, draft));
        }
    }
    let mut gone = Ok(());
    for (target, bytes) in outputs {
        let written = match target {
            Target::Stdout => print(bytes.as_ref()),
            Target::File(path) if is_device(path) => to_device(path, bytes.as_ref()),
            Target::File(_) => Ok(()),
        };
        match written {
            // A reader that goes away spoils nothing but its own copy.
            Err(error) if error.is_closed_pipe() => gone = Err(error),
            other => other?,
        }
    }
    for (path, bytes, draft) in ready {
        let named = draft.name(path, bytes, replace == Replace::Yes);
        named.map_err(|e| match e.kind() {
            io::ErrorKind::AlreadyExists => exists(path),
            _ => Error::io("write", path, e),
        })?;
        draft::sweep(path);
    }
    gone
}

fn to_device(path: &Path, bytes: &[u8]) -> Result<()> {
    fs::OpenOptions::new()
        .write(true)
        .open(path)
        .and_then(|mut device| device.write_all(bytes))
        .map_err(|e| Error::io("write", path, e))
}

/// Writes `bytes` to standard output and makes sure they arrived.
///
/// # Errors
/// If the system refuses; a closed pipe is recognised by [`Error::is_closed_pipe`].
pub fn print(bytes: &[u8]) -> Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)
        .and_then(|()| out.flush())
        .map_err(|e| Error::io("write", Path::new("standard output"), e))
}

fn exists(path: &Path) -> Error {
    Error::new("the file exists")
        .file(path)
        .hint("choose another name, or add --force to replace it")
}

/// Whether `path` is a device or a pipe, such as `/dev/full`: it cannot be replaced by renaming,
/// only written to.
#[cfg(unix)]
pub fn is_device(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    fs::metadata(path).is_ok_and(|facts| {
        let kind = facts.file_type();
        kind.is_char_device() || kind.is_fifo()
    })
}

/// Whether `path` is a device: not known here.
#[cfg(not(unix))]
pub fn is_device(_: &Path) -> bool {
    false
}
