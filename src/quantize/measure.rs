//! How good a band is: how far it looks from its picture, and how restless it is to weave.

use crate::colour::{Lab, Light, ciede2000, lab};
use crate::lattice::Lattice;
use crate::units::Mm;
use crate::vision::band::{Apart, Mosaic, Seen, apart};

/// The figures of a band beside its picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// As seen from each distance.
    pub seen: Vec<Apart>,
    /// Mean CIEDE2000 between each bead and the mean light of the picture on it.
    pub beads: f64,
    /// The difference that 95 of 100 beads do not exceed.
    pub most: f64,
    /// Times that the colour changes within the rows, row by row.
    pub changes: usize,
    /// Beads that no bead of the same colour touches.
    pub alone: usize,
}

/// A picture that bands are measured beside: what is seen of it is made once.
pub struct Beside<'a> {
    picture: &'a Mosaic,
    seen: Vec<(Mm, Seen)>,
    wanted: Vec<Lab>,
}

impl<'a> Beside<'a> {
    /// `picture` from each of `distances`.
    pub fn new(picture: &'a Mosaic, distances: &[Mm]) -> Self {
        Self {
            picture,
            seen: distances
                .iter()
                .map(|&distance| (distance, picture.seen(distance)))
                .collect(),
            wanted: picture.of_beads().into_iter().map(lab).collect(),
        }
    }

    /// Measures a band that gives `lights`, one a bead, in `colours`.
    pub fn measure<C: PartialEq>(&self, lights: &[Light], colours: &[C]) -> Measure {
        let lattice = &self.picture.lattice;
        let band = self.picture.woven(lights);
        let mut differences: Vec<f64> = self
            .wanted
            .iter()
            .zip(lights)
            .map(|(&wanted, &given)| ciede2000(wanted, lab(given)))
            .collect();
        let beads = differences.iter().sum::<f64>() / differences.len().max(1) as f64;
        differences.sort_by(f64::total_cmp);
        let rank = (differences.len() * 95).div_ceil(100).max(1) - 1;
        Measure {
            seen: self
                .seen
                .iter()
                .map(|(distance, wanted)| apart(wanted, &band.seen(*distance), lattice, *distance))
                .collect(),
            beads,
            most: differences.get(rank).copied().unwrap_or_default(),
            changes: changes(lattice, colours),
            alone: alone(lattice, colours),
        }
    }
}

/// Measures a band in `colours`, one a bead, beside its `picture`.
pub fn measure<C: PartialEq>(
    picture: &Mosaic,
    lights: &[Light],
    colours: &[C],
    distances: &[Mm],
) -> Measure {
    Beside::new(picture, distances).measure(lights, colours)
}

/// Times that the colour changes within the rows.
pub fn changes<C: PartialEq>(lattice: &Lattice, colours: &[C]) -> usize {
    let of_row = |row| {
        colours[lattice.span_of(row)]
            .windows(2)
            .filter(|two| two[0] != two[1])
            .count()
    };
    lattice.all_rows().map(of_row).sum()
}

/// Beads that no bead of the same colour touches.
pub fn alone<C: PartialEq>(lattice: &Lattice, colours: &[C]) -> usize {
    let like = |bead: &usize| {
        let mut touching = lattice.neighbours(*bead);
        touching.any(|other| colours[other.index] == colours[*bead])
    };
    (0..lattice.len()).filter(|bead| !like(bead)).count()
}
