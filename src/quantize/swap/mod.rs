//! A finished chart in the colours of another palette: all of its colours chosen together.
//!
//! No two colours become the same bead. The cost of a choice is the mean difference of the beads
//! (CIEDE2000), plus a penalty for each pair of colours that could be told apart and hardly could
//! any longer, or whose light-dark order would be reversed. The search starts from the cheapest
//! assignment without those pairs, improves it by single changes and exchanges, and then, where the
//! work allows, goes through all choices that a bound does not rule out.

mod search;
pub mod suggest;
pub mod ways;

use crate::chart::{Chart, Shade};
use crate::colour::{PreparedLab, ciede2000, light};
use crate::error::{Error, Result};
use crate::palette::{HARD_TO_TELL, Palette, Tone, write::digest};
use crate::units::grouped;
use search::{Found, Matching};

/// The cost of a pair that can no longer be told apart, in mean difference. Ours: a motif that is
/// lost on its ground is worse than almost any other colour.
pub const MERGED: f64 = 20.0;
/// The cost of a pair whose light-dark order is reversed, in mean difference. Ours.
pub const REVERSED: f64 = 1.0;
/// Least lightness (L*) by which one of two colours counts as the lighter. Ours: about the least
/// that is seen.
pub const LIGHTER: f64 = 2.0;
/// Most colours of a chart to swap. Ours.
pub const MOST_COLOURS: usize = 500;
/// Most colours of the palette that are considered for each of the chart's. Ours.
const MOST_NEAR: usize = 512;

/// One colour and what takes its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Substitution {
    /// Its index among the old chart's colours.
    pub from: usize,
    /// The other one's index in the palette.
    pub to: usize,
    /// CIEDE2000 between them.
    pub difference: f64,
    /// Beads of it.
    pub beads: usize,
}

/// Two colours of the old chart, and how different their successors are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Index of one among the old chart's colours.
    pub one: usize,
    /// Index of the other.
    pub other: usize,
    /// CIEDE2000 between what takes their places.
    pub difference: f64,
}

impl Pair {
    /// Whether it is of the same two colours as another.
    fn is_of(&self, other: &Self) -> bool {
        (self.one, self.other) == (other.one, other.other)
    }
}

/// The chart in other colours, and what was kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Swapped {
    /// Bead for bead as before.
    pub chart: Chart,
    /// A substitution for each colour in use, in the old chart's order.
    pub substitutions: Vec<Substitution>,
    /// Pairs that could be told apart.
    pub apart: usize,
    /// Those that no longer can.
    pub merged: Vec<Pair>,
    /// Pairs of which one was the lighter.
    pub ordered: usize,
    /// Those in which it is the darker now.
    pub reversed: Vec<Pair>,
    /// Mean difference over the beads.
    pub difference: f64,
    /// Whether no choice is better, for certain.
    pub proven: bool,
}

/// `chart` in colours of `palette`.
///
/// # Errors
/// If the palette has fewer colours than the chart uses, or the chart uses more than
/// [`MOST_COLOURS`].
pub fn swap(chart: &Chart, palette: &Palette) -> Result<Swapped> {
    let counts = chart.counts();
    let used: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
    check(used.len(), palette)?;
    let old: Vec<PreparedLab> = used
        .iter()
        .map(|&at| PreparedLab::new(Tone::new(light(chart.colours[at].srgb)).lab))
        .collect();
    let new: Vec<PreparedLab> = palette
        .tones()
        .iter()
        .map(|tone| PreparedLab::new(tone.lab))
        .collect();
    let beads: Vec<usize> = used.iter().map(|&at| counts[at]).collect();
    let matching = Matching::new(&old, &new, &beads, MOST_NEAR);
    let Found { chosen, proven } = matching.solve();
    let substitutions: Vec<Substitution> = chosen
        .iter()
        .enumerate()
        .map(|(own, &to)| Substitution {
            from: used[own],
            to,
            difference: ciede2000(old[own].lab, new[to].lab),
            beads: beads[own],
        })
        .collect();
    let pairs = Pairs::new(&old, &new, &chosen, &used);
    let all: usize = beads.iter().sum();
    let sum: f64 = substitutions
        .iter()
        .map(|one| one.difference * one.beads as f64)
        .sum();
    Ok(Swapped {
        chart: recoloured(chart, palette, &substitutions),
        substitutions,
        apart: pairs.apart,
        merged: pairs.merged,
        ordered: pairs.ordered,
        reversed: pairs.reversed,
        difference: sum / all.max(1) as f64,
        proven,
    })
}

fn check(used: usize, palette: &Palette) -> Result<()> {
    let there = palette.colours().len();
    if used > there {
        return Err(Error::new(format!(
            "the chart uses {used} colours, and {} has {there}: some would become the same bead",
            palette.name
        ))
        .hint(format!(
            "chart the picture again with [--colours {there}], or add colours to the palette"
        )));
    }
    if used > MOST_COLOURS {
        return Err(Error::new(format!(
            "the chart uses {} colours, and {MOST_COLOURS} at most are swapped together",
            grouped(used)
        ))
        .hint("chart the picture again from the other palette"));
    }
    Ok(())
}

/// What became of the pairs.
#[derive(Default)]
struct Pairs {
    apart: usize,
    merged: Vec<Pair>,
    ordered: usize,
    reversed: Vec<Pair>,
}

impl Pairs {
    fn new(old: &[PreparedLab], new: &[PreparedLab], chosen: &[usize], used: &[usize]) -> Self {
        let mut pairs = Self::default();
        for one in 0..old.len() {
            for other in one + 1..old.len() {
                let (to, other_to) = (&new[chosen[one]], &new[chosen[other]]);
                let pair = Pair {
                    one: used[one],
                    other: used[other],
                    difference: ciede2000(to.lab, other_to.lab),
                };
                if are_apart(&old[one], &old[other]) {
                    pairs.apart += 1;
                    if pair.difference < HARD_TO_TELL {
                        pairs.merged.push(pair);
                    }
                }
                let lighter = old[one].lab.l - old[other].lab.l;
                if lighter.abs() >= LIGHTER {
                    pairs.ordered += 1;
                    if lighter * (to.lab.l - other_to.lab.l) < 0.0 {
                        pairs.reversed.push(pair);
                    }
                }
            }
        }
        pairs
    }
}

/// Whether two colours can be told apart.
fn are_apart(one: &PreparedLab, other: &PreparedLab) -> bool {
    one.lightness_difference(other) >= HARD_TO_TELL || ciede2000(one.lab, other.lab) >= HARD_TO_TELL
}

/// The chart bead for bead, its colours in their old order.
fn recoloured(chart: &Chart, palette: &Palette, substitutions: &[Substitution]) -> Chart {
    let mut place = vec![0; chart.colours.len()];
    let mut colours = Vec::new();
    for one in substitutions {
        place[one.from] = colours.len() as u16;
        colours.push(Shade::from(&palette.colours()[one.to]));
    }
    let mut made = chart.made.clone();
    // Only the last swap counts: it decides the colours.
    made.options
        .retain(|(name, _)| !["swap", "swap_sha256"].contains(&name.as_str()));
    made.options
        .push(("swap".to_string(), palette.name.clone()));
    made.options
        .push(("swap_sha256".to_string(), digest(palette)));
    Chart {
        colours,
        beads: chart
            .beads
            .iter()
            .map(|&at| place[usize::from(at)])
            .collect(),
        made,
        ..chart.clone()
    }
}
