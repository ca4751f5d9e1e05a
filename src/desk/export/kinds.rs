//! The table of kinds of files; a new kind takes a line here and a function.

use super::order::Order;
use super::{documents, sizes};
use crate::chart::{Chart, write};
use crate::desk::fields::TextOrNumber;
use crate::desk::follow::follow_page;
use crate::desk::state::{NamedPalette, Picture};
use crate::error::{Error, Result};
use crate::output::ring_picture::LoopFormat;
use crate::output::weave::{markdown, text};
use crate::output::{self, png, svg};
use crate::report::kit::KitReport;
use crate::report::weave::{WeaveReport, WovenBand};
use crate::report::{Booklet, Far, Matter, Measured, PreferWord, Worn, cover, flat_options};
use crate::request::{Keys, Named, Start, WeaveRequest, WorkFrom, WorkRequest};
use crate::scene::{FlatOptions, flat};
use serde::Deserialize;
use std::path::Path;
use std::sync::Arc;

/// A kind of file.
pub struct Kind {
    /// Its name in requests.
    pub word: &'static str,
    /// What is added to the chart's name.
    pub ending: &'static str,
    /// Its media type.
    pub mime: &'static str,
    /// Options that it takes, by the command line's long names.
    pub options: &'static [&'static str],
    /// Makes its bytes.
    pub make: fn(&Order) -> Result<Vec<u8>>,
}

impl Kind {
    /// Ending and media type, which depend on the option `as`.
    pub fn form(&self, form: Option<&str>) -> (&'static str, &'static str) {
        match (self.word, form) {
            ("rows", Some("markdown")) => ("-rows.md", "text/markdown; charset=utf-8"),
            ("turntable", Some("gif")) => ("-ring.gif", "image/gif"),
            _ => (self.ending, self.mime),
        }
    }
}

/// All kinds.
pub const KINDS: &[Kind] = &[
    kind("chart", ".json", "application/json", &[], chart),
    kind("svg", ".svg", "image/svg+xml", LINES, as_svg),
    kind("png", ".png", PNG, PIXELS, as_png),
    kind("beads", "-beads.png", PNG, PIXELS, as_beads),
    kind("seen", "-seen.png", PNG, FAR, seen),
    kind("ring", "-ring.png", PNG, RING, ring),
    kind("turntable", "-ring-loop.png", "image/apng", LOOP, turntable),
    kind("pdf", ".pdf", "application/pdf", BOOKLET, pdf),
    kind(
        "rows",
        "-rows.txt",
        TEXT,
        &["start", "from", "rows", "as", "keys"],
        rows,
    ),
    kind("page", ".html", HTML, &["start", "from", "keys"], follow),
    kind("kit-text", "-kit.txt", TEXT, KIT, kit_text),
    kind(
        "kit-csv",
        "-kit.csv",
        "text/csv; charset=utf-8",
        KIT,
        kit_csv,
    ),
    kind(
        "sizes",
        "-sizes.zip",
        "application/zip",
        sizes::OPTIONS,
        sizes::zipped,
    ),
    kind("check", "-check.txt", TEXT, CHECK, documents::check_text),
    kind(
        "check-json",
        "-check.json",
        JSON,
        CHECK,
        documents::check_json,
    ),
    kind(
        "weave-json",
        "-rows.json",
        JSON,
        &["start", "from", "rows"],
        documents::weave_json,
    ),
    kind("kit-json", "-kit.json", JSON, KIT, kit_json),
    kind(
        "sizes-json",
        "-sizes.json",
        JSON,
        sizes::OPTIONS,
        sizes::table,
    ),
    kind("near-json", "-near.json", JSON, NEAR, documents::compare),
    kind("fit-json", "-fit.json", JSON, FIT, documents::fit),
    kind(
        "palette-json",
        "-palette.json",
        JSON,
        &["below"],
        documents::palette,
    ),
    kind(
        "schema",
        ".schema.json",
        SCHEMA,
        &[],
        documents::chart_schema,
    ),
    kind(
        "schema-weave",
        "-rows.schema.json",
        SCHEMA,
        &[],
        documents::weave_schema,
    ),
];

