//! The printed pattern: a booklet that another weaver can follow with nothing else, laid out on
//! sheets of paper.
//!
//! [`booklet`] decides what stands where and what it means; `pdf` only writes it down. What
//! is said comes from the same guide, kit and sizes as in every other face: nothing is counted or
//! worded again here.

mod charts;
mod collection;
mod colourways;
mod cover;
mod document;
mod fit;
mod foot;
mod look;
mod maker;
mod rows;
mod setter;
mod skill;
mod split;
mod table;
mod way;

pub use collection::{Collection, collection};
pub use colourways::PatternWay;
pub use document::{
    Bookmark, Document, Element, Ink, Link, Mark, PAPERS, Page, Paper, Place, Role,
};
pub use foot::Foot;
pub use maker::{MakerSheet, Several, maker_sheet};

use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::error::{Error, Result};
use crate::output::resize;
use crate::picture::Pixels;
use crate::report::hands::HandsReport;
use crate::report::kit::KitReport;
use crate::report::resize::ResizeReport;
use crate::report::weave::{TurnedOver, WeaveReport, WovenBand};
use crate::ring::Closed;
use crate::scene::{Item, font};
use crate::units::{LengthUnits, Mm, grouped};
use crate::warning::Warning;
use look::Look;
use setter::Setter;
use std::collections::BTreeSet;
use table::{Column, Table};

/// Most beads of a band that is printed. Ours: about 200 sheets.
pub const MOST_BEADS: usize = 100_000;
/// Most letters of a title, of a name, and of a note. Ours.
pub const MOST_LETTERS: [usize; 3] = [90, 90, 600];

/// All that a booklet is made from.
#[derive(Debug)]
pub struct Pattern<'a> {
    /// The chart, and how it is woven.
    pub band: &'a WovenBand<'a>,
    /// The work in words.
    pub work: &'a WeaveReport,
    /// What is needed.
    pub kit: &'a KitReport,
    /// The same in other colours.
    pub ways: &'a [PatternWay],
    /// Its rows and size, if it is closed.
    pub ring: Option<&'a Closed>,
    /// The rows by hand and size, if it is closed.
    pub hands: Option<&'a HandsReport>,
    /// The other sizes, where asked for.
    pub sizes: Option<&'a ResizeReport>,
    /// What it is printed on.
    pub paper: Paper,
    /// What the designer wants to say.
    pub note: Option<&'a str>,
    /// What is pictured on the cover.
    pub picture: Option<&'a Cover>,
    /// A key for each colour of the chart.
    pub keys: &'a [String],
    /// The same as they stand on the beads: nothing on a ground that is left blank.
    pub bead_keys: &'a [String],
    /// For a reader who turns the work over after each row.
    pub turned_over: Option<&'a TurnedOver>,
    /// For each row, whether it is worked to the right.
    pub forward: &'a [bool],
    /// What stands at the foot of each page.
    pub foot: &'a Foot,
    /// The one colour of lines and marks; taken from the chart by [`Pattern::accent`].
    pub accent: Srgb8,
}

impl Pattern<'_> {
    /// The colour for lines and marks: the chart's own, where one shows on paper.
    pub fn accent(chart: &Chart) -> Srgb8 {
        Look::new(chart, PAPERS[0]).accent
    }
}

/// A picture for the cover.
#[derive(Debug)]
pub enum Cover {
    /// The designer's own, of the finished work.
    Finished(Pixels),
    /// The ring as it will look.
    Rendered(Pixels),
}

impl Cover {
    /// The picture itself.
    pub fn pixels(&self) -> &Pixels {
        match self {
            Self::Finished(pixels) | Self::Rendered(pixels) => pixels,
        }
    }
}

/// Checks that a booklet can hold a chart.
///
/// # Errors
/// If the band has more than [`MOST_BEADS`] beads.
pub fn check_size(chart: &Chart) -> Result<()> {
    let beads = chart.beads.len();
    if beads > MOST_BEADS {
        return Err(Error::new(format!(
            "a band of {} beads is too large for a booklet",
            grouped(beads)
        ))
        .hint(format!(
            "keep to {} beads, or draw it with `upbead show --flat`",
            grouped(MOST_BEADS)
        )));
    }
    Ok(())
}

