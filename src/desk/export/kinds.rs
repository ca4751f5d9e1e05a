//! The one table of kinds; a new one takes a line here and a function.

use super::{Order, sizes};
use crate::asked::{Gathered, check_thread, flat_options};
use crate::chart::write;
use crate::desk::follow::followed;
use crate::desk::typed::{Word, word};
use crate::desk::work::{From, HandWord, woven};
use crate::error::Result;
use crate::faces::kit::Answer;
use crate::faces::weave::{Keys, Work, guide, markdown, text};
use crate::faces::{self, png, svg};
use crate::scene::flat;
use crate::weave::kit::{kit, owned};
use serde::Deserialize;
use std::path::Path;

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

/// All kinds.
pub const KINDS: &[Kind] = &[
    kind("chart", ".json", "application/json", &[], chart),
    kind("svg", ".svg", "image/svg+xml", &["scale", "ground"], as_svg),
    kind(
        "png",
        ".png",
        "image/png",
        &["scale", "ground", "density"],
        as_png,
    ),
    kind(
        "rows",
        "-rows.txt",
        TEXT,
        &["hand", "from", "as", "keys"],
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
];

const HTML: &str = "text/html; charset=utf-8";
const TEXT: &str = "text/plain; charset=utf-8";
const KIT: &[&str] = &["make", "spare", "thread", "tail"];

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
}

fn as_svg(order: &Order) -> Result<Vec<u8>> {
    let options: Lines = order.options()?;
    let options = flat_options(word(&options.scale), options.ground.as_deref())?;
    Ok(svg(&flat(order.chart, &options)).into_bytes())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pixels {
    scale: Option<Word>,
    ground: Option<String>,
    density: Option<f64>,
}

fn as_png(order: &Order) -> Result<Vec<u8>> {
    let options: Pixels = order.options()?;
    let drawn = flat_options(word(&options.scale), options.ground.as_deref())?;
    png(&flat(order.chart, &drawn), options.density).map(|picture| picture.bytes)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Said {
    hand: Option<HandWord>,
    from: Option<From>,
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
#[serde(rename_all = "lowercase")]
enum KeysWord {
    Names,
    Short,
}

impl KeysWord {
    fn keys(self) -> Keys {
        match self {
            Self::Names => Keys::Names,
            Self::Short => Keys::Short,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Followed {
    hand: Option<HandWord>,
    from: Option<From>,
    keys: Option<KeysWord>,
}

fn follow(order: &Order) -> Result<Vec<u8>> {
    let asked: Followed = order.options()?;
    let from = asked.from.unwrap_or_default();
    let keys = asked.keys.map(KeysWord::keys);
    followed(order.chart, order.name, asked.hand, from, keys).map(String::into_bytes)
}

fn rows(order: &Order) -> Result<Vec<u8>> {
    let said: Said = order.options()?;
    let (weave, lengths) = woven(order.chart, said.hand, said.from.unwrap_or_default())?;
    let guide = guide(&Work {
        chart: order.chart,
        weave: &weave,
        lengths: &lengths,
        file: Some(order.name),
        rows: None,
        keys: said.keys.map(KeysWord::keys),
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
    with_kit(order, faces::kit::text)
}

fn kit_csv(order: &Order) -> Result<Vec<u8>> {
    with_kit(order, faces::kit::csv)
}

fn with_kit(order: &Order, face: impl Fn(&Answer) -> String) -> Result<Vec<u8>> {
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
            faces::kit::missing(order.chart, &drawer.palette, &lacking)
                .file(Path::new(&drawer.file))
        })?),
    };
    let answer = Answer {
        chart: order.chart,
        palette: order.drawer.map(|drawer| &drawer.palette),
        kit: &kit(order.chart, found.as_ref(), options)?,
    };
    Ok(face(&answer).into_bytes())
}
