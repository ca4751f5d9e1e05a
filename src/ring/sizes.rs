//! Ring sizes: labels as people write them, and the millimetres that they mean.

use super::scales::{Scale, letter, number, steps};
use crate::error::{Error, Result};
use crate::units::{Mm, decimals, length_with_unit};
use std::f64::consts::PI;
use std::fmt;

/// Inside diameter beyond which a closed band is no ring.
const LARGEST: Mm = Mm::new(40.0);

/// The ways to write a size, for hints.
const WAYS: &str = "us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14, 54.4mm or 2.14in (inner \
                    circumference), d17.3mm or d0.68in (inside diameter)";

/// A ring's inside diameter, and how its size was written.
#[derive(Debug, Clone, PartialEq)]
pub struct RingSize {
    text: String,
    scale: Scale,
    diameter: Mm,
}

impl RingSize {
    /// Reads a size in any case, spaces tolerated: `us7`, `us 7 1/2`, `uk-n`, `uk-n.5`, `uk-z+1`,
    /// `iso54`, `jp14`, `eu14` (continental: circumference less 40), `54.4mm` (inner
    /// circumference), `d17.3mm` (inside diameter); lengths in inches too: `2.14in`, `d0.68"`.
    ///
    /// # Errors
    /// If the text is no size, has no scale, or is out of range: 8 to 40 mm inside, as far as the
    /// scale reaches.
    pub fn parse(text: &str) -> Result<Self> {
        let (scale, number) = Self::parse_on_scale(text)?;
        Ok(Self::written(text.trim().to_string(), scale, number))
    }

    /// The scale that `text` names and the number on it.
    pub(super) fn parse_on_scale(text: &str) -> Result<(Scale, f64)> {
        let text = text.trim();
        let (scale, number) = read(text)?;
        if scale.has(number) {
            Ok((scale, number))
        } else {
            Err(out_of_range(text, scale, number))
        }
    }

    /// The size `number` of a scale, written as `text`.
    pub(super) fn written(text: String, scale: Scale, number: f64) -> Self {
        Self {
            text,
            scale,
            diameter: scale.diameter(number),
        }
    }

    /// The size with this inside diameter, which must be above 0; its text is `d17.3mm`.
    pub fn of_diameter(diameter: Mm) -> Self {
        Self {
            text: format!("d{}mm", decimals(diameter.get(), 3)),
            scale: Scale::Diameter,
            diameter,
        }
    }

    /// The inside diameter.
    pub const fn diameter(&self) -> Mm {
        self.diameter
    }

    /// The inner circumference.
    pub fn circumference(&self) -> Mm {
        self.diameter * PI
    }

    /// The US and Canadian number to two decimals; none below 0 or over 40 mm inside.
    pub fn us(&self) -> Option<f64> {
        self.above_zero(Scale::Us)
    }

    /// The ISO 8653 number: the circumference rounded to the nearest whole millimetre.
    pub fn iso(&self) -> u32 {
        Scale::Iso.number(self.diameter).round() as u32
    }

    /// The UK and Australian letter, `N`, `N 1/2` or `Z+1`, to the nearest half; none below A.
    pub fn uk(&self) -> Option<String> {
        let steps = Scale::Uk.number(self.diameter);
        (steps > -0.25).then(|| letter(steps.max(0.0)))
    }

    /// The nearest Japanese trade number; none below 1.
    pub fn jp(&self) -> Option<u32> {
        let number = Scale::Jp.number(self.diameter).round();
        (number >= 1.0).then_some(number as u32)
    }

    /// The continental number, circumference less 40 mm, to two decimals; none below 0.
    pub fn eu(&self) -> Option<f64> {
        self.above_zero(Scale::Eu)
    }

    /// The size so many US sizes above this one, to the nearest step of its own scale.
    pub fn larger(&self, us_sizes: f64) -> Self {
        let more = Scale::Us.number(self.diameter) + us_sizes;
        let number = self.scale.number(Scale::Us.diameter(more));
        let steps = self.scale.steps_each();
        let number = (number * steps).round() / steps;
        Self::written(self.scale.typed(number), self.scale, number)
    }

    /// What its scale is called, at the head of a column.
    pub fn scale(&self) -> &'static str {
        self.scale.compared().title()
    }

    /// This size on the scale of `other`, as a table shows it; `-` where the scale has none.
    pub fn on_scale_of(&self, other: &Self) -> String {
        let scale = other.scale.compared();
        let number = scale.number(self.diameter);
        match scale {
            _ if !scale.has(number) => "-".to_string(),
            Scale::Uk => letter(number),
            Scale::Iso | Scale::Jp => format!("{number:.0}"),
            Scale::Circumference | Scale::Eu => format!("{number:.1}"),
            Scale::Us | Scale::Diameter => format!("{number:.2}"),
        }
    }

    fn above_zero(&self, scale: Scale) -> Option<f64> {
        let number = (scale.number(self.diameter) * 100.0).round() / 100.0;
        (number >= 0.0 && self.diameter <= LARGEST).then_some(number.abs())
    }
}

