//! `upbead chart`: pictures to charts.

mod outputs;

use super::Manner;
use super::gauge_args::GaugeArgs;
use super::numbers::{decimal, whole};
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::files::{self, Replace};
use crate::output::made::{self, Told};
use crate::output::preview;
use crate::palette::{Palette, read};
use crate::pipeline::{Options, Outcome, Source, make, plain};
use crate::report::{Band, Design, DitherWord, FitWord, MirrorWord, Shape};
use crate::warning::Warned;
use outputs::Job;
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// What `upbead chart --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Turn pictures into charts of bands\n\nReads PNG, JPEG, WebP, GIF (first frame), BMP, TIFF and SVG. Each bead takes the colour of the palette nearest to the mean \
        light that falls on it. A closed band gets the row count that closes round --size; --open makes a flat strip.";

/// Options of `upbead chart`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead chart dusk.jpg --palette mine.csv --size us7 -o dusk.json --preview dusk.png\n  upbead chart bird.png --palette mine.csv --size us7 --place motif --ground navy-1 --colours 5"
)]
pub(crate) struct Args {
    /// Pictures; - is standard input
    #[arg(value_name = "PICTURE", required_unless_present = "plain")]
    pictures: Vec<PathBuf>,

    /// Colours that you own: CSV or GIMP palette
    ///
    /// File with the colours to choose from: CSV with the heads code,name,hex (and finish,grams,per_gram,price if you like), or a
    /// GIMP palette. `upbead palette FILE` checks it. Example: --palette drawer.csv
    #[arg(long, short, value_name = "FILE")]
    palette: PathBuf,

    /// Chart file to write, or a folder
    ///
    /// File for the chart; a folder where there are several pictures; - for standard output. By default the picture's name with .json,
    /// in the current folder (standard output, if the picture comes from standard input). Example: -o band.json
    #[arg(long, short, value_name = "FILE", help_heading = "Output")]
    output: Option<PathBuf>,

    /// Picture of the chart too: .png or .svg
    ///
    /// Draws the flat chart as well: a file ending in .png or .svg, or just png or svg for a file beside the chart with its name. Off by
    /// default. Example: --preview band.png
    #[arg(long, value_name = "FILE|KIND", help_heading = "Output")]
    preview: Option<PathBuf>,

    /// Print what was made as JSON
    ///
    /// Prints one JSON document for other programs in place of text: an object for one picture, an array for several. Off by default.
    /// Example: upbead chart dusk.jpg --palette mine.csv --size us7 --json
    #[arg(long, help_heading = "Output")]
    json: bool,

    /// Replace files that exist
    ///
    /// Lets the chart and its picture replace files of the same name. Off by default. Example: -o band.json --force
    #[arg(long, help_heading = "Output")]
    force: bool,

    /// What the design is called
    ///
    /// Kept in the chart and set above its picture. None by default. Example: --title "Harbour dusk"
    #[arg(long, value_name = "WORDS", help_heading = "Output")]
    title: Option<String>,

    /// Columns across the band [9]
    ///
    /// 3 to 1000; 9 is the default. An odd count has a centre column. Example: --columns 11
    #[arg(long, value_name = "COLUMNS", default_value_t = 9, hide_default_value = true, allow_negative_numbers = true, value_parser = whole::<u32>, help_heading = "Band")]
    columns: u32,

