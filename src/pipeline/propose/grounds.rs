//! Another colour behind a motif.

use crate::colour::{ciede2000, lab};
use crate::palette::Tone;
use crate::quantize::flat::{MotifColour, ground_cost};

/// How much lighter or darker than the grounds that are there another one is, in CIELAB lightness.
/// Ours.
const APART: f64 = 18.0;
/// A ground that is nearer than this to a colour of the motif would hide it. Ours.
const HIDES: f64 = 15.0;

/// The colour, of those `allowed`, that sets the `motif` off best and is lighter or darker than
/// each of `grounds`; grounds are places in `tones`.
pub(super) fn other(
    tones: &[Tone],
    grounds: &[usize],
    motif: &[MotifColour],
    allowed: impl Fn(usize) -> bool,
) -> Option<usize> {
    let hides = |at: usize| {
        let apart = |own: &MotifColour| ciede2000(lab(own.light), tones[at].lab);
        motif.iter().any(|own| apart(own) < HIDES)
    };
    let lighter_or_darker = |at: usize| {
        let apart = |&ground: &usize| (tones[at].lab.l - tones[ground].lab.l).abs() >= APART;
        grounds.iter().all(apart)
    };
    (0..tones.len())
        .filter(|&at| allowed(at) && lighter_or_darker(at) && !hides(at))
        .map(|at| (at, ground_cost(&tones[at], motif)))
        // Of equals the first.
        .reduce(|best, one| if one.1 < best.1 { one } else { best })
        .map(|(at, _)| at)
}
