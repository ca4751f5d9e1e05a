//! A band at a position in a drawing: where its edges, rows and beads are.

use super::relief::Relief;
use super::{Beads, Placed, Shape};
use crate::chart::Chart;
use crate::lattice::{Column, Lattice, Row};
use crate::units::Mm;

/// Space between two beads, over the smaller side of a bead.
const GAP: f64 = 0.05;
/// Radius of a bead's corners, over the same.
const CORNER: f64 = 0.17;

/// The shape of a bead at `scale` times its true size, a hairline smaller so that neighbours are
/// told apart; shaded or flat.
pub(super) fn bead_shape(lattice: &Lattice, scale: f64, shaded: bool) -> Shape {
    let bead = lattice.bead();
    let smaller = bead.length.get().min(bead.diameter.get()) * scale;
    let gap = Mm::new(smaller * GAP);
    Shape {
        width: bead.length * scale - gap,
        height: bead.diameter * scale - gap,
        corner: Mm::new(smaller * CORNER),
        outline: Mm::new(smaller * GAP),
        relief: shaded.then(|| Relief::of(&bead, scale)),
    }
}

/// A band at a position in a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PlacedBand {
    pub(super) lattice: Lattice,
    pub(super) scale: f64,
    pub(super) left: Mm,
    pub(super) top: Mm,
}

impl PlacedBand {
    pub(super) fn width(&self) -> Mm {
        self.lattice.width() * self.scale
    }

    pub(super) fn height(&self) -> Mm {
        self.lattice.flat_height() * self.scale
    }

    pub(super) fn right(&self) -> Mm {
        self.left + self.width()
    }

    pub(super) fn bottom(&self) -> Mm {
        self.top + self.height()
    }

    /// The line through the middle of a row's beads.
    pub(super) fn middle(&self, row: Row) -> Mm {
        let (_, y) = self.lattice.centre(row, Column::new(1));
        let above = self.lattice.flat_height() - y;
        self.top + above * self.scale
    }

    /// The line through the middle of a column's beads.
    pub(super) fn column_middle(&self, column: Column) -> Mm {
        let (x, _) = self.lattice.centre(Row::new(1), column);
        self.left + x * self.scale
    }

    /// The beads, the last row first.
    pub(super) fn beads(&self, chart: &Chart, shape: Shape) -> Beads {
        self.beads_of(chart, shape, &Block::whole(&self.lattice))
    }

    /// The beads of a block.
    pub(super) fn beads_of(&self, chart: &Chart, shape: Shape, block: &Block) -> Beads {
        let flat = self.lattice.flat_height();
        let mut placed = Vec::new();
        for row in block.rows().rev() {
            let all = self.lattice.columns_of(row).zip(chart.row(row));
            for (column, &paint) in all.filter(|(column, _)| block.has_column(*column)) {
                let (x, y) = self.lattice.centre(row, column);
                placed.push(Placed {
                    left: self.left + x * self.scale - shape.width / 2.0,
                    top: self.top + (flat - y) * self.scale - shape.height / 2.0,
                    paint,
                });
            }
        }
        Beads { shape, placed }
    }
}

/// Rows and columns next to each other, both ends included.
#[derive(Debug, Clone, Copy)]
pub(super) struct Block {
    pub(super) rows: (Row, Row),
    pub(super) columns: (Column, Column),
}

impl Block {
    fn whole(lattice: &Lattice) -> Self {
        Self {
            rows: (Row::new(1), Row::new(lattice.rows())),
            columns: (Column::new(1), Column::new(lattice.columns())),
        }
    }

    pub(super) fn rows(&self) -> impl DoubleEndedIterator<Item = Row> + use<> {
        (self.rows.0.get()..=self.rows.1.get()).map(Row::new)
    }

    pub(super) fn has_column(&self, column: Column) -> bool {
        (self.columns.0..=self.columns.1).contains(&column)
    }
}