    /// Ring size, such as us7, uk-n or 54.4mm
    ///
    /// Size to close round, in any case: us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14, 54.4mm (inner circumference) or d17.3mm (inside
    /// diameter). `upbead fit` tells more about it. This or --rows is needed. Example: --size us7
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["rows", "open"], allow_negative_numbers = true, help_heading = "Band")]
    size: Option<String>,

    /// Rows, in place of a size
    ///
    /// Even and at least 6 for a closed band, 2 or more with --open; 20,000 at most. By default --size decides. Example: --rows 74
    #[arg(long, value_name = "ROWS", allow_negative_numbers = true, value_parser = whole::<u32>, help_heading = "Band")]
    rows: Option<u32>,

    /// A flat strip that is not closed
    ///
    /// For cuffs and bookmarks: any number of rows, odd or even, and no wrap at the ends. Off by default. Example: --open --rows 131
    #[arg(long, requires = "rows", help_heading = "Band")]
    open: bool,

    /// A plain band of one colour, and no picture
    ///
    /// To design on by hand: every bead has the colour of --ground, or the lightest of the palette. Written to band.json by default. Off by default.
    /// Example: --plain --ground quay-58 --size us7
    #[arg(long, conflicts_with_all = ["pictures", "place", "turn", "crop", "fit", "margin", "colours", "keep", "without", "from_stock", "dither", "refine", "calm", "mirror"], help_heading = "Band")]
    plain: bool,

    /// Where it goes: round, motif or repeat:N
    ///
    /// round (the default) lays the picture once all round; motif sets it once on a plain ground, where --seat says; repeat:N shows it N times, an
    /// even number of rows each. Example: --place repeat:4
    #[arg(
        long,
        value_name = "PLACE",
        default_value = "round",
        hide_default_value = true,
        help_heading = "Picture"
    )]
    place: String,

    /// A motif's seat: best, middle or SCALE,MM,MM
    ///
    /// With --place motif. best (the default) looks for the size, from 0.8 of the largest that fits, and the way to fall on the beads, within half a bead
    /// from the middle, that come nearest to the picture as the eye sees it; middle is the whole picture, as large as fits, in the middle; or a size from 0.1 to 1 and
    /// millimetres to the right and up from there, as the summary tells. Example: --seat 0.9,0.2,-0.4
    #[arg(
        long,
        value_name = "SEAT",
        allow_hyphen_values = true,
        help_heading = "Picture"
    )]
    seat: Option<String>,

    /// Quarter turn: auto, 0, 90, 180 or 270
    ///
    /// Degrees clockwise. Upright, the top of the picture is the end of the band. auto (the default) takes 0 or 90, whichever keeps more of
    /// the picture, and says so. Example: --turn 0
    #[arg(
        long,
        value_name = "DEGREES",
        allow_negative_numbers = true,
        default_value = "auto",
        hide_default_value = true,
        help_heading = "Picture"
    )]
    turn: String,

    /// Part of the picture to use, in pixels
    ///
    /// From the left, from the top, width and height, in pixels of the upright picture. All of it by default. Example: --crop 120,0,300,900
    #[arg(
        long,
        value_name = "X,Y,W,H",
        allow_hyphen_values = true,
        help_heading = "Picture"
    )]
    crop: Option<String>,

    /// Fit: cover, contain or stretch
    ///
    /// cover fills the place and cuts off what stands out; contain shows all of the picture on a ground; stretch fills the place out of
    /// proportion. By default contain for a motif, cover otherwise. Example: --fit stretch
    #[arg(
        long,
        value_name = "FIT",
        value_enum,
        hide_possible_values = true,
        help_heading = "Picture"
    )]
    fit: Option<FitWord>,

    /// Plain columns along either edge [0]
    ///
    /// Columns that stay ground along each edge; 0 by default. Example: --margin 1
    #[arg(long, value_name = "COLUMNS", default_value_t = 0, hide_default_value = true, allow_negative_numbers = true, value_parser = whole::<u32>, help_heading = "Picture")]
    margin: u32,

    /// Colour where there is no picture, by code
    ///
    /// The ground behind a motif, and behind transparent parts. By default the lightest or the darkest colour of the palette, whichever
    /// differs more from the picture; beside a picture without transparent parts the colour nearest to its edge. Example: --ground quay-58
    #[arg(long, value_name = "CODE", help_heading = "Colours")]
    ground: Option<String>,

    /// Most colours to use
    ///
    /// The best so many colours of the palette, chosen for the whole band; a ground counts as one. 1 or more; no limit by default.
    /// Example: --colours 6
    #[arg(long, value_name = "COLOURS", allow_negative_numbers = true, value_parser = whole::<usize>, help_heading = "Colours")]
    colours: Option<usize>,

    /// Colours to keep in, by code
    ///
    /// Codes that count among --colours whatever else is chosen. None by default. Example: --keep quay-11,quay-01
    #[arg(
        long,
        value_name = "CODE,..",
        value_delimiter = ',',
        help_heading = "Colours"
    )]
    keep: Vec<String>,

    /// Colours to leave out, by code
    ///
    /// Codes that must not be used. None by default. Example: --without quay-09
    #[arg(
        long,
        value_name = "CODE,..",
        value_delimiter = ',',
        help_heading = "Colours"
    )]
    without: Vec<String>,

    /// Use no more beads than the palette has
    ///
    /// The palette's grams bound how many beads of each colour the chart may use; empty grams mean enough. Beads in a gram are the palette's per_gram, or
    /// those of the bead's size. The chart is the best that these beads allow, and --refine and --calm keep to them; too few in all is an error. Off by
    /// default. Example: --from-stock
    #[arg(long, help_heading = "Colours")]
    from_stock: bool,

    /// Bands that the stock must be enough for [1]
    ///
    /// With --from-stock: how many bands of this chart you want to weave, 1 (the default) to 100,000. Example: --from-stock --make 3
    #[arg(
        long,
        value_name = "COUNT",
        allow_hyphen_values = true,
        requires = "from_stock",
        help_heading = "Colours"
    )]
    make: Option<String>,

    /// Beads of each colour to leave over [0%]
    ///
    /// With --from-stock: percent more of each colour that must be there, 0 (the default) to 1000; `upbead kit` reckons with 10, for uneven and broken beads.
    /// Example: --from-stock --spare 10%
    #[arg(
        long,
        value_name = "PERCENT",
        allow_hyphen_values = true,
        requires = "from_stock",
        help_heading = "Colours"
    )]
    spare: Option<String>,

    /// Let neighbours mix: none, diffuse or mask
    ///
    /// none (the default) takes the nearest colour; diffuse hands each bead's error on to its neighbours, for soft gradients; mask decides by an
    /// even grain, the same everywhere, which leaves no trails. Both bring more colour changes to weave. Example: --dither diffuse
    #[arg(
        long,
        value_name = "WAY",
        value_enum,
        default_value_t,
        hide_default_value = true,
        hide_possible_values = true,
        help_heading = "Colours"
    )]
    dither: DitherWord,

    /// Strength of dithering, 0 to 1 [0.5]
    ///
    /// 0 changes nothing, 1 keeps the mean light of every part; the default is 0.5. Example: --dither diffuse --strength 1
    #[arg(long, value_name = "STRENGTH", allow_negative_numbers = true, value_parser = decimal, help_heading = "Colours")]
    strength: Option<f64>,

    /// Optimise the whole band for the eye
    ///
    /// Changes beads, swaps neighbours and, under --colours, the choice of colours, as long as the band comes nearer to the picture as it is seen from
    /// --seen. Off by default, when each bead is matched alone. Example: --refine --calm
    #[arg(long, help_heading = "Colours")]
    refine: bool,

    /// Distances that count in mm [300,700,2000]
    ///
    /// 100 to 20,000 mm, parted by commas, at most 8; each counts as much. The default is in the hand, worn, and across a table: 300,700,2000.
    /// Example: --refine --seen 700
    #[arg(
        long,
        value_name = "MM,..",
        requires = "refine",
        allow_hyphen_values = true,
        help_heading = "Colours"
    )]
    seen: Option<String>,

    /// Fewer colour changes: 0 to 1, or 0.5 if bare
    ///
    /// Likes equal neighbours where the picture has no edge, so that fewer beads stand alone: 0 (the default) not at all, 0.5 (the option without a number) so
    /// that it weaves easily, 1 for large plain areas. Best together with --refine. Example: --calm 0.3
    #[arg(long, value_name = "CALM", num_args = 0..=1, default_missing_value = "0.5", allow_negative_numbers = true, value_parser = decimal, help_heading = "Colours")]
    calm: Option<f64>,

    /// Favour edges and thin lines: 0 to 1, or 1 if bare
    ///
    /// 0 (the default) gives each bead the mean of the picture on it, in which lines thinner than a bead fade and break. More lets what stands out from its
    /// neighbourhood win its bead, in one colour in place of a blend; 1 (the option without a number) is for line drawings and small motifs. Example: --crisp
    #[arg(long, value_name = "CRISP", num_args = 0..=1, default_missing_value = "1", allow_negative_numbers = true, value_parser = decimal, help_heading = "Colours")]
    crisp: Option<f64>,

    /// Mirror image: columns, rows or both
    ///
    /// columns makes left and right alike (odd counts only; the centre column stays its own), rows makes both ends alike, both does both. Mirrored beads choose
    /// their colour together. Off by default. Example: --mirror columns
    #[arg(
        long,
        value_name = "WAY",
        value_enum,
        hide_possible_values = true,
        help_heading = "Colours"
    )]
    mirror: Option<MirrorWord>,

    #[command(flatten)]
    gauge: GaugeArgs,
}

