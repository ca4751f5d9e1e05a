//! The table of kinds of files; a new kind takes a line here and a function.

use super::order::Order;
use super::{documents, sizes};
use crate::chart::write;
use crate::desk::follow::follow_page;
use crate::desk::seen::seen_drawing;
use crate::desk::state::{NamedPalette, Picture};
use crate::error::Result;
use crate::output::booklet::check_size;
use crate::output::drawing::FlatDrawing;
use crate::output::print::{Matter, cover};
use crate::output::ring_picture::{LoopFormat, RingDrawing};
use crate::output::weave::{markdown, text};
use crate::output::{self, Kind as FileKind};
use crate::report::kit::KitReport;
use crate::report::weave::{WeaveReport, WovenBand};
use crate::request::{
    BeadStyleRequest, DrawingRequest, KitRequest, LoopRequest, Named, PrintRequest,
    RingViewRequest, WeaveRequest,
};
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
        &[
            "start", "from", "rows", "as", "keys", "odd_turn", "thread", "tail", "units",
        ],
        rows,
    ),
    kind(
        "page",
        ".html",
        HTML,
        &[
            "start", "from", "keys", "odd_turn", "thread", "tail", "units",
        ],
        follow,
    ),
    kind("kit-text", "-kit.txt", TEXT, KIT_TEXT, kit_text),
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
        &["start", "from", "rows", "odd_turn", "thread", "tail"],
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

/// The band at a distance without words.
pub const BARE: Kind = kind("seen-bare", ".png", PNG, FAR, bare);
/// The facts of a chart.
pub const FACTS: Kind = kind("facts", ".json", JSON, &[], facts);
/// What only the page shows: no files that are exported.
pub const SHOWN: [&Kind; 2] = [&BARE, &FACTS];

const HTML: &str = "text/html; charset=utf-8";
const JSON: &str = "application/json";
const SCHEMA: &str = "application/schema+json";
const PNG: &str = "image/png";
const TEXT: &str = "text/plain; charset=utf-8";
const LINES: &[&str] = &["scale", "backdrop", "lettered", "blank_ground"];
const PIXELS: &[&str] = &["scale", "backdrop", "density", "lettered", "blank_ground"];
const RING: &[&str] = &["roll", "tilt", "pixels", "scale", "backdrop", "density"];
const LOOP: &[&str] = &[
    "roll", "tilt", "pixels", "scale", "backdrop", "density", "frames", "as",
];
const FAR: &[&str] = &["seen", "scale", "backdrop", "density"];
const BOOKLET: &[&str] = &[
    "paper",
    "title",
    "by",
    "note",
    "sizes",
    "step",
    "nearest",
    "start",
    "from",
    "keys",
    "swatch",
    "fits",
    "prefer",
    "odd_turn",
    "thread",
    "tail",
    "blank_ground",
    "turn_over",
    "units",
];
const KIT_TEXT: &[&str] = &["make", "spare", "thread", "tail", "odd_turn", "units"];
const KIT: &[&str] = &["make", "spare", "thread", "tail", "odd_turn"];
const CHECK: &[&str] = &["make", "thread", "length"];
const NEAR: &[&str] = &[
    "distances",
    "place",
    "position",
    "rotate",
    "crop",
    "scaling",
    "margin",
    "crisp",
    "ground",
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

fn as_svg(order: &Order) -> Result<Vec<u8>> {
    flat(order, FileKind::Svg, false)
}

fn as_png(order: &Order) -> Result<Vec<u8>> {
    flat(order, FileKind::Png, false)
}

fn as_beads(order: &Order) -> Result<Vec<u8>> {
    flat(order, FileKind::Png, true)
}

fn flat(order: &Order, kind: FileKind, beads: bool) -> Result<Vec<u8>> {
    let mut named = Named::new(order.options.clone());
    let drawing: DrawingRequest = named.take()?;
    let mut style: BeadStyleRequest = named.take()?;
    named.finish()?;
    style.beads |= beads;
    FlatDrawing::new(kind, &drawing, style)?.draw(order.chart, |_| ())
}

/// The format of a turntable; all show the same frames.
#[derive(Deserialize, Default, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum TurntableFormat {
    #[default]
    Png,
    Gif,
}

#[derive(Deserialize)]
struct TurntableOptions {
    #[serde(rename = "as", default)]
    form: TurntableFormat,
}

fn ring(order: &Order) -> Result<Vec<u8>> {
    let mut named = Named::new(order.options.clone());
    let drawing: DrawingRequest = named.take()?;
    let view: RingViewRequest = named.take()?;
    named.finish()?;
    RingDrawing::still(&drawing, &view)?.draw(order.chart, || ())
}

fn turntable(order: &Order) -> Result<Vec<u8>> {
    let mut named = Named::new(order.options.clone());
    let drawing: DrawingRequest = named.take()?;
    let view: RingViewRequest = named.take()?;
    let frames: LoopRequest = named.take()?;
    let form: TurntableOptions = named.take()?;
    named.finish()?;
    let format = match form.form {
        TurntableFormat::Gif => LoopFormat::Gif,
        TurntableFormat::Png => LoopFormat::Png,
    };
    RingDrawing::turntable(&drawing, &view, frames, format)?.draw(order.chart, || ())
}

fn pdf(order: &Order) -> Result<Vec<u8>> {
    let request = PrintRequest::named(order.options.clone())?;
    check_size(order.chart).map_err(|error| error.file(Path::new(order.name)))?;
    let matter = Matter {
        charts: vec![order.chart.clone()],
        files: vec![Path::new(order.name)],
        palette: order
            .palette
            .map(|named| (Path::new(&named.file), &named.palette)),
        ways: Vec::new(),
        picture: order
            .picture
            .map(|picture| on_cover(picture, order))
            .transpose()?,
    };
    let printed = request.printed(request.typed()?, matter)?;
    Ok(printed.value.bytes)
}

/// The designer's picture, scaled for the cover.
fn on_cover(picture: &Picture, order: &Order) -> Result<crate::picture::Pixels> {
    cover(Arc::clone(&picture.bytes), order.chart, order.decoding)
        .map(|made| made.value)
        .map_err(|error| error.file(Path::new(&picture.name)))
}

fn seen(order: &Order) -> Result<Vec<u8>> {
    seen_drawing(order.options.clone())?.draw(order.chart, &order.decoding.cancel, |_| ())
}

fn facts(order: &Order) -> Result<Vec<u8>> {
    let (options, cancel) = (order.options.clone(), &order.decoding.cancel);
    crate::desk::facts::facts(order.chart, order.palette, options, cancel)
}

fn bare(order: &Order) -> Result<Vec<u8>> {
    let drawing = seen_drawing(order.options.clone())?.bare();
    drawing.draw(order.chart, &order.decoding.cancel, |_| ())
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
    let request = WeaveRequest::named(order.options.clone())?;
    follow_page(order.chart, order.name, &request).map(String::into_bytes)
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
    Ok(output::kit::csv(&kit(order)?).value.into_bytes())
}

fn kit_json(order: &Order) -> Result<Vec<u8>> {
    output::json::document(&kit(order)?).map(String::into_bytes)
}

fn kit(order: &Order) -> Result<KitReport> {
    let in_stock = order.palette.map(NamedPalette::in_stock);
    let request = KitRequest::named(order.options.clone())?;
    KitReport::new(&request, order.chart, in_stock)
}
