//! The one colour that a page or booklet takes from the chart for its own marks.

use crate::chart::{Chart, Shade};
use crate::colour::{Light, Oklab, Srgb8, lab, light, oklab, srgb8, xyz};
use ::palette::convert::IntoColorUnclamped;

/// Least contrast of the accent against its backdrop: WCAG 2.2, success criterion 1.4.3, with a
/// little to spare.
const CONTRAST: f64 = 4.7;
/// Chroma (CIELAB) below which a colour is taken for a grey, and no accent.
const GREY: f64 = 12.0;
/// The accent of charts without colour: a slate blue of our own.
const PLAIN: Srgb8 = Srgb8::new(0x3B, 0x5B, 0x73);

/// An accent for marks and words on a backdrop: the chart's dominant colour, made as much darker or
/// lighter as it takes to be read.
///
/// Chroma counts, and how much of the band has it (by the square root of its share). The hue stays;
/// a chart of greys gets a slate blue.
pub fn accent(chart: &Chart, backdrop: Srgb8) -> Srgb8 {
    let mut best: Option<(f64, Srgb8)> = None;
    for (shade, count) in chart.colours.iter().zip(chart.counts()) {
        let weight = chroma(shade) * (count as f64 / chart.beads.len() as f64).sqrt();
        let coloured = count > 0 && chroma(shade) >= GREY;
        if coloured && best.is_none_or(|(most, _)| weight > most) {
            best = Some((weight, shade.srgb));
        }
    }
    readable(best.map_or(PLAIN, |(_, colour)| colour), backdrop)
}

fn chroma(shade: &Shade) -> f64 {
    let lab = lab(light(shade.srgb));
    (lab.a * lab.a + lab.b * lab.b).sqrt()
}

/// The contrast of two colours, 1 to 21, as WCAG 2.2 defines it.
pub fn contrast(one: Srgb8, other: Srgb8) -> f64 {
    let [one, other] = [one, other].map(|colour| xyz(light(colour))[1] + 0.05);
    one.max(other) / one.min(other)
}

/// The colour moved away from the backdrop in Oklab lightness until it is read on it.
fn readable(colour: Srgb8, backdrop: Srgb8) -> Srgb8 {
    let own = oklab(light(colour));
    let dark = oklab(light(backdrop)).l < 0.5;
    let (direction, furthest) = if dark {
        (1.0, Srgb8::new(255, 255, 255))
    } else {
        (-1.0, Srgb8::new(0, 0, 0))
    };
    (0..=100)
        .map(|step| own.l + direction * f64::from(step) / 100.0)
        .map(|lightness| shown(lightness.clamp(0.0, 1.0), own))
        .find(|colour| contrast(*colour, backdrop) >= CONTRAST)
        .unwrap_or(furthest)
}

/// The hue of `own` at this lightness, with as much of its chroma as sRGB can show.
fn shown(lightness: f64, own: Oklab) -> Srgb8 {
    let at = |share: f64| -> Light {
        Oklab::new(lightness, own.a * share, own.b * share).into_color_unclamped()
    };
    let inside = |light: &Light| {
        [light.red, light.green, light.blue]
            .iter()
            .all(|part| (-0.001..=1.001).contains(part))
    };
    let shares = (0..=20).rev().map(|share| f64::from(share) / 20.0);
    srgb8(shares.map(at).find(inside).unwrap_or(at(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_colour_can_be_read_on_light_and_dark() {
        for backdrop in [Srgb8::new(0xFB, 0xF9, 0xF4), Srgb8::new(0x1D, 0x21, 0x25)] {
            for red in (0..=255u8).step_by(51) {
                for green in (0..=255u8).step_by(51) {
                    for blue in (0..=255u8).step_by(51) {
                        let accent = readable(Srgb8::new(red, green, blue), backdrop);
                        assert!(contrast(accent, backdrop) >= CONTRAST, "{accent:?}");
                    }
                }
            }
        }
    }

    /// WCAG 2.2, definition of contrast ratio: black on white is 21; #767676 is the lightest grey
    /// that reaches 4.5 on white.
    #[test]
    fn contrast_is_that_of_wcag() {
        let white = Srgb8::new(255, 255, 255);
        assert!((contrast(white, Srgb8::new(0, 0, 0)) - 21.0).abs() < 0.01);
        assert!(contrast(white, Srgb8::new(0x76, 0x76, 0x76)) >= 4.5);
        assert!(contrast(white, Srgb8::new(0x77, 0x77, 0x77)) < 4.5);
    }
}
