//! What all drawings share: colours that suit the ground, sizes of text, lines broken to a width, beads in their place.

use super::relief::{Relief, sheen};
use super::{Anchor, Beads, Figures, Line, Paint, Placed, Shape, Text, Weight, font};
use crate::chart::Chart;
use crate::colour::{Srgb8, lab, light};
use crate::lattice::{Column, Lattice, Row};
use crate::units::Mm;

/// Space between two beads, over the smaller side of a bead.
const GAP: f64 = 0.05;
/// Radius of a bead's corners, over the same.
const CORNER: f64 = 0.17;
/// A bead whose lightness (CIELAB) is this close to the ground's gets an outline.
const NEAR: f64 = 13.0;

/// Colours for words and marks on a ground, and how much larger than on a page they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// For what is read first.
    pub ink: Srgb8,
    /// For what is read second; at least 4.5:1 against white or black.
    pub muted: Srgb8,
    /// For marks.
    pub faint: Srgb8,
    /// 1 up to a large sheet; more for drawings that are seen from further away.
    pub unit: f64,
    ground: Srgb8,
}

impl Style {
    /// The style on `ground`; a transparent one is taken for white.
    pub fn on(ground: Option<Srgb8>, unit: f64) -> Self {
        let ground = ground.unwrap_or(Srgb8::new(255, 255, 255));
        let ink = match lightness(ground) > 50.0 {
            true => Srgb8::new(0x22, 0x25, 0x28),
            false => Srgb8::new(0xF4, 0xF3, 0xF0),
        };
        Self {
            ink,
            muted: between(ground, ink, 0.72),
            faint: between(ground, ink, 0.30),
            unit,
            ground,
        }
    }

    /// A length of so many millimetres on a page.
    pub fn mm(&self, millimetres: f64) -> Mm {
        Mm::new(millimetres * self.unit)
    }

    /// Running text in ink, from its left end.
    pub fn text(&self, x: Mm, baseline: Mm, size: Mm, words: impl Into<String>) -> Text {
        Text {
            x,
            baseline,
            size,
            weight: Weight::Regular,
            anchor: Anchor::Start,
            figures: Figures::Running,
            colour: self.ink,
            words: words.into(),
        }
    }

    /// A thin mark.
    pub(super) fn mark(&self, from: (Mm, Mm), to: (Mm, Mm)) -> Line {
        Line {
            from,
            to,
            thickness: self.mm(0.25),
            colour: self.faint,
        }
    }

    /// What the beads of `chart` are painted with on this ground.
    pub fn paints(&self, chart: &Chart, as_beads: bool) -> Vec<Paint> {
        let paint = |(shade, count): (&crate::chart::Shade, usize)| {
            let close = (lightness(shade.srgb) - lightness(self.ground)).abs() < NEAR;
            Paint {
                shade: shade.clone(),
                count,
                // A bead that is drawn as a bead has an edge of its own.
                outline: (close && !as_beads).then(|| between(self.ground, self.ink, 0.34)),
                sheen: match as_beads {
                    true => sheen(shade),
                    false => Vec::new(),
                },
            }
        };
        chart
            .colours
            .iter()
            .zip(chart.counts())
            .map(paint)
            .collect()
    }
}

/// CIELAB lightness, 0 to 100.
fn lightness(colour: Srgb8) -> f64 {
    lab(light(colour)).l
}

/// The colour at `share` of the way from `one` to `other`, in encoded sRGB.
pub fn between(one: Srgb8, other: Srgb8, share: f64) -> Srgb8 {
    let mix = |one: u8, other: u8| {
        let mixed = f64::from(one) + (f64::from(other) - f64::from(one)) * share;
        mixed.round() as u8
    };
    Srgb8::new(
        mix(one.red, other.red),
        mix(one.green, other.green),
        mix(one.blue, other.blue),
    )
}

/// The shape of the chart's beads at `scale` times their true size, a hairline smaller than the bead so that neighbours are told apart.
pub(super) fn shape(lattice: &Lattice, scale: f64, as_beads: bool) -> Shape {
    let bead = lattice.bead();
    let smaller = bead.length.get().min(bead.diameter.get()) * scale;
    let gap = Mm::new(smaller * GAP);
    Shape {
        width: bead.length * scale - gap,
        height: bead.diameter * scale - gap,
        corner: Mm::new(smaller * CORNER),
        outline: Mm::new(smaller * GAP),
        relief: as_beads.then(|| Relief::of(&bead, scale)),
    }
}

