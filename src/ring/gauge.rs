//! The weaver's own gauge: the bead-to-bead spacing, from a swatch or from a band that fits.
//!
//! The bead-to-bead spacing `P` is the distance between the centres of neighbouring beads in a
//! column.
//!
//! | measured | type | spacing |
//! | --- | --- | --- |
//! | a flat swatch of `N` rows, `MM` high | [`Swatch`] | `P = 2 (MM - D)/(N - 1)` |
//! | a closed band of `N` rows that fits diameter `d` | [`KnownFit`] | `P = (d + D) sin(2π/N)` |
//! | nothing | [`Hand::Average`] | `P = 1.03125 D`: 1.65 mm for 11/0 |
//!
//! A swatch is `N - 1` half spacings and a bead's diameter high. All three are geometry of rollers
//! of diameter `D`; no published gauge was found to set against them.

use super::sizes::RingSize;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::units::{Mm, decimals, length};
use std::f64::consts::PI;
use std::fmt;
use std::path::PathBuf;

/// How loosely a weaver works: what is assumed where nothing was measured.
///
/// Common practice for 11/0, no source; other sizes scale the same allowance, which is less sure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// Beads touch: the physical limit.
    Tight,
    /// 1.65 mm for 11/0.
    Average,
    /// 1.70 mm for 11/0.
    Loose,
}

impl Hand {
    /// Every hand, from tight to loose.
    pub const ALL: [Self; 3] = [Self::Tight, Self::Average, Self::Loose];

    /// The spacing in bead diameters.
    pub const fn spacing(self) -> f64 {
        match self {
            Self::Tight => 1.0,
            Self::Average => 1.65 / 1.6,
            Self::Loose => 1.7 / 1.6,
        }
    }
}

/// Spacings and columns that are accepted, in bead diameters and lengths.
const RANGE: (f64, f64) = (0.8, 1.5);

/// Where a gauge comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Source {
    /// Nothing was measured: a hand is assumed.
    Assumed,
    /// A flat swatch.
    Swatch(Swatch),
    /// A band that is known to fit.
    KnownFit(KnownFit),
    /// The weaver's gauge file.
    Remembered {
        /// The file.
        file: PathBuf,
        /// What was measured: `swatch 40=33.6` or `fits 74=us7`.
        from: String,
    },
}

/// A flat swatch, measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swatch {
    /// Rows, counted zigzag over two neighbouring columns.
    pub rows: u32,
    /// Height of these rows, from the first bead's edge to the last one's.
    pub height: Mm,
    /// Columns and their width, where they were measured too.
    pub columns: Option<(u32, Mm)>,
}

/// A closed band that is known to fit a size.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownFit {
    /// Its columns, where they are known.
    pub columns: Option<u32>,
    /// Its rows.
    pub rows: Rows,
    /// The size.
    pub size: RingSize,
}

/// A weaver's gauge: spacing along a column, and length of a bead across the band.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    bead: Bead,
    spacing: Mm,
    column: Option<Mm>,
    source: Source,
}

impl Swatch {
    /// Reads `ROWS=MM` or `COLUMNSxROWS=MMxMM`, such as `20=17.2` or `9x20=11.9x17.2`; inches have
    /// their unit, `20=0.68in`.
    ///
    /// # Errors
    /// If the text is neither, a swatch has fewer than 3 rows or no column, or a measure is not
    /// above 0.
    pub fn parse(text: &str) -> Result<Self> {
        let unreadable = || {
            Error::usage(format!("'{text}' is not a swatch")).hint(
                "write rows = height in mm, such as 20=17.2, or in inches, such as 20=0.68in, or \
                 columns x rows = width x height, such as 9x20=11.9x17.2",
            )
        };
        let lower = text.to_lowercase();
        let (counts, measures) = lower.split_once('=').ok_or_else(unreadable)?;
        let counts = parts(counts, |part| part.parse::<u32>().ok()).ok_or_else(unreadable)?;
        let above_zero = |part: &str| length(part).filter(|length| length.get() > 0.0);
        let measures = parts(measures, above_zero).ok_or_else(unreadable)?;
        let (columns, rows, height) = match (&counts[..], &measures[..]) {
            (&[rows], &[height]) => (None, rows, height),
            (&[columns, rows], &[width, height]) => (Some((columns, width)), rows, height),
            _ => return Err(unreadable()),
        };
        if rows < 3 || columns.is_some_and(|(columns, _)| columns == 0) {
            return Err(Error::usage(format!("'{text}' is too small a swatch"))
                .hint("weave 40 rows or more: a longer swatch measures better"));
        }
        Ok(Self {
            rows,
            height,
            columns,
        })
    }
}

impl KnownFit {
    /// Reads `ROWS=SIZE` or `COLUMNSxROWS=SIZE`, such as `74=us7` or `9x74=us7`.
    ///
    /// # Errors
    /// If the text is no such pair, the rows do not close, or the size is none.
    pub fn parse(text: &str) -> Result<Self> {
        let unreadable = || {
            Error::usage(format!("'{text}' is not a band that fits"))
                .hint("write rows = ring size, such as 74=us7, or columns x rows, such as 9x74=us7")
        };
        let (counts, size) = text.split_once('=').ok_or_else(unreadable)?;
        let counts = counts.to_lowercase();
        let counts = parts(&counts, |part| part.parse::<u32>().ok()).ok_or_else(unreadable)?;
        let (columns, rows) = match counts[..] {
            [rows] => (None, rows),
            [columns, rows] if columns > 0 => (Some(columns), rows),
            _ => return Err(unreadable()),
        };
        Ok(Self {
            columns,
            rows: Rows::closed(rows)?,
            size: RingSize::parse(size)?,
        })
    }
}

