//! The kit as text.

use super::super::palette::printable;
use super::table::table;
use crate::output::lines::paragraph;
use crate::report::kit::{KitColourReport, KitReport, PerGramSource, ThreadItem};
use crate::units::{decimals, grouped, to_cut, whole_mm};
use crate::weave::Thread;

/// The kit as text: what it is for, a line a colour with sums below, then spare beads, grams,
/// stock, needle, thread and what else to know.
///
/// Grams are rounded up to 1/100, so that the sum is that of what stands above it, and lengths of
/// thread to whole centimetres. Control characters are shown as `�`.
pub fn text(report: &KitReport) -> String {
    let mut text = headline(report);
    for line in table(report) {
        text += &line;
        text.push('\n');
    }
    text.push('\n');
    text += &format!("Spare:   {}\n", spare_words(report));
    text += &grams(report);
    text += &stock(report);
    text += &needle(report);
    text.push('\n');
    text += &thread(report);
    if !report.warnings.is_empty() {
        text.push('\n');
    }
    for warning in &report.warnings {
        text += &paragraph("- ", &report.units.beside(warning.text()));
    }
    text
}

fn headline(report: &KitReport) -> String {
    let title = match &report.title {
        Some(title) => format!(" of {}", printable(title)),
        None => String::new(),
    };
    format!(
        "{}{title}: {} columns, {} rows, {} beads of size {}{}\n\n",
        bands(report, report.make),
        report.columns,
        grouped(report.rows as usize),
        grouped(report.total.beads_each as usize),
        report.bead.name,
        if report.make > 1 { " each" } else { "" }
    )
}

/// `1 ring`, `12 rings`, `2 strips`.
fn bands(report: &KitReport, count: u32) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{} {}{plural}", grouped(count as usize), band(report))
}

/// The word for one band.
fn band(report: &KitReport) -> &'static str {
    if report.closed { "ring" } else { "strip" }
}

/// How many beads more than counted.
pub(in crate::output) fn spare_words(report: &KitReport) -> String {
    match report.spare_percent {
        0.0 => "none".to_string(),
        percent => format!(
            "{}% more of each colour, rounded up, for uneven and broken beads",
            decimals(percent, 3)
        ),
    }
}

/// How many beads a gram has.
fn grams(report: &KitReport) -> String {
    let own = |colour: &&KitColourReport| colour.per_gram_source == PerGramSource::Palette;
    let (owns, others): (Vec<_>, Vec<_>) = report.colours.iter().partition(own);
    match (owns.is_empty(), others.first()) {
        (false, None) => "Grams:   by the palette's own beads in a gram\n".to_string(),
        (none, Some(colour)) => {
            let beads = decimals(colour.per_gram, 0);
            let besides = if none { "" } else { ", or as the palette says" };
            format!("Grams:   {beads} beads a gram{besides}\n")
        }
        (true, None) => String::new(),
    }
}

/// For how many bands the beads in stock are enough.
fn stock(report: &KitReport) -> String {
    let make = report.make;
    match report.enough_for {
        None => String::new(),
        Some(enough) if enough == make => "Stock:   enough beads in stock\n".to_string(),
        Some(0) if make == 1 => "Stock:   not enough beads in stock\n".to_string(),
        Some(enough) => format!(
            "Stock:   enough beads for {} of {}\n",
            grouped(enough as usize),
            bands(report, make)
        ),
    }
}

fn needle(report: &KitReport) -> String {
    format!(
        "Needle:  {}; the fullest hole takes {} passes, which fill {:.0}% of it\n",
        needle_size(report),
        report.holes.most_passes,
        report.holes.filled * 100.0
    )
}

/// The needle in a few words.
pub(in crate::output) fn needle_size(report: &KitReport) -> String {
    match &report.needle {
        Some(needle) => format!("size {} or finer", needle.size),
        None => "none goes through".to_string(),
    }
}

/// The thread, item by item; items that take none are left out.
fn thread(report: &KitReport) -> String {
    let thread = &report.thread;
    let items: Vec<(ThreadItem, String)> = thread
        .items
        .iter()
        .filter_map(|item| {
            let length = whole_mm(item.length_mm)?;
            Some((item.item, report.units.beside(&length)))
        })
        .collect();
    let mut text = format!(
        "Thread of {}: {} a {}",
        Thread {
            diameter: thread.diameter_mm,
        }
        .described(),
        to_cut(thread.each_mm),
        band(report)
    );
    if report.make > 1 {
        text += &format!(
            ", {} for {}",
            to_cut(thread.all_mm),
            bands(report, report.make)
        );
    }
    text = report.units.beside(&text);
    let width = items.iter().map(|(_, length)| length.len()).max();
    let width = width.unwrap_or(0);
    text.push('\n');
    for (item, length) in items {
        text += &format!("  {length:>width$}  {}\n", reason(item));
    }
    text
}

fn reason(item: ThreadItem) -> &'static str {
    match item {
        ThreadItem::Tail => "tail left at the stopper bead and woven in at the end",
        ThreadItem::Path => "through the beads, with the turns at the edges",
        ThreadItem::Seam => "closing, once across and once back",
        ThreadItem::ThreadEnd => "weaving in the working end",
        ThreadItem::Joins => "joining: tails, allowances and woven-in ends of new pieces",
        ThreadItem::Handling => "working allowance, so that the last stitches can be pulled",
    }
}
