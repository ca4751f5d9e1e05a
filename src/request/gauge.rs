//! The weaver's gauge: given here, in a gauge file, or not set; and keeping one for later.

use super::is_none;
use super::json::optional;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::files::Replace;
use crate::ring::{Gauge, GaugeFile, KnownFit, Prefer, Swatch, default_path, remember};
use crate::warning::{Warned, Warning};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// The bead.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Bead and gauge"))]
#[serde(default)]
pub struct BeadRequest {
    /// Bead size [11], or its measures in mm
    ///
    /// Size of the cylinder beads: 11, 10, 8 or 15 (11 is the default), or length x diameter x
    /// hole in millimetres, each from 0.3 to 20, for beads that were measured: --bead 1.3x1.6x0.8
    #[cfg_attr(feature = "cli", arg(long, value_name = "SIZE|LxDxH"))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub bead: Option<Bead>,
}

/// The weaver's gauge, and which of two row counts to take.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Bead and gauge"))]
#[serde(default)]
pub struct GaugeRequest {
    /// A flat swatch: its rows and their height
    ///
    /// Rows of a flat swatch, counted zigzag over two neighbouring columns, and their height in
    /// millimetres: --swatch 40=33.6, or in inches: --swatch 40=1.32in. Columns and width may be
    /// given too: --swatch 9x40=11.9x33.6. At least 3 rows; 40 or more measure better. None by
    /// default. Your tension decides the size of your rings, so measure once and keep it with
    /// `upbead fit --remember`.
    #[cfg_attr(feature = "cli", arg(long, value_name = "ROWS=MM"))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub swatch: Option<Swatch>,

    /// A closed band that fits: its rows and size
    ///
    /// Rows of a band that was woven and closed, and the ring size that it fits: --fits 74=us7.
    /// Use it in place of a swatch; it is more certain, since the band was worn. Its columns may be
    /// given too, --fits 9x74=us7, so that a wider band is advised larger; with --remember those of
    /// --columns are kept otherwise. Even, at least 6. None by default.
    #[cfg_attr(feature = "cli", arg(long, value_name = "ROWS=SIZE"))]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub fits: Option<KnownFit>,

    /// Gauge file, in place of your own
    ///
    /// File with gauges, one for each bead, as `upbead fit --remember` writes it. By default
    /// upbead/gauge.json in your folder for settings, if it is there. --swatch and --fits are used
    /// before it. Example: --gauge class.json
    #[cfg_attr(feature = "cli", arg(long, value_name = "FILE"))]
    #[serde(skip)]
    pub gauge: Option<PathBuf>,

    /// Of two row counts: smaller, nearest or larger
    ///
    /// Which of the two even row counts nearest to the ring size to take. The default is smaller,
    /// since a beaded band stretches with wear; nearest may come out a little large, larger leaves
    /// room for a wide band. Example: --prefer nearest
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WHICH", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub prefer: Option<Prefer>,
}

/// Whether to keep the gauge for later.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Bead and gauge"))]
pub struct RememberRequest {
    /// Keep the gauge of --swatch or --fits
    ///
    /// Keeps the gauge that --swatch or --fits gives, for this bead, in your own gauge file or in
    /// the one that --gauge names. Every later run with this bead uses it. Off by default.
    /// Example: --fits 74=us7 --remember
    #[cfg_attr(feature = "cli", arg(long))]
    pub remember: bool,

    /// Replace another gauge for the same bead
    ///
    /// Lets --remember replace a different gauge that is kept for the same bead. Off by default,
    /// so that a measured gauge is not lost by mistake.
    /// Example: --swatch 60=50.1 --remember --force
    #[cfg_attr(feature = "cli", arg(long))]
    pub force: bool,
}

impl BeadRequest {
    /// The bead.
    pub fn bead(&self) -> Bead {
        self.bead.unwrap_or_default()
    }
}

impl RememberRequest {
    /// The gauge to keep, if one is to be kept.
    ///
    /// # Errors
    /// As [`GaugeRequest::needed`], or if one is to be replaced but not kept.
    pub fn gauge(&self, bead: Bead, gauge: &GaugeRequest) -> Result<Option<Gauge>> {
        if self.remember {
            let gauge = gauge.needed(bead);
            return gauge.map(Some).map_err(|error| error.option("remember"));
        }
        if self.force {
            return Err(Error::usage("without a gauge to remember none is replaced")
                .option("force")
                .hint("add [--remember], or leave out [--force]"));
        }
        Ok(None)
    }

