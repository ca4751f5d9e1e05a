//! `upbead refine`: a chart made again from its picture, optimised whole.

use super::numbers::decimal;
use crate::asked::{calm, distances};
use crate::chart::write::write;
use crate::chart::{Chart, read};
use crate::choose::refine;
use crate::drawer::{Colour, Palette, read as palette_read};
use crate::error::{Error, Result};
use crate::eye::band::DISTANCES;
use crate::faces::made::{self, Told};
use crate::files::{self, Replace, Target};
use crate::lattice::{Column, Lattice, Row};
use crate::make::{Again, Options, Source, recorded, remake};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// What `upbead refine --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Make a chart again from its picture, for the eye\n\nBegins with the chart as it is, mended by hand or not, and changes beads, and swaps neighbours, as long as the band \
        comes nearer to its picture as it is seen from the distances that count. The options that the chart was made with hold: place, mirror, limit. It never \
        ends further from the picture than it began.";

/// Options of `upbead refine`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead refine band.json --picture bird.png -o finer.json\n  upbead refine band.json --picture bird.png --palette owned.csv --pin 38,40..42 --calm 0.5 -o finer.json"
)]
pub(crate) struct Args {
    /// Chart file, or - for standard input
    #[arg(value_name = "CHART")]
    chart: PathBuf,

    /// The picture that the chart is of
    ///
    /// Any file that `upbead chart` reads. A note says if it is not the one that the chart names. Needed. Example: --picture bird.png
    #[arg(long, value_name = "FILE")]
    picture: PathBuf,

    /// Colours to choose from, CSV or GPL
    ///
    /// A palette that has the chart's codes. By default the colours that the chart uses. Example: --palette owned.csv
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Chart file to write
    ///
    /// - is standard output. By default the chart's name with -refined, in the current folder. Example: -o finer.json
    #[arg(long, short, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Replace a file that exists
    ///
    /// Lets the new chart replace a file of that name, the old chart too. Off by default. Example: -o band.json --force
    #[arg(long)]
    force: bool,

    /// Print what was made as JSON
    ///
    /// Prints one JSON document for other programs in place of text, as `upbead chart --json` does. Off by default. Example: --json
    #[arg(long)]
    json: bool,

    /// Distances that count in mm [300,700,2000]
    ///
    /// 100 to 20,000 mm, parted by commas, at most 8; each counts as much. By default those that the chart was made for, or in the hand, worn and across a
    /// table: 300,700,2000. Example: --seen 700
    #[arg(long, value_name = "MM,..", allow_hyphen_values = true)]
    seen: Option<String>,

    /// Fewer colour changes: 0 to 1
    ///
    /// 0 follows the picture alone, 1 is for large plain areas. By default what the chart was made with, or 0; 0.5 leaves few lone beads. Example: --calm 0.5
    #[arg(long, value_name = "CALM", allow_negative_numbers = true, value_parser = decimal)]
    calm: Option<f64>,

    /// Beads that stay as they are
    ///
    /// Rows, ranges of rows and single beads as row:column, parted by commas. Mirror images and repeats of them stay too. None by default.
    /// Example: --pin 12,20..35,40:5
    #[arg(long, value_name = "WHERE", allow_hyphen_values = true)]
    pin: Option<String>,
}

/// Makes one chart again.
pub(crate) fn run(args: &Args) -> Result<()> {
    let seen = args.seen.as_deref().map(distances).transpose()?;
    let calm = args.calm.map(calm).transpose()?;
    let replace = match args.force {
        true => Replace::Yes,
        false => Replace::No,
    };
    let target = args.target();
    args.check_names(&target)?;
    files::check(&target, replace)?;
    let chart = read::open(&args.chart)?;
    let palette = match &args.palette {
        Some(path) => palette_read::open(path)?,
        None => own_palette(&chart)?,
    };
    let in_chart = |error: Error| error.file(&args.chart);
    let made = recorded(&chart, &palette).map_err(in_chart)?;
    let fine = refine::Options {
        seen: seen.unwrap_or_else(|| match &made.choice.fine {
            Some(fine) if !fine.seen.is_empty() => fine.seen.clone(),
            _ => DISTANCES.to_vec(),
        }),
        calm: calm
            .or(made.choice.fine.as_ref().map(|fine| fine.calm))
            .unwrap_or_default(),
    };
    let mut options: Options = made;
    options.choice.fine = Some(fine);
    let again = Again {
        pinned: match &args.pin {
            Some(text) => pinned(text, &chart.lattice)?,
            None => Vec::new(),
        },
        chart: &chart,
    };
    let source = Source {
        name: name_of(&args.picture),
        bytes: files::read(&args.picture)?,
    };
    let remade =
        remake(source, &palette, &options, &again).map_err(|error| match error.place().option {
            None => error.file(&args.picture),
            Some(_) => error,
        })?;
    let text = write(&remade.value.chart);
    files::write_all(&[(&target, text.into_bytes())], replace)?;
    let told = Told {
        picture: args.picture.clone(),
        chart: target.path().map(Path::to_path_buf),
        preview: None,
        outcome: remade.value,
        ring: None,
        band_notes: Vec::new(),
        notes: remade.notes,
    };
    let printed = match args.json {
        true => made::document(&made::json(&told, &palette)),
        false => made::text(&told, &palette),
    };
    match target {
        Target::Stdout => {
            super::say(&printed);
            Ok(())
        }
        Target::File(_) => files::print(printed.as_bytes()),
    }
}

