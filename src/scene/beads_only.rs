//! The beads of a band and nothing else, for pages that set everything around them themselves.

use super::Beads;
use super::placed_band::{PlacedBand, bead_shape};
use crate::chart::Chart;
use crate::units::Mm;

/// The beads of `chart` at true size in lattice order (row 1 first, then by column); the band's
/// upper left corner is at 0, 0.
///
/// Their paint is their colour's index in the chart.
pub fn beads_only(chart: &Chart) -> Beads {
    let band = PlacedBand {
        lattice: chart.lattice,
        scale: 1.0,
        left: Mm::new(0.0),
        top: Mm::new(0.0),
    };
    let drawn = band.beads(chart, bead_shape(&chart.lattice, band.scale, false));
    let mut placed = Vec::with_capacity(drawn.placed.len());
    let mut end = drawn.placed.len();
    // Drawings go from the top down, the lattice from the bottom up.
    for row in chart.lattice.all_rows() {
        let start = end - chart.lattice.beads_in(row);
        placed.extend_from_slice(&drawn.placed[start..end]);
        end = start;
    }
    Beads {
        shape: drawn.shape,
        placed,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::chart::{Made, Shade};
    use crate::colour::Srgb8;
    use crate::lattice::{Lattice, Rows};

    #[test]
    #[allow(clippy::unwrap_used)]
    fn beads_are_in_lattice_order_and_where_the_lattice_has_them() {
        let lattice = Lattice::new(Bead::default(), 5, Rows::closed(6).unwrap()).unwrap();
        let shade = |at: u16| Shade {
            code: at.to_string(),
            name: at.to_string(),
            srgb: Srgb8::new(0, 0, 0),
            finish: None,
        };
        let count = lattice.len() as u16;
        let chart = Chart {
            lattice,
            colours: (0..count).map(shade).collect(),
            beads: (0..count).collect(),
            made: Made::default(),
            title: None,
            notes: None,
        };
        let beads = beads_only(&chart);
        for (at, bead) in beads.placed.iter().enumerate() {
            assert_eq!(usize::from(bead.paint), at);
            let (row, column) = lattice.position(at);
            let (x, y) = lattice.centre(row, column);
            let middle = bead.left + beads.shape.width / 2.0;
            assert!((middle.get() - x.get()).abs() < 1e-9);
            let below = lattice.flat_height() - (bead.top + beads.shape.height / 2.0);
            assert!((below.get() - y.get()).abs() < 1e-9);
        }
    }
}
