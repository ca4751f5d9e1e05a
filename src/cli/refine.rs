//! `upbead refine`: a chart made again from its picture, optimised whole.

use super::numbers::decimal;
use crate::chart::read;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::files::{self, Replace, Target};
use crate::output::made::{self, Told};
use crate::palette::read as palette_read;
use crate::pipeline::{Again, Source, remake};
use crate::report::{Finer, own_colours};
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
    let finer = Finer {
        seen: args.seen.as_deref(),
        calm: args.calm,
        pin: args.pin.as_deref(),
    };
    finer.check()?;
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
        None => own_colours(&chart)?,
    };
    let in_chart = |error: Error| error.file(&args.chart);
    let finer = finer
        .options(&chart, &palette)
        .map_err(|error| match error.place().option {
            None => in_chart(error),
            Some(_) => error,
        })?;
    let again = Again {
        pinned: finer.pinned,
        chart: &chart,
    };
    let source = Source {
        name: name_of(&args.picture),
        bytes: files::read(&args.picture)?,
    };
    let remade = remake(source, &palette, &finer.options, &again).map_err(|error| {
        match error.place().option {
            None => error.file(&args.picture),
            Some(_) => error,
        }
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
