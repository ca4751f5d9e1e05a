//! The scales that ring sizes are written in: what a number or a letter on each is in millimetres.
//!
//! | scale | inside diameter or circumference | source |
//! | --- | --- | --- |
//! | US/Canada | diameter 0.458 in + 0.032 in a size | J. Lord, "Sizes", 1995, cited by GNU Units |
//! | UK/Australia | circumference 37.5 mm at A, 1.25 mm a letter | BS 6820:1987 |
//! | ISO | circumference in mm | ISO 8653:2016 |
//! | Japan | diameter (number + 38)/3 mm | trade numbering; JIS S 4700 itself is ISO 8653 |
//! | continental | circumference in mm less 40 | Switzerland, Italy, Spain, Netherlands |

use crate::units::{INCH, Mm};
use std::f64::consts::PI;

/// Letters from A to Z; Z + 1 follows.
const Z: f64 = 25.0;

/// A way to write a ring size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Scale {
    Us,
    Uk,
    Iso,
    Jp,
    Eu,
    Circumference,
    Diameter,
}

impl Scale {
    /// Inside diameter of size `number`; the UK's letters count from A as 0.
    pub(super) fn diameter(self, number: f64) -> Mm {
        Mm::new(match self {
            Self::Us => INCH * (0.458 + 0.032 * number),
            Self::Uk => (37.5 + 1.25 * number) / PI,
            Self::Jp => (number + 38.0) / 3.0,
            Self::Eu => (number + 40.0) / PI,
            Self::Iso | Self::Circumference => number / PI,
            Self::Diameter => number,
        })
    }

    /// The number that `diameter` has on this scale.
    pub(super) fn number(self, diameter: Mm) -> f64 {
        let diameter = diameter.get();
        match self {
            Self::Us => (diameter / INCH - 0.458) / 0.032,
            Self::Uk => (diameter * PI - 37.5) / 1.25,
            Self::Jp => diameter * 3.0 - 38.0,
            Self::Eu => diameter * PI - 40.0,
            Self::Iso | Self::Circumference => diameter * PI,
            Self::Diameter => diameter,
        }
    }

    /// Smallest and largest number that is accepted: 8 to 40 mm inside, from a doll's finger to a
    /// napkin, as far as the scale reaches. Continental sizes end where they would be taken for ISO
    /// sizes.
    pub(super) fn range(self) -> (f64, f64) {
        match self {
            Self::Us => (0.0, 34.0),
            Self::Uk => (0.0, 70.0),
            Self::Iso => (26.0, 125.0),
            Self::Jp => (1.0, 82.0),
            Self::Eu => (0.0, 40.0),
            Self::Circumference => (25.2, 125.6),
            Self::Diameter => (8.0, 40.0),
        }
    }

    /// Its name at the head of a column.
    pub(super) fn title(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::Uk => "UK",
            Self::Iso => "ISO",
            Self::Jp => "JP",
            Self::Eu => "EU",
            Self::Circumference => "mm around",
            Self::Diameter => "mm across",
        }
    }

    /// The scale that sizes are compared on: a diameter stands beside the US size.
    pub(super) fn compared(self) -> Self {
        if self == Self::Diameter {
            Self::Us
        } else {
            self
        }
    }

    /// Steps in one number, as sizes are sold or measured.
    pub(super) fn steps_each(self) -> f64 {
        match self {
            Self::Us => 4.0,
            Self::Uk | Self::Jp => 2.0,
            Self::Iso | Self::Eu => 1.0,
            Self::Circumference | Self::Diameter => 10.0,
        }
    }

    /// Whether `number` is within [`Scale::range`]; never for what is not finite.
    pub(super) fn has(self, number: f64) -> bool {
        let (least, most) = self.range();
        (least..=most).contains(&number)
    }

    /// Size `number` as it is typed; the UK's letters to the nearest half.
    pub(super) fn typed(self, number: f64) -> String {
        match self {
            Self::Us => format!("us{number}"),
            Self::Uk => format!("uk-{}", letter(number).to_lowercase().replace(" 1/2", ".5")),
            Self::Iso => format!("iso{number}"),
            Self::Jp => format!("jp{number}"),
            Self::Eu => format!("eu{number}"),
            Self::Circumference => format!("{number}mm"),
            Self::Diameter => format!("d{number}mm"),
        }
    }
}

