//! Another colour behind a motif.

use crate::colour::ciede2000;
use crate::palette::Tone;

/// How much lighter or darker than the grounds that are there another one is, in CIELAB lightness.
/// Ours.
const APART: f64 = 18.0;
/// What a unit of chroma counts against a ground: quiet grounds set a motif off. Ours.
const LOUD: f64 = 0.7;
/// A ground that is nearer than this to a colour of the motif would hide it. Ours.
const HIDES: f64 = 15.0;

/// The colour, of those `allowed`, that sets the `motif` off best and is lighter or darker than
/// each of `grounds`; all are places in `tones`.
pub(super) fn other(
    tones: &[Tone],
    grounds: &[usize],
    motif: &[usize],
    allowed: impl Fn(usize) -> bool,
) -> Option<usize> {
    let stands_out = |at: usize| {
        let from = motif
            .iter()
            .map(|&own| ciede2000(tones[own].lab, tones[at].lab));
        from.fold(100.0, f64::min)
    };
    let chroma = |at: usize| tones[at].lab.a.hypot(tones[at].lab.b);
    let lighter_or_darker = |at: &usize| {
        let apart = |&ground: &usize| (tones[*at].lab.l - tones[ground].lab.l).abs() >= APART;
        grounds.iter().all(apart)
    };
    (0..tones.len())
        .filter(|at| allowed(*at) && lighter_or_darker(at))
        .map(|at| (at, stands_out(at)))
        .filter(|(_, apart)| *apart >= HIDES)
        .map(|(at, apart)| (at, apart - LOUD * chroma(at)))
        // Of equals the first.
        .reduce(|best, one| if one.1 > best.1 { one } else { best })
        .map(|(at, _)| at)
}
