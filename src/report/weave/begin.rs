//! How the work begins, in words: the stopper bead, the strung beads and the first rows.

use super::{Side, WovenBand};
use crate::request::{Start, WorkFrom};
use crate::units::{to_cut, whole_mm};
use crate::weave::{Item, Lengths};

/// How to read a row.
const LINES: &str = "Each line has the row, its direction (← to the left, → to the right), how \
    many beads, which ones in the order of picking up, and what to do at the edge.";
/// For those who always weave in one direction.
pub const FLIPPED: &str = "The arrows are for work that keeps lying the same way. If you turn it \
    over after each row, leave left and right aside: the order of picking up and the turns stay \
    the same.";

/// For those who turn the work over after each row, and so weave every row in one direction.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TurnedOver {
    /// The direction of every row: that of the first one after the strung rows.
    pub to: Side,
    /// That row.
    pub row: u32,
}

impl TurnedOver {
    /// Of a band; none where all rows are strung.
    pub fn of(band: &WovenBand) -> Option<Self> {
        let first = band.weave.rows.first()?;
        Some(Self {
            to: Side::of(first.forward),
            row: first.row.get(),
        })
    }

    /// In place of [`FLIPPED`].
    pub fn words(&self) -> String {
        format!(
            "You turn the work over after each row, so that every row goes to the {}. The order of \
             picking up is the same. Words and drawings show the work as it lies in row {}.",
            self.to.word(),
            self.row
        )
    }
}

fn side(forward: bool) -> &'static str {
    Side::of(forward).word()
}

/// What to do before the first bead is strung.
pub(super) fn begin(band: &WovenBand) -> String {
    let first = &band.weave.passes[0];
    let edge = match band.weave.frame.start() {
        Start::Left => "left",
        Start::Right => "right",
    };
    let (outer, inner) = outermost(band);
    format!(
        "{} Put a stopper bead on it, {} from the end: it lies at the {edge} edge. Then string \
         rows {} together, from the {} to the {}. The last bead strung belongs to row {}, the one \
         before it to row {}, and so on, alternating.{}",
        cut(&band.lengths),
        whole_mm(band.lengths.item(Item::Tail)).unwrap_or_default(),
        strung_rows(band),
        side(!first.forward),
        side(first.forward),
        outer,
        inner,
        comes_last(band).unwrap_or_default(),
    )
}

/// Which row comes last, where a closed band is begun a row further on than its end.
fn comes_last(band: &WovenBand) -> Option<String> {
    let last = band.weave.rows.last()?.row.get();
    let begun = band.row_of(*band.weave.strung.last()?);
    let end = match band.weave.frame.work_from() {
        WorkFrom::Bottom => 1,
        WorkFrom::Top => band.chart.lattice.rows(),
    };
    (begun != end).then(|| {
        format!(
            " Row {last} comes last here: the beads at the edges only let the work begin at row \
             {begun}."
        )
    })
}

fn cut(lengths: &Lengths) -> String {
    let total = lengths.total();
    let Some(joins) = &lengths.joins else {
        return format!(
            "Cut {:.1} m of thread.",
            (total.get() / 100.0).ceil() / 10.0
        );
    };
    format!(
        "Cut {} pieces of thread, each of {}. Begin with one of them.",
        joins.count + 1,
        to_cut(joins.piece)
    )
}

/// The row of the last bead strung, which is the outermost one, and the row of the bead before it.
fn outermost(band: &WovenBand) -> (u32, u32) {
    let strung = &band.weave.strung;
    let (last, before) = (strung[strung.len() - 1], strung[strung.len() - 2]);
    (band.row_of(last), band.row_of(before))
}

/// `1 and 2`: the outermost row first.
pub(super) fn strung_rows(band: &WovenBand) -> String {
    let (outer, inner) = outermost(band);
    format!("{outer} and {inner}")
}

/// How the first row is woven, how the rows after it are, and how to read them.
pub(super) fn reading(band: &WovenBand) -> Vec<String> {
    let mut words = weaving(band);
    if !words.is_empty() {
        words.push(FLIPPED.to_string());
        words.push(LINES.to_string());
    }
    words
}

/// How the first row is woven, and how the rows after it are.
pub(super) fn weaving(band: &WovenBand) -> Vec<String> {
    let Some(row) = band.weave.rows.first() else {
        return Vec::new();
    };
    let number = row.row.get();
    let mut words = vec![format!(
        "Row {number} goes to the {}. Hold the tail and the stopper bead, so that the strung beads \
         stay close together. Pick up one bead, skip the last bead strung, and go through the one \
         before it. Go on the same way to the end of the line: pick up one, skip one, go through \
         the next. Nothing stands up yet; when you pull the thread, three rows appear. Keep the \
         tension from here on.",
        side(row.forward)
    )];
    if band.weave.rows.len() > 1 {
        words.push(format!(
            "The beads of row {number} now stick up from the edge of the work: they are the up \
             beads. Every row after it fills the gaps between the up beads, back and forth: pick \
             up a bead, skip a bead, go through the next up bead."
        ));
    }
    words
}
