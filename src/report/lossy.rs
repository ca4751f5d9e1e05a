//! Paths in reports: what is not Unicode is replaced by `�`.

use serde::Serializer;
use std::path::{Path, PathBuf};

/// Writes a path as text; for `serialize_with`.
///
/// # Errors
/// Those of the serializer.
pub fn path<S: Serializer>(path: &Path, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&path.to_string_lossy())
}

/// Writes a path that may be absent; for `serialize_with`.
///
/// # Errors
/// Those of the serializer.
pub fn optional<S: Serializer>(path: &Option<PathBuf>, serializer: S) -> Result<S::Ok, S::Error> {
    match path {
        Some(path) => self::path(path, serializer),
        None => serializer.serialize_none(),
    }
}
