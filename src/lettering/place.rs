//! A line of text to beads of a band: where it stands, and what to do where it does not fit.

use super::spacing::{FRAME, Line, set};
use super::text::Text;
use super::{Alphabet, Direction, Height, either};
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use std::collections::BTreeSet;

/// Clear half rows between the end of a text and its next beginning.
const APART: u32 = 6;

/// A text, and how it is set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lettering {
    /// What is written.
    pub text: String,
    /// Columns of a capital that reads along the band; none for the largest that fits.
    pub height: Option<Height>,
    /// Which way it reads.
    pub direction: Direction,
    /// How often it stands on the band, evenly spread.
    pub repeats: u32,
    /// The row of its middle, or of the middle of the first; none for the front.
    pub row: Option<u32>,
}

/// A text on a band.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letters {
    /// The inked beads, in lattice order.
    pub ink: Vec<usize>,
    /// The beads of ground that touch them, in lattice order.
    pub around: Vec<usize>,
    /// The height that was taken; none across the band.
    pub height: Option<Height>,
    /// First and last column with ink.
    pub columns: (u32, u32),
    /// Rows that each text takes.
    pub rows: u32,
    /// Rows from the start of one text to that of the next, fewest and most; none for one text.
    pub steps: Option<(u32, u32)>,
}

/// Lays a text on a band.
///
/// # Errors
/// If the text has a character that is not drawn, or does not fit: the error names the heights,
/// repeats, columns or rows that do.
pub fn layout(lettering: &Lettering, lattice: &Lattice) -> Result<Letters> {
    if lettering.repeats == 0 {
        return Err(Error::usage("letters that stand nowhere").hint("repeat them once or more"));
    }
    if let Some(row) = lettering
        .row
        .filter(|&row| row == 0 || row > lattice.rows())
    {
        let rows = lattice.rows();
        let what = format!("the letters are at row {row}, and the band has {rows}");
        return Err(Error::usage(what).hint(format!("give a row from 1 to {rows}")));
    }
    let text = Text::new(&lettering.text)?;
    let job = Job {
        lettering,
        lattice,
        text,
    };
    match (lettering.direction, lettering.height) {
        (Direction::Across, Some(_)) => Err(Error::usage(
            "letters across the band have one size, whatever the height",
        )
        .hint("leave the height out")),
        (Direction::Across, None) => job.placed(None),
        (Direction::Along, Some(height)) => job.placed(Some(height)),
        (Direction::Along, None) => job.largest(),
    }
}

struct Job<'a> {
    lettering: &'a Lettering,
    lattice: &'a Lattice,
    text: Text,
}