/// The parts between the crosses of `9x20`.
fn parts<T>(text: &str, read: impl Fn(&str) -> Option<T>) -> Option<Vec<T>> {
    text.split(['x', '×'])
        .map(|part| read(part.trim()))
        .collect()
}

impl Gauge {
    /// What is taken where nothing was measured: an average hand.
    pub fn assumed(bead: Bead) -> Self {
        Self::of_hand(bead, Hand::Average)
    }

    /// The gauge of a hand.
    pub fn of_hand(bead: Bead, hand: Hand) -> Self {
        Self {
            bead,
            spacing: bead.diameter * hand.spacing(),
            column: None,
            source: Source::Assumed,
        }
    }

    /// Whether nothing was measured.
    pub const fn is_assumed(&self) -> bool {
        matches!(self.source, Source::Assumed)
    }

    /// The gauge of a flat swatch: `P = 2 (MM - D)/(N - 1)`.
    ///
    /// # Errors
    /// If the spacing or the column is not 0.8 to 1.5 times the bead's.
    pub fn from_swatch(bead: Bead, swatch: Swatch) -> Result<Self> {
        let spacing = (swatch.height - bead.diameter) * 2.0 / f64::from(swatch.rows - 1);
        let column = swatch
            .columns
            .map(|(columns, width)| width / f64::from(columns));
        Self::of_measures(bead, spacing, column, Source::Swatch(swatch))
    }

    /// The gauge of a closed band that fits: `P = (d + D) sin(π/n)`.
    ///
    /// # Errors
    /// If the spacing is not 0.8 to 1.5 times the bead's diameter.
    pub fn from_fit(bead: Bead, known: KnownFit) -> Result<Self> {
        let round = f64::from(known.rows.count() / 2);
        let spacing = (known.size.diameter() + bead.diameter) * libm::sin(PI / round);
        Self::of_measures(bead, spacing, None, Source::KnownFit(known))
    }

    /// A gauge by its measures.
    ///
    /// # Errors
    /// If the spacing or the column is not 0.8 to 1.5 times the bead's.
    pub fn of_measures(
        bead: Bead,
        spacing: Mm,
        column: Option<Mm>,
        source: Source,
    ) -> Result<Self> {
        let accepted = |mm: Mm, of: Mm| (RANGE.0..=RANGE.1).contains(&(mm / of));
        if !accepted(spacing, bead.diameter) {
            return Err(
                out_of_range("a bead-to-bead spacing", spacing, bead.diameter).hint(
                    "measure in mm, count rows zigzag over two neighbouring columns, and give the \
                     bead size with [--bead]",
                ),
            );
        }
        if let Some(column) = column
            && !accepted(column, bead.length)
        {
            return Err(out_of_range("a column width", column, bead.length).hint(
                "give columns before rows, and width before height, such as 9x20=11.9x17.2",
            ));
        }
        Ok(Self {
            bead,
            spacing,
            column,
            source,
        })
    }

    /// The bead.
    pub const fn bead(&self) -> Bead {
        self.bead
    }

    /// The bead-to-bead spacing: between the centres of neighbouring beads in a column.
    pub const fn spacing(&self) -> Mm {
        self.spacing
    }

    /// Length of a bead across the band as measured in a swatch, if it was.
    pub const fn measured_column(&self) -> Option<Mm> {
        self.column
    }

    /// Where it comes from.
    pub const fn source(&self) -> &Source {
        &self.source
    }

    /// The band that fits which this was measured with, if it was.
    pub fn known_fit(&self) -> Option<KnownFit> {
        match &self.source {
            Source::KnownFit(known) => Some(known.clone()),
            Source::Remembered { from, .. } => {
                let text = from.strip_prefix("fits ")?;
                KnownFit::parse(text).ok()
            }
            Source::Assumed | Source::Swatch(_) => None,
        }
    }

    /// Width of a band: its columns as measured in a swatch, or else beads end to end.
    pub fn width(&self, columns: u32) -> Mm {
        self.column.unwrap_or(self.bead.length) * f64::from(columns)
    }

    /// Height of a flat swatch of `rows`: `(N - 1) P/2 + D`.
    pub fn swatch_height(&self, rows: u32) -> Mm {
        self.spacing * (f64::from(rows.saturating_sub(1)) / 2.0) + self.bead.diameter
    }

    /// Inside diameter of a closed band of `rows`, `P / sin(π/n) - D`, with `n = N/2` beads
    /// standing like rollers round each column.
    pub fn diameter(&self, rows: Rows) -> Mm {
        let round = f64::from(rows.count()) / 2.0;
        self.spacing / libm::sin(PI / round) - self.bead.diameter
    }
}

fn out_of_range(what: &str, mm: Mm, of: Mm) -> Error {
    Error::usage(format!(
        "{what} of {mm} is out of range; accepted: from {} to {}",
        of * RANGE.0,
        of * RANGE.1
    ))
}

/// `swatch 9x20=11.9x17.2` or `fits 74=us7`: what was measured, as it is typed.
impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Assumed => f.write_str("average hand"),
            Self::Swatch(swatch) => write!(f, "swatch {swatch}"),
            Self::KnownFit(known) => write!(f, "fits {known}"),
            Self::Remembered { from, .. } => f.write_str(from),
        }
    }
}

impl fmt::Display for KnownFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(columns) = self.columns {
            write!(f, "{columns}x")?;
        }
        write!(f, "{}={}", self.rows.count(), self.size)
    }
}

impl fmt::Display for Swatch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = |mm: Mm| decimals(mm.get(), 3);
        match self.columns {
            Some((columns, width)) => write!(
                f,
                "{columns}x{}={}x{}",
                self.rows,
                number(width),
                number(self.height)
            ),
            None => write!(f, "{}={}", self.rows, number(self.height)),
        }
    }
}