/// Lays the booklet out.
///
/// # Errors
/// As [`check_size`].
pub fn booklet(pattern: &Pattern) -> Result<Document> {
    check_size(pattern.band.chart)?;
    let look = Look::new(pattern.band.chart, pattern.paper);
    let mut setter = Setter::new(document(pattern, &look), look);
    cover::cover(&mut setter, pattern);
    colourways::colourways(&mut setter, pattern);
    let laid = charts::charts(&mut setter, pattern);
    setter.page();
    way::way(&mut setter, pattern, "");
    rows::rows(&mut setter, pattern);
    let fitted = fit::fit(&mut setter, pattern, false);
    way::finish(&mut setter, pattern, "");
    if !fitted {
        fit::fit(&mut setter, pattern, true);
    }
    if let Some(sizes) = pattern.sizes {
        size_table(&mut setter, sizes, pattern.band.units);
    }
    if !laid {
        charts::true_size(&mut setter, pattern);
    }
    let mut document = setter.document;
    pattern.foot.set(&mut document, &look);
    Ok(document)
}

fn document(pattern: &Pattern, look: &Look) -> Document {
    Document {
        paper: pattern.paper,
        title: pattern.work.guide.title.clone(),
        author: pattern.foot.by.clone(),
        subject: pattern.work.guide.facts.replace('\n', "; "),
        paints: look.style.paints(pattern.band.chart, false),
        pictures: Vec::new(),
        pages: Vec::new(),
        elements: Vec::new(),
        bookmarks: Vec::new(),
    }
}

/// The other sizes: rows, beads of each colour, thread.
fn size_table(setter: &mut Setter, sizes: &ResizeReport, units: LengthUnits) {
    /// Most sizes side by side.
    const ABREAST: usize = 7;
    setter.chapter("Other sizes", Mm::new(90.0));
    let body = setter.look.body;
    let design = resize::design(sizes);
    let words: Vec<String> = design.lines().map(cover::sentence).collect();
    setter.paragraph(&words.join(" "), body);
    setter.space(2.0);
    for part in sizes.sizes.chunks(ABREAST) {
        let mut columns =
            resize::columns(sizes, part, units)
                .into_iter()
                .map(|(right, mut cells)| {
                    let head = cells.remove(0);
                    Column {
                        right,
                        head,
                        cells: cells
                            .into_iter()
                            .map(|cell| cell.trim_start().to_string())
                            .collect(),
                        sum: String::new(),
                    }
                });
        let table = Table {
            columns: columns.by_ref().collect(),
            indent: Mm::new(0.0),
            before: None,
            leading: Mm::new(5.4),
        };
        setter.table(&table);
    }
    for sentence in resize::sentences(sizes) {
        setter.paragraph(&sentence, body);
    }
    setter.space(2.0);
    let small = setter.look.small;
    for size in &sizes.left_out {
        setter.paragraph(&format!("Left out: {}.", size.reason), small);
    }
    for note in resize::below_table(sizes) {
        setter.paragraph(&cover::sentence(&units.beside(&note)), small);
    }
}

/// The note about letters that the typeface does not have, each of which is printed as `□`; none if
/// it has all.
pub fn missing_letters(document: &Document) -> Option<Warning> {
    let mut letters = BTreeSet::new();
    for page in &document.pages {
        for mark in &page.marks {
            if let Ink::Items(items) = &mark.ink {
                gather(items, &mut letters);
            }
        }
    }
    (!letters.is_empty()).then(|| Warning::NoLetters {
        letters: letters.into_iter().collect(),
    })
}

fn gather(items: &[Item], letters: &mut BTreeSet<char>) {
    for item in items {
        match item {
            Item::Text(text) => letters.extend(text.words.chars().filter(|c| !font::has(*c))),
            Item::Group(group) => gather(&group.items, letters),
            Item::Beads(_) | Item::Line(_) | Item::Path(_) => {}
        }
    }
}
