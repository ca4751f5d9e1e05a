//! The findings as JSON.

use super::{Checked, kind, words};
use crate::lattice::Row;
use crate::weave::check::Finding;
use serde_json::{Value, json};

/// The findings as JSON: `columns`, `rows`, `beads`, `count` and `findings`, each with its `kind`, its place (`rows`, `beads`), its `colours` by code, what was measured
/// and its limit with their unit (`measure`, `limit`, `unit`; `null` where nothing is measured), and `text` and `hint` as a person reads them.
pub fn json(checked: &Checked) -> String {
    let lattice = &checked.chart.lattice;
    let findings: Vec<Value> = checked
        .findings
        .iter()
        .map(|finding| one(checked, finding))
        .collect();
    let document = json!({
        "columns": lattice.columns(),
        "rows": lattice.rows(),
        "beads": lattice.len(),
        "count": findings.len(),
        "findings": findings,
    });
    format!("{document:#}\n")
}

fn one(checked: &Checked, finding: &Finding) -> Value {
    let (measure, limit, unit) = measured(finding);
    let mut value = json!({
        "kind": kind(finding),
        "rows": rows(checked, finding),
        "beads": beads(checked, finding),
        "colours": colours(checked, finding),
        "measure": measure,
        "limit": limit,
        "unit": unit,
        "text": words::text(checked, finding),
        "hint": words::hint(checked, finding),
    });
    match finding {
        Finding::Busy { rows, median, .. } => {
            value["changes"] = rows.iter().map(|&(_, changes)| changes).collect();
            value["median"] = json!(median);
        }
        Finding::NotOwned(missing) => {
            let near =
                |palette: &crate::palette::Palette| palette.colours()[missing.nearest].code.clone();
            value["nearest"] = json!(checked.palette.map(near));
        }
        Finding::Short { lacking, .. } => value["lacking"] = json!(lacking),
        Finding::Long { piece, .. } => value["piece_mm"] = json!(piece.rounded()),
        Finding::Full { needle, .. } => value["needle"] = json!(needle.name),
        _ => {}
    }
    value
}

/// What was measured, its limit, and in what.
fn measured(finding: &Finding) -> (Value, Value, Value) {
    let thousandths = |number: f64| json!((number * 1000.0).round() / 1000.0);
    match finding {
        Finding::Seam { step, limit } => {
            (thousandths(*step), thousandths(*limit), json!("CIEDE2000"))
        }
        Finding::Alike(pair) => (
            thousandths(pair.difference),
            json!(crate::palette::HARD_TO_TELL),
            json!("CIEDE2000"),
        ),
        Finding::Few { beads, .. } => (
            json!(beads.len()),
            json!(crate::weave::check::FEW),
            json!("beads"),
        ),
        Finding::Alone { beads, .. } => (json!(beads.len()), json!(0), json!("beads")),
        Finding::Busy { rows, limit, .. } => (
            json!(rows.first().map(|&(_, changes)| changes)),
            json!(limit),
            json!("changes"),
        ),
        Finding::Short {
            needed, lacking, ..
        } => (json!(needed), json!(needed - lacking), json!("beads")),
        Finding::NotOwned(missing) => (
            thousandths(missing.difference),
            Value::Null,
            json!("CIEDE2000"),
        ),
        Finding::Long { length, limit, .. } => {
            (json!(length.rounded()), json!(limit.rounded()), json!("mm"))
        }
        Finding::Full { passes, limit, .. } => (json!(passes), json!(limit), json!("passes")),
    }
}

fn rows(checked: &Checked, finding: &Finding) -> Vec<u32> {
    let number = |row: &Row| row.get();
    match finding {
        Finding::Seam { .. } => vec![checked.chart.lattice.rows(), 1],
        Finding::Busy { rows, .. } => rows.iter().map(|(row, _)| number(row)).collect(),
        Finding::Long { joins, .. } => joins.iter().map(number).collect(),
        _ => {
            let at = |&bead: &usize| checked.chart.lattice.position(bead).0.get();
            let mut rows: Vec<u32> = places(finding).iter().map(at).collect();
            rows.sort_unstable();
            rows.dedup();
            rows
        }
    }
}

fn places(finding: &Finding) -> &[usize] {
    match finding {
        Finding::Few { beads, .. } | Finding::Alone { beads, .. } | Finding::Full { beads, .. } => {
            beads
        }
        _ => &[],
    }
}

fn beads(checked: &Checked, finding: &Finding) -> Vec<Value> {
    let at = |&bead: &usize| {
        let (row, column) = checked.chart.lattice.position(bead);
        json!({ "row": row.get(), "column": column.get() })
    };
    places(finding).iter().map(at).collect()
}

fn colours<'a>(checked: &'a Checked, finding: &Finding) -> Vec<&'a str> {
    let code = |colour: usize| checked.chart.colours[colour].code.as_str();
    match finding {
        Finding::Alike(pair) => vec![code(pair.one), code(pair.other)],
        Finding::Few { colour, .. } | Finding::Short { colour, .. } => vec![code(*colour)],
        Finding::NotOwned(missing) => vec![code(missing.colour)],
        _ => Vec::new(),
    }
}
