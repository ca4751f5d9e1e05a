//! The one table of kinds; a new one takes a line here and a function.

use super::{Order, documents, sizes};
use crate::chart::{Chart, write};
use crate::desk::follow::followed;
use crate::desk::pictures::Picture;
use crate::desk::typed::{Word, word};
use crate::desk::work::woven;
use crate::error::{Error, Result};
use crate::output::kit::Answer;
use crate::output::photo::Motion;
use crate::output::weave::{Keys, Work, guide, markdown, text};
use crate::output::{self, png, svg};
use crate::report::{
    Booklet, Far, FromWord, Gathered, HandWord, KeysWord, Matter, Measured, PreferWord, Span, Worn,
    check_thread, cover, flat_options,
};
use crate::scene::{FlatOptions, flat};
use crate::weave::kit::{kit, owned};
use serde::Deserialize;
use std::path::Path;
use std::sync::Arc;

/// A kind of file.
pub struct Kind {
    /// What the page calls it.
    pub word: &'static str,
    /// What is put behind the chart's name.
    pub ending: &'static str,
    /// Its media type.
    pub mime: &'static str,
    /// The options that it takes.
    pub options: &'static [&'static str],
    /// Makes its bytes.
    pub made: fn(&Order) -> Result<Vec<u8>>,
}

