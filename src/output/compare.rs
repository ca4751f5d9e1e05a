//! How far a chart looks from its picture: figures for people and for other programs.

use super::made::{document, notes};
use super::palette::printable;
use crate::chart::Chart;
use crate::pipeline::{Compared as Figures, OnGround};
use crate::quantize::measure::Measure;
use crate::scene::facts;
use crate::units::Mm;
use crate::units::grouped;
use crate::vision::WORN;
use crate::vision::contrast::{RANGE, Reads, Standing};
use crate::warning::Warning;
use serde_json::{Value, json};
use std::path::Path;

/// A chart beside its picture.
#[derive(Debug, Clone, Copy)]
pub struct Compared<'a> {
    /// The chart's file; `-` is standard input.
    pub file: &'a Path,
    /// The picture's file; `-` is standard input.
    pub picture: &'a Path,
    /// The chart.
    pub chart: &'a Chart,
    /// The figures.
    pub figures: &'a Figures,
    /// What was noticed.
    pub notes: &'a [Warning],
}

fn name(path: &Path) -> String {
    match path.to_str() {
        Some("-") => "standard input".to_string(),
        _ => printable(&path.to_string_lossy()),
    }
}

/// The figures as a table.
pub fn text(compared: &Compared) -> String {
    let measure = &compared.figures.measure;
    let mut text = format!(
        "{} beside {}\n{}\n\ndifference from the picture    mean  95 of 100 up to\n",
        name(compared.file),
        name(compared.picture),
        facts(compared.chart)
    );
    for apart in &measure.seen {
        let what = format!("seen from {}", apart.distance);
        text += &format!("{what:<29}{:>6.1}{:>18.1}\n", apart.mean, apart.most);
    }
    let what = "bead by bead, unfiltered";
    text += &format!("{what:<29}{:>6.1}{:>18.1}\n\n", measure.beads, measure.most);
    text += &format!(
        "{} of colour within the rows; {} by no bead of the same colour\n",
        counted(measure.changes, "change", "changes"),
        match measure.alone {
            1 => "1 bead is touched".to_string(),
            many => format!("{} beads are touched", grouped(many)),
        }
    );
    text += &compared
        .figures
        .on_ground
        .as_ref()
        .map_or(String::new(), table);
    text + &notes(compared.notes)
}

/// The motif beside its ground, a line a distance.
fn table(on_ground: &OnGround) -> String {
    let name = printable(&on_ground.name);
    let mut text = format!("\nmotif on {name}, as the eye sees it\n");
    for standing in &on_ground.contrast.seen {
        let what = format!("seen from {}", standing.distance);
        text += &format!(
            "{what:<19}{:<14}difference {:.1}, contrast {:.1} to 1\n",
            reads(standing),
            standing.difference,
            standing.contrast
        );
    }
    text + &format!("{}\n", lost(on_ground))
}

/// How a motif reads, in words.
fn reads(standing: &Standing) -> &'static str {
    match standing.reads() {
        Reads::Well => "reads well",
        Reads::Softly => "reads softly",
        Reads::Lost => "is lost",
    }
}

/// From where a motif is lost.
fn lost(on_ground: &OnGround) -> String {
    match on_ground.contrast.lost {
        None => "seen from 20 m still".to_string(),
        Some(nearest) if nearest == RANGE.0 => "lost from any distance".to_string(),
        Some(distance) => format!("lost from {:.1} m", distance.get() / 1000.0),
    }
}

/// How a motif reads when worn, in a line.
pub fn worn(on_ground: &OnGround) -> Option<String> {
    let worn = on_ground
        .contrast
        .seen
        .iter()
        .find(|one| one.distance == WORN)?;
    Some(format!(
        "motif on {}: {} when worn (difference {:.1}, contrast {:.1} to 1 at {}); {}",
        printable(&on_ground.name),
        reads(worn),
        worn.difference,
        worn.contrast,
        worn.distance,
        lost(on_ground)
    ))
}

/// The motif beside its ground, for other programs.
pub fn standing(on_ground: &OnGround) -> Value {
    let short = |number: f64| (number * 1e4).round() / 1e4;
    let seen: Vec<Value> = on_ground
        .contrast
        .seen
        .iter()
        .map(|one| {
            json!({
                "distance_mm": one.distance.rounded(),
                "difference": short(one.difference),
                "form": short(one.form),
                "contrast": short(one.contrast),
                "reads": match one.reads() { Reads::Well => "well", Reads::Softly => "softly", Reads::Lost => "lost" },
            })
        })
        .collect();
    json!({
        "ground": on_ground.code,
        "seen": seen,
        "lost_mm": on_ground.contrast.lost.map(Mm::rounded),
    })
}

fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{} {}", grouped(count), if count == 1 { one } else { many })
}

/// The figures for other programs.
pub fn json(compared: &Compared) -> String {
    let mut value = json!({
        "chart": compared.file.to_string_lossy(),
        "picture": compared.picture.to_string_lossy(),
    });
    if let (Some(object), Value::Object(figures)) =
        (value.as_object_mut(), figures(&compared.figures.measure))
    {
        object.extend(figures);
        object.insert(
            "legible".to_string(),
            json!(compared.figures.on_ground.as_ref().map(standing)),
        );
        let told: Vec<String> = compared.notes.iter().map(Warning::to_string).collect();
        object.insert("notes".to_string(), json!(told));
    }
    document(&value)
}

/// A measure as JSON, with four decimals.
pub fn figures(measure: &Measure) -> Value {
    let short = |number: f64| (number * 1e4).round() / 1e4;
    let seen: Vec<Value> = measure
        .seen
        .iter()
        .map(|apart| {
            json!({ "distance_mm": apart.distance.rounded(), "mean": short(apart.mean), "p95": short(apart.most) })
        })
        .collect();
    json!({
        "seen": seen,
        "beads": { "mean": short(measure.beads), "p95": short(measure.most) },
        "colour_changes": measure.changes,
        "alone": measure.alone,
    })
}

/// What optimising brought, in a line or two.
pub fn change(before: &Measure, after: &Measure) -> String {
    let seen: Vec<String> = before
        .seen
        .iter()
        .zip(&after.seen)
        .map(|(one, two)| format!("{:.1} to {:.1} at {}", one.mean, two.mean, one.distance))
        .collect();
    format!(
        "as the eye sees it: difference {}\nto weave: colour changes {} to {}, beads alone {} to {}",
        seen.join(", "),
        grouped(before.changes),
        grouped(after.changes),
        grouped(before.alone),
        grouped(after.alone)
    )
}
