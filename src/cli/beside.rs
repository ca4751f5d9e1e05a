//! The pictures of a design, which are read from the folder of one of its files.

use crate::error::Result;
use crate::files::{self, Inputs, Target};
use crate::pipeline::Source;
use crate::request::design::Design;
use std::path::{Path, PathBuf};

/// A design file, or a file that stands where one would.
pub(crate) struct Beside<'a>(pub(crate) &'a Path);

impl Beside<'_> {
    /// Where the picture is that a design has this name for.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.parent().unwrap_or(Path::new("")).join(name)
    }

    /// The picture of that name.
    ///
    /// # Errors
    /// If it cannot be read.
    pub(crate) fn source(&self, name: &str) -> Result<Source> {
        Ok(super::source(name, files::read(&self.path(name))?))
    }

    /// Makes sure that `target`, which `option` names, is none of the pictures.
    ///
    /// # Errors
    /// If it is one of them.
    pub(crate) fn check_apart(&self, design: &Design, target: &Target, option: &str) -> Result<()> {
        let paths: Vec<PathBuf> = design.art().map(|art| self.path(&art.file)).collect();
        Inputs::new(paths.iter().map(PathBuf::as_path)).check_apart(target, option)
    }
}
