//! How a reader finds the rows for their own hand and finger: a swatch, a table of rows by hand and
//! size, and trying on.

use super::Pattern;
use super::setter::{Setter, larger};
use super::table::{Column, Table};
use crate::report::hands::HandsReport;
use crate::report::weave::TRY_ON;
use crate::units::{INCH, LengthUnits, Mm, decimals, grouped};

/// What the chapter is called.
const FIT: &str = "Your size";
/// Between the two columns, below a heading, and height of a line of the table.
const APART: f64 = 10.0;
const HEAD: f64 = 0.8;
const LEADING: f64 = 4.8;
/// Room for the heads and the rule of the table.
const RULED: f64 = 4.0;

/// The chapter of one design, where there is room for it on this page, or on a new page. Returns
/// whether it was set.
pub(super) fn fit(setter: &mut Setter, pattern: &Pattern, new_page: bool) -> bool {
    let try_on: Vec<&str> = pattern
        .work
        .guide
        .try_on
        .iter()
        .map(String::as_str)
        .collect();
    let told = Told {
        try_on: &try_on,
        whom: "",
    };
    fit_of(setter, pattern, new_page, &told)
}

/// What to say about trying on, and for which of several designs the chapter is.
pub(super) struct Told<'a> {
    pub(super) try_on: &'a [&'a str],
    pub(super) whom: &'a str,
}

/// As [`fit`], for several designs of one shape.
pub(super) fn fit_of(setter: &mut Setter, pattern: &Pattern, new_page: bool, told: &Told) -> bool {
    let Some(hands) = &pattern.hands else {
        return false;
    };
    let swatch = pattern.band.units.beside(&swatch(hands));
    let room = setter.chapter_room(false) + column_room(setter, told, hands, &swatch);
    if setter.room() < room && !new_page {
        return false;
    }
    setter.chapter(FIT, room);
    if !told.whom.is_empty() {
        let body = setter.look.body;
        setter.paragraph(told.whom, body);
    }
    let (body, top) = (setter.look.body, setter.y);
    left(setter);
    setter.head("Weave a swatch");
    setter.paragraph(&swatch, body);
    setter.head("Rows by hand and size");
    setter.table(&rows(hands, pattern.band.units));
    let end = setter.y;
    right(setter);
    setter.y = top;
    setter.head(TRY_ON);
    for words in told.try_on {
        setter.paragraph(words, body);
    }
    setter.whole();
    setter.y = larger(end, setter.y);
    true
}

fn half(setter: &Setter) -> Mm {
    (setter.look.width - Mm::new(APART)) / 2.0
}

fn left(setter: &mut Setter) {
    setter.column(setter.look.left, half(setter));
}

fn right(setter: &mut Setter) {
    let half = half(setter);
    setter.column(setter.look.left + half + Mm::new(APART), half);
}

/// Room of the longer column.
fn column_room(setter: &mut Setter, told: &Told, hands: &HandsReport, swatch: &str) -> Mm {
    let (body, small) = (setter.look.body, setter.look.small);
    let head = setter.look.heading.leading + Mm::new(HEAD);
    left(setter);
    let words = |words: &str| setter.paragraph_room(words, body);
    let try_on = told.try_on.iter();
    let try_on = try_on.fold(head, |sum, paragraph| sum + words(paragraph));
    let table = small.leading + Mm::new(RULED + LEADING * hands.sizes.len() as f64);
    let room = larger(head + words(swatch) + head + table, try_on);
    setter.whole();
    room
}

/// How to weave and to measure it, and what its height means.
fn swatch(hands: &HandsReport) -> String {
    let (columns, rows) = (hands.swatch_columns, hands.swatch_rows);
    let [tight, average, loose] = hands.swatch_mm.map(|height| decimals(height.get(), 1));
    format!(
        "How tightly you weave decides how many rows a ring takes. Weave a flat piece of {columns} \
         columns and {rows} rows with these beads and this thread: two columns side by side have \
         {rows} beads together. Lay it flat, do not stretch it, and measure all {rows} rows: \
         about {tight} mm is a tight hand, {average} mm an average one, {loose} mm a loose one."
    )
}

/// A line for each size, a column for each hand.
fn rows(hands: &HandsReport, units: LengthUnits) -> Table<'static> {
    let column = |right: bool, head: &str, cells: Vec<String>| Column {
        right,
        head: head.to_string(),
        cells,
        sum: String::new(),
    };
    let sizes = || hands.sizes.iter();
    let by_hand = ["tight", "average", "loose"].into_iter().enumerate();
    let by_hand = by_hand.map(|(hand, head)| {
        let rows = sizes().map(|size| grouped(size.rows[hand] as usize));
        column(true, head, rows.collect())
    });
    let names = column(
        false,
        "size",
        sizes().map(|size| size.size.clone()).collect(),
    );
    let inside = |unit: f64, places: usize| {
        let diameters = sizes().map(|size| size.diameter_mm.get() / unit);
        diameters.map(|one| format!("{one:.places$}")).collect()
    };
    let in_inches = (units == LengthUnits::Inch).then(|| column(true, "in", inside(INCH, 3)));
    let columns = [names, column(true, "inside, mm", inside(1.0, 2))];
    Table {
        columns: columns
            .into_iter()
            .chain(in_inches)
            .chain(by_hand)
            .collect(),
        indent: Mm::new(0.0),
        before: None,
        leading: Mm::new(LEADING),
    }
}