const HTML: &str = "text/html; charset=utf-8";
const JSON: &str = "application/json";
const SCHEMA: &str = "application/schema+json";
const PNG: &str = "image/png";
const TEXT: &str = "text/plain; charset=utf-8";
const LINES: &[&str] = &["scale", "ground", "lettered"];
const PIXELS: &[&str] = &["scale", "ground", "density", "lettered"];
const RING: &[&str] = &["turn", "tilt", "pixels", "scale", "ground", "density"];
const LOOP: &[&str] = &[
    "turn", "tilt", "pixels", "scale", "ground", "density", "frames", "as",
];
const FAR: &[&str] = &["seen", "scale", "ground", "density"];
const BOOKLET: &[&str] = &[
    "paper", "title", "by", "note", "sizes", "start", "from", "keys", "swatch", "fits", "prefer",
];
const KIT: &[&str] = &["make", "spare", "thread", "tail"];
const CHECK: &[&str] = &["make", "thread", "length"];
const NEAR: &[&str] = &[
    "seen", "place", "turn", "crop", "fit", "margin", "crisp", "ground",
];
const FIT: &[&str] = &["size", "columns", "bead", "swatch", "fits", "prefer"];

const fn kind(
    word: &'static str,
    ending: &'static str,
    mime: &'static str,
    options: &'static [&'static str],
    make: fn(&Order) -> Result<Vec<u8>>,
) -> Kind {
    Kind {
        word,
        ending,
        mime,
        options,
        make,
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct NoOptions {}

fn chart(order: &Order) -> Result<Vec<u8>> {
    let NoOptions {} = order.options()?;
    Ok(write::write(order.chart).into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SvgOptions {
    scale: Option<TextOrNumber>,
    ground: Option<String>,
    #[serde(default)]
    lettered: bool,
}

fn as_svg(order: &Order) -> Result<Vec<u8>> {
    let given: SvgOptions = order.options()?;
    let options = FlatOptions {
        lettered: given.lettered,
        ..flat_options(given.scale.as_deref(), given.ground.as_deref())?
    };
    Ok(svg(&flat(order.chart, &options)).into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PngOptions {
    scale: Option<TextOrNumber>,
    ground: Option<String>,
    density: Option<f64>,
    #[serde(default)]
    lettered: bool,
}

fn as_png(order: &Order) -> Result<Vec<u8>> {
    drawn(order, false)
}

fn as_beads(order: &Order) -> Result<Vec<u8>> {
    drawn(order, true)
}

fn drawn(order: &Order, beads: bool) -> Result<Vec<u8>> {
    let given: PngOptions = order.options()?;
    let options = FlatOptions {
        beads,
        lettered: given.lettered,
        ..flat_options(given.scale.as_deref(), given.ground.as_deref())?
    };
    png(&flat(order.chart, &options), given.density).map(|picture| picture.bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RingOptions {
    turn: Option<f64>,
    tilt: Option<f64>,
    pixels: Option<u32>,
    scale: Option<TextOrNumber>,
    density: Option<f64>,
    ground: Option<String>,
    frames: Option<u32>,
    #[serde(rename = "as")]
    form: Option<TurntableFormat>,
}

/// The format of a turntable; all show the same frames.
#[derive(Deserialize, Default, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum TurntableFormat {
    #[default]
    Png,
    Gif,
}

impl RingOptions {
    fn worn(&self) -> Worn<'_> {
        Worn {
            turn: self.turn,
            tilt: self.tilt,
            pixels: self.pixels,
            scale: self.scale.as_deref(),
            density: self.density,
            ground: self.ground.as_deref(),
            frames: self.frames,
        }
    }
}

fn ring(order: &Order) -> Result<Vec<u8>> {
    let given: RingOptions = order.options()?;
    if given.form.is_some() {
        return Err(Error::usage("a still ring is a PNG").hint("leave the format out"));
    }
    if given.frames.is_some() {
        return Err(Error::usage("--frames is for --turntable only").hint("leave it out"));
    }
    given.worn().still()?.drawn(order.chart, || ())
}

fn turntable(order: &Order) -> Result<Vec<u8>> {
    let given: RingOptions = order.options()?;
    let format = match given.form.unwrap_or_default() {
        TurntableFormat::Gif => LoopFormat::Gif,
        TurntableFormat::Png => LoopFormat::Png,
    };
    given.worn().moving(format)?.drawn(order.chart, || ())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PdfOptions {
    paper: Option<String>,
    title: Option<String>,
    by: Option<String>,
    note: Option<String>,
    sizes: Option<String>,
    start: Option<Start>,
    from: Option<WorkFrom>,
    keys: Option<Keys>,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

fn pdf(order: &Order) -> Result<Vec<u8>> {
    let given: PdfOptions = order.options()?;
    let booklet = Booklet {
        paper: given.paper.as_deref(),
        title: given.title.as_deref(),
        by: given.by.as_deref(),
        note: given.note.as_deref(),
        sizes: given.sizes.as_deref(),
        work: WorkRequest {
            start: given.start,
            from: given.from,
            keys: given.keys,
        },
        measured: Measured {
            swatch: given.swatch.as_deref(),
            fits: given.fits.as_deref(),
            gauge: None,
            prefer: given.prefer.unwrap_or_default(),
        },
    };
    let matter = Matter {
        chart: order.chart.clone(),
        file: Path::new(order.name),
        palette: order
            .palette
            .map(|named| (Path::new(&named.file), &named.palette)),
        picture: order
            .picture
            .map(|picture| on_cover(picture, order.chart))
            .transpose()?,
    };
    let printed = booklet.printed(booklet.typed()?, matter)?;
    Ok(printed.value.bytes)
}

/// The designer's picture, scaled for the cover.
fn on_cover(picture: &Picture, chart: &Chart) -> Result<crate::picture::Pixels> {
    cover(Arc::clone(&picture.bytes), chart)
        .map(|made| made.value)
        .map_err(|error| error.file(Path::new(&picture.name)))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SeenOptions {
    seen: Option<TextOrNumber>,
    scale: Option<TextOrNumber>,
    ground: Option<String>,
    density: Option<f64>,
}

fn seen(order: &Order) -> Result<Vec<u8>> {
    let given: SeenOptions = order.options()?;
    let (from, scale) = (given.seen.as_deref(), given.scale.as_deref());
    let far = Far::new(from, scale, given.ground.as_deref(), given.density)?;
    far.drawn(order.chart).map(|picture| picture.bytes)
}

#[derive(Deserialize, Default)]
#[serde(default)]
struct RowsOptions {
    #[serde(rename = "as")]
    form: RowsFormat,
}

#[derive(Deserialize, Default)]
#[serde(rename_all = "lowercase")]
enum RowsFormat {
    #[default]
    Text,
    Markdown,
}

fn follow(order: &Order) -> Result<Vec<u8>> {
    follow_page(order.chart, order.name, order.request()?).map(String::into_bytes)
}

fn rows(order: &Order) -> Result<Vec<u8>> {
    let mut named = Named::new(order.options.clone());
    let RowsOptions { form } = named.take()?;
    let request = WeaveRequest::named(named.rest())?;
    let band = WovenBand::new(order.chart, &request, Some(order.name))?;
    let report = WeaveReport::of(&band);
    let rows = match form {
        RowsFormat::Text => text(&report),
        RowsFormat::Markdown => markdown(&report),
    };
    Ok(rows.into_bytes())
}

fn kit_text(order: &Order) -> Result<Vec<u8>> {
    Ok(output::kit::text(&kit(order)?).into_bytes())
}

fn kit_csv(order: &Order) -> Result<Vec<u8>> {
    Ok(output::kit::csv(&kit(order)?).into_bytes())
}

fn kit_json(order: &Order) -> Result<Vec<u8>> {
    output::json::document(&kit(order)?).map(String::into_bytes)
}

fn kit(order: &Order) -> Result<KitReport> {
    let in_stock = order.palette.map(NamedPalette::in_stock);
    KitReport::new(&order.request()?, order.chart, in_stock)
}
