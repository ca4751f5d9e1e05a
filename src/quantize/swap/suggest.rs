//! Colourways that are suggested from a palette: hues change, and what makes the design readable
//! stays.
//!
//! Ideas are tried in a fixed order: another hue for the ground alone, strong or muted; all hues
//! rotated by one angle; everything in one hue; other hues for all but the ground; both of these.
//! Hue, chroma and lightness are those of OKLCh (Oklab after Ottosson, 2020, in polar form);
//! lightness never changes. Each idea's colours become beads of the palette as a swap chooses them,
//! all together, and an idea counts only if no two colours merge, none change places in lightness,
//! and the motif as a whole and each of its colours stand out from the ground about as before. Of
//! those that are left the ones are taken, one after another, that differ most from the design and
//! from those taken before; of two that are about as good, the one that keeps more of the design's
//! own colours.

use super::Substitution;
use super::search::Matching;
use super::ways::{Kept, Way, ground, kept};
use crate::chart::{Chart, Shade};
use crate::colour::{Light, Oklab, PreparedLab, ciede2000, from_oklab, light, oklab};
use crate::error::{Error, Result};
use crate::palette::{Bounds, Palette, Tone};
use crate::vision::contrast::WELL;
use rayon::prelude::*;
use std::f64::consts::TAU;

/// Angles in a turn that are tried. Ours.
const ANGLES: u32 = 12;
/// Nearest colours of the palette that are considered for each of the design's. Ours: one of the
/// ten nearest always does.
const NEAR: usize = 10;
/// OKLCh chroma below which a colour counts as grey, and stays so. Ours.
const GREY: f64 = 0.03;
/// OKLCh lightness from which a colour is too light, and up to which it is too dark, to show a hue
/// in beads. Ours.
const TINTED: (f64, f64) = (0.22, 0.93);
/// OKLCh chroma that a colour gets where it had less. Ours: the hue is plain to see.
const CHROMA: f64 = 0.09;
/// OKLCh chroma of a muted ground. Ours: between grey and a plain hue.
const MUTED: f64 = 0.045;
/// Least share of the design's contrast that a way keeps, unless it reads well. Ours.
const CONTRAST_KEPT: f64 = 0.7;
/// Least share of its difference from the ground (CIEDE2000) that each colour of the motif keeps,
/// and the difference that is always enough. Ours: a beak of three beads is still seen.
const DIFFERENCE_KEPT: (f64, f64) = (0.5, 20.0);
/// Least mean CIEDE2000, over the beads, from the design and from one another. Ours: they are seen
/// to be others side by side.
const APART: f64 = 6.0;
/// Mean CIEDE2000 beyond which further difference makes a way no more welcome. Ours.
const FAR: f64 = 25.0;
/// What being short of beads costs a way, in mean CIEDE2000. Ours.
const SHORT: f64 = 8.0;

/// How hues change.
#[derive(Debug, Clone, Copy)]
enum Idea {
    /// All rotated by one angle.
    Rotate(f64),
    /// Everything in one hue.
    OneHue(f64),
    /// The ground in this hue, the others as they are.
    Ground(f64),
    /// The same, nearly grey.
    Muted(f64),
    /// All but the ground rotated by one angle.
    Motif(f64),
    /// The ground in the first hue, the others rotated by the second angle.
    Both(f64, f64),
}

/// A way that could be taken.
struct Candidate {
    shades: Vec<Shade>,
    /// What it costs that the palette does not have just these colours, or too few beads of them,
    /// and that colours of the design are given up.
    cost: f64,
}

/// The design, as ways are measured against it.
struct Measure<'a> {
    chart: &'a Chart,
    palette: &'a Palette,
    /// The colours in use, and the beads of each.
    used: Vec<usize>,
    beads: Vec<usize>,
    ground: usize,
    /// The palette's colours for the search.
    tones: Vec<PreparedLab>,
    stock: Bounds,
    contrast: Option<f64>,
}

/// Up to `count` colourways of `chart` in colours of `palette`, fewer where there are no more that
/// differ. The same for the same inputs.
///
/// # Errors
/// If the palette has fewer colours than the chart uses, the chart uses too many, or no colourway
/// keeps the design readable.
pub fn suggest(chart: &Chart, palette: &Palette, count: usize) -> Result<Vec<Way>> {
    let measure = Measure::new(chart, palette);
    super::check(measure.used.len(), palette)?;
    let candidates: Vec<Candidate> = ideas()
        .into_par_iter()
        .filter_map(|idea| measure.candidate(idea))
        .collect();
    let mut taken: Vec<&Candidate> = Vec::new();
    while taken.len() < count {
        let Some(next) = measure.next(&candidates, &taken) else {
            break;
        };
        taken.push(next);
    }
    if taken.is_empty() {
        return Err(Error::new(format!(
            "no colours of {} give this design another look that reads as well",
            palette.name
        ))
        .hint("use a palette with more colours, or choose them with [--map]"));
    }
    Ok(named(&measure, &taken))
}

