//! A chart in the colours of another palette: each substitution, and what became of the pairs.

use crate::chart::Chart;
use crate::colour::hex;
use crate::palette::{Bounds, Palette};
use crate::quantize::swap::{Pair, Substitution, Swapped};
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// What became of a chart's colours.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SwapReport {
    /// Where the new chart went; none is standard output.
    pub chart: Option<String>,
    /// Name of the other palette.
    pub palette: String,
    /// Beads of the chart.
    pub beads: usize,
    /// Mean CIEDE2000 over the beads, three decimals.
    pub difference: f64,
    /// A substitution for each colour in use, in the old chart's order.
    pub substitutions: Vec<SubstitutionReport>,
    /// Pairs that could be told apart.
    pub apart: usize,
    /// Those that no longer can.
    pub together: Vec<ChangedPairReport>,
    /// Pairs of which one was the lighter.
    pub ordered: usize,
    /// Those in which it is the darker now.
    pub turned: Vec<ChangedPairReport>,
    /// Whether no choice is better, for certain.
    pub proven: bool,
}

/// One colour that became another.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SubstitutionReport {
    /// The colour as it was.
    pub from: SwapColourReport,
    /// The bead that takes its place.
    pub to: SwapColourReport,
    /// CIEDE2000 between the two, three decimals.
    pub difference: f64,
    /// Beads of it.
    pub beads: usize,
    /// Beads that are short in stock.
    pub short: u64,
}

/// A colour.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SwapColourReport {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Six hex digits.
    pub hex: String,
}

/// Two colours of the old chart, by code, and how different they are now.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ChangedPairReport {
    /// One.
    pub one: String,
    /// The other.
    pub other: String,
    /// CIEDE2000 between what they became, three decimals.
    pub difference: f64,
}

/// A chart that was swapped.
pub struct Swap<'a> {
    /// Where the new chart went; none is standard output.
    pub file: Option<&'a Path>,
    /// The chart as it was.
    pub old: &'a Chart,
    /// The other palette.
    pub palette: &'a Palette,
    /// The chart as it is now.
    pub swapped: &'a Swapped,
}

impl SwapReport {
    /// Of a chart that was swapped.
    pub fn new(swap: &Swap) -> Self {
        let swapped = swap.swapped;
        let stock = Bounds::of(swap.palette, swap.old.lattice.bead(), 1, 0.0);
        let pairs = |pairs: &[Pair]| pairs.iter().map(|pair| of_pair(pair, swap.old)).collect();
        let all = swapped.substitutions.iter();
        Self {
            chart: swap.file.map(|file| file.to_string_lossy().into()),
            palette: swap.palette.name.clone(),
            beads: swap.old.lattice.len(),
            difference: thousandths(swapped.difference),
            substitutions: all.map(|one| substitution(one, swap, &stock)).collect(),
            apart: swapped.apart,
            together: pairs(&swapped.merged),
            ordered: swapped.ordered,
            turned: pairs(&swapped.reversed),
            proven: swapped.proven,
        }
    }

    /// The name that a colour of the old chart had, and the name of what it became.
    pub fn names(&self, code: &str) -> Option<(&str, &str)> {
        let mut all = self.substitutions.iter();
        let one = all.find(|one| one.from.code == code)?;
        Some((&one.from.name, &one.to.name))
    }
}

fn thousandths(number: f64) -> f64 {
    (number * 1000.0).round() / 1000.0
}

fn of_pair(pair: &Pair, old: &Chart) -> ChangedPairReport {
    ChangedPairReport {
        one: old.colours[pair.one].code.clone(),
        other: old.colours[pair.other].code.clone(),
        difference: thousandths(pair.difference),
    }
}

fn substitution(one: &Substitution, swap: &Swap, stock: &Bounds) -> SubstitutionReport {
    let old = &swap.old.colours[one.from];
    let new = &swap.palette.colours()[one.to];
    SubstitutionReport {
        from: SwapColourReport {
            code: old.code.clone(),
            name: old.name.clone(),
            hex: hex(old.srgb),
        },
        to: SwapColourReport {
            code: new.code.clone(),
            name: new.name.clone(),
            hex: hex(new.srgb),
        },
        difference: thousandths(one.difference),
        beads: one.beads,
        short: (one.beads as u64).saturating_sub(stock.most(one.to)),
    }
}
