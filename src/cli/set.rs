//! `upbead set`: beads of a finished chart in another colour.

use super::mend::Output;
use crate::error::{Error, Result};
use crate::palette::read;
use crate::report::mend::set;
use crate::request::SetRequest;
use std::path::{Path, PathBuf};

/// What `upbead set --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Give beads of a finished chart another colour\n\n\
    Mends single beads, lines and areas by row and column, numbered as on the chart: row 1 at the \
    bottom, column 1 at the left. Nothing else of the chart changes. How many beads changed is \
    printed, with the colours whose counts differ now.";

/// Options of `upbead set`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead set band.json 12..14:3=navy-1 --mirror columns --force\n  \
    upbead set band.json 40:4=quay-01 1..:9=quay-09 --palette owned.csv -o mended.json")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    request: SetRequest,

    /// More colours to choose from, CSV or GPL
    ///
    /// A palette for colours that the chart does not have yet; a code that the chart has means the
    /// chart's colour. By default only the chart's colours. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    #[command(flatten)]
    output: Output,
}

/// Sets beads of one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let stdin = Path::new("-");
    if args.chart == stdin && args.palette.as_deref() == Some(stdin) {
        return Err(
            Error::usage("chart and palette cannot both come from standard input")
                .option("--palette")
                .hint("name a file for one of them"),
        );
    }
    let palette = args.palette.as_deref().map(read::open).transpose()?;
    args.output
        .write(&args.chart, args.palette.as_deref(), |chart| {
            set(chart, &args.request, palette.as_ref())
        })
}
