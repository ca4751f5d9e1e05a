//! All that a weaver is told, in order, before it is set as text or Markdown.

use super::names::{KeyLine, names};
use super::{Run, Work, care, ends, runs, turns};
use crate::scene::{clean, facts, seam};
use crate::weave::Turn;

/// Heading of the section that joins the ends of the band.
pub(super) const CLOSE: &str = "Close the band";
/// Heading of the section after it.
pub(super) const WEAVE_IN: &str = "Weave in the ends";

/// The weaving guide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guide {
    /// What it is called.
    pub title: String,
    /// Measures of the band.
    pub facts: String,
    /// What the short keys stand for; empty where colours go by their names.
    pub key: Vec<KeyLine>,
    /// How to begin, where the strung rows are told.
    pub begin: Option<String>,
    /// The beads that are strung first.
    pub strung: Option<Strung>,
    /// How to read the rows.
    pub reading: Option<String>,
    /// The rows in the order of work.
    pub steps: Vec<Step>,
    /// What comes after the rows.
    pub after: Vec<Section>,
}

/// Beads that are strung before the first row is woven.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strung {
    /// Their rows, such as `1 and 2`.
    pub rows: String,
    /// How many they are.
    pub count: usize,
    /// In the order of stringing, such as `4 garnet`.
    pub runs: Vec<String>,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// The chart's row.
    pub row: u32,
    /// Whether it is worked to the right.
    pub forward: bool,
    /// How many beads.
    pub count: usize,
    /// In the order of picking up, such as `4 garnet`.
    pub runs: Vec<String>,
    /// What to do at its end.
    pub turn: &'static str,
    /// The same in full, where it comes for the first time.
    pub explained: Option<String>,
}

/// Paragraphs under a heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Its heading.
    pub heading: &'static str,
    /// Its paragraphs.
    pub paragraphs: Vec<String>,
}

/// Puts the work into words.
///
/// Where only some rows are told, what comes before and after is told with the rows that it belongs to.
pub fn guide(work: &Work) -> Guide {
    let (words, key) = names(work);
    let said = |beads: &[usize]| -> Vec<String> {
        let said = |run: &Run| format!("{} {}", run.count, words[usize::from(run.colour)]);
        runs(work.chart, beads).iter().map(said).collect()
    };
    let strung = work.weave.strung.iter().take(2);
    let strung = strung.map(|&bead| work.chart.lattice.position(bead).0);
    let begins = strung.into_iter().any(|row| work.tells(row));
    Guide {
        title: title(work),
        facts: format!("{}\n{}", facts(work.chart), seam(work.chart)),
        key,
        begin: begins.then(|| ends::begin(work)),
        strung: begins.then(|| Strung {
            rows: ends::strung_rows(work),
            count: work.weave.strung.len(),
            runs: said(&work.weave.strung),
        }),
        reading: ends::reading(work).filter(|_| begins),
        steps: steps(work, &words, said),
        after: after(work),
    }
}

fn title(work: &Work) -> String {
    let title = work.chart.title.as_deref().map(clean);
    let named = title.filter(|title| !title.is_empty());
    let file = || work.file.map(clean).filter(|file| !file.is_empty());
    named.or_else(file).unwrap_or("Weaving guide".to_string())
}

fn steps(work: &Work, words: &[String], said: impl Fn(&[usize]) -> Vec<String>) -> Vec<Step> {
    let mut known: Vec<Turn> = Vec::new();
    let told = work.weave.rows.iter().filter(|row| work.tells(row.row));
    told.map(|row| {
        let mut explained = None;
        if !known.contains(&row.turn) {
            known.push(row.turn);
            explained = turns::full(work, words, row);
        }
        Step {
            row: row.row.get(),
            forward: row.forward,
            count: row.beads.len(),
            runs: said(&row.beads),
            turn: turns::short(row.turn),
            explained,
        }
    })
    .collect()
}

/// What comes after the last row, if that is told.
fn after(work: &Work) -> Vec<Section> {
    let last = match work.weave.rows.last() {
        Some(row) => row.row,
        None => work.chart.lattice.position(work.weave.strung[0]).0,
    };
    if !work.tells(last) {
        return Vec::new();
    }
    [
        (CLOSE, ends::close(work)),
        (WEAVE_IN, ends::weave_in(work)),
        ("Thread", vec![ends::thread(work)]),
        ("If something goes wrong", care::trouble(work)),
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
