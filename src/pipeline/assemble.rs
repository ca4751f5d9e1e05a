//! The chart and what there is to say of it, from the colours chosen.

use super::Options;
use crate::cancel::Cancel;
use crate::chart::{Chart, Made};
use crate::colour::{Light, ciede2000, lab};
use crate::error::{Error, Result};
use crate::palette::{HARD_TO_TELL, Palette, Tone, alike};
use crate::warning::Warning;

/// Most pairs of similar colours that are named.
const MOST_PAIRS: usize = 3;

/// The chart of the colours in use, in the order of the palette.
pub(super) fn assemble(
    options: &Options,
    palette: &Palette,
    chosen: &[usize],
    made: Made,
) -> Chart {
    let chart = Chart::of_palette(options.lattice, palette, chosen, made);
    Chart {
        title: options.title.clone(),
        ..chart
    }
}

/// Mean difference from `light`, one a bead, over the beads that show some of the picture: plain
/// ground would only flatter.
pub(super) fn mean_difference(
    light: &[Light],
    fixed: &[Option<usize>],
    tones: &[Tone],
    chosen: &[usize],
) -> f64 {
    let differences: Vec<f64> = (0..chosen.len())
        .filter(|&bead| fixed[bead].is_none())
        .map(|bead| ciede2000(lab(light[bead]), tones[chosen[bead]].lab))
        .collect();
    differences.iter().sum::<f64>() / differences.len().max(1) as f64
}

/// Colours that were to be kept and are not used; then the closest pairs of those in use.
///
/// # Errors
/// If the work is cancelled.
pub(super) fn colour_notes(
    keep: &[usize],
    chosen: &[usize],
    tones: &[Tone],
    palette: &Palette,
    cancel: &Cancel,
) -> Result<Vec<Warning>> {
    let name = |at: usize| palette.colours()[at].name.clone();
    let unused = keep
        .iter()
        .filter(|at| !chosen.contains(at))
        .map(|&at| Warning::KeptUnused { name: name(at) });
    let used: Vec<usize> = (0..tones.len()).filter(|at| chosen.contains(at)).collect();
    let used_tones: Vec<Tone> = used.iter().map(|&at| tones[at]).collect();
    let pairs = alike(&used_tones, HARD_TO_TELL, cancel)?.pairs;
    let similar = pairs
        .iter()
        .take(MOST_PAIRS)
        .map(|pair| Warning::HardToTell {
            one: name(used[pair.one]),
            other: name(used[pair.other]),
            difference: pair.difference,
        });
    Ok(unused.chain(similar).collect())
}

/// Whether the chart names another picture than the one at hand.
pub(super) fn other_picture(chart: &Chart, sha256: &str) -> Option<Warning> {
    let made = &chart.made;
    let other = !made.sha256.is_empty() && !made.sha256.eq_ignore_ascii_case(sha256);
    other.then(|| Warning::OtherPicture {
        name: made.source.clone(),
    })
}

/// Where nothing is seen, a linked picture that was not read may be why.
pub(super) fn unread_picture(error: Error, notes: &[Warning]) -> Error {
    let linked = |note: &&Warning| matches!(note, Warning::LinkedPicture { .. });
    match notes.iter().find(linked) {
        Some(note) => error.hint(note.to_string()),
        None => error,
    }
}
