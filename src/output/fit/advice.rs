//! What to know about a fit before a needle is threaded.

use super::Answer;
use crate::ring::{Fit, Prefer, Source, Swatch};
use crate::units::Mm;
use crate::warning::Warning;

/// How far a ruler is misread, in millimetres. Common practice, no source.
const MISREAD: f64 = 0.25;
/// A band that is larger than wanted by less is hardly larger: published US charts scatter by 0.3 mm of circumference.
const HARDLY: Mm = Mm::new(0.1);

/// What a weaver should know before she threads a needle, most particular first.
pub(super) fn advice(answer: &Answer) -> Vec<String> {
    let Answer { fit, columns, .. } = *answer;
    let mut advice = Vec::new();
    if fit.prefer == Prefer::Smaller && !fit.is_exact() {
        advice.push(smaller_of_two(fit));
    }
    advice.extend(answer.notes.iter().map(Warning::to_string));
    if let Source::Swatch(swatch) = fit.gauge.source() {
        advice.extend(short_swatch(fit, swatch));
    }
    advice.extend(fit.notes(columns).iter().map(Warning::to_string));
    advice.push(
        "measure the finger at the end of the day, never with cold hands; a sizer about 3 mm wide reads like a narrow band".to_string(),
    );
    advice.push(
        "try the strip over the knuckle before closing it; if a finger swells, take the ring off early, and cut its thread rather than force it".to_string(),
    );
    advice
}

/// Why the smaller count was taken, and whether the larger one is hardly larger.
fn smaller_of_two(fit: &Fit) -> String {
    let (rows, size) = (fit.chosen.rows.count(), &fit.wanted);
    let reason = format!(
        "{rows} is the smaller of the two counts round {size}: a beaded band gives with wear"
    );
    let larger = fit.near.iter().find(|near| near.rows.count() == rows + 2);
    match larger.map(|larger| larger.size.diameter() - size.diameter()) {
        Some(over) if over < HARDLY => format!(
            "{reason}; but {} rows are only {over} too large, and --prefer nearest takes them",
            rows + 2
        ),
        _ => reason,
    }
}

/// A warning where misreading the ruler moves the count by more than a row.
///
/// The count goes as `N = π (d + D)/P` nearly, and `P` as the height over `(rows - 1)/2`: so misreading moves it by
/// `2 MISREAD N / (P (rows - 1))`. The advised length keeps that to half a row.
fn short_swatch(fit: &Fit, swatch: &Swatch) -> Option<String> {
    let one_row = 2.0 * MISREAD * f64::from(fit.chosen.rows.count()) / fit.gauge.pitch().get();
    let steps = f64::from(swatch.rows - 1);
    (steps < one_row).then(|| {
        let enough = ((2.0 * one_row + 1.0) / 10.0).ceil() * 10.0;
        format!(
            "the swatch is short: misread by {}, it gives two rows more or less; {enough} rows would settle it",
            Mm::new(MISREAD)
        )
    })
}
