//! How a loose end is woven in: back and forth through the beadwork, so that it cannot slip; no
//! knots.

use super::plan::{NeedlePlace, Pass, Plan};

/// Changes of direction when an end is woven in.
pub(super) const CHANGES: usize = 4;
/// Beads passed between two changes, where the band is wide enough.
const LEG: u32 = 4;

impl Plan<'_> {
    /// Weaves an end in from where the needle is, row by row away from the edge it lies at: `up` or
    /// down at first, and back where the rows end.
    ///
    /// Where an edge has one bead only, as on strips of two rows, or of three with an even count,
    /// there is nothing to turn into: the list stays empty.
    pub(super) fn weave_in(&mut self, mut needle: NeedlePlace, mut up: bool) -> Vec<Pass> {
        let before = std::mem::take(&mut self.passes);
        // The first leg is a change of direction too, unless the needle stands inside the band.
        let mut changes = 0;
        while changes <= CHANGES {
            let Some(next) = self.turned(needle, &mut up) else {
                break;
            };
            changes += usize::from(next.forward != needle.forward);
            needle = self.leg(next);
        }
        std::mem::replace(&mut self.passes, before)
    }

    /// The first bead of the next leg.
    fn turned(&self, needle: NeedlePlace, up: &mut bool) -> Option<NeedlePlace> {
        let at_edge = if needle.forward {
            needle.column == self.columns
        } else {
            needle.column == 1
        };
        let inside_start = self.passes.is_empty() && !at_edge;
        for _ in 0..2 {
            let step = if *up { 1 } else { -1 };
            let next = if inside_start {
                NeedlePlace {
                    row: needle.row + step,
                    column: if needle.forward {
                        needle.column + 1
                    } else {
                        needle.column - 1
                    },
                    forward: needle.forward,
                }
            } else {
                NeedlePlace {
                    row: needle.row + 2 * step,
                    column: needle.column,
                    forward: !needle.forward,
                }
            };
            if self.has(next.row) {
                return Some(next);
            }
            *up = !*up;
        }
        None
    }

    /// Passes through up to [`LEG`] beads, zigzag between two rows; returns where the needle comes
    /// out.
    fn leg(&mut self, first: NeedlePlace) -> NeedlePlace {
        let partner = if self.has(first.row - 1) {
            first.row - 1
        } else {
            first.row + 1
        };
        let mut needle = first;
        for step in 0..LEG {
            self.pass_at(needle);
            let column = if needle.forward {
                needle.column + 1
            } else {
                needle.column.wrapping_sub(1)
            };
            if step + 1 == LEG || !(1..=self.columns).contains(&column) {
                break;
            }
            let row = if needle.row == first.row {
                partner
            } else {
                first.row
            };
            let next = NeedlePlace {
                row,
                column,
                ..needle
            };
            // The last bead of a leg needs another in its column to turn into.
            if step + 2 == LEG && !self.has(row - 2) && !self.has(row + 2) {
                break;
            }
            needle = next;
        }
        needle
    }
}
