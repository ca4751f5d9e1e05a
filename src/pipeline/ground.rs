//! The colour where there is no picture.

use super::Options;
use crate::colour::{Light, ciede2000, lab};
use crate::lattice::Lattice;
use crate::palette::{Palette, Tone, by_brute_force};
use crate::picture::Place;
use crate::quantize;
use crate::sample::Sample;
use crate::warning::Warning;

/// Alpha below which a bead is all ground: half a level of 8 bits.
const CLEAR: f64 = 1.0 / 510.0;
/// Alpha from which a bead is all picture, but for rounding.
const WHOLE: f64 = 1.0 - 1e-9;
/// Share of plain ground from which a picture placed all round gets a warning.
const MUCH: f64 = 0.3;

/// Whether any bead shows some ground.
pub(super) fn is_shown(samples: &[Sample]) -> bool {
    samples.iter().any(|sample| sample.alpha < WHOLE)
}

/// The ground's index in the palette: the given one; or for a picture with transparent parts the
/// lightest or darkest colour, whichever differs more from it; or for an opaque picture that leaves
/// a strip bare the colour nearest to the picture there, so that it hardly shows.
///
/// Where the stock is counted, only colours with enough for the plain beads, if there are any.
pub(super) fn choose(
    samples: &[Sample],
    opaque: bool,
    tones: &[Tone],
    given: Option<usize>,
    lattice: &Lattice,
    choice: &quantize::Settings,
) -> usize {
    if let Some(ground) = given {
        return ground;
    }
    let mut allowed: Vec<usize> = (0..tones.len())
        .filter(|at| !choice.without.contains(at))
        .collect();
    if let Some(bounds) = &choice.bounds {
        let plain = samples.iter().filter(|sample| sample.alpha < CLEAR).count() as u64;
        let enough = |at: &usize| bounds.most(*at) >= plain;
        if allowed.iter().any(enough) {
            allowed.retain(enough);
        }
    }
    let found = if !opaque {
        apart(samples, tones, &allowed)
    } else {
        by_brute_force(tones, &allowed, lab(edge(samples, lattice)))
    };
    // Where no colour is allowed, the choice of colours reports it.
    found.unwrap_or_default()
}

fn apart(samples: &[Sample], tones: &[Tone], allowed: &[usize]) -> Option<usize> {
    let by_lightness = |a: &usize, b: &usize| tones[*a].lab.l.total_cmp(&tones[*b].lab.l);
    let lightest = allowed.iter().copied().max_by(by_lightness)?;
    let darkest = allowed.iter().copied().min_by(by_lightness)?;
    let apart = |at: usize| -> f64 {
        samples
            .iter()
            .filter(|sample| sample.alpha > CLEAR)
            .map(|sample| sample.alpha * ciede2000(lab(sample.light / sample.alpha), tones[at].lab))
            .sum()
    };
    Some(if apart(darkest) > apart(lightest) {
        darkest
    } else {
        lightest
    })
}

/// Mean light of the picture along its edge: of the beads beside or on bare ground.
fn edge(samples: &[Sample], lattice: &Lattice) -> Light {
    let bare = |index: usize| samples[index].alpha < WHOLE;
    let mut sum = Light::new(0.0, 0.0, 0.0);
    let mut weight = 0.0;
    for (index, sample) in samples.iter().enumerate() {
        let beside = || {
            lattice
                .neighbours(index)
                .any(|neighbour| bare(neighbour.index))
        };
        if sample.alpha > CLEAR && (bare(index) || beside()) {
            sum += sample.light;
            weight += sample.alpha;
        }
    }
    sum / weight.max(CLEAR)
}

/// The beads that are all ground are fixed; the others are not.
pub(super) fn fixed(samples: &[Sample], ground: Option<usize>) -> Vec<Option<usize>> {
    let bare = |sample: &Sample| ground.filter(|_| sample.alpha < CLEAR);
    samples.iter().map(bare).collect()
}

/// Warnings about the ground.
pub(super) fn notes(
    samples: &[Sample],
    ground: Option<usize>,
    palette: &Palette,
    options: &Options,
) -> Vec<Warning> {
    let Some(at) = ground else {
        return options
            .ground
            .map(|_| Warning::GroundUnseen)
            .into_iter()
            .collect();
    };
    let clear: f64 =
        samples.iter().map(|sample| 1.0 - sample.alpha).sum::<f64>() / samples.len() as f64;
    let is_round = options.arrangement.place == Place::Round && options.design.is_none();
    let mostly = is_round && clear > MUCH;
    let told = options.ground.is_none().then(|| Warning::GroundChosen {
        name: palette.colours()[at].name.clone(),
    });
    let clear = mostly.then_some(Warning::MostlyClear { clear });
    told.into_iter().chain(clear).collect()
}
