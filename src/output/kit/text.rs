//! The kit as text.

use super::super::palette::printable;
use super::Answer;
use super::notes::notes;
use super::table::table;
use crate::output::lines::paragraph;
use crate::output::thread::{items, length};
use crate::palette::{PerGram, Source};
use crate::units::{decimals, grouped};
use crate::weave::Item;

/// The kit as text: what it is for, a line a colour with sums below, then what it is reckoned by, thread, needle and what else to know.
///
/// Grams are rounded up to 1/100, so that the sum is that of what stands above it, and lengths of thread to whole centimetres. Control characters are shown as `�`.
pub fn text(answer: &Answer) -> String {
    let mut text = headline(answer);
    for line in table(answer) {
        text += &line;
        text.push('\n');
    }
    text.push('\n');
    text += &spare(answer);
    text += &grams(answer);
    text += &stock(answer);
    text += &needle(answer);
    text.push('\n');
    text += &thread(answer);
    let notes = notes(answer);
    if !notes.is_empty() {
        text.push('\n');
    }
    for note in notes {
        text += &paragraph("- ", &note);
    }
    text
}

fn headline(answer: &Answer) -> String {
    let lattice = &answer.chart.lattice;
    let title = match &answer.chart.title {
        Some(title) => format!(" of {}", printable(title)),
        None => String::new(),
    };
    format!(
        "{}{title}: {} columns, {} rows, {} beads of size {}{}\n\n",
        answer.bands(answer.kit.options.make),
        lattice.columns(),
        grouped(lattice.rows() as usize),
        grouped(lattice.len()),
        lattice.bead().name(),
        if answer.kit.options.make > 1 {
            " each"
        } else {
            ""
        }
    )
}

fn spare(answer: &Answer) -> String {
    format!("Spare:   {}\n", spare_words(answer))
}

/// How many beads more than counted.
pub(in crate::output) fn spare_words(answer: &Answer) -> String {
    match answer.kit.options.spare {
        0.0 => "none".to_string(),
        percent => format!(
            "{}% more of each colour, rounded up, for uneven and broken beads",
            decimals(percent, 3)
        ),
    }
}

/// What the grams are reckoned by.
fn grams(answer: &Answer) -> String {
    let by = |palette| {
        let mut portions = answer.kit.portions.iter().map(|portion| portion.per_gram);
        portions.find(|per_gram: &PerGram| (per_gram.source == Source::Palette) == palette)
    };
    match (by(true).is_some(), by(false)) {
        (true, None) => "Grams:   by the palette's own beads in a gram\n".to_string(),
        (owns, Some(per_gram)) => {
            let beads = decimals(per_gram.beads, 0);
            let besides = if owns { ", or as the palette says" } else { "" };
            format!("Grams:   {beads} beads a gram{besides}\n")
        }
        (false, None) => String::new(),
    }
}

/// For how many bands the owner's beads are enough.
fn stock(answer: &Answer) -> String {
    let make = answer.kit.options.make;
    match answer.kit.enough_for {
        None => String::new(),
        Some(enough) if enough == make => "Stock:   enough beads are owned\n".to_string(),
        Some(0) if make == 1 => "Stock:   not enough beads are owned\n".to_string(),
        Some(enough) => format!(
            "Stock:   enough beads for {} of {}\n",
            grouped(enough as usize),
            answer.bands(make)
        ),
    }
}

fn needle(answer: &Answer) -> String {
    let kit = answer.kit;
    let size = needle_size(answer);
    format!(
        "Needle:  {size}; the fullest hole takes {} passes, which fill {:.0}% of it\n",
        kit.most_passes,
        kit.filled * 100.0
    )
}

/// The needle in a few words.
pub(in crate::output) fn needle_size(answer: &Answer) -> String {
    match answer.kit.needle {
        Some(needle) => format!("size {} or finer", needle.name),
        None => "none goes through".to_string(),
    }
}

/// The thread, item by item.
fn thread(answer: &Answer) -> String {
    let kit = answer.kit;
    let items = items(&kit.lengths);
    let each = kit.lengths.total();
    let mut text = format!(
        "Thread of {}: {} a {}",
        kit.options.thread.diameter,
        length(each),
        answer.band()
    );
    if kit.options.make > 1 {
        text += &format!(
            ", {} for {}",
            length(each * f64::from(kit.options.make)),
            answer.bands(kit.options.make)
        );
    }
    let width = items
        .iter()
        .map(|(_, length)| length.len())
        .max()
        .unwrap_or(0);
    text.push('\n');
    for (item, length) in items {
        text += &format!("  {length:>width$}  {}\n", reason(item));
    }
    text
}

fn reason(item: Item) -> &'static str {
    match item {
        Item::Tail => "tail left at the stopper bead and woven in at the end",
        Item::Path => "through the beads, with the turns at the edges",
        Item::Seam => "closing, once across and once back",
        Item::ThreadEnd => "weaving in the working end",
        Item::Handling => "in hand, so that the last stitches can be pulled",
    }
}
