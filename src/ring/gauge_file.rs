//! The weaver's gauge file: one gauge for each kind of bead, so that they measure once.
//!
//! ```json
//! {
//!   "format": "upbead-gauge",
//!   "version": 1,
//!   "gauges": [
//!     {
//!       "bead": { "length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8 },
//!       "pitch_mm": 1.642105,
//!       "column_mm": 1.322222,
//!       "from": "swatch 9x20=11.9x17.2"
//!     }
//!   ]
//! }
//! ```
//!
//! `column_mm` may be absent. Anything else is refused with its place.

use super::gauge::Gauge;
use super::gauge_entry::{Entry, FORMAT, VERSION};
use super::gauge_read::entries;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::files::{self, Replace, Target};
use crate::units::Mm;
use etcetera::BaseStrategy;
use serde::Serialize;
use std::fs;
use std::path::{Path, PathBuf};

/// The gauges of a file, in its order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GaugeFile {
    entries: Vec<Entry>,
}

#[derive(Serialize)]
struct Document<'a> {
    format: &'a str,
    version: u64,
    gauges: &'a [Entry],
}

impl GaugeFile {
    /// Reads the text of a gauge file.
    ///
    /// # Errors
    /// If it is no such file, of an unknown version, has a bead or a gauge that is out of range, or
    /// two gauges for one bead; with line and column.
    pub fn parse(text: &str) -> Result<Self> {
        Ok(Self {
            entries: entries(text)?,
        })
    }

    /// Reads a gauge file; `-` is standard input.
    ///
    /// # Errors
    /// As [`GaugeFile::parse`], or if it cannot be read.
    pub fn read(file: &Path) -> Result<Self> {
        Self::parse(&files::read_text(file, "a gauge file")?).map_err(|error| error.file(file))
    }

    /// Reads a gauge file if there is one.
    ///
    /// # Errors
    /// As [`GaugeFile::read`], but a missing file is no error.
    pub fn read_if_there(file: &Path) -> Result<Option<Self>> {
        match fs::exists(file) {
            Ok(false) => Ok(None),
            _ => Self::read(file).map(Some),
        }
    }

    /// The gauge for `bead`, if there is one; `file` is where it was read.
    ///
    /// # Errors
    /// None: entries were checked when they were read.
    pub fn find(&self, bead: Bead, file: &Path) -> Result<Option<Gauge>> {
        let entry = self.entries.iter().find(|entry| entry.is_for(bead));
        entry.map(|entry| entry.gauge(bead, file)).transpose()
    }

    /// Takes `gauge` in, in place of the one for the same bead if `replace` allows; returns whether
    /// anything changed.
    ///
    /// # Errors
    /// If another gauge for this bead is there and may not be replaced.
    pub fn remember(&mut self, gauge: &Gauge, replace: Replace) -> Result<bool> {
        let entry = Entry::of(gauge);
        let there = self.entries.iter_mut().find(|e| e.is_for(gauge.bead()));
        match there {
            Some(there) if *there == entry => return Ok(false),
            Some(there) if replace == Replace::No => {
                return Err(Error::new(format!(
                    "another gauge for {} beads is remembered: {} from {}",
                    gauge.bead().name(),
                    Mm::new(there.spacing_mm),
                    there.from
                ))
                .hint("add [--force] to replace it"));
            }
            Some(there) => *there = entry,
            None => self.entries.push(entry),
        }
        Ok(true)
    }

    /// The text of the file.
    ///
    /// # Errors
    /// None: numbers were checked when they were taken in.
    pub fn text(&self) -> Result<String> {
        let document = Document {
            format: FORMAT,
            version: VERSION,
            gauges: &self.entries,
        };
        let text = serde_json::to_string_pretty(&document)
            .map_err(|e| Error::new("the gauge could not be written as JSON").because(e))?;
        Ok(text + "\n")
    }

    /// The beads that it has a gauge for, as they are called.
    pub fn beads(&self) -> Vec<String> {
        self.entries.iter().map(Entry::bead_name).collect()
    }

    /// Writes the gauges to `file`, in a folder that is there.
    ///
    /// # Errors
    /// If the system refuses.
    pub fn write(&self, file: &Path) -> Result<()> {
        let text = self.text()?;
        files::write(&Target::new(file), text.as_bytes(), Replace::Yes)
    }
}

/// Keeps `gauge` in the gauge file `file` for later runs, making its folder. Of several that do so
/// at once each keeps its own.
///
/// # Errors
/// If another gauge for the same bead is there and `replace` does not allow to replace it, or the
/// file is no gauge file or cannot be read or written.
pub fn remember(gauge: &Gauge, file: &Path, replace: Replace) -> Result<()> {
    let _lock = files::lock(file)?;
    let mut kept = GaugeFile::read_if_there(file)?.unwrap_or_default();
    let changed = kept
        .remember(gauge, replace)
        .map_err(|error| error.file(file))?;
    if changed { kept.write(file) } else { Ok(()) }
}

/// The user's own gauge file: `upbead/gauge.json` in their folder for settings; none if they have
/// no such folder.
pub fn default_path() -> Option<PathBuf> {
    let folders = etcetera::choose_base_strategy().ok()?;
    Some(folders.config_dir().join("upbead").join("gauge.json"))
}
