//! What to know before a kit is packed.

use crate::chart::Chart;
use crate::colour::hex;
use crate::palette::{Palette, Source};
use crate::warning::Warning;
use crate::weave::kit::{Kit, OTHER_BEAD, Portion};
use crate::weave::{COMFORTABLE, Item};

/// Most colours that get a warning of their own.
const MOST_WARNED: usize = 5;

/// What to know, most particular first.
pub(super) fn warnings(chart: &Chart, kit: &Kit, palette: Option<&Palette>) -> Vec<Warning> {
    let mut warnings = palette.map_or(Vec::new(), |palette| other_beads(chart, kit, palette));
    warnings.extend(no_price(chart, kit));
    warnings.extend(Warning::unsure_bead(chart.lattice.bead()));
    warnings.extend(estimated(chart, kit));
    let (asked, tail) = (kit.options.tail, kit.lengths.item(Item::Tail));
    if tail > asked {
        warnings.push(Warning::TailLengthened { asked, tail });
    }
    if let Some(joins) = &kit.lengths.joins {
        warnings.push(Warning::ThreadJoined {
            joins: joins.count,
            closed: chart.lattice.is_closed(),
            extra: joins.extra,
            comfortable: COMFORTABLE,
        });
    }
    if kit.needle.is_none() {
        warnings.push(Warning::HoleTooFull {
            passes: kit.most_passes,
        });
    }
    warnings
}

/// Colours whose code is the palette's but whose look is not.
fn other_beads(chart: &Chart, kit: &Kit, palette: &Palette) -> Vec<Warning> {
    let others = kit.portions.iter().filter_map(|portion| {
        let difference = portion.stock.as_ref()?.difference;
        let shade = &chart.colours[portion.colour];
        let colour = palette.colours().iter().find(|c| c.code == shade.code)?;
        (difference > OTHER_BEAD).then(|| Warning::OtherBead {
            code: shade.code.clone(),
            chart: hex(shade.srgb),
            palette: hex(colour.srgb),
            difference,
        })
    });
    let mut warnings: Vec<Warning> = others.collect();
    let more = warnings.len().saturating_sub(MOST_WARNED);
    warnings.truncate(MOST_WARNED);
    if more > 0 {
        warnings.push(Warning::MoreOtherBeads { colours: more });
    }
    warnings
}

/// Colours without a price, where others have one.
fn no_price(chart: &Chart, kit: &Kit) -> Option<Warning> {
    let (with, without): (Vec<&Portion>, Vec<&Portion>) = kit
        .portions
        .iter()
        .partition(|portion| portion.cost().is_some());
    let name = |portion: &Portion| chart.colours[portion.colour].name.clone();
    (!with.is_empty() && !without.is_empty()).then(|| Warning::NoPrice {
        names: without.into_iter().map(name).collect(),
    })
}

/// How sure the grams are.
fn estimated(chart: &Chart, kit: &Kit) -> Option<Warning> {
    let mut portions = kit.portions.iter().map(|portion| portion.per_gram);
    let per_gram = portions.find(|per_gram| per_gram.source != Source::Palette)?;
    matches!(per_gram.source, Source::CommonPractice | Source::Glass).then(|| {
        Warning::PerGramEstimated {
            bead: chart.lattice.bead().name(),
            per_gram: per_gram.beads,
            computed: per_gram.source == Source::Glass,
        }
    })
}
