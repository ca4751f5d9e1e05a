//! The kit as JSON.

use super::Answer;
use super::notes::notes;
use crate::colour::hex;
use crate::error::{Error, Result};
use crate::palette::Source;
use crate::weave::Item;
use crate::weave::kit::Portion;
use serde::Serialize;

/// The kit as JSON, with a final line end: grams and lengths to 1/1000, money to 1/100, `null` where nothing is known.
///
/// # Errors
/// If it cannot be written as JSON.
pub fn json(answer: &Answer) -> Result<String> {
    let kit = answer.kit;
    let bead = answer.chart.lattice.bead();
    let document = Document {
        make: kit.options.make,
        spare_percent: kit.options.spare,
        closed: answer.chart.lattice.is_closed(),
        bead: Bead {
            name: bead.name(),
            length_mm: bead.length.rounded(),
            diameter_mm: bead.diameter.rounded(),
            hole_mm: bead.hole.rounded(),
        },
        colours: kit
            .portions
            .iter()
            .map(|portion| colour(answer, portion))
            .collect(),
        total: total(&kit.portions),
        enough_for: kit.enough_for,
        thread: thread(answer),
        needle: kit.needle.map(|needle| NeedleOut {
            size: needle.name,
            diameter_mm: needle.diameter.rounded(),
        }),
        holes: Holes {
            most_passes: kit.most_passes,
            filled: thousandths(kit.filled),
        },
        notes: notes(answer),
    };
    serde_json::to_string_pretty(&document)
        .map(|text| text + "\n")
        .map_err(|cause| Error::new("the kit cannot be written as JSON").because(cause))
}

#[derive(Serialize)]
struct Document<'a> {
    make: u32,
    spare_percent: f64,
    closed: bool,
    bead: Bead,
    colours: Vec<Colour<'a>>,
    total: Total,
    enough_for: Option<u32>,
    thread: Thread,
    needle: Option<NeedleOut>,
    holes: Holes,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct Bead {
    name: String,
    length_mm: f64,
    diameter_mm: f64,
    hole_mm: f64,
}

#[derive(Serialize)]
struct Colour<'a> {
    code: &'a str,
    name: &'a str,
    hex: String,
    beads_each: u64,
    beads: u64,
    beads_with_spare: u64,
    per_gram: f64,
    per_gram_source: &'static str,
    grams: f64,
    owned_grams: Option<f64>,
    lacking_beads: Option<u64>,
    lacking_grams: Option<f64>,
    price_per_gram: Option<f64>,
    cost: Option<f64>,
    cost_lacking: Option<f64>,
    difference: Option<f64>,
}

/// Sums; money over the colours that have a price.
#[derive(Serialize)]
struct Total {
    beads_each: u64,
    beads: u64,
    beads_with_spare: u64,
    grams: f64,
    lacking_beads: Option<u64>,
    lacking_grams: Option<f64>,
    cost: Option<f64>,
    cost_lacking: Option<f64>,
}

#[derive(Serialize)]
struct Thread {
    diameter_mm: f64,
    each_mm: f64,
    all_mm: f64,
    items: Vec<ItemOut>,
    joins_each: u32,
    joins_extra_mm: f64,
}

#[derive(Serialize)]
struct ItemOut {
    item: &'static str,
    length_mm: f64,
}

#[derive(Serialize)]
struct NeedleOut {
    size: &'static str,
    diameter_mm: f64,
}

#[derive(Serialize)]
struct Holes {
    most_passes: u16,
    filled: f64,
}

fn colour<'a>(answer: &'a Answer, portion: &Portion) -> Colour<'a> {
    let shade = &answer.chart.colours[portion.colour];
    let stock = portion.stock.as_ref();
    Colour {
        code: &shade.code,
        name: &shade.name,
        hex: hex(shade.srgb),
        beads_each: portion.each,
        beads: portion.beads,
        beads_with_spare: portion.with_spare,
        per_gram: thousandths(portion.per_gram.beads),
        per_gram_source: match portion.per_gram.source {
            Source::Palette => "palette",
            Source::Table => "table",
            Source::Memory => "memory",
            Source::Glass => "glass",
        },
        grams: thousandths(portion.grams.get()),
        owned_grams: stock.and_then(|stock| Some(stock.owned?.get())),
        lacking_beads: stock.map(|stock| stock.lacking),
        lacking_grams: stock.map(|stock| thousandths(stock.lacking_grams.get())),
        price_per_gram: stock.and_then(|stock| stock.price),
        cost: portion.cost().map(hundredths),
        cost_lacking: portion.cost_lacking().map(hundredths),
        difference: stock.map(|stock| thousandths(stock.difference)),
    }
}

fn total(portions: &[Portion]) -> Total {
    let weight = |portion: &Portion| Some(portion.stock.as_ref()?.lacking_grams.get());
    Total {
        beads_each: portions.iter().map(|portion| portion.each).sum(),
        beads: portions.iter().map(|portion| portion.beads).sum(),
        beads_with_spare: portions.iter().map(|portion| portion.with_spare).sum(),
        grams: thousandths(portions.iter().map(|portion| portion.grams.get()).sum()),
        lacking_beads: portions
            .iter()
            .map(|portion| Some(portion.stock.as_ref()?.lacking))
            .sum(),
        lacking_grams: sum_of_known(portions, weight).map(thousandths),
        cost: sum_of_known(portions, Portion::cost).map(hundredths),
        cost_lacking: sum_of_known(portions, Portion::cost_lacking).map(hundredths),
    }
}

/// The sum of what is known; none if nothing is.
fn sum_of_known(portions: &[Portion], value: impl Fn(&Portion) -> Option<f64>) -> Option<f64> {
    let known: Vec<f64> = portions.iter().filter_map(value).collect();
    (!known.is_empty()).then(|| known.iter().sum())
}

fn thread(answer: &Answer) -> Thread {
    let kit = answer.kit;
    let each = kit.lengths.total();
    Thread {
        diameter_mm: kit.options.thread.diameter.rounded(),
        each_mm: each.rounded(),
        all_mm: (each * f64::from(kit.options.make)).rounded(),
        items: kit
            .lengths
            .items
            .iter()
            .map(|(item, length)| ItemOut {
                item: word(*item),
                length_mm: length.rounded(),
            })
            .collect(),
        joins_each: kit.joins.map_or(0, |joins| joins.count),
        joins_extra_mm: kit.joins.map_or(0.0, |joins| joins.extra.rounded()),
    }
}

fn word(item: Item) -> &'static str {
    match item {
        Item::Path => "path",
        Item::Seam => "seam",
        Item::ThreadEnd => "thread_end",
        Item::Tail => "tail",
        Item::Handling => "handling",
    }
}

pub(super) fn thousandths(number: f64) -> f64 {
    (number * 1000.0).round() / 1000.0
}

pub(super) fn hundredths(number: f64) -> f64 {
    (number * 100.0).round() / 100.0
}
