//! A file that only its owner can read, for as long as another program needs it.

use crate::error::{Error, Result};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Such a file; it is removed when this is dropped.
#[derive(Debug)]
pub struct Private(tempfile::TempPath);

impl Private {
    /// Writes `bytes` to a new file in `folder`, under a name that begins and ends so.
    ///
    /// # Errors
    /// If the folder cannot be written to.
    pub fn new(folder: &Path, begin: &str, end: &str, bytes: &[u8]) -> Result<Self> {
        // On Unix its permissions are 0600 from the start.
        let written = tempfile::Builder::new()
            .prefix(begin)
            .suffix(end)
            .tempfile_in(folder)
            .and_then(|mut file| {
                file.write_all(bytes)?;
                Ok(Self(file.into_temp_path()))
            });
        written.map_err(|e| {
            Error::new("no file can be written there")
                .file(folder)
                .because(e)
        })
    }

    /// Where it is.
    pub fn path(&self) -> PathBuf {
        self.0.to_path_buf()
    }
}
