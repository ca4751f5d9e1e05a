//! `upbead show`: a chart into the terminal, or its flat picture into a file.

use super::Manner;
use crate::asked::flat_options;
use crate::chart::Chart;
use crate::chart::read::open;
use crate::error::{Error, Result};
use crate::faces::{DENSITY, Kind, MOST_PIXELS, png, svg, text};
use crate::files::{self, Replace, Target};
use crate::scene::{FlatOptions, flat};
use std::path::{Path, PathBuf};

/// What `upbead show --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Draw a chart, or print it into the terminal\n\nWith no option the chart is printed as text, row 1 at the bottom: in 24-bit colour on \
        a terminal, in plain characters into a file or a pipe, or when NO_COLOR is set. --flat draws it instead.";

/// Options of `upbead show`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead show band.json\n  upbead show band.json --flat band.png --scale true"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// Draw it into an .svg or .png file
    ///
    /// Draws the flat chart as the work grows, row 1 at the bottom, with row numbers at the edges and the colours with their
    /// counts beside it. The ending says the kind: .svg scales and can be edited, .png is ready to send; - writes SVG to
    /// standard output. Off by default. Example: --flat band.svg
    #[arg(long, value_name = "FILE")]
    flat: Option<PathBuf>,

    /// Times true size, or true for true size
    ///
    /// How many times its true size the band is drawn, from 0.1 to 50, or true for true size with a ruler to check the print.
    /// By default a ring is drawn at 3.5, where every row can be numbered, and a larger band so that it fits a sheet of A3, but
    /// not below its true size. Example: --scale true
    #[arg(
        long,
        value_name = "TIMES",
        requires = "flat",
        allow_negative_numbers = true
    )]
    scale: Option<String>,

    /// Dots per inch of a PNG [300]
    ///
    /// Pixel density, 30 to 1200 dots per inch, recorded in the file so that it prints at its size. The default is 300, or less
    /// where the picture would pass 40 megapixels; a density that is asked for is kept or refused. Example: --density 600
    #[arg(long, value_name = "DPI", requires = "flat", allow_negative_numbers = true, value_parser = super::numbers::decimal)]
    density: Option<f64>,

    /// Ground: white, transparent or a hex colour
    ///
    /// What the chart is drawn on: white (the default), transparent, or six hex digits. Words turn light on dark grounds;
    /// on a transparent one they are dark. Example: --ground 18222B
    #[arg(long, value_name = "COLOUR", requires = "flat")]
    ground: Option<String>,

    /// Replace the picture if it exists
    ///
    /// Lets --flat replace a file that exists. Off by default. Example: --flat band.png --force
    #[arg(long, requires = "flat")]
    force: bool,
}

/// Prints or draws one chart.
pub(crate) fn run(args: &Args, manner: Manner) -> Result<()> {
    match &args.flat {
        None => {
            let chart = open(&args.chart)?;
            files::print(text(&chart, manner.colour).as_bytes())
        }
        Some(path) => args.draw(path),
    }
}

impl Args {
    fn draw(&self, path: &Path) -> Result<()> {
        let kind = Kind::of(path).map_err(|error| error.option("--flat"))?;
        if kind == Kind::Svg && self.density.is_some() {
            return Err(Error::usage("an SVG has no pixels")
                .option("--density")
                .hint("leave it out, or end the name in .png"));
        }
        let options = self.options()?;
        let target = Target::new(path);
        let replace = if self.force {
            Replace::Yes
        } else {
            Replace::No
        };
        files::check(&target, replace)?;
        let chart = open(&self.chart)?;
        files::write(&target, &self.drawn(&chart, kind, &options)?, replace)
    }

    fn options(&self) -> Result<FlatOptions> {
        flat_options(self.scale.as_deref(), self.ground.as_deref())
    }

    fn drawn(&self, chart: &Chart, kind: Kind, options: &FlatOptions) -> Result<Vec<u8>> {
        let scene = flat(chart, options);
        if kind == Kind::Svg {
            return Ok(svg(&scene).into_bytes());
        }
        let picture = png(&scene, self.density)?;
        if self.density.is_none() && picture.density() < DENSITY - 1.0 {
            super::say(&format!(
                "note: drawn at {:.0} dots per inch in place of {DENSITY}, to keep to {:.0} megapixels\n",
                picture.density(),
                MOST_PIXELS / 1e6
            ));
        }
        Ok(picture.bytes)
    }
}
