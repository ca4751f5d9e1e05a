//! Runs of like rows: where the same two rows come again and again, they are said once.

use super::{RowReport, WeaveReport};

/// Fewest repeats that are said once.
const FEWEST: usize = 3;

/// What is said in one go.
#[derive(Debug, Clone, Copy)]
pub enum RowsLine<'a> {
    /// One row.
    One(&'a RowReport),
    /// Two rows that are woven several times, one after the other.
    Repeated(Repeated<'a>),
}

/// Two rows that are woven several times.
#[derive(Debug, Clone, Copy)]
pub struct Repeated<'a> {
    /// The two rows, as they come first.
    pub pair: [&'a RowReport; 2],
    /// The last of all the rows, in the order of work.
    pub last: &'a RowReport,
    /// How often the two are woven.
    pub times: usize,
}

impl Repeated<'_> {
    /// `6 to 25`: the first row and the last one.
    pub fn rows(&self) -> String {
        format!("{} to {}", self.pair[0].row, self.last.row)
    }

    /// `these two rows 10 times:`.
    pub fn words(&self) -> String {
        format!("these two rows {} times:", self.times)
    }
}

impl WeaveReport {
    /// The rows as they are said: each alone, or two that come several times said once. A row whose
    /// turn is explained, or after which a new thread begins or the strip is tried on, stands
    /// alone.
    pub fn lines(&self) -> Vec<RowsLine<'_>> {
        let mut lines = Vec::new();
        let mut rest = &self.rows[..];
        while let [first, after @ ..] = rest {
            let times = repeats(rest);
            if times < FEWEST {
                lines.push(RowsLine::One(first));
                rest = after;
                continue;
            }
            lines.push(RowsLine::Repeated(Repeated {
                pair: [first, &rest[1]],
                last: &rest[2 * times - 1],
                times,
            }));
            rest = &rest[2 * times..];
        }
        lines
    }
}

/// How often the first two rows come, one after the other.
fn repeats(rows: &[RowReport]) -> usize {
    let is_alike = |one: &RowReport, other: &RowReport| {
        (one.travel, one.turn, &one.pick) == (other.travel, other.turn, &other.pick)
    };
    let plain = rows
        .iter()
        .take_while(|row| row.explained().is_none() && row.join.is_empty() && !row.try_on)
        .count();
    let mut alike = plain.min(2);
    while alike < plain && alike >= 2 && is_alike(&rows[alike], &rows[alike - 2]) {
        alike += 1;
    }
    alike / 2
}
