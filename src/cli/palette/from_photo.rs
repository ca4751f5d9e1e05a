//! `upbead palette from-photo`: a photograph of bead piles to a palette.

use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::files::{self, Replace, Target};
use crate::output::json::document;
use crate::output::palette_photo::{Answer, json, text};
use crate::palette::write::write;
use crate::palette_photo::{Hints, read};
use crate::picture::decode;
use crate::report::{Piles, as_fine_as_needed};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What `upbead palette from-photo --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Make a palette from a photograph of your beads\n\nLay the beads in piles, or their tubes, on plain white paper with gaps between, in daylight from one side, and \
        photograph them from above. The light over the paper is evened out and its colour taken out; each pile becomes a colour, its shine, holes and shadows \
        left out. Piles whose colour is in doubt are named. The palette gets codes p-01 and on, in reading order, and plain names to replace with your own.\n\n\
        A photograph sees less than your eye: metal, lustre and clear glass come out as one flat colour.";

/// Options of `upbead palette from-photo`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead palette from-photo tray.png\n  upbead palette from-photo tray.png --grid 6x4 -o mine.csv --force"
)]
pub(crate) struct Args {
    /// Photograph; - is standard input
    #[arg(value_name = "PHOTO")]
    photo: PathBuf,

    /// Palette file to write
    ///
    /// CSV. By default the photograph's name with .csv, in the current folder (standard output, if the photograph comes from standard input); - is
    /// standard output. Example: -o owned.csv
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Piles on a grid, such as 6x4
    ///
    /// Columns and rows of piles that share the whole photograph evenly; each is looked for in the middle of its place. By default piles are found by
    /// themselves. Example: --grid 6x4
    #[arg(
        long,
        value_name = "COLUMNSxROWS",
        conflicts_with = "spots",
        allow_hyphen_values = true
    )]
    grid: Option<String>,

    /// Middles of the piles, in pixels
    ///
    /// From the left and from the top of the upright photograph, parted by semicolons. By default piles are found by themselves.
    /// Example: --spots "120,80;340,90;560,85"
    #[arg(long, value_name = "X,Y;..", allow_hyphen_values = true)]
    spots: Option<String>,

    /// A place of bare paper, in pixels
    ///
    /// Where the photograph shows much that is lighter than the paper, or little paper. By default the paper is found by itself. Example: --white 40,25
    #[arg(long, value_name = "X,Y", allow_hyphen_values = true)]
    white: Option<String>,

    /// Replace a palette that exists
    ///
    /// Lets the palette replace a file of the same name. Off by default. Example: -o owned.csv --force
    #[arg(long)]
    force: bool,

    /// Print what was found as JSON
    ///
    /// One JSON document for other programs in place of text: each pile with its colour, place, spread and doubts. Off by default.
    /// Example: upbead palette from-photo tray.jpg --json
    #[arg(long)]
    json: bool,
}

/// Reads one photograph.
pub(crate) fn run(args: &Args) -> Result<()> {
    let options = args.options()?;
    let target = args.target();
    let replace = match args.force {
        true => Replace::Yes,
        false => Replace::No,
    };
    args.check(&target, replace)?;
    let bytes = Arc::new(files::read(&args.photo)?);
    let in_photo = |error: Error| match error.place().option {
        // A place outside is the call's fault, not the file's.
        Some(_) => error,
        None => error.file(&args.photo),
    };
    let photo = decode(bytes, &as_fine_as_needed()?, &Cancel::default()).map_err(in_photo)?;
    let tray = read(&photo, &options).map_err(in_photo)?;
    let palette = tray.palette(&args.name(&target))?;
    files::write(&target, write(&palette).as_bytes(), replace)?;
    let answer = Answer {
        file: target.path(),
        photo: &args.photo,
        tray: &tray,
        palette: &palette,
    };
    let printed = match args.json {
        true => document(&json(&answer))?,
        false => text(&answer),
    };
    match target {
        Target::Stdout => {
            crate::cli::say(&printed);
            Ok(())
        }
        Target::File(_) => files::print(printed.as_bytes()),
    }
}

impl Args {
    fn options(&self) -> Result<Hints> {
        let piles = Piles {
            grid: self.grid.as_deref(),
            spots: self.spots.as_deref(),
            white: self.white.as_deref(),
        };
        piles.options()
    }

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

    /// The palette's own name.
    fn name(&self, target: &Target) -> String {
        let path = target.path().unwrap_or(&self.photo);
        let stem = path.file_stem().unwrap_or(path.as_os_str());
        stem.to_string_lossy().into_owned()
    }

    fn check(&self, target: &Target, replace: Replace) -> Result<()> {
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the palette and what was found cannot both go to standard output",
            )
            .option("--json")
            .hint("give the palette a file with -o"));
        }
        if target.path().map(files::place) == Some(files::place(&self.photo)) {
            return Err(Error::usage(format!(
                "'{}' is read and cannot be written over",
                self.photo.display()
            ))
            .option("-o")
            .hint("choose another name"));
        }
        files::check(target, replace)
    }
}