/// Makes every chart, tells of each, and ends with the worst result.
pub(crate) fn run(args: &Args, manner: Manner) -> Result<()> {
    let shape = args.shape()?;
    let jobs = outputs::jobs(args)?;
    let palette = read::open(&args.palette)?;
    let options = args.options(&shape, &palette)?;
    let replace = match args.force {
        true => Replace::Yes,
        false => Replace::No,
    };
    let prints = jobs.iter().any(Job::prints);
    if args.json && prints {
        return Err(Error::usage(
            "the summary and what was made cannot both go to standard output",
        )
        .option("--json")
        .hint("give the chart a file with -o, and the drawing one with --preview"));
    }
    let bar = super::progress::Bar::new(jobs.len(), manner);
    let told: Vec<(Job, Result<Told>)> = jobs
        .into_par_iter()
        .map(|job| {
            let told = one(&job, &palette, &options, &shape, replace);
            bar.step();
            (job, told)
        })
        .collect();
    drop(bar);
    report(args, told, &palette, prints)
}

/// Makes one chart; nothing is written before all of it is there.
fn one(
    job: &Job,
    palette: &Palette,
    options: &Options,
    shape: &Shape,
    replace: Replace,
) -> Result<Told> {
    job.check(replace)?;
    let made = outcome(job, palette, options)?;
    let chart = &made.value.chart;
    let mut outputs = vec![(&job.chart, write(chart).into_bytes())];
    if let Some((target, kind)) = &job.preview {
        outputs.push((target, preview(chart, *kind)?));
    }
    files::write_all(&outputs, replace)?;
    Ok(Told {
        picture: job.picture.clone(),
        chart: job.chart.path().map(Path::to_path_buf),
        preview: job
            .preview
            .as_ref()
            .and_then(|(target, _)| target.path().map(Path::to_path_buf)),
        outcome: made.value,
        ring: shape.ring.clone(),
        band_notes: shape.notes.clone(),
        notes: made.notes,
    })
}