impl Kind {
    /// Ending and media type, which go by the form that is asked for with `as`.
    pub fn form(&self, form: Option<&str>) -> (&'static str, &'static str) {
        match (self.word, form) {
            ("rows", Some("markdown")) => ("-rows.md", "text/markdown; charset=utf-8"),
            ("turntable", Some("gif")) => ("-ring.gif", "image/gif"),
            ("turntable", Some("png")) => ("-ring-loop.png", "image/apng"),
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
    kind("turntable", "-ring.webp", "image/webp", LOOP, turntable),
    kind("pdf", ".pdf", "application/pdf", BOOKLET, pdf),
    kind(
        "rows",
        "-rows.txt",
        TEXT,
        &["hand", "from", "rows", "as", "keys"],
        rows,
    ),
    kind("page", ".html", HTML, &["hand", "from", "keys"], follow),
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
        &["hand", "from", "rows"],
        documents::passes,
    ),
    kind("kit-json", "-kit.json", JSON, KIT, kit_json),
    kind(
        "sizes-json",
        "-sizes.json",
        JSON,
        sizes::OPTIONS,
        sizes::table,
    ),
    kind("near-json", "-near.json", JSON, NEAR, documents::near),
    kind("fit-json", "-fit.json", JSON, FIT, documents::fit),
    kind(
        "palette-json",
        "-palette.json",
        JSON,
        &["below"],
        documents::palette,
    ),
    kind("schema", ".schema.json", SCHEMA, &[], documents::of_charts),
    kind(
        "schema-weave",
        "-rows.schema.json",
        SCHEMA,
        &[],
        documents::of_work,
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
    "paper", "title", "by", "note", "sizes", "hand", "from", "keys", "swatch", "fits", "prefer",
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
    made: fn(&Order) -> Result<Vec<u8>>,
) -> Kind {
    Kind {
        word,
        ending,
        mime,
        options,
        made,
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Nothing {}

fn chart(order: &Order) -> Result<Vec<u8>> {
    let Nothing {} = order.options()?;
    Ok(write::write(order.chart).into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Lines {
    scale: Option<Word>,
    ground: Option<String>,
    #[serde(default)]
    lettered: bool,
}

fn as_svg(order: &Order) -> Result<Vec<u8>> {
    let asked: Lines = order.options()?;
    let options = FlatOptions {
        lettered: asked.lettered,
        ..flat_options(word(&asked.scale), asked.ground.as_deref())?
    };
    Ok(svg(&flat(order.chart, &options)).into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pixels {
    scale: Option<Word>,
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
    let asked: Pixels = order.options()?;
    let options = FlatOptions {
        beads,
        lettered: asked.lettered,
        ..flat_options(word(&asked.scale), asked.ground.as_deref())?
    };
    png(&flat(order.chart, &options), asked.density).map(|picture| picture.bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Round {
    turn: Option<f64>,
    tilt: Option<f64>,
    pixels: Option<u32>,
    scale: Option<Word>,
    density: Option<f64>,
    ground: Option<String>,
    frames: Option<u32>,
    #[serde(rename = "as")]
    form: Option<Loop>,
}

/// The file of a loop: all show the same.
#[derive(Deserialize, Default, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
enum Loop {
    #[default]
    Webp,
    Gif,
    Png,
}

impl Round {
    fn worn(&self) -> Worn<'_> {
        Worn {
            turn: self.turn,
            tilt: self.tilt,
            pixels: self.pixels,
            scale: word(&self.scale),
            density: self.density,
            ground: self.ground.as_deref(),
            frames: self.frames,
        }
    }
}

fn ring(order: &Order) -> Result<Vec<u8>> {
    let asked: Round = order.options()?;
    if asked.form.is_some() {
        return Err(Error::usage("a still ring is a PNG").hint("leave the form out"));
    }
    if asked.frames.is_some() {
        return Err(Error::usage("--frames is for --turntable only").hint("leave it out"));
    }
    asked.worn().still()?.drawn(order.chart, || ())
}

fn turntable(order: &Order) -> Result<Vec<u8>> {
    let asked: Round = order.options()?;
    let motion = match asked.form.unwrap_or_default() {
        Loop::Webp => Motion::Webp,
        Loop::Gif => Motion::Gif,
        Loop::Png => Motion::Png,
    };
    asked.worn().moving(motion)?.drawn(order.chart, || ())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Printed {
    paper: Option<String>,
    title: Option<String>,
    by: Option<String>,
    note: Option<String>,
    sizes: Option<String>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
    keys: Option<KeysWord>,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

fn pdf(order: &Order) -> Result<Vec<u8>> {
    let asked: Printed = order.options()?;
    let booklet = Booklet {
        paper: asked.paper.as_deref(),
        title: asked.title.as_deref(),
        by: asked.by.as_deref(),
        note: asked.note.as_deref(),
        sizes: asked.sizes.as_deref(),
        hand: asked.hand,
        from: asked.from.unwrap_or_default(),
        keys: asked.keys,
        measured: Measured {
            swatch: asked.swatch.as_deref(),
            fits: asked.fits.as_deref(),
            gauge: None,
            prefer: asked.prefer.unwrap_or_default(),
        },
    };
    let matter = Matter {
        chart: order.chart.clone(),
        file: Path::new(order.name),
        palette: order
            .drawer
            .map(|drawer| (Path::new(&drawer.file), &drawer.palette)),
        picture: order
            .picture
            .map(|picture| on_cover(picture, order.chart))
            .transpose()?,
    };
    let printed = booklet.printed(booklet.typed()?, matter)?;
    Ok(printed.value.bytes)
}

/// The designer's picture, made small.
fn on_cover(picture: &Picture, chart: &Chart) -> Result<crate::picture::Pixels> {
    cover(Arc::clone(&picture.bytes), chart)
        .map(|made| made.value)
        .map_err(|error| error.file(Path::new(&picture.name)))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Distant {
    seen: Option<Word>,
    scale: Option<Word>,
    ground: Option<String>,
    density: Option<f64>,
}

fn seen(order: &Order) -> Result<Vec<u8>> {
    let asked: Distant = order.options()?;
    let (from, scale) = (word(&asked.seen), word(&asked.scale));
    let far = Far::new(from, scale, asked.ground.as_deref(), asked.density)?;
    far.drawn(order.chart).map(|picture| picture.bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Said {
    rows: Option<Word>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
    #[serde(rename = "as")]
    form: Option<Form>,
    keys: Option<KeysWord>,
}

#[derive(Deserialize, Default)]
#[serde(rename_all = "lowercase")]
enum Form {
    #[default]
    Text,
    Markdown,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Followed {
    hand: Option<HandWord>,
    from: Option<FromWord>,
    keys: Option<KeysWord>,
}

fn follow(order: &Order) -> Result<Vec<u8>> {
    let asked: Followed = order.options()?;
    let from = asked.from.unwrap_or_default();
    let keys = asked.keys.map(Keys::from);
    followed(order.chart, order.name, asked.hand, from, keys).map(String::into_bytes)
}

fn rows(order: &Order) -> Result<Vec<u8>> {
    let said: Said = order.options()?;
    let span = word(&said.rows).map(Span::parse).transpose()?;
    let span = span.map(|span| span.within(&order.chart.lattice));
    let (weave, lengths) = woven(order.chart, said.hand, said.from.unwrap_or_default())?;
    let guide = guide(&Work {
        chart: order.chart,
        weave: &weave,
        lengths: &lengths,
        file: Some(order.name),
        rows: span.transpose()?,
        keys: said.keys.map(Keys::from),
    });
    let told = match said.form.unwrap_or_default() {
        Form::Text => text(&guide),
        Form::Markdown => markdown(&guide),
    };
    Ok(told.into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ForKit {
    make: Option<Word>,
    spare: Option<Word>,
    thread: Option<Word>,
    tail: Option<Word>,
}

fn kit_text(order: &Order) -> Result<Vec<u8>> {
    with_kit(order, |answer| Ok(output::kit::text(answer)))
}

fn kit_csv(order: &Order) -> Result<Vec<u8>> {
    with_kit(order, |answer| Ok(output::kit::csv(answer)))
}

fn kit_json(order: &Order) -> Result<Vec<u8>> {
    with_kit(order, output::kit::json)
}

fn with_kit(order: &Order, face: impl Fn(&Answer) -> Result<String>) -> Result<Vec<u8>> {
    let asked: ForKit = order.options()?;
    let gathered = Gathered {
        make: word(&asked.make),
        spare: word(&asked.spare),
        thread: word(&asked.thread),
        tail: word(&asked.tail),
        length: None,
    };
    let options = gathered.kit()?;
    check_thread(order.chart, options.thread)?;
    let found = match order.drawer {
        None => None,
        Some(drawer) => Some(owned(order.chart, &drawer.palette).map_err(|lacking| {
            output::kit::missing(order.chart, &drawer.palette, &lacking)
                .file(Path::new(&drawer.file))
        })?),
    };
    let answer = Answer {
        chart: order.chart,
        palette: order.drawer.map(|drawer| &drawer.palette),
        kit: &kit(order.chart, found.as_ref(), options)?,
    };
    face(&answer).map(String::into_bytes)
}
