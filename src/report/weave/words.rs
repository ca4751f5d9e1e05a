//! What is said beside the rows.

use super::names::KeyLine;
use super::try_on::TryOnReport;
use super::{WovenBand, begin, care, ends, join};
use crate::scene::{clean, facts, seam};

/// Heading of the section about new pieces of thread within the work.
pub const JOIN: &str = "Join a new thread";
/// Heading of the section about trying a ring on before it is closed.
pub const TRY_ON: &str = "Try on";
/// Heading of the section that joins the ends of the band.
pub const CLOSE: &str = "Close the band";
/// Heading of the section after it.
pub const WEAVE_IN: &str = "Weave in the ends";

/// What is said before and after the rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guide {
    /// What it is called.
    pub title: String,
    /// Measures of the band, two lines.
    pub facts: String,
    /// What the short keys stand for; empty where colours go by their names.
    pub key: Vec<KeyLine>,
    /// How to begin, where the strung rows are written.
    pub begin: Option<Begin>,
    /// When to try a ring on, and which rows to leave out or to weave once more.
    pub try_on: Vec<String>,
    /// What comes after the rows.
    pub after: Vec<Section>,
}

/// How to begin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Begin {
    /// The rows that are strung, such as `1 and 2`.
    pub rows: String,
    /// What to do before the first bead is strung.
    pub words: String,
    /// How the first row is woven, and how those after it are; none where all rows are strung.
    pub weaving: Vec<String>,
    /// The same, and how to read the rows.
    pub reading: Vec<String>,
}

/// Paragraphs under a heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Its heading.
    pub heading: &'static str,
    /// Its paragraphs.
    pub paragraphs: Vec<String>,
}

impl Guide {
    /// Where only some rows are written, what comes before and after is written with the rows that
    /// it belongs to.
    pub(super) fn of(band: &WovenBand, key: Vec<KeyLine>, try_on: Option<&TryOnReport>) -> Self {
        let strung = band.weave.strung.iter().take(2);
        let strung = strung.map(|&bead| band.chart.lattice.position(bead).0);
        let begins = strung.into_iter().any(|row| band.has_row(row));
        let try_on = try_on.map_or(Vec::new(), |try_on| try_on.words(band));
        Self {
            title: title(band),
            facts: format!("{}\n{}", facts(band.chart), seam(band.chart)),
            key,
            begin: begins.then(|| Begin {
                rows: begin::strung_rows(band),
                words: begin::begin(band),
                weaving: begin::weaving(band),
                reading: begin::reading(band),
            }),
            after: after(band, &try_on),
            try_on,
        }
    }
}

fn title(band: &WovenBand) -> String {
    let title = band.chart.title.as_deref().map(clean);
    let named = title.filter(|title| !title.is_empty());
    let file = || band.name.map(clean).filter(|name| !name.is_empty());
    named.or_else(file).unwrap_or("Weaving guide".to_string())
}

/// What comes after the last row, if that is written.
fn after(band: &WovenBand, try_on: &[String]) -> Vec<Section> {
    let last = match band.weave.rows.last() {
        Some(row) => row.row,
        None => band.chart.lattice.position(band.weave.strung[0]).0,
    };
    if !band.has_row(last) {
        return Vec::new();
    }
    [
        (JOIN, join::joining(band)),
        (TRY_ON, try_on.to_vec()),
        (CLOSE, ends::close(band)),
        (WEAVE_IN, ends::weave_in(band)),
        ("Thread", vec![ends::thread(band)]),
        ("If something goes wrong", care::trouble(band)),
        ("Take care", care::cautions()),
    ]
    .into_iter()
    .filter(|(_, paragraphs)| !paragraphs.is_empty())
    .map(|(heading, paragraphs)| Section {
        heading,
        paragraphs,
    })
    .collect()
}
