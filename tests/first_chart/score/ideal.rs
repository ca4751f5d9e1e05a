//! What can be reached with the artwork's areas alone: each bead takes the colour with the largest
//! share of it, at the best of a few sizes and places. No stroke is mended, no part exaggerated;
//! a chart that a person would weave may pass where this does not.

use super::align::{natural_rows, shares_once, shares_repeated};
use super::colours::Own;
use super::labels::Labels;
use super::truth::{Piece, Upright};
use super::{flat, request};
use upbead::chart::{Chart, Made, Shade};
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Palette;

/// Sizes that are tried, relative to the largest.
const SIZES: [f64; 6] = [1.0, 0.96, 0.92, 0.88, 0.83, 0.78];
/// Least shares of a bead for all that is not ground to win it; the later are for thin lines.
const LEAST: [f64; 3] = [0.5, 0.36, 0.25];

/// The best chart of a flat piece, and what is wrong with it.
pub fn best(piece: &Piece, palette: &Palette) -> Option<(Chart, Vec<String>)> {
    let labels = Labels::of(piece)?;
    // The 74 rows of a tight hand: in fewer the outlines of the set open where a bead takes the
    // larger colour.
    let mut request = request();
    request.gauge.swatch = Some("41=33.6".parse().expect("a swatch"));
    let shape = request.shape().expect("a ring");
    let tried = match piece.truth.tile {
        Some(share) => repeats(piece, &labels, &shape.lattice, share),
        None => motifs(piece, &labels, &shape.lattice),
    };
    let beads = Own::new(palette, &labels.labs()).chosen();
    let mut best: Option<(Chart, Vec<String>)> = None;
    for (lattice, chosen) in tried {
        let chart = chart(&lattice, &chosen, &beads, palette);
        let reasons = flat::reasons(&piece.truth, &labels, &chart, palette);
        if best
            .as_ref()
            .is_none_or(|(_, least)| reasons.len() < least.len())
        {
            let done = reasons.is_empty();
            best = Some((chart, reasons));
            if done {
                break;
            }
        }
    }
    best
}

/// Labels a bead, for a motif that lies once.
fn motifs(piece: &Piece, labels: &Labels, lattice: &Lattice) -> Vec<(Lattice, Vec<usize>)> {
    let quarters: &[u32] = match piece.truth.upright {
        Upright::Up => &[0, 1],
        Upright::Along => &[1],
        Upright::Any => &[0, 1],
    };
    let bead = lattice.bead();
    let (length, half_row) = (bead.length.get(), bead.diameter.get() / 2.0);
    let middle = [
        lattice.width().get() / 2.0,
        lattice.picture_height().get() / 2.0,
    ];
    let mut tried = Vec::new();
    for &quarters in quarters {
        let turned = labels.rotated(quarters);
        for least in &LEAST[..if piece.truth.kind == "line" { 3 } else { 1 }] {
            for (size, x, y) in SIZES.iter().flat_map(|&size| {
                let places = [(0.0, 0.0), (0.0, 1.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)];
                places.map(|(x, y)| (size, x, y))
            }) {
                let at = [middle[0] + x * length, middle[1] + y * half_row];
                let shares = shares_once(lattice, &turned, size, at);
                let chosen = shares.unwrap_or_default();
                let chosen = chosen.iter().map(|shares| won(shares, labels, *least));
                tried.push((*lattice, chosen.collect()));
            }
        }
    }
    tried
}

/// Labels a bead, for a pattern that repeats; rows are added or left out until they divide.
fn repeats(
    piece: &Piece,
    labels: &Labels,
    lattice: &Lattice,
    share: f64,
) -> Vec<(Lattice, Vec<usize>)> {
    let mut tried = Vec::new();
    let quarters = if piece.truth.upright == Upright::Any {
        0
    } else {
        1
    };
    let turned = labels.rotated(quarters);
    let tile = (labels.width as f64 * share).round() as usize;
    let natural = natural_rows(lattice, &turned, tile);
    for count in [lattice.rows(), lattice.rows() - 2, lattice.rows() + 2] {
        let rows = Rows::closed(count).expect("an even count");
        let other = Lattice::new(lattice.bead(), lattice.columns(), rows).expect("a band");
        let stacked = turned.stacked(tile);
        let near = |rows: &u32| (f64::from(*rows) / natural - 1.0).abs() < 0.3;
        let periods = (2..count)
            .step_by(2)
            .filter(|rows| count % rows == 0)
            .filter(near);
        for (rows, phase) in periods.flat_map(|rows| [0, 1, 2, 3].map(|phase| (rows, phase))) {
            let y = f64::from(phase) * lattice.bead().diameter.get() / 4.0;
            let shares = shares_repeated(&other, &stacked, rows, y);
            let chosen = shares.iter().map(|shares| won(shares, labels, 0.5));
            tried.push((other, chosen.collect()));
        }
    }
    tried
}

/// The label with the largest share, the base only if the others have not enough together.
fn won(shares: &[f64], labels: &Labels, least: f64) -> usize {
    let base = usize::from(labels.base);
    if labels.grounded && 1.0 - shares[base] < least {
        return base;
    }
    let others = (0..shares.len()).filter(|&label| label != base || !labels.grounded);
    others
        .max_by(|&a, &b| shares[a].total_cmp(&shares[b]))
        .unwrap_or(base)
}

/// A chart with a label for each bead, in these beads of the palette.
fn chart(lattice: &Lattice, chosen: &[usize], beads: &[usize], palette: &Palette) -> Chart {
    let mut used: Vec<usize> = chosen.iter().map(|&label| beads[label]).collect();
    used.sort_unstable();
    used.dedup();
    let shade = |&at: &usize| {
        let colour = &palette.colours()[at];
        Shade {
            code: colour.code.clone(),
            name: colour.name.clone(),
            srgb: colour.srgb,
            finish: colour.finish,
        }
    };
    let place = |&label: &usize| used.iter().position(|&at| at == beads[label]);
    Chart {
        lattice: *lattice,
        colours: used.iter().map(shade).collect(),
        beads: chosen
            .iter()
            .filter_map(place)
            .map(|at| at as u16)
            .collect(),
        made: Made::default(),
        title: None,
        notes: None,
    }
}
