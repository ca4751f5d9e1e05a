//! `upbead palette`: checks a palette, prints it, and names the pairs that are hard to tell apart.

mod from_photo;

use super::Manner;
use crate::error::Result;
use crate::files;
use crate::output;
use crate::palette::{HARD_TO_TELL, alike, read};
use crate::report;
use crate::vision::single_bead::similar_when_worn;
use std::path::{Path, PathBuf};

/// What `upbead palette --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Check a palette and print it\n\nReads the whole file, stops at the first mistake with its line and column, and prints each colour: \
        a swatch where the terminal has colour, then code, name, hex, finish and grams. Below stand the pairs that are hard to tell apart: \
        side by side in one chart they may read as one colour. Then those that a single bead of size 11 does not show among others when it is worn, 700 mm \
        from the eye, and those that are lost to protan, deutan and tritan eyes.\n\n\
        A palette is CSV with a header, code,name,hex and perhaps finish,grams,per_gram,price in any order (other columns are kept), or a \
        GIMP palette (GPL). Empty grams mean that you have enough.";

/// Options.
#[derive(Debug, clap::Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    disable_help_subcommand = true,
    after_help = "Examples:\n  upbead palette colours.csv\n  upbead palette from-photo tray.png -o mine.csv --force"
)]
pub(crate) struct Args {
    #[command(subcommand)]
    source: Option<Source>,

    /// Palette, CSV or GPL; - is standard input
    #[arg(value_name = "FILE", required = true)]
    file: Option<PathBuf>,

    /// Name pairs that differ by less than this [3]
    ///
    /// CIEDE2000, from 0 to 20. About 1 is the smallest difference that is seen between large patches side by side; small, shining beads need
    /// two or three times as much, so the default of 3 errs on the safe side. 0 names no pairs; with 5 you find colours that can
    /// stand in for each other when one runs out. Example: --below 5
    #[arg(long, value_name = "DIFFERENCE", default_value_t = HARD_TO_TELL.to_string(), hide_default_value = true, allow_hyphen_values = true)]
    below: String,

    /// Print JSON, for programs
    ///
    /// All fields of each colour and its CIELAB values, then the pairs, closest first: all of them, or the closest 100,000 if there are
    /// more; and the pairs that are lost when worn, for each kind of sight. Off by default. Example: upbead palette colours.csv --json
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
    let below = report::below(&args.below)?;
    let palette = read::open(args.file.as_deref().unwrap_or(Path::new("-")))?;
    let tones = palette.tones();
    let alike = alike(&tones, below);
    let worn = similar_when_worn(&tones, below);
    let text = match args.json {
        true => output::palette::json(&palette, &tones, &alike, worn.as_deref(), below),
        false => output::palette::text(&palette, &alike, worn.as_deref(), below, manner.colour),
    };
    files::print(text.as_bytes())
}
