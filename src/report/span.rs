//! Some of a band's rows.

use crate::error::{Error, Result};
use crate::lattice::{Lattice, Row};

/// What `--rows` asks for: either end may be open.
#[derive(Debug, Clone, Copy)]
pub struct Span<'a> {
    first: Option<&'a str>,
    last: Option<&'a str>,
}

impl<'a> Span<'a> {
    /// Reads `20..35`, `20..`, `..35` or `20`.
    ///
    /// # Errors
    /// If it is none of these, runs backwards, or names row 0.
    pub fn parse(text: &'a str) -> Result<Self> {
        let end = |digits: &'a str| Some(digits).filter(|digits| !digits.is_empty());
        let (first, last) = match text.split_once("..") {
            Some((first, last)) => (end(first), end(last)),
            None => (end(text), end(text)),
        };
        let asked = Self { first, last };
        let mut ends = first.iter().chain(&last);
        let figures = ends.all(|end| end.bytes().all(|byte| byte.is_ascii_digit()));
        if !figures || (first, last) == (None, None) {
            return Err(Error::usage(format!("'{text}' is not a range of rows"))
                .option("--rows")
                .hint("write 20..35, 20.., ..35 or 20"));
        }
        asked.in_order(text)
    }

    fn in_order(self, text: &str) -> Result<Self> {
        let [first, last] = [self.first, self.last].map(|end| end.map(number));
        if first == Some(0) || last == Some(0) {
            return Err(Error::usage("there is no row 0")
                .option("--rows")
                .hint("rows are numbered from 1"));
        }
        match (first, last) {
            (Some(first), Some(last)) if first > last => {
                Err(Error::usage(format!("'{text}' runs backwards"))
                    .option("--rows")
                    .hint(format!(
                        "write {last}..{first}; rows are told in the order of work"
                    )))
            }
            _ => Ok(self),
        }
    }

    /// The first and the last row, if the band has them.
    ///
    /// # Errors
    /// If it has not.
    pub fn within(self, lattice: &Lattice) -> Result<(Row, Row)> {
        let rows = lattice.rows();
        let mut ends = self.first.into_iter().chain(self.last);
        match ends.find(|end| number(end) > rows) {
            None => Ok((
                Row::new(self.first.map_or(1, number)),
                Row::new(self.last.map_or(rows, number)),
            )),
            Some(end) => Err(Error::usage(format!("there is no row {end} in this band"))
                .option("--rows")
                .hint(format!("its rows are 1..{rows}"))),
        }
    }
}

/// What figures say; more than can be counted to is more than any band has.
fn number(digits: &str) -> u32 {
    digits.parse().unwrap_or(u32::MAX)
}
