//! The answer as JSON.

use super::Answer;
use super::advice::advice;
use crate::error::{Error, Result};
use crate::ring::{Closed, Gauge, Source};
use crate::units::Mm;
use serde::Serialize;
use std::path::Path;

/// The answer as JSON, lengths to a thousandth of a millimetre.
///
/// # Errors
/// If a path cannot be written as text.
pub fn json(answer: &Answer) -> Result<String> {
    let Answer { fit, columns, .. } = *answer;
    let gauge = Measured::of(&fit.gauge);
    let document = Document {
        rows: fit.chosen.rows.count(),
        rows_range: fit
            .range
            .map(|(loose, touching)| [loose.count(), touching.count()]),
        size: fit.wanted.to_string(),
        wanted_diameter_mm: fit.wanted.diameter().rounded(),
        columns,
        width_mm: fit.gauge.width(columns).rounded(),
        pitch_mm: fit.gauge.pitch().rounded(),
        bead: Bead::of(&fit.gauge),
        gauge,
        near: fit.near.iter().map(Near::of).collect(),
        advice: advice(answer),
        remembered: answer.remembered,
    };
    pretty(&document)
}

/// A remembered gauge as JSON, where no size was asked for.
///
/// # Errors
/// If a path cannot be written as text.
pub fn remembered_json(gauge: &Gauge, file: &Path) -> Result<String> {
    pretty(&Kept {
        pitch_mm: gauge.pitch().rounded(),
        bead: Bead::of(gauge),
        gauge: Measured::of(gauge),
        remembered: file,
    })
}

fn pretty(document: &impl Serialize) -> Result<String> {
    serde_json::to_string_pretty(document)
        .map(|text| text + "\n")
        .map_err(|cause| Error::new("the answer cannot be written as JSON").because(cause))
}

#[derive(Serialize)]
struct Document<'a> {
    rows: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    rows_range: Option<[u32; 2]>,
    size: String,
    wanted_diameter_mm: f64,
    columns: u32,
    width_mm: f64,
    pitch_mm: f64,
    bead: Bead,
    gauge: Measured<'a>,
    near: Vec<Near>,
    advice: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    remembered: Option<&'a Path>,
}

#[derive(Serialize)]
struct Kept<'a> {
    pitch_mm: f64,
    bead: Bead,
    gauge: Measured<'a>,
    remembered: &'a Path,
}

#[derive(Serialize)]
struct Bead {
    length_mm: f64,
    diameter_mm: f64,
    hole_mm: f64,
}

#[derive(Serialize)]
struct Measured<'a> {
    source: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    from: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<&'a Path>,
    #[serde(skip_serializing_if = "Option::is_none")]
    column_mm: Option<f64>,
}

#[derive(Serialize)]
struct Near {
    rows: u32,
    diameter_mm: f64,
    circumference_mm: f64,
    us: Option<f64>,
    iso: u32,
    uk: Option<String>,
    jp: Option<u32>,
}

impl Bead {
    fn of(gauge: &Gauge) -> Self {
        let bead = gauge.bead();
        Self {
            length_mm: bead.length.rounded(),
            diameter_mm: bead.diameter.rounded(),
            hole_mm: bead.hole.rounded(),
        }
    }
}

impl<'a> Measured<'a> {
    fn of(gauge: &'a Gauge) -> Self {
        let source = gauge.source();
        let (word, file) = match source {
            Source::Touching => ("touching", None),
            Source::Swatch(_) => ("swatch", None),
            Source::KnownFit(_) => ("fits", None),
            Source::Remembered { file, .. } => ("file", Some(file.as_path())),
        };
        Self {
            source: word,
            from: (word != "touching").then(|| source.to_string()),
            file,
            column_mm: gauge.measured_column().map(Mm::rounded),
        }
    }
}

impl Near {
    fn of(closed: &Closed) -> Self {
        let size = &closed.size;
        Self {
            rows: closed.rows.count(),
            diameter_mm: size.diameter().rounded(),
            circumference_mm: size.circumference().rounded(),
            us: size.us(),
            iso: size.iso(),
            uk: size.uk(),
            jp: size.jp(),
        }
    }
}