impl Job<'_> {
    /// The largest letters that leave a column free at both edges, or else that fit at all.
    fn largest(&self) -> Result<Letters> {
        let columns = self.lattice.columns();
        let heights = || Height::ALL.into_iter().rev().map(Some);
        let airy =
            heights().filter(|height| height.is_some_and(|own| own.columns() + 2 <= columns));
        let found = airy
            .chain(heights())
            .find_map(|height| self.placed(height).ok());
        found.map_or_else(|| self.placed(Some(Height::Five)), Ok)
    }

    fn line(&self, height: Option<Height>) -> Result<(Line, &'static Alphabet)> {
        let alphabet = match height {
            Some(height) => Alphabet::along(height)?,
            None => Alphabet::across()?,
        };
        let line = set(&self.text.glyphs(alphabet)?, alphabet);
        if line.beads.is_empty() {
            return Err(Error::usage("there are no letters to set").hint("write a name or a word"));
        }
        Ok((line, alphabet))
    }

    fn placed(&self, height: Option<Height>) -> Result<Letters> {
        let (line, alphabet) = self.line(height)?;
        let Some(column) = self.column(&line, alphabet) else {
            return Err(self.too_wide(&line, height));
        };
        if !self.is_short_enough(&line, self.lettering.repeats) {
            return Err(self.too_long(&line, height));
        }
        let lattice = self.lattice;
        let middles = self.middles();
        let starts: Vec<i64> = middles
            .iter()
            .map(|&at| self.start(&line, at, column))
            .collect();
        let sign = match self.lettering.direction {
            Direction::Along => 1,
            Direction::Across => -1,
        };
        let mut ink = BTreeSet::new();
        for start in &starts {
            for bead in &line.beads {
                let row = start + sign * i64::from(bead.along);
                ink.extend(lattice.at(row, column + i64::from(bead.column)));
            }
        }
        let around: BTreeSet<usize> = ink
            .iter()
            .flat_map(|&bead| lattice.neighbours(bead))
            .map(|neighbour| neighbour.index)
            .filter(|bead| !ink.contains(bead))
            .collect();
        let (first, last) = line.columns();
        Ok(Letters {
            ink: ink.into_iter().collect(),
            around: around.into_iter().collect(),
            height,
            columns: (
                (column + i64::from(first)) as u32,
                (column + i64::from(last)) as u32,
            ),
            rows: rows(&line),
            steps: self.steps(&starts),
        })
    }

    /// The band's column for column 0 of the line: capitals in the middle, moved only as far as
    /// accents need room; none if they do not fit.
    fn column(&self, line: &Line, alphabet: &Alphabet) -> Option<i64> {
        let all = i64::from(self.lattice.columns());
        let own = match alphabet.direction {
            Direction::Along => i64::from(alphabet.lines),
            Direction::Across => i64::from(FRAME),
        };
        let (first, last) = line.columns();
        let (least, most) = (1 - i64::from(first), all - i64::from(last));
        (least <= most).then(|| ((all - own).div_euclid(2) + 1).clamp(least, most))
    }

    fn is_short_enough(&self, line: &Line, repeats: u32) -> bool {
        let lattice = self.lattice;
        if !lattice.is_closed() && repeats == 1 {
            return rows(line) <= lattice.rows();
        }
        u64::from(repeats) * u64::from(rows(line) + APART) <= u64::from(lattice.rows())
    }

    /// The rows of the middles, from 1; beyond the last row on round the seam.
    fn middles(&self) -> Vec<u32> {
        let (rows, repeats) = (self.lattice.rows(), self.lettering.repeats);
        let spread = |at: u32| ((2 * at + 1) * rows).div_ceil(2 * repeats);
        let on_round = |first: u32, at: u32| first + (2 * at * rows + repeats) / (2 * repeats);
        let front = rows.div_ceil(2);
        let all = 0..repeats;
        match self.lettering.row {
            None if !self.lattice.is_closed() => all.map(spread).collect(),
            row => all.map(|at| on_round(row.unwrap_or(front), at)).collect(),
        }
    }

    /// The row for half row 0 of the line: its middle is at `middle` or half a bead beside it,
    /// where beads come to lie on beads, and on an open strip as far from there as its ends need.
    fn start(&self, line: &Line, middle: u32, column: i64) -> i64 {
        let (first, last) = line.along();
        let (first, last) = match self.lettering.direction {
            Direction::Along => (i64::from(first), i64::from(last)),
            Direction::Across => (-i64::from(last), -i64::from(first)),
        };
        let fits = |start: i64| (start - column).rem_euclid(2) == 0;
        let mut start = (2 * i64::from(middle) - first - last).div_euclid(2);
        if !fits(start) {
            start += 1;
        }
        if !self.lattice.is_closed() {
            let (least, most) = (1 - first, i64::from(self.lattice.rows()) - last);
            while start > most && start - 2 >= least {
                start -= 2;
            }
            while start < least {
                start += 2;
            }
        }
        start
    }

    fn steps(&self, starts: &[i64]) -> Option<(u32, u32)> {
        let first = starts.first()?;
        let next = starts.iter().skip(1).copied();
        let round = self
            .lattice
            .is_closed()
            .then(|| first + i64::from(self.lattice.rows()));
        let steps: Vec<u32> = starts
            .iter()
            .zip(next.chain(round))
            .map(|(one, other)| (other - one) as u32)
            .collect();
        if starts.len() < 2 {
            return None;
        }
        Some((*steps.iter().min()?, *steps.iter().max()?))
    }

    /// The heights at which the text fits the band, so often.
    fn heights(&self, repeats: u32) -> Vec<String> {
        let fits = |height: &Height| {
            self.line(Some(*height)).is_ok_and(|(line, alphabet)| {
                self.column(&line, alphabet).is_some() && self.is_short_enough(&line, repeats)
            })
        };
        let heights = Height::ALL.iter().filter(|height| fits(height));
        heights.map(Height::to_string).collect()
    }

    fn too_wide(&self, line: &Line, height: Option<Height>) -> Error {
        let (first, last) = line.columns();
        let (needed, there) = (last - first + 1, self.lattice.columns());
        let named = self.named(height);
        let mut ways = self.ways(height, self.lettering.repeats);
        ways.push(format!("a band of {needed} columns"));
        Error::usage(format!(
            "{named} takes {needed} columns with what stands above and below the capitals, and \
             the band has {there}"
        ))
        .hint(format!("use {}", either(&ways)))
    }

    fn too_long(&self, line: &Line, height: Option<Height>) -> Error {
        let (repeats, rows_there) = (self.lettering.repeats, self.lattice.rows());
        let own = rows(line);
        let open = !self.lattice.is_closed() && repeats == 1;
        let needed = if open { own } else { repeats * (own + APART) };
        let needed = if self.lattice.is_closed() {
            needed.next_multiple_of(2)
        } else {
            needed
        };
        let named = self.named(height);
        let often = match repeats {
            1 => String::new(),
            _ => format!(", {repeats} times"),
        };
        let mut ways = self.ways(height, repeats);
        let most = (1..repeats)
            .rev()
            .find(|&fewer| self.is_short_enough(line, fewer));
        ways.extend(most.map(|fewer| match fewer {
            1 => "it once".to_string(),
            _ => format!("{fewer} repeats"),
        }));
        ways.push(format!("a band of {needed} rows or more"));
        Error::usage(format!(
            "{named} is {own} rows long{often}, with {APART} clear rows behind it, and the band \
             has {rows_there}"
        ))
        .hint(format!("use {}", either(&ways)))
    }

    fn named(&self, height: Option<Height>) -> String {
        match height {
            Some(height) => format!("'{}' at a height of {height}", self.text.given),
            None => format!("'{}' across the band", self.text.given),
        }
    }

    /// Other sizes that fit.
    fn ways(&self, height: Option<Height>, repeats: u32) -> Vec<String> {
        let mut ways = Vec::new();
        let heights = self.heights(repeats);
        if !heights.is_empty() {
            let along = match height {
                Some(_) => "",
                None => "letters along the band at ",
            };
            ways.push(format!("{along}a height of {}", either(&heights)));
        }
        let across = height.is_some()
            && self.line(None).is_ok_and(|(line, alphabet)| {
                self.column(&line, alphabet).is_some() && self.is_short_enough(&line, repeats)
            });
        if across {
            ways.push("letters across the band".to_string());
        }
        ways
    }
}

/// Rows that a line takes.
fn rows(line: &Line) -> u32 {
    let (first, last) = line.along();
    (last - first + 1) as u32
}
