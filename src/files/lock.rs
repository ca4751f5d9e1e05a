//! One writer at a time for a file that is read, changed and written again.

use super::place::{folder_of, place};
use crate::error::{Error, Result};
use std::ffi::OsString;
use std::fs;
use std::path::Path;

/// Held by the one that changes a file; others wait until it is dropped, or its process has ended.
#[derive(Debug)]
pub struct Lock {
    _file: fs::File,
}

/// Waits until nobody else holds the lock of the file `path`, and takes it. The folder is made if
/// there is none.
///
/// The lock is on an empty file beside it, `.NAME.lock`, which stays: the file itself is replaced
/// by renaming, and a lock on it would be on the old one.
///
/// # Errors
/// If the system refuses.
pub fn lock(path: &Path) -> Result<Lock> {
    let place = place(path);
    let folder = folder_of(&place);
    fs::create_dir_all(folder).map_err(|e| Error::io("make the folder", folder, e))?;
    let mut name = OsString::from(".");
    name.push(place.file_name().unwrap_or_default());
    name.push(".lock");
    let file = fs::OpenOptions::new()
        .create(true)
        .truncate(false)
        .write(true)
        .open(folder.join(name))
        .and_then(|file| file.lock().map(|()| file))
        .map_err(|e| Error::io("write", path, e))?;
    Ok(Lock { _file: file })
}