fn ideas() -> Vec<Idea> {
    let angle = |at: u32| f64::from(at) * TAU / f64::from(ANGLES);
    let rotated = (1..ANGLES).map(|at| Idea::Rotate(angle(at)));
    let one_hue = (0..ANGLES).map(|at| Idea::OneHue(angle(at)));
    let ground = (0..ANGLES).map(|at| Idea::Ground(angle(at)));
    let muted = (0..ANGLES).map(|at| Idea::Muted(angle(at)));
    let motif = (1..ANGLES).map(|at| Idea::Motif(angle(at)));
    let both = (0..ANGLES).flat_map(|at| {
        let others = (1..ANGLES).step_by(2);
        others.map(move |other| Idea::Both(angle(at), angle(other)))
    });
    let alone = ground
        .chain(muted)
        .chain(rotated)
        .chain(one_hue)
        .chain(motif);
    alone.chain(both).collect()
}

/// A colour of OKLCh, as chromatic as sRGB can show it.
fn of_hue(lightness: f64, chroma: f64, hue: f64) -> Oklab {
    const STEP: f64 = 0.95;
    let shown = |light: Light| {
        let parts = [light.red, light.green, light.blue];
        parts.iter().all(|part| (-1e-4..=1.0001).contains(part))
    };
    let mut chroma = chroma;
    loop {
        let (sin, cos) = (libm::sin(hue), libm::cos(hue));
        let colour = Oklab::new(lightness, chroma * cos, chroma * sin);
        if chroma < 1e-3 || shown(from_oklab(colour)) {
            return colour;
        }
        chroma *= STEP;
    }
}

fn rotated(colour: Oklab, angle: f64) -> Oklab {
    let chroma = libm::hypot(colour.a, colour.b);
    if chroma < GREY {
        return colour;
    }
    of_hue(colour.l, chroma, libm::atan2(colour.b, colour.a) + angle)
}

/// In a hue, with a chroma that shows it, unless it is too light or too dark for that.
fn tinted(colour: Oklab, hue: f64) -> Oklab {
    let chroma = libm::hypot(colour.a, colour.b);
    if !(TINTED.0..=TINTED.1).contains(&colour.l) {
        return of_hue(colour.l, chroma.min(GREY), hue);
    }
    of_hue(colour.l, chroma.max(CHROMA), hue)
}

impl Idea {
    fn apply(self, colour: Oklab, is_ground: bool) -> Oklab {
        match self {
            Self::Rotate(angle) => rotated(colour, angle),
            Self::Motif(angle) | Self::Both(_, angle) if !is_ground => rotated(colour, angle),
            Self::OneHue(hue) => tinted(colour, hue),
            Self::Ground(hue) | Self::Both(hue, _) if is_ground => tinted(colour, hue),
            Self::Muted(hue) if is_ground => of_hue(colour.l, MUTED, hue),
            Self::Motif(_) | Self::Ground(_) | Self::Muted(_) | Self::Both(..) => colour,
        }
    }

    /// What it costs a way that fewer colours of the design are kept, in mean CIEDE2000. Ours: a
    /// bird keeps its beak where nothing is gained by another one.
    fn cost(self) -> f64 {
        match self {
            Self::Ground(_) | Self::Muted(_) => 0.0,
            Self::Rotate(_) | Self::OneHue(_) | Self::Motif(_) => 1.0,
            Self::Both(..) => 3.0,
        }
    }
}

impl<'a> Measure<'a> {
    fn new(chart: &'a Chart, palette: &'a Palette) -> Self {
        let counts = chart.counts();
        let used: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
        let prepared = |tone: &Tone| PreparedLab::new(tone.lab);
        Self {
            chart,
            palette,
            beads: used.iter().map(|&at| counts[at]).collect(),
            used,
            ground: ground(chart),
            tones: palette.tones().iter().map(prepared).collect(),
            stock: Bounds::of(palette, chart.lattice.bead(), 1, 0.0),
            contrast: kept(chart, &chart.colours).contrast,
        }
    }

