//! `upbead fit`.

use crate::error::Result;
use crate::files;
use crate::output::fit::{gauge, text};
use crate::output::json::document;
use crate::report::fit::FitReport;
use crate::report::gauge::GaugeReport;
use crate::request::{FitRequest, RememberRequest};
use crate::ring::{Gauge, RingSize};
use std::path::PathBuf;

/// What `upbead fit --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Work out the rows for a ring size\n\n\
    A band closes with an even number of rows. Prints the row count for the size, its \
    neighbours with the sizes that they make, and what to know before weaving. How many rows \
    it takes depends on your tension: weave a swatch, measure it, and let --remember keep it \
    for every later run.";

/// Options of `upbead fit`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:
  upbead fit us7 --columns 9
  upbead fit --swatch 40=33.6 --remember")]
pub(crate) struct Args {
    /// Ring size, in place of --size
    #[arg(value_name = "SIZE", conflicts_with = "size")]
    size_first: Option<RingSize>,

    #[command(flatten)]
    request: FitRequest,

    #[command(flatten)]
    remember: RememberRequest,

    /// Print the answer as JSON
    ///
    /// Prints one JSON document for other programs in place of text: rows, width, bead-to-bead
    /// spacing, the neighbouring counts with their sizes, and what to know. `upbead schema --of
    /// fit` describes it. Off by default. Example: upbead fit --size us7 --json
    #[arg(long, help_heading = "Output")]
    json: bool,
}

/// Prints the rows for a size, and remembers the gauge if asked.
pub(crate) fn run(args: &Args) -> Result<()> {
    let request = &args.request();
    if args.json {
        request.units.check_fixed("JSON")?;
    }
    let kept = args.remember.gauge(request.bead(), &request.gauge)?;
    let printed = match kept {
        Some(kept) if request.ring.size.is_none() => {
            let mut report = GaugeReport::from(&kept);
            report.remembered = Some(args.keep(&kept, request)?);
            if args.json {
                document(&report)?
            } else {
                gauge(&report, request.units.units())
            }
        }
        kept => {
            let mut report = FitReport::new(request)?;
            report.remembered = kept.map(|kept| args.keep(&kept, request)).transpose()?;
            if args.json {
                document(&report)?
            } else {
                text(&report)
            }
        }
    };
    files::print(printed.as_bytes())
}

impl Args {
    /// What was asked for: the size may stand first, and a band that fits is kept with its columns.
    fn request(&self) -> FitRequest {
        let mut request = self.request.clone();
        if let Some(size) = &self.size_first {
            request.ring.size = Some(size.clone());
        }
        if let (true, Some(fits)) = (self.remember.remember, &mut request.gauge.fits) {
            fits.columns.get_or_insert(self.request.columns());
        }
        request
    }

    /// Keeps the gauge, and returns the file.
    fn keep(&self, gauge: &Gauge, request: &FitRequest) -> Result<PathBuf> {
        let file = request.gauge.file()?;
        self.remember.keep(gauge, &file)?;
        Ok(file)
    }
}
