//! Colours that suit the backdrop, and sizes of text.

use super::relief::sheen;
use super::{Anchor, Figures, Line, Paint, Point, Text, Weight};
use crate::chart::{Chart, Shade};
use crate::colour::{Srgb8, lab, light};
use crate::units::Mm;

/// A bead whose lightness (CIELAB) is this close to the backdrop's gets an outline.
const NEAR: f64 = 13.0;

/// Colours for words and marks on a backdrop, and how much larger than on a page they are.
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
    backdrop: Srgb8,
}

impl Style {
    /// The style on a backdrop; a transparent one is taken for white.
    pub fn on(backdrop: Option<Srgb8>, unit: f64) -> Self {
        let backdrop = backdrop.unwrap_or(Srgb8::new(255, 255, 255));
        let ink = if lightness(backdrop) > 50.0 {
            Srgb8::new(0x22, 0x25, 0x28)
        } else {
            Srgb8::new(0xF4, 0xF3, 0xF0)
        };
        Self {
            ink,
            muted: mix(backdrop, ink, 0.72),
            faint: mix(backdrop, ink, 0.30),
            unit,
            backdrop,
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
    pub(super) fn mark(&self, from: Point, to: Point) -> Line {
        Line {
            from,
            to,
            thickness: self.mm(0.25),
            colour: self.faint,
        }
    }

    /// What the beads of `chart` are painted with on this backdrop, shaded or flat.
    pub fn paints(&self, chart: &Chart, shaded: bool) -> Vec<Paint> {
        let paint = |(shade, count): (&Shade, usize)| {
            let close = (lightness(shade.srgb) - lightness(self.backdrop)).abs() < NEAR;
            Paint {
                shade: shade.clone(),
                count,
                // A shaded bead has an edge of its own.
                outline: (close && !shaded).then(|| mix(self.backdrop, self.ink, 0.34)),
                sheen: if shaded { sheen(shade) } else { Vec::new() },
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
pub fn mix(one: Srgb8, other: Srgb8, share: f64) -> Srgb8 {
    let part = |one: u8, other: u8| {
        let mixed = f64::from(one) + (f64::from(other) - f64::from(one)) * share;
        mixed.round() as u8
    };
    Srgb8::new(
        part(one.red, other.red),
        part(one.green, other.green),
        part(one.blue, other.blue),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_on_a_light_and_on_a_dark_backdrop() {
        for backdrop in [
            None,
            Some(Srgb8::new(0, 0, 0)),
            Some(Srgb8::new(0x1C, 0x32, 0x61)),
        ] {
            let style = Style::on(backdrop, 1.0);
            let luminance = |colour| crate::colour::xyz(light(colour))[1] + 0.05;
            let backdrop = luminance(style.backdrop);
            for words in [style.ink, style.muted] {
                let ratio = luminance(words).max(backdrop) / luminance(words).min(backdrop);
                assert!(ratio > 4.5, "{ratio}");
            }
        }
    }
}
