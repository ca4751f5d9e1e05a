//! `upbead show`: a chart into the terminal, or a picture of it into a file.

use super::Manner;
use super::progress::Bar;
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::chart::read::open;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::drawing::{FlatDrawing, SeenDrawing};
use crate::output::ring_picture::{LoopFormat, RingDrawing};
use crate::output::{DENSITY, Kind, MOST_PIXELS, text};
use crate::request::{
    BeadStyleRequest, DrawingRequest, LoopRequest, RingViewRequest, SeenRequest, given,
};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// What `upbead show --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Draw a chart, or print it into the terminal\n\n\
    With no option the chart is printed as text, row 1 at the bottom: in 24-bit colour on a \
    terminal, in plain characters into a file or a pipe, or when NO_COLOR is set. --flat draws the \
    chart instead, --ring the closed band as it is worn, --turntable a loop of it, and --seen the \
    band as it looks from a distance; one of them at a time.";

/// Options of `upbead show`.
#[derive(Debug, clap::Args)]
#[command(
    group = clap::ArgGroup::new("kind").args(["flat", "ring", "turntable", "seen"]),
    after_help = "Examples:\n  upbead show band.json --flat band.png --scale true\n  \
                  upbead show band.json --ring ring.png --roll 20"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// Draw the flat chart into an .svg or .png file
    ///
    /// Draws the flat chart as the work grows, row 1 at the bottom, with row numbers at the edges
    /// and the colours with their counts beside it. The ending says the kind: .svg scales and can
    /// be edited, .png is ready to send; - writes SVG to standard output. Off by default.
    /// Example: --flat band.svg
    #[arg(long, value_name = "FILE")]
    flat: Option<PathBuf>,

    /// Draw the ring as it is worn into a .png file
    ///
    /// Draws the closed band in perspective, standing up: every bead in its true place on the
    /// ring. Only a closed band has one. Off by default. Example: --ring ring.png
    #[arg(long, value_name = "FILE")]
    ring: Option<PathBuf>,

    /// Draw a loop of the rolling ring
    ///
    /// The ring rolls once round, without a seam, for a shop page: an animated .png, or a .gif,
    /// which is larger and shows the same. Off by default. Example: --turntable ring.png
    #[arg(long, value_name = "FILE")]
    turntable: Option<PathBuf>,

    /// Draw the band as it is seen from MM away
    ///
    /// Draws the band as large as it looks from so many millimetres, 100 to 20000, and with the
    /// detail that is visible from there, into a .png file: --seen 700 worn.png. Up to six
    /// distances stand side by side: --seen 300,700,2000 far.png; with a file alone it is these
    /// three, the default. The size is right where the picture is held 300 mm from the eyes.
    /// Example: --seen far.png
    #[arg(long, num_args = 1..=2, value_names = ["MM", "FILE"], allow_negative_numbers = true)]
    seen: Option<Vec<String>>,

    #[command(flatten)]
    drawing: DrawingRequest,

    #[command(flatten)]
    beads: BeadStyleRequest,

    #[command(flatten)]
    view: RingViewRequest,

    #[command(flatten)]
    frames: LoopRequest,

    /// Replace the picture if it exists
    ///
    /// Lets the picture replace a file that exists. Off by default.
    /// Example: --flat band.png --force
    #[arg(long, requires = "kind")]
    force: bool,
}

/// A kind of picture, and its file.
enum Drawing {
    Flat(PathBuf, FlatDrawing),
    Ring(PathBuf, RingDrawing),
    Seen(PathBuf, SeenDrawing),
}

/// Prints or draws one chart.
pub(crate) fn run(args: &Args, manner: Manner) -> Result<()> {
    args.check()?;
    let Some(drawing) = args.kind()? else {
        let chart = open(&args.chart)?;
        return files::print(text(&chart, manner.colour).as_bytes());
    };
    let replace = Replace::from(args.force);
    let target = Target::new(drawing.path());
    Inputs::new([args.chart.as_path()]).check_apart(&target, args.option())?;
    files::check(&target, replace)?;
    let chart = open(&args.chart)?;
    files::write(&target, &drawing.draw(&chart, manner)?, replace)
}

