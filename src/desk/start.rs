//! What the page needs when it starts: `GET begin`.

use super::export::KINDS;
use super::response::{HandlerResult, json_response, to_json};
use super::state::{Desk, NamedText};
use crate::bead::{Bead, SIZES};
use crate::error::Result;
use crate::request::GaugeRequest;
use crate::ring::{Series, Source, Step};
use crate::units::Mm;
use axum::extract::State;
use schemars::JsonSchema;
use serde::Serialize;
use std::sync::Arc;

/// Palettes that come with the program, by name and text.
const SHIPPED: [(&str, &str); 3] = [
    ("harbour.csv", include_str!("../../palettes/harbour.csv")),
    ("shelf.csv", include_str!("../../palettes/shelf.csv")),
    ("tin.csv", include_str!("../../palettes/tin.csv")),
];

/// Ring sizes to choose from: what the common scales have for fingers, with the step of each.
const SCALES: [(&str, Step); 5] = [
    ("us3..us13", Step::Half),
    ("uk-f..uk-z", Step::Whole),
    ("iso44..iso70", Step::Whole),
    ("jp3..jp27", Step::Whole),
    ("eu4..eu30", Step::Whole),
];

/// Routes, and options of `chart`, that the page uses only where they are offered.
const ROUTES: [&str; 15] = [
    "weave",
    "follow",
    "seen",
    "calm",
    "propose",
    "refine",
    "resize",
    "from-stock",
    "swap",
    "compare",
    "fit",
    "photo",
    "alike",
    "gauge",
    "remember",
];

/// What the page needs when it starts.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StartAnswer {
    /// The program's version.
    version: &'static str,
    /// The chart that the desk was opened with.
    file: Option<TextFile>,
    /// Palettes, the owner's first.
    palettes: Vec<TextFile>,
    /// Bead sizes by name.
    beads: Vec<BeadSize>,
    /// Ring sizes to choose from.
    sizes: Vec<String>,
    /// The weaver's own gauge for the default bead, if one was kept.
    gauge: Option<KeptGauge>,
    /// Kinds of files that can be exported.
    kinds: Vec<ExportKind>,
    /// The kinds, and the routes that the page uses only where they are offered.
    offers: Vec<&'static str>,
}

/// A file of text.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TextFile {
    /// Its name.
    name: String,
    /// Its text.
    text: String,
}

/// A bead size.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BeadSize {
    /// Its name.
    name: &'static str,
    /// Along the hole.
    length_mm: Mm,
    /// Across the hole.
    diameter_mm: Mm,
    /// Bore of the hole.
    hole_mm: Mm,
}

/// A gauge that was kept.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KeptGauge {
    /// What was measured.
    from: String,
    /// The bead-to-bead spacing.
    pitch_mm: Mm,
}

/// A kind of file that can be exported.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ExportKind {
    /// Its name in requests.
    kind: &'static str,
    /// What is added to the chart's name.
    ending: &'static str,
    /// Options that it takes.
    options: &'static [&'static str],
}

/// `GET begin`.
pub async fn start(State(desk): State<Arc<Desk>>) -> HandlerResult {
    Ok(json_response(to_json(&answer(&desk)?)?))
}

fn answer(desk: &Desk) -> Result<StartAnswer> {
    let own = desk.start.palette.iter().map(TextFile::from);
    // The owner's palette stands for the one of its name that comes with the program.
    let is_own = |name: &str| desk.start.palette.iter().any(|own| own.name == name);
    let shipped = SHIPPED.into_iter().filter(|(name, _)| !is_own(name));
    let shipped = shipped.map(|(name, text)| TextFile {
        name: name.to_string(),
        text: text.to_string(),
    });
    let beads = SIZES.map(|size| BeadSize {
        name: size.name,
        length_mm: size.bead.length,
        diameter_mm: size.bead.diameter,
        hole_mm: size.bead.hole,
    });
    let kinds = KINDS.iter().map(|kind| ExportKind {
        kind: kind.word,
        ending: kind.ending,
        options: kind.options,
    });
    Ok(StartAnswer {
        version: env!("CARGO_PKG_VERSION"),
        file: desk.start.chart.as_ref().map(TextFile::from),
        palettes: own.chain(shipped).collect(),
        beads: beads.into(),
        sizes: ring_sizes()?,
        gauge: kept_gauge()?,
        kinds: kinds.collect(),
        offers: KINDS.iter().map(|kind| kind.word).chain(ROUTES).collect(),
    })
}

impl From<&NamedText> for TextFile {
    fn from(file: &NamedText) -> Self {
        Self {
            name: file.name.clone(),
            text: file.text.clone(),
        }
    }
}

fn ring_sizes() -> Result<Vec<String>> {
    let mut all = Vec::new();
    for (range, step) in SCALES {
        let sizes = Series::parse(range)?.sizes(step)?;
        all.extend(sizes.iter().map(|size| size.to_string()));
    }
    Ok(all)
}

/// The weaver's own gauge for the default bead, if one was kept.
fn kept_gauge() -> Result<Option<KeptGauge>> {
    let gauge = GaugeRequest::default().resolve(Bead::default())?.value;
    Ok(match gauge.source() {
        Source::Assumed => None,
        source => Some(KeptGauge {
            from: source.to_string(),
            pitch_mm: gauge.spacing(),
        }),
    })
}
