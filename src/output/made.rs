//! What a chart came out as, for a person and for other programs.

use super::compare;
use crate::error::Error;
use crate::palette::Palette;
use crate::pipeline::{Outcome, Seated};
use crate::ring::Closed;
use crate::scene::facts;
use crate::units::{decimals, grouped};
use crate::warning::Warning;
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};

/// One chart that was made, and where it went.
#[derive(Debug, Clone)]
pub struct Told {
    /// The picture.
    pub picture: PathBuf,
    /// The chart's file; none is standard output.
    pub chart: Option<PathBuf>,
    /// The drawing's file.
    pub preview: Option<PathBuf>,
    /// The chart and how well it came out.
    pub outcome: Outcome,
    /// The ring that it makes, if it is closed.
    pub ring: Option<Closed>,
    /// What there is to say about the band, the same for every picture.
    pub band_notes: Vec<Warning>,
    /// What was noticed of the picture.
    pub notes: Vec<Warning>,
}

/// The summary for a person.
pub fn text(told: &Told, palette: &Palette) -> String {
    let chart = &told.outcome.chart;
    let name = told
        .chart
        .as_deref()
        .map_or("chart".into(), Path::to_string_lossy);
    let mut lines = vec![format!("{name}: {}", facts(chart))];
    if let Some(Closed { rows, size }) = &told.ring {
        let labels = size.us().map_or(String::new(), |us| {
            format!(", US {}, ISO {}", decimals(us, 2), size.iso())
        });
        lines.push(format!(
            "ring: {} inside{labels}; row {} meshes with row 1",
            size.diameter(),
            rows.count()
        ));
    }
    if let Some(preview) = &told.preview {
        lines.push(format!("picture: {}", preview.display()));
    }
    lines.extend(told.outcome.seat.as_ref().map(seat));
    let apart = match told.picture.as_os_str().is_empty() {
        true => String::new(),
        false => {
            let difference = decimals(told.outcome.difference, 1);
            format!("; mean difference from the picture {difference}")
        }
    };
    lines.push(format!(
        "colours: {} of {} in {}{apart}",
        chart.colours.len(),
        palette.colours().len(),
        palette.name,
    ));
    if let Some([before, after]) = &told.outcome.refined {
        lines.push(compare::change(before, after));
    }
    lines.extend(told.outcome.on_ground.as_ref().and_then(compare::worn));
    let mut counted: Vec<(usize, &str)> = chart
        .counts()
        .into_iter()
        .zip(chart.colours.iter().map(|shade| shade.name.as_str()))
        .collect();
    counted.sort_by_key(|&(count, _)| std::cmp::Reverse(count));
    let most = counted
        .first()
        .map_or(0, |&(count, _)| grouped(count).len());
    const SHOWN: usize = 16;
    for (count, name) in counted.iter().take(SHOWN) {
        lines.push(format!(
            "{:>most$}  {name}",
            grouped(*count),
            most = most + 2
        ));
    }
    if counted.len() > SHOWN {
        let rest: usize = counted[SHOWN..].iter().map(|(count, _)| count).sum();
        lines.push(format!(
            "{:>most$}  in {} more colours",
            grouped(rest),
            counted.len() - SHOWN,
            most = most + 2
        ));
    }
    lines.push(notes(&told.notes));
    lines.join("\n")
}

/// How a motif sits, in a line.
fn seat(
    Seated {
        spot,
        width,
        height,
    }: &Seated,
) -> String {
    let moved = [(spot.across, "right", "left"), (spot.along, "up", "down")]
        .into_iter()
        .filter(|(by, ..)| by.get() != 0.0)
        .map(|(by, one, other)| {
            let way = if by.get() > 0.0 { one } else { other };
            format!("{} mm {way}", decimals(by.get().abs(), 2))
        });
    let moved: Vec<String> = moved.collect();
    let from = match moved.is_empty() {
        true => "in the middle".to_string(),
        false => format!("{} of the middle", moved.join(" and ")),
    };
    let size = match spot.scale == 1.0 {
        true => "as large as fits".to_string(),
        false => format!("{} of the largest that fits", decimals(spot.scale, 4)),
    };
    let sides = [width, height].map(|side| decimals(side.get(), 1));
    format!("motif: {} × {} mm, {size}, {from}", sides[0], sides[1])
}

/// Notes, each on a line of its own.
pub fn notes(notes: &[Warning]) -> String {
    notes.iter().map(|note| format!("note: {note}\n")).collect()
}

/// The summary for other programs.
pub fn json(told: &Told, palette: &Palette) -> Value {
    let chart = &told.outcome.chart;
    let lattice = &chart.lattice;
    let mut colours: Vec<Value> = Vec::new();
    for (shade, count) in chart.colours.iter().zip(chart.counts()) {
        colours.push(json!({ "code": shade.code, "name": shade.name, "hex": crate::colour::hex(shade.srgb), "beads": count }));
    }
    let shown = |path: &Option<PathBuf>| {
        path.as_ref()
            .map(|path| path.to_string_lossy().into_owned())
    };
    let mut object = Map::new();
    let mut put = |name: &str, value: Value| {
        object.insert(name.to_string(), value);
    };
    put("picture", json!(told.picture.to_string_lossy()));
    put("chart", json!(shown(&told.chart)));
    put("preview", json!(shown(&told.preview)));
    put("columns", json!(lattice.columns()));
    put("rows", json!(lattice.rows()));
    put("closed", json!(lattice.is_closed()));
    put("beads", json!(lattice.len()));
    put("width_mm", json!(lattice.width().rounded()));
    put("height_mm", json!(lattice.picture_height().rounded()));
    put(
        "inside_diameter_mm",
        json!(
            told.ring
                .as_ref()
                .map(|ring| ring.size.diameter().rounded())
        ),
    );
    put(
        "us",
        json!(
            told.ring
                .as_ref()
                .and_then(|ring| ring.size.us())
                .map(|us| (us * 100.0).round() / 100.0)
        ),
    );
    put("turned", json!(told.outcome.turned));
    put("kept", json!((told.outcome.kept * 1e4).round() / 1e4));
    if let Some(Seated {
        spot,
        width,
        height,
    }) = &told.outcome.seat
    {
        let (across, along) = (spot.across.get(), spot.along.get());
        put(
            "seat",
            json!({ "width_mm": width.rounded(), "height_mm": height.rounded(), "scale": spot.scale, "across_mm": across, "along_mm": along }),
        );
    }
    put(
        "ground",
        json!(
            told.outcome
                .ground
                .map(|at| palette.colours()[at].code.clone())
        ),
    );
    put(
        "difference",
        json!((told.outcome.difference * 1e4).round() / 1e4),
    );
    if let Some([before, after]) = &told.outcome.refined {
        let both = json!({ "before": compare::figures(before), "after": compare::figures(after) });
        put("refined", both);
    }
    put(
        "legible",
        json!(told.outcome.on_ground.as_ref().map(compare::standing)),
    );
    put("colours", Value::Array(colours));
    put(
        "notes",
        json!(
            told.band_notes
                .iter()
                .chain(&told.notes)
                .map(Warning::to_string)
                .collect::<Vec<_>>()
        ),
    );
    Value::Object(object)
}

/// A picture of which no chart was made.
pub fn failed(picture: &Path, error: &Error) -> Value {
    json!({
        "picture": picture.to_string_lossy(),
        "error": format!("{}{}", error.place(), error.what()),
        "hint": error.remedy(),
    })
}

/// A document with its line end.
pub fn document(value: &Value) -> String {
    format!("{value:#}\n")
}
