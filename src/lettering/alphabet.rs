//! The drawings of an alphabet, read from the files where a person can see and mend them.

use super::{Direction, Height};
use crate::error::{Error, Result};
use std::collections::BTreeMap;
use std::sync::OnceLock;

const ALONG_5: &str = include_str!("alphabets/along5.txt");
const ALONG_7: &str = include_str!("alphabets/along7.txt");
const ALONG_9: &str = include_str!("alphabets/along9.txt");
const ACROSS: &str = include_str!("alphabets/across.txt");

/// Rows of a capital that reads across the band.
const ROWS_ACROSS: i32 = 9;
/// Most lines that a glyph has beyond those of a capital.
const MOST_BELOW: i32 = 3;

/// A bead of a drawing: `x` to the right, `y` downwards from the top of a capital.
///
/// Along the band, `x` counts half beads along the rows and `y` columns; across it, `x` counts
/// columns and `y` rows. Either way the beads of a drawing all have an even `x + y`, or all an odd
/// one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Point {
    /// To the right.
    pub x: i32,
    /// Downwards.
    pub y: i32,
}

impl Point {
    /// The point that much further to the right and down.
    #[must_use]
    pub const fn moved(self, x: i32, y: i32) -> Self {
        Self {
            x: self.x + x,
            y: self.y + y,
        }
    }

    /// 0 or 1: points of one drawing are all alike.
    pub const fn parity(self) -> i32 {
        (self.x + self.y).rem_euclid(2)
    }
}

/// A drawing: its beads in order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Glyph {
    /// Its beads, at least one.
    pub points: Vec<Point>,
}

impl Glyph {
    /// The first and the last value that its points have.
    pub fn extent(&self, of: impl Fn(&Point) -> i32 + Copy) -> (i32, i32) {
        extent(&self.points, of)
    }
}

/// The first and the last value that points have; (0, 0) if there are none.
pub(super) fn extent(points: &[Point], of: impl Fn(&Point) -> i32 + Copy) -> (i32, i32) {
    let values = points.iter().map(of);
    let least = values.clone().min().unwrap_or(0);
    (least, values.max().unwrap_or(0))
}

/// An accent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Accent {
    /// Whether it stands above its letter, or hangs below it.
    pub(super) is_above: bool,
    /// Its drawings, which differ in where their middle is.
    pub(super) drawings: Vec<Glyph>,
}

/// The drawings of one size and direction.
#[derive(Debug, PartialEq, Eq)]
pub struct Alphabet {
    /// Which way it reads.
    pub direction: Direction,
    /// Lines of a capital: columns along the band, rows across it.
    pub lines: i32,
    glyphs: BTreeMap<char, Glyph>,
    pub(super) accents: BTreeMap<char, Accent>,
}