/// A chart of the picture, or a plain band.
fn outcome(job: &Job, palette: &Palette, options: &Options) -> Result<Warned<Outcome>> {
    if job.is_plain() {
        return Ok(plain(palette, options));
    }
    let source = Source {
        name: job.name(),
        bytes: files::read(&job.picture)?,
    };
    make(source, palette, options).map_err(|error| error.file(&job.picture))
}

/// Tells of every chart, on standard error where standard output carries what was made.
fn report(
    args: &Args,
    told: Vec<(Job, Result<Told>)>,
    palette: &Palette,
    prints: bool,
) -> Result<()> {
    let several = told.len() > 1;
    let mut worst: Option<Error> = None;
    let mut texts = Vec::new();
    let mut about_band = String::new();
    let mut documents = Vec::new();
    for (job, told) in told {
        match told {
            Ok(told) if args.json => documents.push(made::json(&told, palette)),
            Ok(told) => {
                texts.push(made::text(&told, palette));
                about_band = made::notes(&told.band_notes);
            }
            // The reader of the chart has gone away, which is no error.
            Err(error) if error.is_closed_pipe() => {}
            Err(error) => {
                documents.push(made::failed(&job.picture, &error));
                super::tell(&error);
                if worst
                    .as_ref()
                    .is_none_or(|before| error.status() > before.status())
                {
                    worst = Some(error.told());
                }
            }
        }
    }
    let printed = match (args.json, several) {
        (false, _) => texts.join("\n") + &about_band,
        (true, true) => made::document(&serde_json::Value::Array(documents)),
        (true, false) if worst.is_some() => String::new(),
        (true, false) => documents.iter().map(made::document).collect(),
    };
    let printed = match prints {
        true => {
            super::say(&printed);
            Ok(())
        }
        false => files::print(printed.as_bytes()),
    };
    worst.map_or(printed, Err)
}

impl Args {
    fn shape(&self) -> Result<Shape> {
        let band = Band {
            bead: self.gauge.bead_word(),
            columns: self.columns,
            size: self.size.as_deref(),
            rows: self.rows,
            open: self.open,
            measured: self.gauge.measured(),
        };
        band.shape()
    }

    fn options(&self, shape: &Shape, palette: &Palette) -> Result<Options> {
        let design = Design {
            place: &self.place,
            seat: self.seat.as_deref(),
            turn: &self.turn,
            crop: self.crop.as_deref(),
            fit: self.fit,
            margin: self.margin,
            ground: self.ground.as_deref(),
            colours: self.colours,
            keep: &self.keep,
            without: &self.without,
            from_stock: self.from_stock,
            make: self.make.as_deref(),
            spare: self.spare.as_deref(),
            dither: self.dither,
            strength: self.strength,
            refine: self.refine,
            seen: self.seen.as_deref(),
            calm: self.calm,
            crisp: self.crisp,
            mirror: self.mirror,
            title: self.title.as_deref(),
        };
        design.options(shape, palette)
    }
}