    /// Keeps `gauge` in `file`.
    ///
    /// # Errors
    /// As [`remember`].
    pub fn keep(&self, gauge: &Gauge, file: &Path) -> Result<()> {
        let replace = if self.force {
            Replace::Yes
        } else {
            Replace::No
        };
        remember(gauge, file, replace)
    }
}

impl FromStr for Swatch {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::parse(text)
    }
}

impl FromStr for KnownFit {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::parse(text)
    }
}

impl GaugeRequest {
    /// Which of two row counts to take.
    pub fn prefer(&self) -> Prefer {
        self.prefer.unwrap_or_default()
    }

    /// The gauge of the swatch, or of the band that fits, if either is given.
    ///
    /// # Errors
    /// If both are, or the one that is does not suit the bead.
    pub fn given(&self, bead: Bead) -> Result<Option<Gauge>> {
        match (&self.swatch, &self.fits) {
            (Some(_), Some(_)) => Err(Error::usage(
                "a swatch and a band that fits cannot both set the gauge",
            )
            .option("fits")
            .hint("leave out [--swatch] or [--fits]")),
            (Some(swatch), None) => Gauge::from_swatch(bead, *swatch)
                .map(Some)
                .map_err(|error| error.of_option("swatch")),
            (None, Some(fits)) => Gauge::from_fit(bead, fits.clone())
                .map(Some)
                .map_err(|error| error.of_option("fits")),
            (None, None) => Ok(None),
        }
    }

    /// The gauge of the swatch, or of the band that fits.
    ///
    /// # Errors
    /// As [`GaugeRequest::given`], or if neither is given.
    pub fn needed(&self, bead: Bead) -> Result<Gauge> {
        self.given(bead)?.ok_or_else(|| {
            Error::usage("there is no gauge to remember")
                .hint("add [--swatch ROWS=MM] or [--fits ROWS=SIZE]")
        })
    }

    /// The gauge to work with: as given, from the gauge file, or an average hand's.
    ///
    /// # Errors
    /// As [`GaugeRequest::given`], or if the gauge file cannot be read.
    pub fn resolve(&self, bead: Bead) -> Result<Warned<Gauge>> {
        let found = |value| Warned {
            value,
            warnings: Vec::new(),
        };
        if let Some(given) = self.given(bead)? {
            return Ok(found(given));
        }
        let Some((file, kept)) = self.kept()? else {
            return Ok(found(Gauge::assumed(bead)));
        };
        Ok(match kept.find(bead, &file)? {
            Some(gauge) => found(gauge),
            None => Warned {
                value: Gauge::assumed(bead),
                warnings: vec![Warning::GaugeForOtherBead { bead: bead.name() }],
            },
        })
    }

    /// The gauge file in use; a file that was named must be there.
    fn kept(&self) -> Result<Option<(PathBuf, GaugeFile)>> {
        if let Some(file) = &self.gauge {
            return Ok(Some((file.clone(), GaugeFile::read(file)?)));
        }
        let Some(file) = default_path() else {
            return Ok(None);
        };
        Ok(GaugeFile::read_if_there(&file)?.map(|kept| (file, kept)))
    }

    /// The gauge file that is read, if there is one: as named, or the user's own.
    pub fn file_read(&self) -> Option<PathBuf> {
        self.gauge.clone().or_else(default_path)
    }

    /// The file to remember a gauge in.
    ///
    /// # Errors
    /// If it is standard input, or none was named and the folder for settings is not known.
    pub fn file(&self) -> Result<PathBuf> {
        if self.gauge.as_deref() == Some(Path::new("-")) {
            return Err(Error::usage("a gauge is remembered in a file")
                .option("gauge")
                .hint("name a file, or leave [--gauge] out for your own"));
        }
        self.file_read().ok_or_else(|| {
            Error::new("your folder for settings is not known")
                .hint("name a file with [--gauge], or set HOME")
        })
    }
}
