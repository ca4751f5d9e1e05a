//! `upbead shift`: the pattern of a finished chart moved over its band.

use super::mend::Output;
use crate::error::Result;
use crate::request::ShiftRequest;
use std::path::PathBuf;

/// What `upbead shift --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Move a finished chart's pattern up or sideways\n\n\
    Moves all beads by so many rows and columns; what goes out on one side comes in on the other, \
    on a flat strip too. Rows and columns are even numbers, such as 2 or 6, because the beads of \
    the next row and column lie half a bead further; on a band with an even number of columns and \
    of rows both may be odd together.";

/// Options of `upbead shift`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead shift band.json --up 6 --force\n  \
    upbead shift band.json --up -2 --right 2 -o moved.json")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    request: ShiftRequest,

    #[command(flatten)]
    output: Output,
}

/// Shifts the pattern of one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let shift = args.request.shift()?;
    args.output
        .write(&args.chart, None, |chart| chart.shifted(shift))
}
