//! One colour's entry in the legend: its lines, how high and how wide they are.

use crate::scene::style::Style;
use crate::scene::words::{clean, count_of};
use crate::scene::wrap::wrap;
use crate::scene::{Figures, Paint, Weight, font};
use crate::units::Mm;

/// Widest name before it is broken, in millimetres on a page.
const WIDEST: f64 = 46.0;

/// Measures of one kind of legend, in millimetres on a page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sizes {
    /// Side of the square that holds the bead.
    pub(super) swatch: f64,
    pub(super) name: f64,
    pub(super) code: f64,
    /// From one line of an entry to the next.
    pub(super) line: f64,
    /// Between two entries.
    pub(super) apart: f64,
}

pub(super) const LARGE: Sizes = Sizes {
    swatch: 5.4,
    name: 3.1,
    code: 2.4,
    line: 3.7,
    apart: 3.7,
};
pub(super) const SMALL: Sizes = Sizes {
    swatch: 3.4,
    name: 2.4,
    code: 2.1,
    line: 3.1,
    apart: 1.6,
};

/// One colour's entry: its lines are wrapped, its position is not chosen yet.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) paint: u16,
    pub(super) name: Vec<String>,
    pub(super) code: Vec<String>,
    pub(super) count: usize,
}

impl Entry {
    /// Two lines, or one where the legend is set small: then the code follows the name.
    pub(super) fn new(paint: u16, of: &Paint, sizes: &Sizes, style: &Style) -> Self {
        let room = style.mm(WIDEST);
        let lines = |words: &str, size| wrap(words, style.mm(size), Weight::Regular, room);
        let shade = &of.shade;
        let (name, code) = (clean(&shade.name), clean(&shade.code));
        let code = match shade.finish {
            Some(finish) => format!("{code}, {finish}"),
            None => code,
        };
        let (name, code) = if sizes.line < LARGE.line {
            (format!("{name} ({code})"), String::new())
        } else {
            (name, code)
        };
        let code = if code.is_empty() {
            Vec::new()
        } else {
            lines(&code, sizes.code)
        };
        Self {
            paint,
            name: lines(&name, sizes.name),
            code,
            count: of.count,
        }
    }

    pub(super) fn lines(&self) -> f64 {
        (self.name.len() + self.code.len()) as f64
    }

    pub(super) fn height(&self, sizes: &Sizes, style: &Style) -> Mm {
        style.mm(sizes.swatch + (self.lines() - 2.0).max(0.0) * sizes.line)
    }

    pub(super) fn width(&self, sizes: &Sizes, style: &Style) -> Mm {
        let wide = |words: &String, size| {
            font::width(words, style.mm(size), Weight::Regular, Figures::Running)
        };
        let names = self.name.iter().map(|words| wide(words, sizes.name));
        let codes = self.code.iter().map(|words| wide(words, sizes.code));
        names.chain(codes).fold(Mm::new(0.0), Mm::max)
    }
}

/// Width of `× 123` with tabular figures.
pub(super) fn count_width(count: usize, sizes: &Sizes, style: &Style) -> Mm {
    let words = count_of(count);
    font::width(
        &words,
        style.mm(sizes.name),
        Weight::Regular,
        Figures::Tabular,
    )
}
