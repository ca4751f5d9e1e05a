//! Pairs that are not told apart when worn, for each kind of sight.

use super::{PairOut, pairs_out, printable};
use crate::colour::Sight;
use crate::palette::{Colour, Pair};
use crate::units::{decimals, grouped};
use crate::vision::WORN;
use crate::vision::single_bead::{MOST_COLOURS, SimilarPairs};
use serde::Serialize;

/// Pairs that a line names.
const NAMED: usize = 2;
/// Pairs that JSON lists for each kind of sight.
const MOST_PAIRS: usize = 10_000;

/// A line for each kind of sight: how many pairs, and the worst.
pub(super) fn text(colours: &[Colour], worn: Option<&[SimilarPairs]>, below: f64) -> String {
    if colours.len() < 2 || below <= 0.0 {
        return String::new();
    }
    let distance = format!("{:.0} mm", WORN.get());
    let Some([full, others @ ..]) = worn else {
        return format!(
            "\nWorn, at {distance}: not weighed for more than {} colours.\n",
            grouped(MOST_COLOURS)
        );
    };
    let mut text = format!(
        "\nWorn, at {distance}, a bead of size 11 among beads of the other colour, below {}:\n",
        decimals(below, 3)
    );
    let mut line = |who: &str, pairs: &[Pair], more: &str| {
        let what = match pairs.len() {
            0 => format!("no {more}pairs"),
            1 => format!("1 {more}pair: {}", named(colours, pairs)),
            count => format!("{} {more}pairs: {}", grouped(count), named(colours, pairs)),
        };
        text += &format!("  {who:<7} {what}\n");
    };
    line("all", &full.pairs, "");
    for one in others {
        line(one.sight.word(), &one.only(full), "more ");
    }
    text
}

fn named(colours: &[Colour], pairs: &[Pair]) -> String {
    let name = |at: usize| printable(&colours[at].name);
    let mut words: Vec<String> = pairs
        .iter()
        .take(NAMED)
        .map(|pair| {
            format!(
                "{} and {} ({:.1})",
                name(pair.one),
                name(pair.other),
                pair.difference
            )
        })
        .collect();
    if pairs.len() > NAMED {
        words.push("..".to_string());
    }
    words.join(", ")
}

/// As JSON.
#[derive(Serialize)]
pub(super) struct Out<'a> {
    distance_mm: f64,
    sights: Vec<SightOut<'a>>,
}

#[derive(Serialize)]
struct SightOut<'a> {
    sight: &'static str,
    pairs_count: usize,
    lost_count: usize,
    pairs: Vec<PairOut<'a>>,
}

pub(super) fn out<'a>(colours: &'a [Colour], worn: &[SimilarPairs]) -> Out<'a> {
    let sight = |one: &SimilarPairs| SightOut {
        sight: Sight::word(one.sight),
        pairs_count: one.pairs.len(),
        lost_count: one.lost,
        pairs: pairs_out(colours, &one.pairs[..one.pairs.len().min(MOST_PAIRS)]),
    };
    Out {
        distance_mm: WORN.get(),
        sights: worn.iter().map(sight).collect(),
    }
}
