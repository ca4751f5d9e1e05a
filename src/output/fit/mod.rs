//! The answer to "how many rows close round this finger", for people and as JSON.

mod advice;
mod json;

pub use json::{json, remembered_json};

use crate::output::lines::paragraph;
use crate::ring::{Fit, Gauge, RingSize, Source};
use crate::units::{Mm, decimals};
use crate::warning::Warning;
use std::fmt::Write;
use std::path::Path;

/// A fit, and the band that it is for.
#[derive(Debug)]
pub struct Answer<'a> {
    /// The rows that close, and their neighbours.
    pub fit: &'a Fit,
    /// Columns of the band.
    pub columns: u32,
    /// What was noticed on the way to the gauge.
    pub notes: &'a [Warning],
    /// Where the gauge was remembered, if it was.
    pub remembered: Option<&'a Path>,
}

/// The answer as text: rows first, then the neighbouring counts, the band, the advice.
pub fn text(answer: &Answer) -> String {
    let Answer { fit, columns, .. } = *answer;
    let mut text = headline(fit);
    text.push_str(&neighbours(fit));
    let width = fit.gauge.width(columns);
    let _ = writeln!(
        text,
        "\nBand:  {columns} columns of {} beads, {width} wide",
        fit.gauge.bead().name()
    );
    text.push_str(&measures(&fit.gauge, answer.remembered));
    text.push('\n');
    for advice in advice::advice(answer) {
        text.push_str(&paragraph("- ", &advice));
    }
    text
}

/// A remembered gauge as text, where no size was asked for.
pub fn remembered(gauge: &Gauge, file: &Path) -> String {
    format!(
        "Bead:  {}\n{}",
        gauge.bead().name(),
        measures(gauge, Some(file))
    )
}

/// Pitch, where it comes from, and the file that it is kept in.
fn measures(gauge: &Gauge, remembered: Option<&Path>) -> String {
    let mut text = format!(
        "Pitch: {} mm from bead to bead\nGauge: ",
        decimals(gauge.pitch().get(), 3)
    );
    let file = match gauge.source() {
        Source::Touching => {
            text.push_str("none known, beads taken as touching");
            remembered
        }
        Source::Remembered { file, from } => {
            text.push_str(from);
            Some(file.as_path())
        }
        measured => {
            text.push_str(&measured.to_string());
            remembered
        }
    };
    match file {
        Some(file) => text + &format!("\nKept:  in {}\n", file.display()),
        None => text + "\n",
    }
}

fn headline(fit: &Fit) -> String {
    let rows = fit.chosen.rows.count();
    let mut text = format!("{}: {rows} rows", fit.wanted);
    if let Some((loose, touching)) = fit.range
        && loose != touching
    {
        let _ = write!(
            text,
            " with touching beads; with a loose hand {}",
            loose.count()
        );
    }
    let _ = writeln!(
        text,
        "\nInside {:.2} mm across, {}\n",
        hundredths(&fit.chosen.size),
        compared(fit)
    );
    text
}

/// The difference as the printed hundredths show it.
fn compared(fit: &Fit) -> String {
    let wanted = hundredths(&fit.wanted);
    let over = hundredths(&fit.chosen.size) - wanted;
    match (fit.is_exact(), over > 0.0) {
        (true, _) => "as wanted".to_string(),
        (false, true) => format!("{} more than the {wanted:.2} wanted", Mm::new(over)),
        (false, false) => format!("{} less than the {wanted:.2} wanted", Mm::new(-over)),
    }
}

fn hundredths(size: &RingSize) -> f64 {
    (size.diameter().get() * 100.0).round() / 100.0
}

/// The table of neighbouring counts, the chosen one marked.
fn neighbours(fit: &Fit) -> String {
    let mut text = String::from("  rows  inside mm  around mm  US     UK       ISO  JP\n");
    for closed in &fit.near {
        let chosen = closed.rows == fit.chosen.rows;
        let size = &closed.size;
        let line = format!(
            "{} {:>4}  {:>9.2}  {:>9.2}  {:<5}  {:<7}  {:<3}  {}",
            if chosen { '>' } else { ' ' },
            closed.rows.count(),
            hundredths(size),
            size.circumference().get(),
            size.us().map_or("-".to_string(), |us| format!("{us:.2}")),
            size.uk().unwrap_or("-".to_string()),
            size.iso(),
            size.jp().map_or("-".to_string(), |jp| jp.to_string()),
        );
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}
