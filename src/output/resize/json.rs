//! The set as JSON.

use super::Answer;
use crate::chart::resize::{Planned, Stretch, Way};
use crate::ring::Closed;
use serde_json::{Value, json};

/// The set as JSON, lengths to a thousandth of a millimetre: `repeats`, `period_rows`, `motif_rows`, `plain` (stretches of one repeat), `mirror_row`, `fewest_rows`, `step_rows`;
/// `sizes` as written, and `left_out` with the exact counts `below` and `above`; `notes`.
pub fn json(answer: &Answer) -> String {
    let grading = answer.grading;
    let plain: Vec<Value> = match grading.way() {
        Way::Stretches(groups) => groups
            .iter()
            .flatten()
            .map(|stretch: &Stretch| json!({ "first_row": stretch.first.get(), "rows": stretch.rows }))
            .collect(),
        Way::Repeats => Vec::new(),
    };
    let document = json!({
        "repeats": grading.repeats(),
        "period_rows": grading.period(),
        "motif_rows": grading.motif_rows(),
        "plain": plain,
        "mirror_row": grading.mirror().map(|row| row.get()),
        "fewest_rows": grading.fewest(),
        "step_rows": grading.step(),
        "sizes": sizes(answer),
        "left_out": answer.left_out.iter().map(left_out).collect::<Vec<_>>(),
        "notes": super::notes(answer),
    });
    format!("{document:#}\n")
}

fn sizes(answer: &Answer) -> Vec<Value> {
    let one = |size: &super::Sized| {
        let counts = size.chart.counts();
        let colours: Vec<Value> = size
            .chart
            .colours
            .iter()
            .zip(counts)
            .map(|(shade, beads)| json!({ "code": shade.code, "name": shade.name, "beads": beads }))
            .collect();
        json!({
            "size": size.planned.size.to_string(),
            "file": size.file.to_string_lossy(),
            "rows": size.closed.rows.count(),
            "wanted_rows": size.planned.wanted.rows.count(),
            "exact": size.planned.gap.is_none(),
            "diameter_mm": size.closed.size.diameter().rounded(),
            "us": size.closed.size.us(),
            "beads": size.chart.beads.len(),
            "colours": colours,
            "thread_mm": size.thread.rounded(),
        })
    };
    answer.sizes.iter().map(one).collect()
}

fn left_out(planned: &Planned) -> Value {
    let closed = |closed: &Option<Closed>| {
        closed.as_ref().map(|closed| {
            json!({ "rows": closed.rows.count(), "diameter_mm": closed.size.diameter().rounded(), "us": closed.size.us() })
        })
    };
    json!({
        "size": planned.size.to_string(),
        "wanted_rows": planned.wanted.rows.count(),
        "below": planned.gap.as_ref().map(|gap| closed(&gap.below)),
        "above": planned.gap.as_ref().map(|gap| closed(&gap.above)),
    })
}
