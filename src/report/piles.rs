//! Where the piles lie on a photograph of beads.

use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::palette_photo::{Hints, MOST_PILES, Point, Spots};

/// What was said of them.
#[derive(Debug, Clone, Copy, Default)]
pub struct Piles<'a> {
    /// `--grid`: columns and rows.
    pub grid: Option<&'a str>,
    /// `--spots`: middles.
    pub spots: Option<&'a str>,
    /// `--white`: a place of bare paper.
    pub white: Option<&'a str>,
}

impl Piles<'_> {
    /// The options of reading the photograph.
    ///
    /// # Errors
    /// If a place or a grid cannot be read.
    pub fn options(&self) -> Result<Hints> {
        let spots = match (self.grid, self.spots) {
            (Some(grid), _) => of_grid(grid)?,
            (None, Some(spots)) => of_spots(spots)?,
            (None, None) => Spots::Find,
        };
        let white = |text: &str| {
            place(text).ok_or_else(|| {
                Error::usage(format!("'{text}' is not a place"))
                    .option("--white")
                    .hint("give pixels from the left and from the top, such as 40,25")
            })
        };
        Ok(Hints {
            spots,
            white: self.white.map(white).transpose()?,
        })
    }
}

/// The band for which a drawing of piles is rendered; photographs do not ask.
///
/// # Errors
/// None: its shape is within all limits.
pub fn as_fine_as_needed() -> Result<Lattice> {
    Lattice::new(Bead::default(), 100, Rows::open(160)?)
}

fn of_grid(text: &str) -> Result<Spots> {
    let sides = text.split_once(['x', 'X', '×']);
    let side = |text: &str| text.trim().parse::<usize>().ok().filter(|&side| side > 0);
    let grid = sides.and_then(|(columns, rows)| Some((side(columns)?, side(rows)?)));
    match grid.filter(|(columns, rows)| columns.saturating_mul(*rows) <= MOST_PILES) {
        Some((columns, rows)) => Ok(Spots::Grid { columns, rows }),
        None => Err(Error::usage(format!("'{text}' is not a grid of piles"))
            .option("--grid")
            .hint("give columns and rows, such as 6x4; 1000 piles at most")),
    }
}

fn of_spots(text: &str) -> Result<Spots> {
    let bad = |part: &str| {
        Error::usage(format!("'{part}' is not a spot"))
            .option("--spots")
            .hint("give pixels from the left and from the top, such as \"120,80;340,90\"")
    };
    let parts: Vec<&str> = text
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    if parts.is_empty() || parts.len() > MOST_PILES {
        return Err(bad(text));
    }
    let spots: Result<Vec<Point>> = parts
        .iter()
        .map(|part| place(part).ok_or_else(|| bad(part)))
        .collect();
    Ok(Spots::At(spots?))
}

/// `X,Y` in pixels.
fn place(text: &str) -> Option<Point> {
    let (x, y) = text.split_once(',')?;
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|n| n.is_finite());
    Some(Point {
        x: number(x)?,
        y: number(y)?,
    })
}
