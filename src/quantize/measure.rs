//! How good a band is: how far it looks from its picture, and how much there is to change while
//! weaving.

use crate::cancel::Cancel;
use crate::colour::{Lab, Light, ciede2000, lab};
use crate::lattice::Lattice;
use crate::units::Mm;
use crate::vision::band::{Filtered, Mosaic, ViewDifference, view_difference};

/// The figures of a band against its picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// As seen from each distance.
    pub views: Vec<ViewDifference>,
    /// Mean CIEDE2000 between each bead and the mean light of the picture on it.
    pub beads: f64,
    /// The difference that 95 of 100 beads do not exceed.
    pub p95: f64,
    /// Colour changes within the rows, row by row.
    pub changes: usize,
    /// Stray beads: no bead of the same colour touches them.
    pub stray: usize,
}

/// A picture that bands are compared with, filtered once for each distance.
pub struct Reference<'a> {
    picture: &'a Mosaic,
    views: Vec<(Mm, Filtered)>,
    beads: Vec<Lab>,
    cancel: &'a Cancel,
}

impl<'a> Reference<'a> {
    /// `picture` from each of `distances`; what is measured is incomplete once the work was
    /// cancelled.
    pub fn new(picture: &'a Mosaic, distances: &[Mm], cancel: &'a Cancel) -> Self {
        Self {
            picture,
            views: distances
                .iter()
                .take_while(|_| !cancel.is_over())
                .map(|&distance| (distance, picture.filtered(distance)))
                .collect(),
            beads: picture.of_beads().into_iter().map(lab).collect(),
            cancel,
        }
    }

    /// Measures a band that gives `lights`, one a bead, in `colours`.
    pub fn measure<C: PartialEq>(&self, lights: &[Light], colours: &[C]) -> Measure {
        let lattice = &self.picture.lattice;
        let band = self.picture.with_bead_colours(lights);
        let mut differences: Vec<f64> = self
            .beads
            .iter()
            .zip(lights)
            .map(|(&picture, &given)| ciede2000(picture, lab(given)))
            .collect();
        let beads = differences.iter().sum::<f64>() / differences.len().max(1) as f64;
        differences.sort_by(f64::total_cmp);
        let rank = (differences.len() * 95).div_ceil(100).max(1) - 1;
        let view = |(distance, picture): &(Mm, Filtered)| {
            view_difference(picture, &band.filtered(*distance), lattice, *distance)
        };
        let views = self.views.iter().take_while(|_| !self.cancel.is_over());
        Measure {
            views: views.map(view).collect(),
            beads,
            p95: differences.get(rank).copied().unwrap_or_default(),
            changes: changes(lattice, colours),
            stray: stray(lattice, colours),
        }
    }
}

/// Measures a band in `colours`, one a bead, against its `picture`; incomplete once the work was
/// cancelled.
pub fn measure<C: PartialEq>(
    picture: &Mosaic,
    lights: &[Light],
    colours: &[C],
    distances: &[Mm],
    cancel: &Cancel,
) -> Measure {
    Reference::new(picture, distances, cancel).measure(lights, colours)
}

/// Colour changes within the rows.
pub fn changes<C: PartialEq>(lattice: &Lattice, colours: &[C]) -> usize {
    let of_row = |row| {
        colours[lattice.span_of(row)]
            .windows(2)
            .filter(|two| two[0] != two[1])
            .count()
    };
    lattice.all_rows().map(of_row).sum()
}

/// Stray beads: no bead of the same colour touches them.
pub fn stray<C: PartialEq>(lattice: &Lattice, colours: &[C]) -> usize {
    let like = |bead: &usize| {
        let mut touching = lattice.neighbours(*bead);
        touching.any(|other| colours[other.index] == colours[*bead])
    };
    (0..lattice.len()).filter(|bead| !like(bead)).count()
}
