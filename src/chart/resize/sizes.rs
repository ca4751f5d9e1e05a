//! Which sizes a design can have.

use super::{ResizeBy, Resizer};
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::ring::{Closed, Gauge, Prefer, RingSize, fit};
use crate::units::{Mm, decimals};

/// The largest ring that is accepted.
const LARGEST: Mm = Mm::new(40.0);

/// A size, and the rows that it gets.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The requested size.
    pub size: RingSize,
    /// The rows that close round it, and their size.
    pub wanted: Closed,
    /// The rows that it gets; none if the design cannot have those exactly, and the nearest were
    /// not asked for.
    pub taken: Option<Closed>,
    /// Where the wanted rows are not exact: what is.
    pub gap: Option<SizeGap>,
}

/// The exact counts round one that is not.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeGap {
    /// The next one below.
    pub below: Option<Closed>,
    /// The next one above.
    pub above: Option<Closed>,
}

/// The rows for each of `sizes`. With `nearest`, a size that cannot be exact takes the nearest
/// count that is: of two as near the smaller, or as `prefer` says. One that is too small for the
/// motif takes none.
///
/// # Errors
/// If a size cannot be closed with this gauge at all.
pub fn plan(
    resizer: &Resizer,
    sizes: &[RingSize],
    gauge: &Gauge,
    prefer: Prefer,
    nearest: bool,
) -> Result<Vec<Planned>> {
    let fewest = resizer.fewest();
    let one = |size: &RingSize| {
        let wanted = fit(size, gauge, prefer)?.chosen;
        let rows = wanted.rows.count();
        if resizer.is_exact(rows) {
            return Ok(Planned {
                size: size.clone(),
                taken: Some(wanted.clone()),
                wanted,
                gap: None,
            });
        }
        let (below, above) = resizer.near(rows);
        let taken = match (below, above) {
            _ if !nearest || rows < fewest => None,
            (Some(below), Some(above)) => {
                let (down, up) = (rows - below, above - rows);
                let upwards = up < down || (up == down && prefer == Prefer::Larger);
                Some(if upwards { above } else { below })
            }
            (one, other) => one.or(other),
        };
        let closed = |rows: Option<u32>| -> Result<Option<Closed>> {
            rows.map(|rows| Ok(gauge.closed(Rows::closed(rows)?)))
                .transpose()
        };
        Ok(Planned {
            size: size.clone(),
            wanted,
            taken: closed(taken)?,
            gap: Some(SizeGap {
                below: closed(below)?,
                above: closed(above)?,
            }),
        })
    };
    sizes.iter().map(one).collect()
}

/// `us4.43`, or the diameter where there is no US number.
fn label(closed: &Closed) -> String {
    match closed.size.us() {
        Some(us) => format!("us{}", decimals(us, 2)),
        None => closed.size.to_string(),
    }
}

impl Planned {
    /// Why the size has no chart; none if it has one.
    pub fn reason(&self, resizer: &Resizer) -> Option<String> {
        let gap = self.gap.as_ref().filter(|_| self.taken.is_none())?;
        let rows = self.wanted.rows.count();
        let why = match (&gap.below, &gap.above) {
            (None, Some(least)) => format!(
                "but the design needs at least {}: fewer would be taken from its motif",
                least.rows.count()
            ),
            _ => broken(resizer),
        };
        Some(format!("{} closes with {rows} rows, {why}", self.size))
    }

    /// The row counts next to the one that the design cannot have, with their size, as `72 rows
    /// (us7.01) and 90 rows (us12.82)`. Empty where it can, and where the motif is too long.
    pub fn others(&self) -> String {
        let near = self.gap.iter().flat_map(|gap| match &gap.below {
            Some(_) => [&gap.below, &gap.above],
            None => [&None, &None],
        });
        let ways: Vec<String> = near
            .flatten()
            .map(|closed| format!("{} rows ({})", closed.rows.count(), label(closed)))
            .collect();
        ways.join(" and ")
    }

    /// The error of a size that is left out, with what would work; none if it is not left out.
    pub fn left_out(&self, resizer: &Resizer) -> Option<Error> {
        let error = Error::new(self.reason(resizer)?);
        let gap = self.gap.as_ref()?;
        Some(match (&gap.below, &gap.above) {
            // A band that is larger is no ring, and no size to name.
            (None, Some(least)) if least.size.diameter() <= LARGEST => error.hint(format!(
                "leave out sizes below {}, or draw a shorter motif",
                label(least)
            )),
            (None, _) => error.hint("draw a shorter motif"),
            (Some(_), None) => error.hint(format!(
                "the nearest count that works is {}; [--nearest] takes it",
                self.others()
            )),
            (Some(_), Some(_)) => error.hint(format!(
                "the nearest counts that work are {}; [--nearest] takes the nearer",
                self.others()
            )),
        })
    }
}

/// Why a count is not exact.
fn broken(resizer: &Resizer) -> String {
    match (resizer.by(), resizer.repeats()) {
        (ResizeBy::Repeats, _) => format!(
            "which is not a whole number of {}-row repeats",
            resizer.period()
        ),
        (ResizeBy::Stretches(_), 1) if resizer.unit() > 2 => format!(
            "which its borders do not divide: they add or remove {} rows at a time",
            resizer.step()
        ),
        (ResizeBy::Stretches(_), 1) => "which would break the end-to-end mirror image".to_string(),
        (ResizeBy::Stretches(_), repeats) => {
            format!("which cannot be divided into {repeats} equal repeats")
        }
    }
}
