//! `upbead repeat`: some rows of a finished chart again and again.

use super::mend::Output;
use crate::error::Result;
use crate::report::mend::repeat;
use crate::request::RepeatRequest;
use std::path::PathBuf;

/// What `upbead repeat --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Repeat some rows of a finished chart\n\n\
    Weaves the rows named again and again: over the whole band, which keeps its number of rows, or \
    with --times as a band of so many repeats. The part has an even number of rows, and a ring \
    holds it a whole number of times; the last repeat of a flat strip may be cut.";

/// Options of `upbead repeat`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead repeat band.json --rows 5..14 --times 7 -o border.json\n  \
    upbead repeat band.json --rows 1..2 --force")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    request: RepeatRequest,

    #[command(flatten)]
    output: Output,
}

/// Repeats rows of one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    args.output
        .write(&args.chart, None, |chart| repeat(chart, &args.request))
}
