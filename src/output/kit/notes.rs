//! What to know about a kit before it is packed.

use super::Answer;
use crate::colour::hex;
use crate::output::thread::{length, whole_cm};
use crate::palette::Source;
use crate::units::{Mm, decimals};
use crate::weave::COMFORTABLE;
use crate::weave::Item;
use crate::weave::kit::{OTHER_BEAD, Portion};

/// Most colours that one note names.
const MOST_NAMED: usize = 5;

/// What to know, most particular first.
pub(in crate::output) fn notes(answer: &Answer) -> Vec<String> {
    let mut notes = other_beads(answer);
    notes.extend(no_price(answer));
    notes.extend(weight(answer));
    notes.extend(tail(answer));
    notes.extend(joins(answer));
    notes.extend(full_holes(answer));
    notes
}

/// Colours whose code is the palette's but whose look is not.
fn other_beads(answer: &Answer) -> Vec<String> {
    let Some(palette) = answer.palette else {
        return Vec::new();
    };
    let other = |portion: &&Portion| {
        let stock = portion.stock.as_ref();
        stock.is_some_and(|stock| stock.difference > OTHER_BEAD)
    };
    let others: Vec<&Portion> = answer.kit.portions.iter().filter(other).collect();
    let note = |portion: &&Portion| {
        let shade = &answer.chart.colours[portion.colour];
        let colour = palette.colours().iter().find(|c| c.code == shade.code)?;
        let difference = portion.stock.as_ref()?.difference;
        Some(format!(
            "{} is {} in the chart and {} in the palette, difference {difference:.1}: check that it is the same bead",
            super::printable(&shade.code),
            hex(shade.srgb),
            hex(colour.srgb)
        ))
    };
    let mut notes: Vec<String> = others.iter().take(MOST_NAMED).filter_map(note).collect();
    if others.len() > MOST_NAMED {
        notes.push(format!(
            "and so are {} colours more",
            others.len() - MOST_NAMED
        ));
    }
    notes
}

/// Colours without a price, where others have one.
fn no_price(answer: &Answer) -> Option<String> {
    let portions = &answer.kit.portions;
    let (with, without): (Vec<&Portion>, Vec<&Portion>) = portions
        .iter()
        .partition(|portion| portion.cost().is_some());
    if with.is_empty() || without.is_empty() {
        return None;
    }
    let name = |portion: &&Portion| super::printable(&answer.chart.colours[portion.colour].name);
    let named: Vec<String> = without.iter().take(MOST_NAMED).map(name).collect();
    let more = match without.len() - named.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    Some(format!(
        "the palette has no price for {}{more}; the sums leave them out",
        named.join(", ")
    ))
}

/// How sure the grams are.
fn weight(answer: &Answer) -> Option<String> {
    let portions = &answer.kit.portions;
    let portion = portions
        .iter()
        .find(|portion| portion.per_gram.source != Source::Palette)?;
    let (beads, bead) = (
        decimals(portion.per_gram.beads, 0),
        answer.chart.lattice.bead(),
    );
    let weigh = "weigh 100 of yours, and write per_gram into your palette";
    match portion.per_gram.source {
        Source::Memory => Some(format!(
            "{beads} beads a gram for {} is from memory: {weigh}",
            bead.name()
        )),
        Source::Glass => Some(format!(
            "{beads} beads a gram is computed from the glass of a {} bead: {weigh}",
            bead.name()
        )),
        Source::Table | Source::Palette => None,
    }
}

/// A tail that had to be longer than was asked.
fn tail(answer: &Answer) -> Option<String> {
    let asked = answer.kit.options.tail;
    let items = &answer.kit.lengths.items;
    let (_, tail) = items.iter().find(|(item, _)| *item == Item::Tail)?;
    (*tail > asked).then(|| {
        format!(
            "a tail of {asked} is too short to weave in; {} are reckoned",
            cm(*tail)
        )
    })
}

/// Joins, where one thread would be too long to sew with.
fn joins(answer: &Answer) -> Option<String> {
    let joins = answer.kit.joins?;
    let count = match joins.count {
        1 => "1 join".to_string(),
        count => format!("{count} joins"),
    };
    Some(format!(
        "no more than about {:.1} m of thread is comfortable to sew with; with {count} a {} takes about {} more",
        COMFORTABLE.get() / 1000.0,
        answer.band(),
        length(joins.extra)
    ))
}

/// No needle goes through.
fn full_holes(answer: &Answer) -> Option<String> {
    answer.kit.needle.is_none().then(|| {
        format!(
            "no needle goes through the fullest hole on pass {}: use a finer thread, and never force a needle, a forced bead breaks",
            answer.kit.most_passes
        )
    })
}

/// Whole centimetres, rounded up.
pub(super) fn cm(length: Mm) -> String {
    format!("{} cm", whole_cm(length))
}
