//! A chart that exists, as something else than a chart file, to a chart: tables, rows in words,
//! pictures.
//!
//! | file | read by |
//! |---|---|
//! | codes or names, one row a line; a chart as `upbead show` prints it | `table`, `printed` |
//! | rows as `upbead weave` writes them; rows as people type them | `woven`, `typed` |
//! | a drawing, a scan or a screen picture of a chart | `picture` |

mod layout;
mod names;
mod picture;
mod printed;
mod stated;
mod table;
mod text;
mod typed;
mod woven;

use crate::bead::Bead;
use crate::chart::{Chart, FORMAT, Made};
use crate::error::{Error, Result};
use crate::files::{as_text, is_picture};
use crate::lattice::{Column, Lattice, Row, Rows};
use crate::palette::{Palette, write::digest};
use crate::picture::{Decoding, decode, is_svg};
use crate::request::{ReadKind, ReadRequest};
use crate::warning::Warning;
use crate::words::{shortened, shown};
use std::sync::Arc;

/// Columns and rows of a band for which a drawing in SVG is fine enough.
const DRAWN: (u32, u32) = (200, 300);

/// A chart that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartRead {
    /// The chart, in colours of the palette.
    pub chart: Chart,
    /// What it was read from.
    pub kind: ReadKind,
    /// Lines of rows in words in which no row was found.
    pub passed_over: usize,
    /// Beads of a picture that may be of another colour, in lattice order.
    pub doubts: Vec<Doubt>,
    /// Warnings from decoding a picture.
    pub warnings: Vec<Warning>,
}

/// A bead that may be of another colour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubt {
    /// Its row.
    pub row: Row,
    /// Its column.
    pub column: Column,
    /// The colour that it was given.
    pub chosen: Alternative,
    /// The next one.
    pub other: Alternative,
}

/// A colour that a bead may have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alternative {
    /// Its place in the palette.
    pub colour: usize,
    /// Its difference (CIEDE2000) from what is drawn.
    pub difference: f64,
}

/// Reads a chart from the bytes of a file called `name`.
///
/// # Errors
/// If the file is none of what is read, describes no band, or names colours that the palette does
/// not have; or if an option is given that its kind does not use. The file's name is the caller's
/// to add.
pub fn read(
    name: &str,
    bytes: Vec<u8>,
    palette: &Palette,
    request: &ReadRequest,
    decoding: &Decoding,
) -> Result<ChartRead> {
    let kind = request.kind;
    let is_drawn = || is_svg(&bytes) || is_picture(&bytes);
    if kind == Some(ReadKind::Picture) || kind.is_none() && is_drawn() {
        return read_picture(name, bytes, palette, request, decoding);
    }
    let text = as_text(bytes, "a table or rows in words")?;
    if is_chart_file(&text) {
        return Err(Error::new("this is a chart file, which is read already")
            .hint("use it as it is, with `upbead show` for one"));
    }
    let read = text::read(&text, palette, request)?;
    let layout::Laid { lattice, chosen } = read.laid;
    let chart = Chart::of_palette(lattice, palette, &chosen, made(name, palette));
    Ok(ChartRead {
        chart: Chart {
            title: request.title.clone().or(read.title),
            ..chart
        },
        kind: read.kind,
        passed_over: read.passed_over,
        doubts: Vec::new(),
        warnings: Vec::new(),
    })
}

fn read_picture(
    name: &str,
    bytes: Vec<u8>,
    palette: &Palette,
    request: &ReadRequest,
    decoding: &Decoding,
) -> Result<ChartRead> {
    request.check(ReadKind::Picture)?;
    let drawn = Lattice::new(Bead::default(), DRAWN.0, Rows::open(DRAWN.1)?)?;
    let picture = decode(Arc::new(bytes), &drawn, decoding)?;
    let read = picture::read(&picture, palette, request)?;
    let chart = Chart::of_palette(read.lattice, palette, &read.chosen, made(name, palette));
    Ok(ChartRead {
        chart: Chart {
            title: request.title.clone(),
            ..chart
        },
        kind: ReadKind::Picture,
        passed_over: 0,
        doubts: read.doubts,
        warnings: picture.notes,
    })
}

/// Whether this is a chart as the program writes it.
fn is_chart_file(text: &str) -> bool {
    let start = text.trim_start_matches('\u{feff}').trim_start();
    start.starts_with('{') && start.contains(FORMAT)
}

/// The record: there is no picture that the chart could be made of again.
fn made(name: &str, palette: &Palette) -> Made {
    let option = |name: &str, value: String| (name.to_string(), value);
    Made {
        source: String::new(),
        sha256: String::new(),
        options: vec![
            option("palette", palette.name.clone()),
            option("palette_sha256", digest(palette)),
            option("read_from", name.to_string()),
        ],
        version: env!("CARGO_PKG_VERSION").to_string(),
    }
}

/// A part of a line in quotes, cut to a readable length.
fn cut(text: &str) -> String {
    format!("'{}'", shortened(&shown(text), 40))
}