/// `N`, `N 1/2`, `Z+1`: the UK's letter that is `steps` letters above A, to the nearest half;
/// `steps` is at least 0.
pub(super) fn letter(steps: f64) -> String {
    let halves = (steps * 2.0).round() as u32;
    let whole = halves / 2;
    let name = match whole {
        0..=25 => char::from(b'A' + whole as u8).to_string(),
        beyond => format!("Z+{}", beyond - 25),
    };
    match halves % 2 {
        1 => format!("{name} 1/2"),
        _ => name,
    }
}

/// The steps above A of `n`, `n.5`, `n 1/2`, `z+1`, in lower case and without spaces around; none
/// if it is no such letter.
pub(super) fn steps(text: &str) -> Option<f64> {
    let mut letters = text.chars();
    let first = letters.next().filter(char::is_ascii_lowercase)?;
    let steps = f64::from(first as u32 - u32::from('a'));
    let rest = letters.as_str().trim();
    let beyond = match rest.strip_prefix('+') {
        Some(beyond) if steps == Z => number(beyond).filter(|beyond| *beyond > 0.0)?,
        Some(_) => return None,
        None => match rest.trim_start_matches(['-', ' ']) {
            "" => 0.0,
            ".5" | "1/2" | "½" => 0.5,
            _ => return None,
        },
    };
    Some(steps + beyond)
}

/// `7`, `6.5`, `6,5`, `7 1/2`, `7-1/2`, `7½`; also what is no size, such as `-3` and `nan`, for the
/// range to refuse.
pub(super) fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let text = ["½", "¼", "¾"]
        .iter()
        .zip([" 1/2", " 1/4", " 3/4"])
        .fold(text, |text, (sign, plain)| text.replace(sign, plain));
    if let Ok(number) = text.parse() {
        return Some(number);
    }
    let (whole, part) = text.rsplit_once([' ', '-'])?;
    let part = match part {
        "1/2" => 0.5,
        "1/4" => 0.25,
        "3/4" => 0.75,
        _ => return None,
    };
    let whole: u32 = whole.trim().parse().ok()?;
    Some(f64::from(whole) + part)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Scale; 7] = [
        Scale::Us,
        Scale::Uk,
        Scale::Iso,
        Scale::Jp,
        Scale::Eu,
        Scale::Circumference,
        Scale::Diameter,
    ];

    #[test]
    fn every_accepted_size_is_8_to_40_mm_inside() {
        for scale in ALL {
            let (least, most) = scale.range();
            assert!(scale.diameter(least).get() >= 8.0, "{scale:?}");
            assert!(scale.diameter(most).get() <= 40.0, "{scale:?}");
            assert!((scale.number(scale.diameter(most)) - most).abs() < 1e-9);
        }
    }

    #[test]
    fn letters_are_read_as_they_are_written() {
        for halves in 0..140 {
            let steps_up = f64::from(halves) / 2.0;
            let written = letter(steps_up).to_lowercase();
            assert_eq!(steps(&written), Some(steps_up), "{written}");
        }
        assert_eq!(steps("z+1.5"), Some(26.5));
        assert_eq!(steps("n+1"), None);
        assert_eq!(steps("7"), None);
    }

    #[test]
    fn halves_and_quarters_are_read_in_every_spelling() {
        for text in ["7.5", "7 1/2", "7-1/2", "7½", "7,5", " 7.5 "] {
            assert_eq!(number(text), Some(7.5), "{text}");
        }
        assert_eq!(number("6¼"), Some(6.25));
        assert_eq!(number("7 1/3"), None);
        assert_eq!(number(""), None);
    }
}