    /// The way that an idea leads to, if it keeps what it should.
    fn candidate(&self, idea: Idea) -> Option<Candidate> {
        let targets: Vec<PreparedLab> = self
            .used
            .iter()
            .map(|&at| {
                let own = oklab(light(self.chart.colours[at].srgb));
                let target = from_oklab(idea.apply(own, at == self.ground));
                PreparedLab::new(Tone::new(target).lab)
            })
            .collect();
        let found = Matching::new(&targets, &self.tones, &self.beads, NEAR).solve();
        let mut shades = self.chart.colours.clone();
        let mut chosen = Vec::new();
        for (own, &to) in found.chosen.iter().enumerate() {
            let from = self.used[own];
            shades[from] = Shade::from(&self.palette.colours()[to]);
            chosen.push(Substitution {
                from,
                to,
                difference: ciede2000(targets[own].lab, self.tones[to].lab),
                beads: self.beads[own],
            });
        }
        if !self.is_readable(&kept(self.chart, &shades)) || !self.stands_out(&shades) {
            return None;
        }
        let short = |one: &Substitution| one.beads as u64 > self.stock.most(one.to);
        let short = if chosen.iter().any(short) { SHORT } else { 0.0 };
        let sum: f64 = chosen
            .iter()
            .map(|one| one.difference * one.beads as f64)
            .sum();
        let beads: usize = self.beads.iter().sum();
        let cost = sum / beads.max(1) as f64 + short + idea.cost();
        Some(Candidate { shades, cost })
    }

    fn is_readable(&self, kept: &Kept) -> bool {
        let contrast = match (self.contrast, kept.contrast) {
            (Some(before), Some(now)) => now >= (before * CONTRAST_KEPT).min(WELL),
            _ => true,
        };
        kept.merged.is_empty() && kept.reversed.is_empty() && contrast
    }

    /// Whether each colour of the motif can be told from the ground about as before.
    fn stands_out(&self, shades: &[Shade]) -> bool {
        let lab = |shade: &Shade| Tone::new(light(shade.srgb)).lab;
        let from_ground =
            |all: &[Shade], at: usize| ciede2000(lab(&all[at]), lab(&all[self.ground]));
        let (share, enough) = DIFFERENCE_KEPT;
        let mut others = self.used.iter().filter(|&&at| at != self.ground);
        others.all(|&at| {
            let before = from_ground(&self.chart.colours, at);
            from_ground(shades, at) >= (before * share).min(enough)
        })
    }

    /// Mean difference over the beads between two sets of shades for the design's colours.
    fn difference(&self, one: &[Shade], other: &[Shade]) -> f64 {
        let between = |at: usize| {
            let [one, other] = [one, other].map(|all| Tone::new(light(all[at].srgb)).lab);
            ciede2000(one, other)
        };
        let used = self.used.iter().zip(&self.beads);
        let sum: f64 = used.map(|(&at, &beads)| between(at) * beads as f64).sum();
        sum / self.beads.iter().sum::<usize>().max(1) as f64
    }

    /// The candidate to take next: the one that differs most, less what it costs.
    fn next<'b>(&self, all: &'b [Candidate], taken: &[&Candidate]) -> Option<&'b Candidate> {
        let gain = |one: &Candidate| {
            let before = taken.iter().map(|other| other.shades.as_slice());
            let differences = before
                .chain([self.chart.colours.as_slice()])
                .map(|other| self.difference(&one.shades, other));
            let least = differences.fold(f64::INFINITY, f64::min);
            (least >= APART).then(|| least.min(FAR) - one.cost)
        };
        let mut best: Option<(f64, &Candidate)> = None;
        for one in all {
            if let Some(gain) = gain(one)
                && best.is_none_or(|(most, _)| gain > most)
            {
                best = Some((gain, one));
            }
        }
        best.map(|(_, one)| one)
    }
}

/// The ways, each called by the colours that have most beads, as many as tell it from the others.
fn named(measure: &Measure, taken: &[&Candidate]) -> Vec<Way> {
    let mut order: Vec<usize> = (0..measure.used.len()).collect();
    order.sort_by_key(|&own| std::cmp::Reverse(measure.beads[own]));
    let name = |one: &Candidate, colours: usize| {
        let names = order.iter().take(colours);
        let names = names.map(|&own| one.shades[measure.used[own]].name.as_str());
        names.collect::<Vec<_>>().join(", ")
    };
    let is_enough = |colours: &usize| {
        let mut names: Vec<String> = taken.iter().map(|one| name(one, *colours)).collect();
        names.sort_unstable();
        names.windows(2).all(|pair| pair[0] != pair[1])
    };
    let all = order.len();
    let colours = (all.min(2)..=all).find(is_enough).unwrap_or(all);
    let mut ways: Vec<Way> = Vec::new();
    for one in taken {
        let name = name(one, colours);
        // Colours of one name can differ.
        let same = ways.iter().filter(|way| way.name.starts_with(&name));
        let name = match same.count() {
            0 => name,
            before => format!("{name} {}", before + 1),
        };
        ways.push(Way {
            name,
            shades: one.shades.clone(),
        });
    }
    ways
}
