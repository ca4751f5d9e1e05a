//! A finished chart changed: beads set, the pattern shifted, flipped or repeated.
//!
//! Nothing else of the chart changes: colours that no bead has any more stay, as on the desk.

use super::{Chart, Shade};
use crate::error::{Error, Result};
use crate::lattice::{Flip, Lattice, Row, Rows, Shift};

impl Chart {
    /// Gives the beads with these places a colour; one with a new code is added to the chart's.
    ///
    /// # Errors
    /// If the chart has too many colours.
    pub fn set_beads(&mut self, beads: &[usize], shade: &Shade) -> Result<()> {
        let known = self.colours.iter().position(|own| own.code == shade.code);
        let at = known.unwrap_or(self.colours.len());
        if at >= super::MOST_COLOURS {
            return Err(
                Error::new("the chart has too many colours").hint("use one that it has already")
            );
        }
        if known.is_none() {
            self.colours.push(shade.clone());
        }
        for &bead in beads {
            self.beads[bead] = at as u16;
        }
        Ok(())
    }

    /// The pattern moved; what leaves on one side comes in on the other.
    ///
    /// # Errors
    /// If the beads would fall between beads.
    pub fn shifted(&self, shift: Shift) -> Result<Self> {
        Ok(self.taken_from(&self.lattice.shifted_from(shift)?))
    }

    /// The pattern flipped.
    ///
    /// # Errors
    /// If the beads would fall between beads.
    pub fn flipped(&self, flip: Flip) -> Result<Self> {
        let from = self.lattice.flipped_from(flip);
        let from = from.map_err(|error| match flip {
            Flip::Columns => error.hint(
                "flip it with [--mirror rows]: that is the same pattern, turned half round besides",
            ),
            Flip::Rows => error.hint("flip it with [--mirror columns], or add or leave out a row"),
            Flip::Both => error.hint("add or leave out a row, or flip it one way alone"),
        })?;
        Ok(self.taken_from(&from))
    }

    /// The rows from `first` to `last` again and again, over the whole band: the part stays where
    /// it is, and is repeated in both directions.
    ///
    /// # Errors
    /// If the part has an odd number of rows, or a closed band does not hold it a whole number of
    /// times. The last repeat of an open strip may be cut.
    pub fn filled(&self, first: Row, last: Row) -> Result<Self> {
        let (rows, part) = (self.lattice.rows(), self.part(first, last)?);
        if self.lattice.is_closed() && !rows.is_multiple_of(part) {
            let below = rows / part;
            let counts = [below, below + 1].map(|times| {
                let all = times * part;
                format!("[--times {times}] for {all} rows")
            });
            return Err(Error::new(format!(
                "{part} rows do not go evenly into the {rows} rows of the ring"
            ))
            .hint(format!("add {} or {}", counts[0], counts[1])));
        }
        Ok(self.repeated_from(first, part))
    }

    /// A band of the rows from `first` to `last`, `times` after one another.
    ///
    /// # Errors
    /// If the part has an odd number of rows, or the band would be too short or too long.
    pub fn repeated(&self, first: Row, last: Row, times: u32) -> Result<Self> {
        let part = self.part(first, last)?;
        let count = part.saturating_mul(times);
        let rows = if self.lattice.is_closed() {
            Rows::closed(count)
        } else {
            Rows::open(count)
        };
        let rows = rows.map_err(|error| error.of_option("times"))?;
        let lattice = Lattice::new(self.lattice.bead(), self.lattice.columns(), rows)?;
        // Row 1 is the part's first odd row.
        let begin = first.get() + 1 - first.get() % 2;
        let order = (0..count).map(|at| {
            let row = begin - first.get() + at;
            Row::new(first.get() + row % part)
        });
        let beads = order.flat_map(|row| self.row(row)).copied().collect();
        Ok(Self {
            lattice,
            beads,
            ..self.clone()
        })
    }

    fn repeated_from(&self, first: Row, part: u32) -> Self {
        let order = self.lattice.all_rows().map(|row| {
            let after = i64::from(row.get()) - i64::from(first.get());
            Row::new(first.get() + after.rem_euclid(i64::from(part)) as u32)
        });
        let beads = order.flat_map(|row| self.row(row)).copied().collect();
        Self {
            beads,
            ..self.clone()
        }
    }

    fn taken_from(&self, from: &[usize]) -> Self {
        Self {
            beads: from.iter().map(|&bead| self.beads[bead]).collect(),
            ..self.clone()
        }
    }

    /// How many rows a part has.
    fn part(&self, first: Row, last: Row) -> Result<u32> {
        let (first, last) = (first.get(), last.get());
        let part = last + 1 - first;
        if part.is_multiple_of(2) {
            return Ok(part);
        }
        let shorter = (last > first).then(|| format!("{first}..{}", last - 1));
        let longer = (last < self.lattice.rows()).then(|| format!("{first}..{}", last + 1));
        let others: Vec<String> = shorter.into_iter().chain(longer).collect();
        let rows = match part {
            1 => format!("row {first} is 1 row"),
            _ => format!("rows {first}..{last} are {part} rows"),
        };
        Err(Error::usage(format!(
            "{rows}: an odd number cannot be repeated, since odd and even rows differ"
        ))
        .hint(format!("take {}", others.join(" or "))))
    }
}
