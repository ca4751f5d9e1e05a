//! `upbead fit`.

use super::gauge_args::GaugeArgs;
use crate::error::{Error, Result};
use crate::files::{self, Replace};
use crate::lattice::Lattice;
use crate::output::fit::{Answer, json, remembered, remembered_json, text};
use crate::report::{of_option, remember};
use crate::ring::{Fit, Gauge, RingSize, fit};
use std::path::{Path, PathBuf};

/// Options of `upbead fit`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead fit --size us7 --columns 9\n  upbead fit --swatch 40=33.6 --remember"
)]
pub(crate) struct Args {
    /// Ring size, such as us7, uk-n or 54.4mm
    ///
    /// Size to close round, in any case: us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14 (continental: circumference less 40),
    /// 54.4mm (inner circumference) or d17.3mm (inside diameter). Rings of 8 to 40 mm inside are believed. Needed unless a gauge
    /// is only to be remembered. Example: --size uk-n
    #[arg(long, value_name = "SIZE", required_unless_present = "remember")]
    size: Option<String>,

    /// Columns of the band [9]
    ///
    /// Columns across the band, 3 to 1000; 9 is the default. They decide its width, and a wide band feels tighter than a narrow
    /// one. Example: --columns 11
    #[arg(
        long,
        value_name = "COLUMNS",
        default_value_t = 9,
        hide_default_value = true,
        allow_negative_numbers = true,
        value_parser = super::numbers::whole::<u32>
    )]
    columns: u32,

    /// Print the answer as JSON
    ///
    /// Prints one JSON document for other programs in place of text: rows, width, pitch, the neighbouring counts with their
    /// sizes, and the advice. Off by default. Example: upbead fit --size us7 --json
    #[arg(long)]
    json: bool,

    #[command(flatten)]
    gauge: GaugeArgs,

    /// Keep the gauge of --swatch or --fits
    ///
    /// Keeps the gauge that --swatch or --fits gives, for this bead, in your own gauge file or in the one that --gauge names.
    /// Every later fit and chart with this bead uses it. Off by default. Example: --fits 74=us7 --remember
    #[arg(long, help_heading = "Bead and gauge")]
    remember: bool,

    /// Replace another gauge for the same bead
    ///
    /// Lets --remember replace a different gauge that is kept for the same bead. Off by default, so that a slip costs no
    /// measurement. Example: --swatch 60=50.1 --remember --force
    #[arg(long, requires = "remember", help_heading = "Bead and gauge")]
    force: bool,
}

/// Answers for a size, and remembers the gauge if asked.
pub(crate) fn run(args: &Args) -> Result<()> {
    if args.remember && args.gauge.typed()?.is_none() {
        return Err(Error::usage("there is no gauge to remember")
            .option("--remember")
            .hint("add --swatch ROWS=MM or --fits ROWS=SIZE"));
    }
    let noted = args.gauge.resolve()?;
    let fit = args.fit(&noted.value)?;
    let file = match args.remember {
        true => Some(args.remember(&noted.value)?),
        false => None,
    };
    let printed = match (&fit, &file) {
        (Some(fit), _) => {
            let answer = Answer {
                fit,
                columns: args.columns,
                notes: &noted.notes,
                remembered: file.as_deref(),
            };
            match args.json {
                true => json(&answer)?,
                false => text(&answer),
            }
        }
        (None, Some(file)) => args.only_remembered(&noted.value, file)?,
        (None, None) => String::new(),
    };
    files::print(printed.as_bytes())
}

impl Args {
    /// The fit for the size that was asked for, checked against what can be woven.
    fn fit(&self, gauge: &Gauge) -> Result<Option<Fit>> {
        let Some(size) = &self.size else {
            return Ok(None);
        };
        let size = RingSize::parse(size).map_err(|error| error.option("--size"))?;
        let fit = fit(&size, gauge, self.gauge.prefer())?;
        Lattice::new(gauge.bead(), self.columns, fit.chosen.rows)
            .map_err(|error| of_option(error, "--columns"))?;
        Ok(Some(fit))
    }

    /// Keeps the gauge that was typed, and returns the file.
    fn remember(&self, gauge: &Gauge) -> Result<PathBuf> {
        let file = self.gauge.file()?;
        let replace = match self.force {
            true => Replace::Yes,
            false => Replace::No,
        };
        remember(gauge, &file, replace)?;
        Ok(file)
    }

    fn only_remembered(&self, gauge: &Gauge, file: &Path) -> Result<String> {
        match self.json {
            true => remembered_json(gauge, file),
            false => Ok(remembered(gauge, file)),
        }
    }
}