/// A band at a place on the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Band {
    pub(super) lattice: Lattice,
    pub(super) scale: f64,
    pub(super) left: Mm,
    pub(super) top: Mm,
}

impl Band {
    pub(super) fn width(&self) -> Mm {
        self.lattice.width() * self.scale
    }

    pub(super) fn height(&self) -> Mm {
        self.lattice.flat_height() * self.scale
    }

    pub(super) fn right(&self) -> Mm {
        self.left + self.width()
    }

    pub(super) fn bottom(&self) -> Mm {
        self.top + self.height()
    }

    /// The line through the middle of a row's beads.
    pub(super) fn middle(&self, row: Row) -> Mm {
        let (_, y) = self.lattice.centre(row, Column::new(1));
        let above = self.lattice.flat_height() - y;
        self.top + above * self.scale
    }

    /// The beads, the last row first.
    pub(super) fn beads(&self, chart: &Chart, shape: Shape) -> Beads {
        let lattice = &self.lattice;
        let rows = (Row::new(1), Row::new(lattice.rows()));
        let columns = (Column::new(1), Column::new(lattice.columns()));
        self.beads_of(chart, shape, rows, columns)
    }

    /// The beads of some rows and columns, both ends included.
    pub(super) fn beads_of(
        &self,
        chart: &Chart,
        shape: Shape,
        rows: (Row, Row),
        columns: (Column, Column),
    ) -> Beads {
        let flat = self.lattice.flat_height();
        let mut placed = Vec::new();
        for row in (rows.0.get()..=rows.1.get()).rev().map(Row::new) {
            let all = self.lattice.columns_of(row).zip(chart.row(row));
            for (column, &paint) in
                all.filter(|(column, _)| (columns.0..=columns.1).contains(column))
            {
                let (x, y) = self.lattice.centre(row, column);
                placed.push(Placed {
                    left: self.left + x * self.scale - shape.width / 2.0,
                    top: self.top + (flat - y) * self.scale - shape.height / 2.0,
                    paint,
                });
            }
        }
        Beads { shape, placed }
    }
}

/// `words` broken into lines no wider than `room`; a word that is wider still is broken too. At least one line.
pub fn broken(words: &str, size: Mm, weight: Weight, room: Mm) -> Vec<String> {
    let fits = |line: &str| font::width(line, size, weight, Figures::Running) <= room;
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split(' ') {
        let longer = match line.is_empty() {
            true => word.to_string(),
            false => format!("{line} {word}"),
        };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            line.push(letter);
            if !fits(&line) && line.chars().nth(1).is_some() {
                line.pop();
                lines.push(std::mem::replace(&mut line, letter.to_string()));
            }
        }
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_between_words_and_within_long_ones() {
        let lines = |words, room| broken(words, Mm::new(3.0), Weight::Regular, Mm::new(room));
        assert_eq!(lines("kelp green", 40.0), ["kelp green"]);
        assert_eq!(lines("kelp green", 9.0), ["kelp", "green"]);
        let cut = lines("bladderwrackbladderwrack", 20.0);
        assert!(
            cut.len() > 1 && cut.concat() == "bladderwrackbladderwrack",
            "{cut:?}"
        );
        assert_eq!(lines("", 20.0), [""]);
        assert_eq!(lines("wide", 0.1).concat(), "wide");
    }

    #[test]
    fn words_are_read_on_light_and_dark_ground() {
        for ground in [
            None,
            Some(Srgb8::new(0, 0, 0)),
            Some(Srgb8::new(0x1C, 0x32, 0x61)),
        ] {
            let style = Style::on(ground, 1.0);
            let luminance = |colour| crate::colour::xyz(light(colour))[1] + 0.05;
            let ground = luminance(style.ground);
            for words in [style.ink, style.muted] {
                let ratio = luminance(words).max(ground) / luminance(words).min(ground);
                assert!(ratio > 4.5, "{ratio}");
            }
        }
    }
}
