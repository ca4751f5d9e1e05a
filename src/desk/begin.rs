//! What the page needs to begin.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::export::KINDS;
use crate::bead::{Bead, SIZES};
use crate::error::Result;
use crate::report::Measured;
use crate::ring::{Source, series};
use crate::warning::Warning;
use axum::extract::State;
use serde_json::{Value, json};
use std::sync::Arc;

/// Palettes that come with the program.
const SHIPPED: [(&str, &str); 3] = [
    ("harbour.csv", include_str!("../../palettes/harbour.csv")),
    ("shelf.csv", include_str!("../../palettes/shelf.csv")),
    ("tin.csv", include_str!("../../palettes/tin.csv")),
];

/// Ring sizes to choose from: what the common scales have for fingers, with the step of each.
const SCALES: [(&str, f64); 5] = [
    ("us3..us13", 0.5),
    ("uk-f..uk-z", 1.0),
    ("iso44..iso70", 1.0),
    ("jp3..jp27", 1.0),
    ("eu4..eu30", 1.0),
];

/// Routes, and options of `chart`, that the page asks for only where they are there; the kinds to take away are offered beside them.
const ROUTES: &[&str] = &[
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
pub async fn begin(State(desk): State<Arc<Desk>>) -> Answer {
    Ok(bytes("application/json", as_json(&told(&desk)?)?))
}

fn told(desk: &Desk) -> Result<Value> {
    let file = |(name, text): &(String, String)| json!({ "name": name, "text": text });
    let own = desk.begin.palette.iter().map(file);
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
    Ok(json!({
        "version": env!("CARGO_PKG_VERSION"),
        "file": desk.begin.file.as_ref().map(file),
        "palettes": own.chain(shipped).collect::<Vec<_>>(),
        "beads": beads,
        "sizes": sizes()?,
        "gauge": gauge()?,
        "kinds": kinds,
        "offers": KINDS.iter().map(|kind| kind.word).chain(ROUTES.iter().copied()).collect::<Vec<_>>(),
    }))
}

fn sizes() -> Result<Vec<String>> {
    let mut all = Vec::new();
    for (range, step) in SCALES {
        all.extend(series(range, step)?.iter().map(|size| size.to_string()));
    }
    Ok(all)
}

/// The weaver's own gauge for the usual bead, if she keeps one.
fn gauge() -> Result<Value> {
    let gauge = Measured::default().resolve(Bead::default())?;
    let notes: Vec<String> = gauge.notes.iter().map(Warning::to_string).collect();
    Ok(match gauge.value.source() {
        Source::Touching => Value::Null,
        source => {
            json!({ "from": source.to_string(), "pitch_mm": gauge.value.pitch().get(), "notes": notes })
        }
    })
}
