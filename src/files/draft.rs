//! A file that is complete before it has its name.

use super::place::{folder_of, place};
use std::fs;
use std::io::{self, Write};
use std::path::Path;
use std::time::{Duration, SystemTime};

/// What the names of temporary files begin with.
const PREFIX: &str = ".upbead-";

/// How many letters and digits follow.
const RANDOM: usize = 6;

/// A temporary file of this age belongs to no program that still runs.
const LEFT_OVER: Duration = Duration::from_secs(60 * 60);

/// A file with all its bytes, in the folder where its name will be.
///
/// Where the system can, it has no name at all until then, so that nothing is left of it whenever
/// the program ends. Else it goes when this is dropped.
pub(super) enum Draft {
    /// Without a name.
    Unnamed(fs::File),
    /// Under a temporary name.
    Named(tempfile::NamedTempFile),
}

impl Draft {
    /// Holds `bytes` for `path`; in place of another file it gets that one's permissions.
    pub(super) fn new(path: &Path, bytes: &[u8]) -> io::Result<Self> {
        match unnamed(folder_of(&place(path))) {
            None => Self::named(path, bytes),
            Some(file) => {
                fill(&file, path, bytes)?;
                Ok(Self::Unnamed(file))
            }
        }
    }

    fn named(path: &Path, bytes: &[u8]) -> io::Result<Self> {
        let file = temporary_names().tempfile_in(folder_of(&place(path)))?;
        fill(file.as_file(), path, bytes)?;
        Ok(Self::Named(file))
    }

    /// Gives it the name `path`, in place of another file only if `replace` says so. `bytes` are
    /// written again where a file without a name cannot get one.
    pub(super) fn name(self, path: &Path, bytes: &[u8], replace: bool) -> io::Result<()> {
        let place = place(path);
        match self {
            Self::Named(file) if replace => file.persist(&place).map(drop).map_err(|e| e.error),
            Self::Named(file) => file
                .persist_noclobber(&place)
                .map(drop)
                .map_err(|e| e.error),
            Self::Unnamed(file) => match link(&file, &place) {
                Err(e) if e.kind() != io::ErrorKind::AlreadyExists => {
                    Self::named(path, bytes)?.name(path, bytes, replace)
                }
                Err(_) if replace => temporary_names()
                    .make_in(folder_of(&place), |name| link(&file, name))?
                    .persist(&place)
                    .map(drop)
                    .map_err(|e| e.error),
                linked => linked,
            },
        }?;
        // A disk that cannot do this has the file all the same.
        let _ = fs::File::open(folder_of(&place)).and_then(|folder| folder.sync_all());
        Ok(())
    }
}

/// Removes temporary files that a program which was ended has left in the folder of `path`.
pub(super) fn sweep(path: &Path) {
    let place = place(path);
    let Ok(entries) = fs::read_dir(folder_of(&place)) else {
        return;
    };
    for entry in entries.flatten() {
        if is_temporary(&entry.file_name().to_string_lossy()) && is_left_over(&entry) {
            // Another program may have removed it first.
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_temporary(name: &str) -> bool {
    let random = name.strip_prefix(PREFIX).unwrap_or("");
    random.len() == RANDOM && random.bytes().all(|byte| byte.is_ascii_alphanumeric())
}

fn is_left_over(entry: &fs::DirEntry) -> bool {
    let Ok(facts) = entry.metadata() else {
        return false;
    };
    let age = facts
        .modified()
        .ok()
        .and_then(|then| SystemTime::now().duration_since(then).ok());
    facts.is_file() && age.is_some_and(|age| age > LEFT_OVER)
}

fn temporary_names() -> tempfile::Builder<'static, 'static> {
    let mut names = tempfile::Builder::new();
    names.prefix(PREFIX).rand_bytes(RANDOM);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // The user's mask takes its part of it.
        names.permissions(fs::Permissions::from_mode(0o666));
    }
    names
}

fn fill(mut file: &fs::File, path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Ok(replaced) = fs::metadata(path) {
        file.set_permissions(replaced.permissions())?;
    }
    file.write_all(bytes)?;
    file.sync_all()
}

/// A file without a name, if the system and the disk have such files.
#[cfg(target_os = "linux")]
fn unnamed(folder: &Path) -> Option<fs::File> {
    use rustix::fs::{Mode, OFlags, open};
    let mode = Mode::from_raw_mode(0o666);
    let flags = OFlags::TMPFILE | OFlags::WRONLY | OFlags::CLOEXEC;
    open(folder, flags, mode).ok().map(fs::File::from)
}

#[cfg(not(target_os = "linux"))]
fn unnamed(_: &Path) -> Option<fs::File> {
    None
}

/// Gives an unnamed file a name that no other file has.
#[cfg(target_os = "linux")]
fn link(file: &fs::File, name: &Path) -> io::Result<()> {
    use rustix::fs::{AtFlags, CWD, linkat};
    use std::os::fd::AsRawFd;
    let own = format!("/proc/self/fd/{}", file.as_raw_fd());
    Ok(linkat(CWD, own, CWD, name, AtFlags::SYMLINK_FOLLOW)?)
}

#[cfg(not(target_os = "linux"))]
fn link(_: &fs::File, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}
