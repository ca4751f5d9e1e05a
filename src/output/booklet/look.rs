//! How the booklet looks: the grid, the sizes of type, and the one colour, which is taken from the
//! chart.

use super::document::Paper;
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::scene::{Style, Weight, accent};
use crate::units::Mm;

/// Margins: sides, top, bottom.
const MARGINS: (f64, f64, f64) = (20.0, 20.0, 21.0);
/// What it is printed on.
const PAPER: Srgb8 = Srgb8::new(255, 255, 255);

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Kind {
    pub(super) size: Mm,
    pub(super) leading: Mm,
    pub(super) weight: Weight,
    pub(super) colour: Srgb8,
}

impl Kind {
    /// From the top of a line to where its letters stand.
    pub(super) fn baseline(&self) -> Mm {
        (self.leading - self.size) / 2.0 + self.size * 0.86
    }

    pub(super) fn bold(self) -> Self {
        Self {
            weight: Weight::Semibold,
            ..self
        }
    }
}

/// The grid, the type and the colour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    pub(super) left: Mm,
    pub(super) width: Mm,
    pub(super) top: Mm,
    pub(super) bottom: Mm,
    pub(super) style: Style,
    pub(super) accent: Srgb8,
    pub(super) title: Kind,
    pub(super) chapter: Kind,
    pub(super) heading: Kind,
    pub(super) body: Kind,
    pub(super) rows: Kind,
    pub(super) small: Kind,
}

impl Look {
    pub(super) fn new(chart: &Chart, paper: Paper) -> Self {
        let style = Style::on(None, 1.0);
        let kind = |size: f64, leading: f64, weight, colour| Kind {
            size: Mm::new(size),
            leading: Mm::new(size * leading),
            weight,
            colour,
        };
        let (sides, top, bottom) = MARGINS;
        Self {
            left: Mm::new(sides),
            width: paper.width - Mm::new(2.0 * sides),
            top: Mm::new(top),
            bottom: paper.height - Mm::new(bottom),
            style,
            accent: accent(chart, PAPER),
            title: kind(10.6, 1.14, Weight::Semibold, style.ink),
            chapter: kind(5.6, 1.2, Weight::Semibold, style.ink),
            heading: kind(3.5, 1.4, Weight::Semibold, style.ink),
            body: kind(3.2, 1.45, Weight::Regular, style.ink),
            rows: kind(3.05, 1.36, Weight::Regular, style.ink),
            small: kind(2.65, 1.42, Weight::Regular, style.muted),
        }
    }
}