fn name_of(path: &Path) -> String {
    match path.to_str() {
        Some("-") => "standard input".to_string(),
        _ => path
            .file_name()
            .unwrap_or(path.as_os_str())
            .to_string_lossy()
            .into_owned(),
    }
}

/// The chart's own colours.
fn own_palette(chart: &Chart) -> Result<Palette> {
    let colours = chart.colours.iter().map(|shade| Colour {
        code: shade.code.clone(),
        name: shade.name.clone(),
        srgb: shade.srgb,
        finish: shade.finish,
        grams: None,
        per_gram: None,
        price: None,
        extra: Vec::new(),
    });
    Palette::new("the chart", colours.collect(), Vec::new())
}

/// Rows and beads that were typed, as places in lattice order.
fn pinned(text: &str, lattice: &Lattice) -> Result<Vec<usize>> {
    let mut beads = Vec::new();
    for part in text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let unknown = || {
            Error::usage(format!("'{part}' names no beads"))
                .option("--pin")
                .hint("give rows, ranges of rows or row:column, such as 12,20..35,40:5")
        };
        let number = |word: &str| word.trim().parse::<u32>().map_err(|_| unknown());
        let row = |number: u32| match (1..=lattice.rows()).contains(&number) {
            true => Ok(Row::new(number)),
            false => Err(Error::usage(format!("there is no row {number}"))
                .option("--pin")
                .hint(format!("the chart has rows 1 to {}", lattice.rows()))),
        };
        if let Some((one, two)) = part.split_once("..") {
            let (one, two) = (number(one)?, number(two)?);
            if one > two {
                return Err(unknown());
            }
            row(one)?;
            row(two)?;
            beads.extend((one..=two).flat_map(|number| lattice.span_of(Row::new(number))));
        } else if let Some((one, two)) = part.split_once(':') {
            let (own, column) = (row(number(one)?)?, number(two)?);
            let bead = lattice.index(own, Column::new(column)).ok_or_else(|| {
                let columns: Vec<String> = lattice
                    .columns_of(own)
                    .take(3)
                    .map(|column| column.get().to_string())
                    .collect();
                Error::usage(format!("row {} has no bead in column {column}", own.get()))
                    .option("--pin")
                    .hint(format!(
                        "it fills the columns {} and so on, to {}",
                        columns.join(", "),
                        lattice.columns()
                    ))
            })?;
            beads.push(bead);
        } else {
            beads.extend(lattice.span_of(row(number(part)?)?));
        }
    }
    Ok(beads)
}

impl Args {
    fn target(&self) -> Target {
        if let Some(path) = &self.output {
            return Target::new(path);
        }
        let mut name: OsString = match self.chart == Path::new("-") {
            true => "band".into(),
            false => self
                .chart
                .file_stem()
                .unwrap_or("band".as_ref())
                .to_os_string(),
        };
        name.push("-refined.json");
        Target::File(name.into())
    }

    /// A picture or palette is never written over; the chart only by `--force`.
    fn check_names(&self, target: &Target) -> Result<()> {
        let read: Vec<&Path> = [
            Some(&self.picture),
            Some(&self.chart),
            self.palette.as_ref(),
        ]
        .into_iter()
        .flatten()
        .map(PathBuf::as_path)
        .collect();
        if read.iter().filter(|path| **path == Path::new("-")).count() > 1 {
            return Err(Error::usage("standard input can be read only once")
                .hint("name files for the others"));
        }
        if self.json && *target == Target::Stdout {
            return Err(Error::usage(
                "the summary and the chart cannot both go to standard output",
            )
            .option("--json")
            .hint("give the chart a file with -o"));
        }
        let Some(path) = target.path() else {
            return Ok(());
        };
        for input in read.into_iter().filter(|input| *input != self.chart) {
            if files::place(input) == files::place(path) {
                return Err(Error::usage(format!(
                    "'{}' is read and cannot be written over",
                    input.display()
                ))
                .option("-o")
                .hint("choose another name"));
            }
        }
        Ok(())
    }
}
