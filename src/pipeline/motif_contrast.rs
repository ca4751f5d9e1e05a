//! What is motif and what is ground in a finished chart, and how the motif stands out.

use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::colour::{Light, light};
use crate::lattice::Column;
use crate::units::Mm;
use crate::vision::contrast::{Contrast, contrast};

/// A motif on its ground.
#[derive(Debug, Clone, PartialEq)]
pub struct MotifContrast {
    /// The ground's code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// How the motif stands out.
    pub contrast: Contrast,
}

/// How a chart's motif stands out from its ground, seen from `distances`; none where there is no
/// ground, or nothing else.
///
/// The ground is the colour that the chart names as such, or else the one that most of the edge
/// has; either only if at least half the beads along the two edges, those of the first and the last
/// column, are of it. The motif is all other beads.
pub fn motif_contrast(chart: &Chart, distances: &[Mm], cancel: &Cancel) -> Option<MotifContrast> {
    let ground = ground(chart)?;
    let lights: Vec<Light> = chart
        .beads
        .iter()
        .map(|&colour| light(chart.colours[usize::from(colour)].srgb))
        .collect();
    let is_ground: Vec<bool> = chart
        .beads
        .iter()
        .map(|&colour| usize::from(colour) == ground)
        .collect();
    let shade = &chart.colours[ground];
    let contrast = contrast(
        &chart.lattice,
        &lights,
        &is_ground,
        light(shade.srgb),
        distances,
        cancel,
    )?;
    Some(MotifContrast {
        code: shade.code.clone(),
        name: shade.name.clone(),
        contrast,
    })
}

/// The ground's index among the chart's colours.
fn ground(chart: &Chart) -> Option<usize> {
    let lattice = &chart.lattice;
    let edges = [Column::new(1), Column::new(lattice.columns())];
    let mut counts = vec![0usize; chart.colours.len()];
    for (bead, &colour) in chart.beads.iter().enumerate() {
        if edges.contains(&lattice.position(bead).1) {
            counts[usize::from(colour)] += 1;
        }
    }
    let named = chart
        .made
        .options
        .iter()
        .find(|option| option.0 == "ground");
    let named =
        named.and_then(|(_, code)| chart.colours.iter().position(|shade| shade.code == *code));
    // Of equally many the first; the chart's colours are in the palette's order.
    let most = (0..counts.len()).rev().max_by_key(|&at| counts[at]);
    let half = |&at: &usize| 2 * counts[at] >= counts.iter().sum::<usize>();
    named.filter(half).or_else(|| most.filter(half))
}
