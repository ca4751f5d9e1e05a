//! Colours that are named, tables of colourways and suggestions: `--map`, `--ways`, `--suggest`.

use super::{Args, Place};
use crate::chart::{Chart, read, write::write};
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::json::document;
use crate::output::ways::{ContactSheet, text};
use crate::palette::{self, Palette};
use crate::quantize::swap::{
    suggest::suggest,
    ways::{Design, Way},
};
use crate::report::order::file_title;
use crate::report::ways::{self, Colourways, WayFiles, mapped};
use crate::request::ColourMap;
use std::path::{Path, PathBuf};

/// Replaces the colours that a map names.
pub(super) fn map(args: &Args, map: &ColourMap) -> Result<()> {
    let target = args.target();
    let replace = Replace::from(args.force);
    args.check(&target, replace)?;
    let palette = args.palette.as_deref().map(palette::read::open);
    let palette = palette.transpose()?;
    let chart = read::open(&args.chart)?;
    let way = mapped(&chart, map, palette.as_ref());
    let way = way.map_err(|error| error.file_unless_option(&args.chart))?;
    let made = colourways(args, &chart, palette.as_ref(), vec![way]);
    let files = WayFiles {
        charts: vec![target.path().map(Path::to_path_buf)],
        ..WayFiles::default()
    };
    let charts = made.charts();
    let texts: Vec<String> = charts.iter().map(write).collect();
    for text in &texts {
        files::write(&target, text.as_bytes(), replace)?;
    }
    let report = made.report(&files, None);
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report)
    };
    crate::cli::publish(&printed, &target)
}

/// Makes the colourways of a table, or suggests some, with a sheet that shows them all.
pub(super) fn several(args: &Args) -> Result<()> {
    args.check_stdin()?;
    let place = args.place()?;
    let palette = args.palette.as_deref().map(palette::read::open);
    let palette = palette.transpose()?;
    let chart = read::open(&args.chart)?;
    let wanted = args.request.suggest.map(|count| count.0 as usize);
    let ways = match (&args.ways, wanted, &palette) {
        (Some(table), ..) => {
            let text = files::read_text(table, "a table of colourways")?;
            let ways = ways::read(&text, &chart, palette.as_ref());
            ways.map_err(|error| error.file(table))?
        }
        (None, Some(wanted), Some(palette)) => {
            let ways = suggest(&chart, palette, wanted);
            ways.map_err(|error| error.file(&args.chart))?
        }
        _ => {
            return Err(Error::usage("suggestions need the palette of your beads")
                .option("suggest")
                .hint("add [--palette], such as [--palette owned.csv]"));
        }
    };
    let made = colourways(args, &chart, palette.as_ref(), ways);
    let files = named(args, &place, &made.ways)?;
    let charts = made.charts();
    let report = made.report(&files, wanted);
    write_all(args, &files, &charts, || {
        let own = chart.title.clone();
        let title = own.unwrap_or_else(|| file_title(Path::new(&report.design)));
        ContactSheet::new(&report, title, &charts)
    })?;
    let printed = if args.json {
        document(&report)?
    } else {
        text(&report)
    };
    files::print(printed.as_bytes())
}

fn colourways<'a>(
    args: &Args,
    chart: &'a Chart,
    palette: Option<&'a Palette>,
    ways: Vec<Way>,
) -> Colourways<'a> {
    let name = args.stem();
    Colourways {
        chart,
        design: Design::of(chart, &name.to_string_lossy()),
        palette,
        ways,
    }
}

/// The files: the chart's name, then each way's.
fn named(args: &Args, place: &Place, ways: &[Way]) -> Result<WayFiles> {
    let mut charts: Vec<Option<PathBuf>> = Vec::new();
    for way in ways {
        let name = args.named(&format!("-{}.json", in_a_name(&way.name)));
        let path = Some(place.folder.join(name));
        if charts.contains(&path) {
            return Err(Error::new(format!(
                "the colourway '{}' would have the same file as another",
                way.name
            ))
            .hint("give it a name with other letters or figures"));
        }
        charts.push(path);
    }
    Ok(WayFiles {
        charts,
        sheet: place.sheet.clone(),
        pages: place.pages.clone(),
    })
}

/// A way's name as part of a file's: letters and figures, dashes between.
fn in_a_name(name: &str) -> String {
    /// Most characters. Ours.
    const MOST: usize = 60;
    let lower = name.to_lowercase();
    let words = lower
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty());
    let joined: String = words
        .collect::<Vec<_>>()
        .join("-")
        .chars()
        .take(MOST)
        .collect();
    if joined.is_empty() {
        "way".to_string()
    } else {
        joined
    }
}

/// Writes charts and sheet, all of them or none.
fn write_all<'a>(
    args: &Args,
    files: &WayFiles,
    charts: &[Chart],
    drawn: impl FnOnce() -> Result<ContactSheet<'a>>,
) -> Result<()> {
    let replace = Replace::from(args.force);
    let paths = files.charts.iter().chain([&files.sheet, &files.pages]);
    let targets: Vec<Target> = paths.flatten().cloned().map(Target::File).collect();
    let read = [Some(&args.chart), args.palette.as_ref(), args.ways.as_ref()];
    let read = Inputs::new(read.into_iter().flatten().map(PathBuf::as_path));
    for target in &targets {
        let apart = read.check_apart(target, "-o");
        apart.map_err(|error| error.hint("name another folder"))?;
        files::check(target, replace)?;
    }
    let drawn = drawn()?;
    let charts = charts.iter().map(|chart| write(chart).into_bytes());
    let mut bytes: Vec<Vec<u8>> = charts.collect();
    if files.sheet.is_some() {
        bytes.push(drawn.png()?);
    }
    if files.pages.is_some() {
        bytes.push(drawn.pdf()?);
    }
    let outputs: Vec<(&Target, Vec<u8>)> = targets.iter().zip(bytes).collect();
    files::write_all(&outputs, replace)
}
