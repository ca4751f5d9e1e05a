//! `upbead palette from-photo`: a photograph of bead piles to a palette.

use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::palette_photo::text;
use crate::palette::write::write;
use crate::report::photo::{Photo, PhotoPalette};
use crate::request::PhotoRequest;
use std::path::{Path, PathBuf};

/// What `upbead palette from-photo --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Make a palette from a photograph of your beads\n\n\
    Lay the beads in piles, or their tubes, on plain white paper with gaps between, in daylight \
    from one side, and photograph them from above. Uneven light and its colour are corrected; \
    each pile becomes a colour, without its highlights, holes and shadows. Piles whose colour may \
    be wrong are named. The colours get codes p-01 and on, in reading order, and plain names, \
    which you replace with your own.\n\n\
    A photograph shows less than you see: metal, lustre and clear glass come out as one flat \
    colour.";

/// Options of `upbead palette from-photo`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  upbead palette from-photo tray.png\n  \
                  upbead palette from-photo tray.png --grid 6x4 -o mine.csv --force")]
pub(crate) struct Args {
    /// Photograph; - is standard input
    #[arg(value_name = "PHOTO")]
    photo: PathBuf,

    /// Palette file to write
    ///
    /// CSV. By default the photograph's name with .csv, in the current folder (standard output, if
    /// the photograph comes from standard input); - is standard output. Example: -o owned.csv
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,

    #[command(flatten)]
    request: PhotoRequest,

    /// Replace a palette that exists
    ///
    /// Lets the palette replace a file of the same name. Off by default.
    /// Example: -o owned.csv --force
    #[arg(long)]
    force: bool,

    /// Print what was found as JSON
    ///
    /// One JSON document for other programs in place of text: each pile with its colour, place,
    /// spread and doubts. Off by default.
    /// Example: upbead palette from-photo tray.jpg --json
    #[arg(long)]
    json: bool,
}

/// Reads one photograph.
pub(crate) fn run(args: &Args) -> Result<()> {
    // An option is refused before a file is.
    args.request.options()?;
    let target = args.target();
    let replace = Replace::from(args.force);
    args.check(&target, replace)?;
    let photo = Photo {
        file: &args.photo,
        palette: target.path(),
    };
    let read = PhotoPalette::read(
        photo,
        files::read(&args.photo)?,
        &args.request,
        &super::super::decoding(),
    )?;
    files::write(&target, write(&read.palette).as_bytes(), replace)?;
    let printed = if args.json {
        document(&read.report)?
    } else {
        text(&read.report)
    };
    crate::cli::publish(&printed, &target)
}

impl Args {
    fn target(&self) -> Target {
        match (&self.output, self.photo == Path::new("-")) {
            (Some(output), _) => Target::new(output),
            (None, true) => Target::Stdout,
            (None, false) => {
                let stem = self.photo.file_stem().unwrap_or("palette".as_ref());
                Target::File(Path::new(stem).with_extension("csv"))
            }
        }
    }

    fn check(&self, target: &Target, replace: Replace) -> Result<()> {
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the palette and what was found cannot both go to standard output",
            )
            .option("--json")
            .hint("give the palette a file with -o"));
        }
        Inputs::new([self.photo.as_path()]).check_apart(target, "-o")?;
        files::check(target, replace)
    }
}
