//! `upbead palette`: checks a palette, prints it, and names the pairs that are hard to tell apart.

mod from_photo;

use super::Manner;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::files;
use crate::output::json::document;
use crate::output::palette::text;
use crate::palette::read;
use crate::report::palette::PaletteReport;
use crate::request::PaletteRequest;
use std::path::{Path, PathBuf};

/// What `upbead palette --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Check a palette and print it\n\n\
    Reads the whole file, stops at the first mistake with its line and column, and prints each \
    colour: a swatch where the terminal has colour, then code, name, hex, finish and grams. Then \
    follow the pairs that are hard to tell apart: side by side in one chart they may look like \
    one colour. Last come the pairs that are hard to tell apart when worn, 700 mm from the eye, \
    as single beads of size 11: with full colour sight, and with red-weak, green-weak and \
    blue-weak sight (protan, deutan, tritan).\n\n\
    A palette is CSV with a header, code,name,hex and perhaps finish,grams,per_gram,price in any \
    order (other columns are kept), or a GIMP palette (GPL). Empty grams mean \
    that you have enough.";

/// Options.
#[derive(Debug, clap::Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    disable_help_subcommand = true,
    after_help = "Examples:\n  upbead palette colours.csv\n  \
                  upbead palette from-photo tray.png -o mine.csv --force"
)]
pub(crate) struct Args {
    #[command(subcommand)]
    source: Option<Source>,

    /// Palette, CSV or GPL; - is standard input
    #[arg(value_name = "FILE", required = true)]
    file: Option<PathBuf>,

    #[command(flatten)]
    request: PaletteRequest,

    /// Print JSON, for programs
    ///
    /// All fields of each colour and its CIELAB values, then the pairs, closest first: all of them,
    /// or the closest 100,000 if there are more; and the pairs that are hard to tell apart when
    /// worn, for each kind of sight. Off by default. Example: upbead palette colours.csv --json
    #[arg(long)]
    json: bool,
}

/// Where a palette comes from, if it is no file of its own.
#[derive(Debug, clap::Subcommand)]
enum Source {
    /// Make a palette from a photograph of your beads
    #[command(name = "from-photo", long_about = from_photo::LONG_ABOUT)]
    FromPhoto(from_photo::Args),
}

pub(crate) fn run(args: &Args, manner: Manner) -> Result<()> {
    if let Some(Source::FromPhoto(args)) = &args.source {
        return from_photo::run(args);
    }
    let palette = read::open(args.file.as_deref().unwrap_or(Path::new("-")))?;
    let report = PaletteReport::new(&palette, &args.request, &Cancel::default())?;
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report, manner.colour)
    };
    files::print(printed.as_bytes())
}
