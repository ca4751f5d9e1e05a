//! Another colour behind a motif.

use crate::colour::ciede2000;
use crate::palette::Tone;

/// How much lighter or darker than the present ground another one is, in CIELAB lightness. Ours.
const APART: f64 = 30.0;
/// What a unit of chroma counts against a ground: quiet grounds set a motif off. Ours.
const LOUD: f64 = 0.3;
/// A ground that is nearer than this to a colour of the motif would hide it. Ours.
const HIDES: f64 = 15.0;

/// The colour, of those `allowed`, that sets the `motif` off best and is much lighter or darker
/// than `ground`; all are places in `tones`.
pub(super) fn other(
    tones: &[Tone],
    ground: usize,
    motif: &[usize],
    allowed: impl Fn(usize) -> bool,
) -> Option<usize> {
    let stands_out = |at: usize| {
        let from = motif
            .iter()
            .map(|&own| ciede2000(tones[own].lab, tones[at].lab));
        from.fold(f64::INFINITY, f64::min)
    };
    let chroma = |at: usize| tones[at].lab.a.hypot(tones[at].lab.b);
    let far = |at: &usize| (tones[*at].lab.l - tones[ground].lab.l).abs() >= APART;
    let fits = (0..tones.len()).filter(|at| *at != ground && allowed(*at) && far(at));
    fits.map(|at| (at, stands_out(at)))
        .filter(|(_, apart)| *apart >= HIDES)
        .map(|(at, apart)| (at, apart.min(100.0) - LOUD * chroma(at)))
        // Of equals the first.
        .reduce(|best, one| if one.1 > best.1 { one } else { best })
        .map(|(at, _)| at)
}