impl Alphabet {
    /// The alphabet of that height that reads along the band.
    ///
    /// # Errors
    /// If its drawings cannot be read, which a test rules out.
    pub fn along(height: Height) -> Result<&'static Self> {
        static READ: [OnceLock<Option<Alphabet>>; 3] =
            [OnceLock::new(), OnceLock::new(), OnceLock::new()];
        let (at, text) = match height {
            Height::Five => (0, ALONG_5),
            Height::Seven => (1, ALONG_7),
            Height::Nine => (2, ALONG_9),
        };
        let lines = height.columns() as i32;
        let read = || Self::read(text, Direction::Along, lines).ok();
        READ[at].get_or_init(read).as_ref().ok_or_else(unreadable)
    }

    /// The alphabet that reads across the band.
    ///
    /// # Errors
    /// As [`Self::along`].
    pub fn across() -> Result<&'static Self> {
        static READ: OnceLock<Option<Alphabet>> = OnceLock::new();
        let read = || Self::read(ACROSS, Direction::Across, ROWS_ACROSS).ok();
        READ.get_or_init(read).as_ref().ok_or_else(unreadable)
    }

    /// The drawing of a character without an accent.
    pub fn glyph(&self, character: char) -> Option<&Glyph> {
        self.glyphs.get(&character)
    }

    /// The characters that it has, in the order of Unicode.
    pub fn characters(&self) -> impl Iterator<Item = char> {
        self.glyphs.keys().copied()
    }

    /// Reads drawings, as the head of each file describes them.
    ///
    /// # Errors
    /// If a line is no drawing, beads lie between the places that beads have, or a character is
    /// drawn twice; the error names the line.
    pub fn read(text: &str, direction: Direction, lines: i32) -> Result<Self> {
        let mut alphabet = Self {
            direction,
            lines,
            glyphs: BTreeMap::new(),
            accents: BTreeMap::new(),
        };
        let mut drawing: Option<(usize, &str, Vec<&str>)> = None;
        for (number, line) in text.lines().enumerate() {
            match line.chars().next() {
                Some(';') => {}
                Some('=' | '^' | '_') => {
                    if let Some((at, head, art)) = drawing.replace((number, line, Vec::new())) {
                        alphabet.add(at, head, &art)?;
                    }
                }
                _ => {
                    if let Some((_, _, art)) = &mut drawing {
                        art.push(line);
                    }
                }
            }
        }
        if let Some((at, head, art)) = drawing {
            alphabet.add(at, head, &art)?;
        }
        Ok(alphabet)
    }

    fn add(&mut self, number: usize, head: &str, art: &[&str]) -> Result<()> {
        let refused = |what: String| Error::new(what).at(number + 1, 1);
        let mut points = Vec::new();
        for (y, line) in art.iter().enumerate() {
            points.extend(self.beads(line, y as i32).map_err(refused)?);
        }
        let is_even = |point: &&Point| point.parity() == 0;
        let even = points.iter().filter(is_even).count();
        if points.is_empty() || (even > 0 && even < points.len()) {
            return Err(refused(format!(
                "the beads of '{head}' do not lie on one lattice"
            )));
        }
        let glyph = Glyph { points };
        let (kind, rest) = head.split_at(1);
        if kind == "=" {
            if glyph.extent(|point| point.y).1 >= self.lines + MOST_BELOW {
                return Err(refused(format!("'{head}' has too many lines")));
            }
            for name in rest.split_whitespace() {
                let mut letters = name.chars();
                match (letters.next(), letters.next()) {
                    (Some(one), None) if !self.glyphs.contains_key(&one) => {
                        self.glyphs.insert(one, glyph.clone());
                    }
                    _ => return Err(refused(format!("'{name}' is drawn twice"))),
                }
            }
            return Ok(());
        }
        let code = rest.split_whitespace().next().unwrap_or_default();
        let mark = u32::from_str_radix(code, 16).ok().and_then(char::from_u32);
        let mark = mark.ok_or_else(|| refused(format!("'{head}' names no accent")))?;
        let accent = self.accents.entry(mark).or_insert_with(|| Accent {
            is_above: kind == "^",
            drawings: Vec::new(),
        });
        accent.drawings.push(glyph);
        Ok(())
    }

    /// The beads of a line: two `#` each.
    fn beads(&self, line: &str, y: i32) -> std::result::Result<Vec<Point>, String> {
        let mut beads = Vec::new();
        let letters: Vec<char> = line.trim_end().chars().collect();
        let mut at = 0;
        while at < letters.len() {
            match (letters[at], letters.get(at + 1)) {
                (' ', _) => at += 1,
                ('#', Some('#')) => {
                    let place = at as i32;
                    let x = match self.direction {
                        Direction::Along => place,
                        Direction::Across if place % 2 == 0 => place / 2,
                        Direction::Across => return Err(format!("'{line}' lies between columns")),
                    };
                    beads.push(Point { x, y });
                    at += 2;
                }
                _ => return Err(format!("'{line}' is not made of '##' and spaces")),
            }
        }
        Ok(beads)
    }
}

fn unreadable() -> Error {
    Error::new("internal error: the drawings of the letters cannot be read")
}
