//! `upbead show`: a chart into the terminal, or a picture of it into a file.

mod far;
mod round;

use super::Manner;
use crate::chart::Chart;
use crate::chart::read::open;
use crate::error::{Error, Result};
use crate::files::{self, Replace, Target};
use crate::output::{DENSITY, Kind, MOST_PIXELS, Picture, png, svg, text};
use crate::report::flat_options;
use crate::scene::{FlatOptions, flat};
use std::path::{Path, PathBuf};

/// What `upbead show --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Draw a chart, or print it into the terminal\n\nWith no option the chart is printed as text, row 1 at the bottom: in 24-bit colour on \
        a terminal, in plain characters into a file or a pipe, or when NO_COLOR is set. --flat draws the chart instead, --ring the closed band as it is worn, --turntable a \
        loop of it, and --seen the band as the eye resolves it from afar; one of them at a time.";

/// Options of `upbead show`.
#[derive(Debug, clap::Args)]
#[command(
    group = clap::ArgGroup::new("drawing").args(["flat", "ring", "turntable", "seen"]),
    group = clap::ArgGroup::new("round").args(["ring", "turntable"]),
    after_help = "Examples:\n  upbead show band.json --flat band.png --scale true\n  upbead show band.json --ring ring.png --turn 20"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// Draw the flat chart into an .svg or .png file
    ///
    /// Draws the flat chart as the work grows, row 1 at the bottom, with row numbers at the edges and the colours with their
    /// counts beside it. The ending says the kind: .svg scales and can be edited, .png is ready to send; - writes SVG to
    /// standard output. Off by default. Example: --flat band.svg
    #[arg(long, value_name = "FILE")]
    flat: Option<PathBuf>,

    /// Draw beads as beads, by finish
    ///
    /// Draws each bead of the flat chart as a lit cylinder with its rim and the shadow in its hole: shiny, matte, seen through, metal or lustre, as its colour's
    /// finish says; shiny where it says nothing. By default beads are flat, in the very colour of the palette, which is better to weave from.
    /// Example: --flat band.png --beads
    #[arg(long, requires = "flat")]
    beads: bool,

    /// Draw the ring as it is worn into a .png file
    ///
    /// Draws the closed band in perspective, standing on its ground: every bead in its true place on the ring. Only a closed band has one. Off by default.
    /// Example: --ring ring.png
    #[arg(long, value_name = "FILE")]
    ring: Option<PathBuf>,

    /// Draw a loop of the turning ring
    ///
    /// The ring rolls once round, without a seam, for a shop page: an animated .png, or a .gif, which
    /// is larger and shows the same. Off by default. Example: --turntable ring.png
    #[arg(long, value_name = "FILE")]
    turntable: Option<PathBuf>,

    /// Draw the band as it is seen from MM away
    ///
    /// Draws the band as large as it looks from so many millimetres, 100 to 20000, and as the eye resolves it there, into a .png file: --seen 700 worn.png. Up to
    /// six distances stand side by side: --seen 300,700,2000 far.png; with a file alone it is these three, the default. The size is right where the picture is held
    /// 300 mm from the eyes. Example: --seen far.png
    #[arg(long, num_args = 1..=2, value_names = ["MM", "FILE"])]
    seen: Option<Vec<String>>,

    /// Times true size, or true for true size
    ///
    /// How many times its true size the band is drawn, from 0.1 to 50, or true for true size with a ruler to check the print.
    /// By default a ring's chart is drawn at 3.5, where every row can be numbered, and a larger band so that it fits a sheet of A3, but
    /// not below its true size; --ring goes by --pixels, and --seen has true size in the hand. Example: --flat band.png --scale true
    #[arg(
        long,
        value_name = "TIMES",
        requires = "drawing",
        allow_negative_numbers = true
    )]
    scale: Option<String>,

    /// Dots per inch of a PNG [300]
    ///
    /// Pixel density, 30 to 1200 dots per inch, recorded in the file so that it prints at its size. The default is 300, or less
    /// where the picture would pass 40 megapixels; a density that is asked for is kept or refused. Example: --density 600
    #[arg(long, value_name = "DPI", requires = "drawing", allow_negative_numbers = true, value_parser = super::numbers::decimal)]
    density: Option<f64>,

    /// Pixels a side of the ring's picture
    ///
    /// The ring's picture is square, 64 to 4096 pixels a side. The default is 1200, 480 for --turntable, or what --scale and --density come to. With --scale the
    /// density follows and is recorded. Example: --ring ring.png --pixels 2000
    #[arg(long, value_name = "PIXELS", requires = "round")]
    pixels: Option<u32>,

    /// Roll the ring by so many degrees [0]
    ///
    /// Rolls the ring about its own axis, from -360 to 360 degrees: at 0, the default, the middle row faces you; with more, the front goes up. A loop begins here.
    /// Example: --ring back.png --turn 180
    #[arg(long, value_name = "DEGREES", requires = "round", allow_negative_numbers = true, value_parser = super::numbers::decimal)]
    turn: Option<f64>,

    /// Show so much of the ring's side, in degrees [28]
    ///
    /// How far the ring's side is turned to you, from -90 to 90 degrees: 0 looks straight at the band, 28 (the default) shows the inside too, 90 looks through the
    /// ring; below 0 it is the other side. Example: --ring ring.png --tilt 0
    #[arg(long, value_name = "DEGREES", requires = "round", allow_negative_numbers = true, value_parser = super::numbers::decimal)]
    tilt: Option<f64>,

    /// Frames of the loop [48]
    ///
    /// Frames in one round, 8 to 240, each shown for a tenth of a second; more turn slower and smoother, and make a larger file. The default is 48.
    /// Example: --turntable ring.png --frames 72
    #[arg(long, value_name = "FRAMES", requires = "turntable")]
    frames: Option<u32>,

    /// Ground: white, transparent or a hex colour
    ///
    /// What is drawn on: white (the default), transparent, or six hex digits. Words turn light on dark grounds;
    /// on a transparent one they are dark. A loop and --seen need a colour. Example: --flat band.png --ground 18222B
    #[arg(long, value_name = "COLOUR", requires = "drawing")]
    ground: Option<String>,

    /// Letter each bead with its colour's key
    ///
    /// Writes a short key of the colour's name on each bead, in black or white, as `upbead print` does, so that colours are told apart in grey. Beads that
    /// are drawn too small for letters stay plain. Off by default. Example: --flat band.svg --lettered
    #[arg(long, requires = "flat")]
    lettered: bool,

    /// Replace the picture if it exists
    ///
    /// Lets the picture replace a file that exists. Off by default. Example: --flat band.png --force
    #[arg(long, requires = "drawing")]
    force: bool,
}