/// As it was written.
impl fmt::Display for RingSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// The scale that `text` names and the number on it, not yet checked against its range.
fn read(text: &str) -> Result<(Scale, f64)> {
    let lower = text.to_lowercase();
    if let Some(rest) = lower.strip_prefix("uk") {
        let letter = rest.trim_start_matches(['-', ' ']);
        return match steps(letter) {
            Some(steps) => Ok((Scale::Uk, steps)),
            None => Err(not_a_letter(text)),
        };
    }
    let named = [
        ("us", Scale::Us),
        ("iso", Scale::Iso),
        ("jp", Scale::Jp),
        ("eu", Scale::Eu),
    ];
    for (prefix, scale) in named {
        if let Some(number) = lower.strip_prefix(prefix).and_then(number) {
            return Ok((scale, number));
        }
    }
    let (scale, length) = match lower.trim().strip_prefix(['d', 'ø', '⌀']) {
        Some(across) => (Scale::Diameter, across),
        None => (Scale::Circumference, lower.as_str()),
    };
    let measured = length_with_unit(length).map(|length| (scale, length.get()));
    measured.ok_or_else(|| not_a_size(text, &lower))
}

/// What a number without scale or unit may mean.
fn not_a_size(text: &str, lower: &str) -> Error {
    const PLAIN: [Scale; 6] = [
        Scale::Us,
        Scale::Iso,
        Scale::Jp,
        Scale::Eu,
        Scale::Circumference,
        Scale::Diameter,
    ];
    let meant: Vec<String> = match (number(lower), steps(lower)) {
        (Some(number), _) => PLAIN
            .into_iter()
            .filter(|scale| scale.has(number))
            .map(|scale| scale.typed(number))
            .collect(),
        (None, Some(steps)) => vec![Scale::Uk.typed(steps)],
        (None, None) => Vec::new(),
    };
    if let Some((last, others)) = meant.split_last() {
        let choice = match others {
            [] => last.clone(),
            _ => format!("{} or {last}", others.join(", ")),
        };
        return Error::usage(format!("'{text}' does not say its scale"))
            .hint(format!("which scale is it? write {choice}"));
    }
    match text {
        "" => Error::usage("the ring size is empty"),
        _ => Error::usage(format!("'{text}' is not a ring size")),
    }
    .hint(format!("write {WAYS}"))
}

fn not_a_letter(text: &str) -> Error {
    Error::usage(format!("'{text}' is not a UK size"))
        .hint("UK sizes are letters: write uk-n, uk-n.5 or uk-z+1")
}

fn out_of_range(text: &str, scale: Scale, number: f64) -> Error {
    let (least, most) = scale.range();
    let range = format!("write {} to {}", scale.typed(least), scale.typed(most));
    let hint = match scale {
        Scale::Eu if Scale::Iso.has(number) => format!(
            "{range}, the circumference less 40; for a circumference of {number} mm write {}",
            Scale::Iso.typed(number)
        ),
        Scale::Circumference if Scale::Diameter.has(number) => format!(
            "{range}, the inner circumference; for the inside diameter write {}",
            Scale::Diameter.typed(number)
        ),
        Scale::Diameter if Scale::Circumference.has(number) => format!(
            "{range}, the inside diameter; for the inner circumference write {}",
            Scale::Circumference.typed(number)
        ),
        _ if scale.has(-number) => {
            format!("write {}, without the dash", scale.typed(-number))
        }
        _ => format!("{range}; rings from 8 to 40 mm inside are accepted"),
    };
    Error::usage(format!("'{text}' is out of range")).hint(hint)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn diameter(text: &str) -> f64 {
        RingSize::parse(text).expect(text).diameter().get()
    }

    #[test]
    fn the_same_size_is_read_in_every_spelling() {
        for text in ["us7.5", "US 7.5", " us 7 1/2 ", "Us7½", "us7-1/2", "us7,5"] {
            assert_eq!(diameter(text), diameter("us7.5"), "{text}");
        }
        for text in [
            "uk-n.5", "ukn.5", "UK N 1/2", "uk-n 1/2", "uk n½", "uk-n-1/2",
        ] {
            assert_eq!(diameter(text), diameter("uk-n.5"), "{text}");
        }
        assert_eq!(diameter("54.4 MM"), 54.4 / PI);
        assert_eq!(diameter("d 17.3 mm"), 17.3);
        assert_eq!(diameter("ø17.3mm"), 17.3);
        assert_eq!(diameter("eu14"), diameter("iso54"));
        assert_eq!(diameter("2in"), 50.8 / PI);
        assert!((diameter("d0.68\"") - 17.272).abs() < 1e-9);
    }

    #[test]
    fn a_bare_number_or_letter_is_asked_for_its_scale() {
        let hint = |text| {
            let error = RingSize::parse(text).unwrap_err();
            error.remedy().expect("a hint").to_string()
        };
        assert_eq!(hint("7"), "which scale is it? write us7, jp7 or eu7");
        assert_eq!(
            hint("54.4"),
            "which scale is it? write iso54.4, jp54.4 or 54.4mm"
        );
        assert_eq!(hint("N"), "which scale is it? write uk-n");
    }

    #[test]
    fn labels_end_where_their_scale_begins() {
        let small = RingSize::of_diameter(Mm::new(11.0));
        assert_eq!(small.us(), None);
        assert_eq!(small.uk(), None);
        assert_eq!(small.jp(), None);
        assert_eq!(small.eu(), None);
        assert_eq!(small.iso(), 35);
        let large = RingSize::parse("uk-z+1.5").expect("a size");
        assert_eq!(large.uk().as_deref(), Some("Z+1 1/2"));
        assert_eq!(large.to_string(), "uk-z+1.5");
    }
}
