//! The options that say how a weaver's beads stand, shared by the verbs that fit a finger.

use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::report::{Measured, PreferWord, of_option};
use crate::ring::{Gauge, Prefer, default_path};
use crate::warning::Warned;
use std::path::{Path, PathBuf};

/// Bead, gauge, and which of two counts to take.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Bead and gauge")]
pub(crate) struct GaugeArgs {
    /// Bead size [11], or its measures in mm
    ///
    /// Size of the cylinder beads: 11, 10, 8 or 15 (11 is the default), or length x diameter x hole in millimetres, each from
    /// 0.3 to 20, for beads that were measured: --bead 1.3x1.6x0.8
    #[arg(
        long,
        value_name = "SIZE|LxDxH",
        default_value = "11",
        hide_default_value = true
    )]
    bead: String,

    #[command(flatten)]
    measured: MeasuredArgs,
}

/// The gauge of beads that are known, and which of two counts to take.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Bead and gauge")]
pub(crate) struct MeasuredArgs {
    /// A flat swatch: its rows and their height
    ///
    /// Rows of a flat swatch, counted zigzag over two neighbouring columns, and their height in millimetres: --swatch 40=33.6.
    /// Columns and width may be given too: --swatch 9x40=11.9x33.6. At least 3 rows; 40 or more are surer. None by default. A weaver's tension
    /// decides the size of her rings, so measure once and keep it with `upbead fit --remember`.
    #[arg(long, value_name = "ROWS=MM")]
    swatch: Option<String>,

    /// A closed band that fits: its rows and size
    ///
    /// Rows of a band that was woven and closed, and the ring size that it fits: --fits 74=us7. It serves in place of a swatch,
    /// and is the surer measure, since it was worn. Even, at least 6. None by default.
    #[arg(long, value_name = "ROWS=SIZE")]
    fits: Option<String>,

    /// Gauge file, in place of your own
    ///
    /// File with gauges, one for each bead, as `upbead fit --remember` writes it. By default upbead/gauge.json in your folder
    /// for settings, if it is there. --swatch and --fits go before it. Example: --gauge class.json
    #[arg(long, value_name = "FILE")]
    gauge: Option<PathBuf>,

    /// Of two row counts: smaller, nearest or larger
    ///
    /// Which of the two even row counts round the wanted size to take. The default is smaller, since a beaded band gives with
    /// wear; nearest may come out a little large, larger leaves room for a wide band. Example: --prefer nearest
    #[arg(
        long,
        value_name = "WHICH",
        value_enum,
        default_value_t,
        hide_default_value = true,
        hide_possible_values = true
    )]
    prefer: PreferWord,
}

impl GaugeArgs {
    /// The bead as it was typed.
    pub(crate) fn bead_word(&self) -> &str {
        &self.bead
    }

    /// What was typed of the gauge.
    pub(crate) fn measured(&self) -> Measured<'_> {
        self.measured.asked()
    }

    /// The bead.
    pub(crate) fn bead(&self) -> Result<Bead> {
        Bead::parse(&self.bead).map_err(|error| of_option(error, "--bead"))
    }

    /// Which of two counts to take.
    pub(crate) fn prefer(&self) -> Prefer {
        self.measured.prefer()
    }

    /// The gauge that was typed, with --swatch or --fits.
    pub(crate) fn typed(&self) -> Result<Option<Gauge>> {
        self.measured.asked().typed(self.bead()?)
    }

    /// The gauge to work with, which knows its bead.
    pub(crate) fn resolve(&self) -> Result<Warned<Gauge>> {
        self.measured.resolve(self.bead()?)
    }

    /// The file to remember a gauge in.
    pub(crate) fn file(&self) -> Result<PathBuf> {
        self.measured.file()
    }
}

impl MeasuredArgs {
    /// What was typed of the gauge.
    pub(crate) fn asked(&self) -> Measured<'_> {
        Measured {
            swatch: self.swatch.as_deref(),
            fits: self.fits.as_deref(),
            gauge: self.gauge.as_deref(),
            prefer: self.prefer,
        }
    }

    /// Which of two counts to take.
    pub(crate) fn prefer(&self) -> Prefer {
        self.prefer.into()
    }

    /// The gauge to work with, which knows its bead: as typed, or from the file that was named, or from the person's own, or touching.
    pub(crate) fn resolve(&self, bead: Bead) -> Result<Warned<Gauge>> {
        self.asked().resolve(bead)
    }

    /// The file to remember a gauge in.
    pub(crate) fn file(&self) -> Result<PathBuf> {
        if self.gauge.as_deref() == Some(Path::new("-")) {
            return Err(Error::usage("a gauge is remembered in a file")
                .option("--gauge")
                .hint("name a file, or leave --gauge out for your own"));
        }
        self.gauge.clone().or_else(default_path).ok_or_else(|| {
            Error::new("your folder for settings is not known")
                .hint("name a file with --gauge, or set HOME")
        })
    }
}
