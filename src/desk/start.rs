//! What the page needs when it starts: `GET begin`.

use super::export::KINDS;
use super::response::{HandlerResult, json_response, to_json};
use super::state::{Desk, NamedText};
use crate::bead::{Bead, SIZES};
use crate::error::Result;
use crate::request::GaugeRequest;
use crate::ring::{Series, Source, Step};
use crate::warning::Warning;
use axum::extract::State;
use serde_json::{Value, json};
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
const ROUTES: [&str; 13] = [
    "weave",
    "follow",
    "seen",
    "calm",
    "refine",
    "from-stock",
    "swap",
    "compare",
    "fit",
    "photo",
    "alike",
    "gauge",
    "remember",
];

/// `GET begin`.
pub async fn start(State(desk): State<Arc<Desk>>) -> HandlerResult {
    Ok(json_response(to_json(&start_json(&desk)?)?))
}

fn start_json(desk: &Desk) -> Result<Value> {
    let file = |file: &NamedText| json!({ "name": file.name, "text": file.text });
    let own = desk.start.palette.iter().map(file);
    let shipped = SHIPPED.map(|(name, text)| json!({ "name": name, "text": text }));
    let beads = SIZES.map(|size| {
        json!({
            "name": size.name,
            "length_mm": size.bead.length.get(),
            "diameter_mm": size.bead.diameter.get(),
            "hole_mm": size.bead.hole.get(),
        })
    });
    let kinds: Vec<Value> = KINDS
        .iter()
        .map(|kind| json!({ "kind": kind.word, "ending": kind.ending, "options": kind.options }))
        .collect();
    let offers: Vec<&str> = KINDS.iter().map(|kind| kind.word).chain(ROUTES).collect();
    Ok(json!({
        "version": env!("CARGO_PKG_VERSION"),
        "file": desk.start.chart.as_ref().map(file),
        "palettes": own.chain(shipped).collect::<Vec<_>>(),
        "beads": beads,
        "sizes": ring_sizes()?,
        "gauge": kept_gauge()?,
        "kinds": kinds,
        "offers": offers,
    }))
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
fn kept_gauge() -> Result<Value> {
    let gauge = GaugeRequest::default().resolve(Bead::default())?;
    let notes: Vec<String> = gauge.notes.iter().map(Warning::to_string).collect();
    Ok(match gauge.value.source() {
        Source::Touching => Value::Null,
        source => json!({
            "from": source.to_string(),
            "pitch_mm": gauge.value.pitch().get(),
            "notes": notes,
        }),
    })
}
