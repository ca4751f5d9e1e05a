//! Row numbers at the band's edges, a mark at every tenth row and at the centre column.

use super::placed_band::PlacedBand;
use super::style::Style;
use super::{Anchor, Figures, Item, Point, Text, Weight, font};
use crate::lattice::{Column, Lattice, Row};
use crate::units::Mm;
use crate::weave::usual_directions;

/// Smallest size that is read on paper at arm's length, in millimetres (5.4 points; common
/// practice, no source).
const SMALLEST: f64 = 1.9;
/// Largest size of a row number.
const LARGEST: f64 = 2.5;
/// From one number to the next on the same side, over the size, where every row is numbered.
const APART_EVERY: f64 = 1.25;
/// The same where every few rows are numbered.
const APART_STEPPED: f64 = 2.2;
/// Every how many rows there may be a number.
const STEPS: [u32; 12] = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];
/// Between a number and the band.
const SPACE: f64 = 3.0;

/// Which rows are numbered on which side.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RowNumbers {
    size: Mm,
    left: Vec<Row>,
    right: Vec<Row>,
}

impl RowNumbers {
    /// As many numbers as can be read at `scale` times true size.
    ///
    /// Where there is room every row has its number on the side from which it is worked, as in the
    /// booklet; or, where the work cannot begin at the bottom, on the side where its outermost bead
    /// is. Where there is no room, every second, fifth, tenth .. row has it on both sides, and the
    /// first and the last row.
    pub(super) fn new(lattice: &Lattice, scale: f64, style: &Style) -> Self {
        let y = |row| lattice.centre(Row::new(row), Column::new(1)).1;
        let pitch = (y(2) - y(1)).get() * scale / style.unit;
        let size = (0.86 * pitch).clamp(SMALLEST, LARGEST);
        let roomy = |step: u32| match step {
            1 => pitch * 2.0 >= APART_EVERY * size,
            _ => pitch * f64::from(step) >= APART_STEPPED * size,
        };
        let step = STEPS
            .into_iter()
            .find(|&step| roomy(step))
            .unwrap_or(10_000);
        if step == 1 {
            let first = |row: &Row| lattice.index(*row, Column::new(1)).is_some();
            let directions = usual_directions(lattice);
            // Both rows that are strung go the same way: the second has no number where there is
            // no room for it beside the first.
            let shown = |row: &Row| pitch >= size || row.get() != 2 || directions.is_none();
            let at_left = |row: &Row| match &directions {
                Some(forward) => forward[row.get() as usize - 1],
                None => first(row),
            };
            let (left, right) = lattice.all_rows().filter(shown).partition(at_left);
            let size = style.mm(size);
            return Self { size, left, right };
        }
        let apart = (APART_EVERY * size / pitch).ceil() as u32;
        let rows = stepped(lattice.rows(), step, apart);
        Self {
            size: style.mm(size),
            left: rows.clone(),
            right: rows,
        }
    }

    /// Room that the numbers take on either side of the band.
    pub(super) fn margin(&self, style: &Style) -> Mm {
        let all = self.left.iter().chain(&self.right);
        let last = all.map(|row| row.get()).max().unwrap_or(1).to_string();
        font::width(&last, self.size, Weight::Semibold, Figures::Tabular) + style.mm(SPACE)
    }

    /// The numbers beside `band`.
    pub(super) fn draw(&self, band: &PlacedBand, style: &Style) -> Vec<Item> {
        let space = style.mm(SPACE);
        let left = (Anchor::End, band.left - space);
        let right = (Anchor::Start, band.right() + space);
        let sides = [(left, &self.left), (right, &self.right)];
        let mut items = Vec::new();
        for ((anchor, x), rows) in sides {
            for row in rows {
                let tenth = row.get().is_multiple_of(10);
                items.push(Item::Text(Text {
                    anchor,
                    figures: Figures::Tabular,
                    weight: if tenth {
                        Weight::Semibold
                    } else {
                        Weight::Regular
                    },
                    colour: if tenth { style.ink } else { style.muted },
                    ..style.text(
                        x,
                        band.middle(*row) + self.size * (font::CAPITALS / 2.0),
                        self.size,
                        row.get().to_string(),
                    )
                }));
            }
        }
        items
    }
}

/// The first row, every `step`th and the last, at least `apart` rows from each other.
fn stepped(last: u32, step: u32, apart: u32) -> Vec<Row> {
    let clear = |row: &u32| *row > apart && last - row >= apart;
    let middle = (1..=last / step).map(|at| at * step).filter(clear);
    let end = Some(last).filter(|last| *last > apart);
    let rows = std::iter::once(1).chain(middle).chain(end);
    rows.map(Row::new).collect()
}

/// Light marks at every tenth row, on both sides, and above and below the centre column.
pub(super) fn marks(band: &PlacedBand, style: &Style) -> Vec<Item> {
    let (near, far) = (style.mm(0.8), style.mm(2.2));
    let mut items = Vec::new();
    let tenth = (1..=band.lattice.rows() / 10).map(|ten| Row::new(ten * 10));
    for y in tenth.map(|row| band.middle(row)) {
        for (from, to) in [
            (band.left - far, band.left - near),
            (band.right() + near, band.right() + far),
        ] {
            let line = style.mark(Point::new(from, y), Point::new(to, y));
            items.push(Item::Line(line));
        }
    }
    if band.lattice.centre_column().is_some() {
        let x = band.left + band.width() / 2.0;
        for (from, to) in [
            (band.top - far, band.top - near),
            (band.bottom() + near, band.bottom() + far),
        ] {
            let line = style.mark(Point::new(x, from), Point::new(x, to));
            items.push(Item::Line(line));
        }
    }
    items
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;

    fn numbers(columns: u32, rows: u32, scale: f64) -> RowNumbers {
        let rows = Rows::open(rows).unwrap();
        let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
        RowNumbers::new(&lattice, scale, &Style::on(None, 1.0))
    }

    fn plain(rows: &[Row]) -> Vec<u32> {
        rows.iter().map(|row| row.get()).collect()
    }

    #[test]
    fn every_row_is_numbered_on_its_own_side_where_there_is_room() {
        let numbers = numbers(9, 8, 3.5);
        assert_eq!(plain(&numbers.left), [1, 2, 4, 6, 8]);
        assert_eq!(plain(&numbers.right), [3, 5, 7]);
    }

    #[test]
    fn at_true_size_every_tenth_row_is_numbered() {
        assert_eq!(
            plain(&numbers(9, 74, 1.0).left),
            [1, 10, 20, 30, 40, 50, 60, 70, 74]
        );
        assert_eq!(plain(&numbers(9, 76, 1.0).left).last(), Some(&76));
        assert_eq!(plain(&numbers(9, 2, 1.0).left), [1]);
    }

    #[test]
    fn numbers_never_touch_whatever_the_scale() {
        for rows in [2, 9, 10, 11, 19, 74, 255, 2000] {
            for tenths in 1..80 {
                let scale = f64::from(tenths) / 10.0;
                let numbers = numbers(9, rows, scale);
                for side in [&numbers.left, &numbers.right] {
                    for pair in side.windows(2) {
                        let apart = f64::from(pair[1].get() - pair[0].get()) * 0.8 * scale;
                        assert!(
                            apart >= numbers.size.get() * font::CAPITALS * 1.2,
                            "{rows} rows at {scale}: {pair:?} are {apart} mm apart"
                        );
                    }
                }
            }
        }
    }
}
