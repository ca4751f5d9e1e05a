//! `upbead check`: problems of a chart, found before a needle is threaded.

use crate::chart::read;
use crate::error::{Error, Result};
use crate::files;
use crate::output::check::text;
use crate::output::json::document;
use crate::palette::Palette;
use crate::report::check::CheckReport;
use crate::request::CheckRequest;
use std::path::PathBuf;

/// What `upbead check --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Check a chart for problems before you weave\n\n\
    Looks for a seam that breaks the motif, colours that are hard to tell apart, colours with \
    hardly a bead, stray beads, rows that change colour far more often than the others, beads that \
    are short, a thread that is too long to sew with, and holes that get too full. Each finding \
    has its place and what to do about it.";

/// Options of `upbead check`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  upbead check band.json\n  \
    upbead check band.json --palette stock.csv --make 12")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// Beads in stock, CSV or GPL
    ///
    /// A palette with the chart's codes, as for `upbead chart`: colours that it does not have, or
    /// has too few grams of, are found too. Empty grams mean that you have enough. By default your
    /// stock is not checked. Example: --palette stock.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    #[command(flatten)]
    request: CheckRequest,

    /// Fail if anything is found
    ///
    /// Ends with status 1 if there is a finding, for scripts that go through many charts. Off by
    /// default: findings are advice. Example: --strict
    #[arg(long)]
    strict: bool,

    /// Print JSON, for programs
    ///
    /// Prints one JSON document: columns, rows, beads, and each finding with its kind, place,
    /// measure, limit and hint; `upbead schema --of check` describes it. Off by default.
    /// Example: upbead check band.json --json
    #[arg(long)]
    json: bool,
}

/// Checks one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let palette = args.palette()?;
    args.request.check(palette.as_ref())?;
    let chart = read::open(&args.chart)?;
    let report = CheckReport::new(&args.request, &chart, palette.as_ref())?;
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report, &args.chart)
    };
    files::print(printed.as_bytes())?;
    if args.strict && report.count > 0 {
        // What was found stands on standard output; here only the status is left to say.
        return Err(Error::new("problems were found").reported());
    }
    Ok(())
}

impl Args {
    fn palette(&self) -> Result<Option<Palette>> {
        let read = |file| super::kit::palette_in_stock(file, std::slice::from_ref(&self.chart));
        self.palette.as_deref().map(read).transpose()
    }
}