impl Args {
    /// Makes sure that every option suits the kind of picture.
    fn check(&self) -> Result<()> {
        let ring = self.ring.is_some() || self.turntable.is_some();
        let any = ring || self.flat.is_some() || self.seen.is_some();
        only_for(&self.drawing, any, "a picture")?;
        only_for(&self.beads, self.flat.is_some(), "--flat")?;
        only_for(&self.view, ring, "--ring and --turntable")?;
        only_for(&self.frames, self.turntable.is_some(), "--turntable")
    }

    /// The option that names the picture's file.
    fn option(&self) -> &'static str {
        if self.flat.is_some() {
            "flat"
        } else if self.ring.is_some() {
            "ring"
        } else if self.turntable.is_some() {
            "turntable"
        } else {
            "seen"
        }
    }

    /// The kind of picture, its options checked; none is the text.
    fn kind(&self) -> Result<Option<Drawing>> {
        if let Some(path) = &self.flat {
            let kind = Kind::of(path).map_err(|error| error.option("flat"))?;
            let flat = FlatDrawing::new(kind, &self.drawing, self.beads)?;
            return Ok(Some(Drawing::Flat(path.clone(), flat)));
        }
        if let Some(path) = &self.ring {
            ends_in_png(path, "ring")?;
            let ring = RingDrawing::still(&self.drawing, &self.view)?;
            return Ok(Some(Drawing::Ring(path.clone(), ring)));
        }
        if let Some(path) = &self.turntable {
            let format = LoopFormat::of(path).map_err(|error| error.option("turntable"))?;
            let ring = RingDrawing::turntable(&self.drawing, &self.view, self.frames, format)?;
            return Ok(Some(Drawing::Ring(path.clone(), ring)));
        }
        self.seen
            .as_deref()
            .map(|words| self.seen(words))
            .transpose()
    }

    /// From distances and a name, or a name alone.
    fn seen(&self, words: &[String]) -> Result<Drawing> {
        let (distances, path) = match words {
            [distances, path] => (Some(distances), path),
            _ => (None, &words[0]),
        };
        let seen = distances.map(|text| text.parse()).transpose();
        let from = SeenRequest {
            seen: seen.map_err(|error: Error| error.option("seen"))?,
        };
        let path = PathBuf::from(path);
        ends_in_png(&path, "seen")?;
        let drawing = SeenDrawing::new(&self.drawing, &from)?;
        Ok(Drawing::Seen(path, drawing))
    }
}

impl Drawing {
    fn path(&self) -> &Path {
        match self {
            Self::Flat(path, _) | Self::Ring(path, _) | Self::Seen(path, _) => path,
        }
    }

    fn draw(&self, chart: &Chart, manner: Manner) -> Result<Vec<u8>> {
        match self {
            Self::Flat(_, flat) => flat.draw(chart, fewer_dots),
            Self::Seen(_, seen) => seen.draw(chart, &Cancel::default(), fewer_dots),
            Self::Ring(_, ring) => {
                let frames = ring.frames();
                let bar = (frames > 1).then(|| Bar::of(frames, "drawn", manner));
                ring.draw(chart, || {
                    if let Some(bar) = &bar {
                        bar.step();
                    }
                })
            }
        }
    }
}

/// Refuses the options of a group where the picture is not of their kind.
fn only_for(group: &impl Serialize, suits: bool, kind: &str) -> Result<()> {
    match given(group)?.keys().next() {
        Some(option) if !suits => Err(Error::usage(format!("this is only for {kind}"))
            .option(option)
            .hint("leave it out")),
        _ => Ok(()),
    }
}

/// Says so where a picture has fewer dots than usual.
fn fewer_dots(density: f64) {
    super::say(&format!(
        "note: drawn at {density:.0} dots per inch in place of {DENSITY}, to keep to {:.0} \
         megapixels\n",
        MOST_PIXELS / 1e6
    ));
}

/// Checks that a name ends in `.png`.
fn ends_in_png(path: &Path, option: &str) -> Result<()> {
    let ending = path.extension().and_then(|ending| ending.to_str());
    if ending.is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        return Ok(());
    }
    Err(
        Error::usage(format!("'{}' is not the name of a PNG", path.display()))
            .option(option)
            .hint("end the name in .png"),
    )
}