/// What a picture is drawn with, and where to.
trait Drawing {
    /// Where it goes.
    fn target(&self) -> Target;
    /// Its bytes.
    fn drawn(&self, chart: &Chart, manner: Manner) -> Result<Vec<u8>>;
}

/// Prints or draws one chart.
pub(crate) fn run(args: &Args, manner: Manner) -> Result<()> {
    let Some(drawing) = args.drawing()? else {
        let chart = open(&args.chart)?;
        return files::print(text(&chart, manner.colour).as_bytes());
    };
    let replace = match args.force {
        true => Replace::Yes,
        false => Replace::No,
    };
    let target = drawing.target();
    files::check(&target, replace)?;
    let chart = open(&args.chart)?;
    files::write(&target, &drawing.drawn(&chart, manner)?, replace)
}

impl Args {
    /// Options that mean nothing for the drawing that was asked for; clap lets them pass beside another one of the group.
    fn check(&self) -> Result<()> {
        let round = self.ring.is_some() || self.turntable.is_some();
        let other = |option, of| {
            Err(Error::usage(format!("{option} is for {of} only")).hint("leave it out"))
        };
        match self {
            _ if self.beads && self.flat.is_none() => other("--beads", "--flat"),
            _ if self.frames.is_some() && self.turntable.is_none() => {
                other("--frames", "--turntable")
            }
            _ if self.turn.is_some() && !round => other("--turn", "--ring and --turntable"),
            _ if self.tilt.is_some() && !round => other("--tilt", "--ring and --turntable"),
            _ if self.pixels.is_some() && !round => other("--pixels", "--ring and --turntable"),
            _ => Ok(()),
        }
    }

    /// What was asked for, checked; nothing if it is the text.
    fn drawing(&self) -> Result<Option<Box<dyn Drawing>>> {
        self.check()?;
        Ok(
            match (&self.flat, &self.ring, &self.turntable, &self.seen) {
                (Some(path), ..) => Some(Box::new(self.flat(path)?)),
                (_, Some(path), ..) => Some(Box::new(round::Round::still(self, path)?)),
                (_, _, Some(path), _) => Some(Box::new(round::Round::moving(self, path)?)),
                (.., Some(words)) => Some(Box::new(far::Far::new(self, words)?)),
                _ => None,
            },
        )
    }

    fn flat(&self, path: &Path) -> Result<Flat> {
        let kind = Kind::of(path).map_err(|error| error.option("--flat"))?;
        if kind == Kind::Svg && self.density.is_some() {
            return Err(Error::usage("an SVG has no pixels")
                .option("--density")
                .hint("leave it out, or end the name in .png"));
        }
        Ok(Flat {
            path: path.to_path_buf(),
            kind,
            density: self.density,
            options: FlatOptions {
                beads: self.beads,
                lettered: self.lettered,
                ..flat_options(self.scale.as_deref(), self.ground.as_deref())?
            },
        })
    }
}

/// The flat chart.
struct Flat {
    path: PathBuf,
    kind: Kind,
    density: Option<f64>,
    options: FlatOptions,
}

impl Drawing for Flat {
    fn target(&self) -> Target {
        Target::new(&self.path)
    }

    fn drawn(&self, chart: &Chart, _: Manner) -> Result<Vec<u8>> {
        let scene = flat(chart, &self.options);
        if self.kind == Kind::Svg {
            return Ok(svg(&scene).into_bytes());
        }
        let picture = png(&scene, self.density)?;
        told(&picture, self.density);
        Ok(picture.bytes)
    }
}

/// Says so where a picture has fewer dots than usual.
fn told(picture: &Picture, asked: Option<f64>) {
    if asked.is_none() && picture.density() < DENSITY - 1.0 {
        super::say(&format!(
            "note: drawn at {:.0} dots per inch in place of {DENSITY}, to keep to {:.0} megapixels\n",
            picture.density(),
            MOST_PIXELS / 1e6
        ));
    }
}

/// Checks that a name ends in `.png`.
fn ends_in_png(path: &Path, option: &str) -> Result<()> {
    let ending = path.extension().and_then(|ending| ending.to_str());
    match ending.is_some_and(|ending| ending.eq_ignore_ascii_case("png")) {
        true => Ok(()),
        false => Err(
            Error::usage(format!("'{}' is no name of a PNG", path.display()))
                .option(option)
                .hint("end the name in .png"),
        ),
    }
}
