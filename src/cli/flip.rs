//! `upbead flip`: the pattern of a finished chart flipped left to right, end to end, or both.

use super::mend::Output;
use crate::error::Result;
use crate::request::FlipRequest;
use std::path::PathBuf;

/// What `upbead flip --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Flip a finished chart left to right or end to end\n\n\
    Swaps left and right, as when the band is turned over and seen from the back; with --mirror \
    rows the two ends; with --mirror both left and right and the ends, which turns the band half \
    round. Flipped again in the same way it is as before.";

/// Options of `upbead flip`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead flip band.json --force\n  \
    upbead flip band.json --mirror both -o turned.json")]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    #[command(flatten)]
    request: FlipRequest,

    #[command(flatten)]
    output: Output,
}

/// Flips the pattern of one chart.
pub(crate) fn run(args: &Args) -> Result<()> {
    let flip = args.request.flip();
    args.output
        .write(&args.chart, None, |chart| chart.flipped(flip))
}
