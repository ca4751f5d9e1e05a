//! How a weaver's beads stand: typed, from a file that was named, from her own, or touching.

use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::files::Replace;
use crate::ring::{Gauge, GaugeFile, KnownFit, Prefer, Swatch, default_path};
use crate::units::decimals;
use crate::warning::{Warned, Warning};
use std::path::{Path, PathBuf};

/// Which of two row counts to take, as it is typed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PreferWord {
    /// The smaller one.
    #[default]
    Smaller,
    /// The nearest one.
    Nearest,
    /// The larger one.
    Larger,
}

impl From<PreferWord> for Prefer {
    fn from(word: PreferWord) -> Self {
        match word {
            PreferWord::Smaller => Self::Smaller,
            PreferWord::Nearest => Self::Nearest,
            PreferWord::Larger => Self::Larger,
        }
    }
}

/// What was said of a gauge.
#[derive(Debug, Clone, Copy, Default)]
pub struct Measured<'a> {
    /// `--swatch`: `ROWS=MM`.
    pub swatch: Option<&'a str>,
    /// `--fits`: `ROWS=SIZE`.
    pub fits: Option<&'a str>,
    /// `--gauge`: a file with gauges, in place of the person's own.
    pub gauge: Option<&'a Path>,
    /// `--prefer`.
    pub prefer: PreferWord,
}

impl Measured<'_> {
    /// The gauge that was typed, with `--swatch` or `--fits`.
    ///
    /// # Errors
    /// If both were, or either cannot be read or believed.
    pub fn typed(&self, bead: Bead) -> Result<Option<Gauge>> {
        match (self.swatch, self.fits) {
            (Some(_), Some(_)) => Err(Error::usage(
                "a swatch and a band that fits cannot both set the gauge",
            )
            .option("--fits")
            .hint("leave out --swatch or --fits")),
            (Some(swatch), None) => Swatch::parse(swatch)
                .and_then(|swatch| Gauge::from_swatch(bead, swatch))
                .map(Some)
                .map_err(|error| super::of_option(error, "--swatch")),
            (None, Some(fits)) => KnownFit::parse(fits)
                .and_then(|known| Gauge::from_fit(bead, known))
                .map(Some)
                .map_err(|error| super::of_option(error, "--fits")),
            (None, None) => Ok(None),
        }
    }

    /// The gauge to work with, which knows its bead: as typed, or from the file that was named, or from the person's own, or touching.
    ///
    /// # Errors
    /// As [`Measured::typed`], or if the gauge file cannot be read.
    pub fn resolve(&self, bead: Bead) -> Result<Warned<Gauge>> {
        let found = |value| Warned {
            value,
            notes: Vec::new(),
        };
        if let Some(typed) = self.typed(bead)? {
            return Ok(found(typed));
        }
        let Some((file, kept)) = self.kept()? else {
            return Ok(found(Gauge::touching(bead)));
        };
        Ok(match kept.find(bead, &file)? {
            Some(gauge) => found(gauge),
            None => Warned {
                value: Gauge::touching(bead),
                notes: vec![Warning::GaugeForOtherBead { bead: bead.name() }],
            },
        })
    }

    /// The gauge file in use; a file that was named must be there.
    fn kept(&self) -> Result<Option<(PathBuf, GaugeFile)>> {
        if let Some(file) = self.gauge {
            return Ok(Some((file.to_path_buf(), GaugeFile::read(file)?)));
        }
        let Some(file) = default_path() else {
            return Ok(None);
        };
        Ok(GaugeFile::read_if_there(&file)?.map(|kept| (file, kept)))
    }
}

/// Keeps `gauge` in `file` for later, in place of another for the same bead only if `replace` allows.
///
/// # Errors
/// If another gauge for this bead is there and may not be replaced, or the file cannot be read or written.
pub fn remember(gauge: &Gauge, file: &Path, replace: Replace) -> Result<()> {
    let mut kept = GaugeFile::read_if_there(file)?.unwrap_or_default();
    let changed = kept
        .remember(gauge, replace)
        .map_err(|error| error.file(file))?;
    match changed {
        true => kept.write(file),
        false => Ok(()),
    }
}

/// What was typed of a gauge that was kept: the words of `--swatch`, or those of `--fits`.
///
/// # Errors
/// If its words do not give it: then somebody wrote it by hand.
pub fn as_typed(gauge: &Gauge) -> Result<(Option<String>, Option<String>)> {
    let from = gauge.source().to_string();
    let typed = match from.split_once(' ') {
        Some(("swatch", swatch)) => (Some(swatch.to_string()), None),
        Some(("fits", fits)) => (None, Some(fits.to_string())),
        _ => (None, None),
    };
    let measured = Measured {
        swatch: typed.0.as_deref(),
        fits: typed.1.as_deref(),
        ..Measured::default()
    };
    let same = |again: &Gauge| Kept::of(again) == Kept::of(gauge);
    match measured.typed(gauge.bead()) {
        Ok(Some(again)) if same(&again) => Ok(typed),
        _ => Err(Error::new(format!(
            "the words '{from}' do not give the pitch of {} that stands beside them",
            gauge.pitch()
        ))
        .hint("write the swatch, or the band that fits, by hand")),
    }
}

/// A gauge as far as a file keeps it.
#[derive(PartialEq)]
struct Kept(String, Option<String>);

impl Kept {
    fn of(gauge: &Gauge) -> Self {
        let column = gauge.measured_column();
        Self(
            decimals(gauge.pitch().get(), 6),
            column.map(|column| decimals(column.get(), 6)),
        )
    }
}
