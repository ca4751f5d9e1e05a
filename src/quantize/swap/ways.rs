//! Colourways: one design in other colours, bead for bead, each with a name.

use super::{Pair, Pairs};
use crate::chart::{Chart, Shade, write::write};
use crate::colour::{PreparedLab, light};
use crate::palette::Tone;
use crate::request::COLOURWAY;
use crate::vision::contrast::ratio;
use sha2::{Digest, Sha256};

/// A name, and what takes the place of each of the design's colours, in their order.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// What it is called; nothing where it has no name.
    pub name: String,
    /// For each colour of the design, the one in its place.
    pub shades: Vec<Shade>,
}

/// Which design colourways are of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Design {
    /// Its file's name without folder and ending.
    pub name: String,
    /// SHA-256 of its chart file as it is written, in hex.
    pub sha256: String,
}

/// What a colourway keeps of its design.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Pairs that can no longer be told apart.
    pub merged: Vec<Pair>,
    /// Pairs in which the lighter is the darker now.
    pub reversed: Vec<Pair>,
    /// Mean contrast of the motif's beads with the ground, as [`ratio`] has it; none where there is
    /// but one colour.
    pub contrast: Option<f64>,
}

impl Design {
    /// The design that `chart` is: the one that its record names, if it is a colourway itself.
    pub fn of(chart: &Chart, name: &str) -> Self {
        let [design, digest, _] = COLOURWAY.map(|option| chart.made.option(option));
        if let (Some(name), Some(sha256)) = (design, digest) {
            return Self {
                name: name.to_string(),
                sha256: sha256.to_string(),
            };
        }
        let digest = Sha256::digest(write(chart).as_bytes());
        Self {
            name: name.to_string(),
            sha256: digest.iter().map(|byte| format!("{byte:02x}")).collect(),
        }
    }
}

impl Way {
    /// `chart` bead for bead in these colours, with `design` and the way's name in its record.
    ///
    /// Colours keep their order; those that no bead has are left out, and two that become the same
    /// one are one.
    pub fn of(&self, chart: &Chart, design: &Design) -> Chart {
        let mut colours: Vec<Shade> = Vec::new();
        let mut place = Vec::with_capacity(self.shades.len());
        for (shade, count) in self.shades.iter().zip(chart.counts()) {
            if count == 0 {
                place.push(0);
                continue;
            }
            let known = colours.iter().position(|own| own.code == shade.code);
            place.push(known.unwrap_or(colours.len()) as u16);
            if known.is_none() {
                colours.push(shade.clone());
            }
        }
        let mut made = chart.made.clone();
        let ground = chart.recorded_ground();
        for (name, value) in &mut made.options {
            if name == "ground"
                && let Some(at) = ground
            {
                value.clone_from(&self.shades[usize::from(at)].code);
            }
        }
        made.options
            .retain(|(name, _)| !COLOURWAY.contains(&name.as_str()));
        let values = [&design.name, &design.sha256, &self.name];
        let recorded = COLOURWAY.iter().zip(values);
        let recorded = recorded.filter(|(_, value)| !value.is_empty());
        made.options
            .extend(recorded.map(|(name, value)| (name.to_string(), value.clone())));
        let beads = chart.beads.iter().map(|&at| place[usize::from(at)]);
        let title = chart.title.as_ref().map(|title| {
            if self.name.is_empty() {
                title.clone()
            } else {
                format!("{title}: {}", self.name)
            }
        });
        Chart {
            beads: beads.collect(),
            colours,
            made,
            title,
            ..chart.clone()
        }
    }
}

/// What is kept of `chart` where `shades` take the places of its colours.
pub fn kept(chart: &Chart, shades: &[Shade]) -> Kept {
    let counts = chart.counts();
    let used: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
    let prepared = |all: &[Shade]| -> Vec<PreparedLab> {
        let used = used.iter();
        used.map(|&at| PreparedLab::new(Tone::new(light(all[at].srgb)).lab))
            .collect()
    };
    let chosen: Vec<usize> = (0..used.len()).collect();
    let pairs = Pairs::new(&prepared(&chart.colours), &prepared(shades), &chosen, &used);
    // Colours that were hard to tell apart before are lost too where they become the same bead.
    let is_new = |one: &Pair| !pairs.merged.iter().any(|own| own.is_of(one));
    let same = same_bead(shades, &used).filter(is_new).collect::<Vec<_>>();
    Kept {
        merged: pairs.merged.into_iter().chain(same).collect(),
        reversed: pairs.reversed,
        contrast: contrast(chart, shades),
    }
}

/// Pairs of colours that become the same bead.
fn same_bead(shades: &[Shade], used: &[usize]) -> impl Iterator<Item = Pair> {
    let pairs = used.iter().enumerate().flat_map(|(at, &one)| {
        let others = used[at + 1..].iter();
        others.map(move |&other| Pair {
            one,
            other,
            difference: 0.0,
        })
    });
    pairs.filter(|pair| shades[pair.one].code == shades[pair.other].code)
}

/// The ground's place among the colours: the one that the record names, or the most frequent one.
pub(super) fn ground(chart: &Chart) -> usize {
    let recorded = chart.recorded_ground().map(usize::from);
    let counts = chart.counts();
    recorded
        .filter(|&at| counts[at] > 0)
        .unwrap_or_else(|| chart.most_frequent())
}

/// Mean contrast of the beads that are not of the ground.
fn contrast(chart: &Chart, shades: &[Shade]) -> Option<f64> {
    let ground = ground(chart);
    let (mut sum, mut beads) = (0.0, 0.0);
    for (at, count) in chart.counts().into_iter().enumerate() {
        if at != ground {
            sum += ratio(light(shades[ground].srgb), light(shades[at].srgb)) * count as f64;
            beads += count as f64;
        }
    }
    (beads > 0.0).then(|| sum / beads)
}
