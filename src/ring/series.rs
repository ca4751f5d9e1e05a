//! Several sizes as they are typed: `us5,us6.5` or `us5..us9`.

use super::scales::Scale;
use super::sizes::RingSize;
use crate::error::{Error, Result};
use std::fmt;

/// Most sizes at once: US 0 to 16 by halves, and more than any pattern is published for.
const MOST: usize = 60;

/// How far apart the sizes of a range are.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Step {
    /// A whole size.
    #[default]
    Whole,
    /// Half a size.
    Half,
}

/// Sizes and ranges of sizes, as they are typed.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    parts: Vec<Part>,
    text: String,
}

#[derive(Debug, Clone, PartialEq)]
enum Part {
    One(RingSize),
    Range { scale: Scale, first: f64, last: f64 },
}

impl Step {
    /// Reads `1` or `0.5`.
    ///
    /// # Errors
    /// If the text is neither.
    pub fn parse(text: &str) -> Result<Self> {
        let number = text.trim().parse::<f64>().ok();
        [Self::Whole, Self::Half]
            .into_iter()
            .find(|step| number == Some(step.get()))
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a step between sizes"))
                    .hint("give 1 for whole sizes or 0.5 for halves")
            })
    }

    /// In sizes: 1 or 0.5.
    pub fn get(self) -> f64 {
        match self {
            Self::Whole => 1.0,
            Self::Half => 0.5,
        }
    }
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.get().fmt(f)
    }
}

impl Series {
    /// Reads sizes separated by commas; `from..to` stands for all sizes of that scale between the
    /// two, both included.
    ///
    /// # Errors
    /// If a size cannot be read, or a range has two scales or falls.
    pub fn parse(text: &str) -> Result<Self> {
        let parts = text.split(',').map(Part::parse).collect::<Result<_>>()?;
        Ok(Self {
            parts,
            text: text.trim().to_string(),
        })
    }

    /// The sizes, each once, in the order as typed and written the usual way: `us 7 1/2` as
    /// `us7.5`.
    ///
    /// # Errors
    /// If there are more than 60.
    pub fn sizes(&self, step: Step) -> Result<Vec<RingSize>> {
        let mut sizes: Vec<RingSize> = Vec::new();
        for size in self.parts.iter().flat_map(|part| part.sizes(step)) {
            let text = size.to_string();
            if sizes.iter().any(|known| known.to_string() == text) {
                continue;
            }
            if sizes.len() == MOST {
                return Err(
                    Error::usage(format!("more than {MOST} sizes are too many at once"))
                        .hint("give them in several runs"),
                );
            }
            sizes.push(size);
        }
        Ok(sizes)
    }
}

/// As they were typed.
impl fmt::Display for Series {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl Part {
    fn parse(text: &str) -> Result<Self> {
        if let Some((from, to)) = text.split_once("..") {
            return Self::range(from.trim(), to.trim());
        }
        if let Some(range) = dashed(text) {
            return Err(
                Error::usage(format!("'{text}' is not a ring size")).hint(format!("write {range}"))
            );
        }
        let (scale, number) = RingSize::parse_on_scale(text)?;
        Ok(Self::One(RingSize::on_scale(scale, number)))
    }

    fn range(from: &str, to: &str) -> Result<Self> {
        let (scale, first) = RingSize::parse_on_scale(from)?;
        let (other, last) = RingSize::parse_on_scale(to)?;
        if scale != other {
            return Err(
                Error::usage(format!("'{from}' and '{to}' are on two scales"))
                    .hint("write both ends on one scale, such as us5..us9"),
            );
        }
        if last < first {
            return Err(Error::usage(format!("'{from}..{to}' runs downwards"))
                .hint(format!("write {to}..{from}")));
        }
        Ok(Self::Range { scale, first, last })
    }

    /// Of a range at most one size more than is accepted.
    fn sizes(&self, step: Step) -> Vec<RingSize> {
        match self {
            Self::One(size) => vec![size.clone()],
            Self::Range { scale, first, last } => {
                // A little is allowed for rounding, so that the last size is not lost.
                let count = ((last - first) / step.get() + 1e-9) as usize;
                (0..=count.min(MOST))
                    .map(|at| RingSize::on_scale(*scale, first + step.get() * at as f64))
                    .collect()
            }
        }
    }
}

/// `us5-us9` as the range that it is meant for, where it is no size but both its ends are.
fn dashed(text: &str) -> Option<String> {
    if RingSize::parse(text).is_ok() {
        return None;
    }
    let dashes = text.match_indices(['-', '–']);
    let ends = dashes.map(|(at, dash)| (text[..at].trim(), text[at + dash.len()..].trim()));
    let mut ranges =
        ends.filter(|(from, to)| [from, to].iter().all(|end| RingSize::parse(end).is_ok()));
    ranges.next().map(|(from, to)| format!("{from}..{to}"))
}

impl RingSize {
    /// The size with this number, written the usual way.
    fn on_scale(scale: Scale, number: f64) -> Self {
        // Noise digits would stand in file names; a thousandth of a size is nothing.
        let number = (number * 1000.0).round() / 1000.0;
        Self::written(scale.typed(number), scale, number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str, step: Step) -> Vec<String> {
        let sizes = Series::parse(text).unwrap().sizes(step).unwrap();
        for size in &sizes {
            let again = RingSize::parse(&size.to_string()).unwrap();
            assert!((again.diameter() - size.diameter()).get().abs() < 1e-9);
        }
        sizes.iter().map(RingSize::to_string).collect()
    }

    #[test]
    fn ranges_and_lists_are_read() {
        assert_eq!(words("us5..us7", Step::Whole), ["us5", "us6", "us7"]);
        assert_eq!(words("US 5..us6", Step::Half), ["us5", "us5.5", "us6"]);
        assert_eq!(words("us5.5..us7", Step::Whole), ["us5.5", "us6.5"]);
        assert_eq!(words("uk-l..uk-m", Step::Half), ["uk-l", "uk-l.5", "uk-m"]);
        assert_eq!(
            words("us 7 1/2,us7.5,iso54", Step::Whole),
            ["us7.5", "iso54"]
        );
        assert_eq!(words("54.4mm,d17.3mm", Step::Whole), ["54.4mm", "d17.3mm"]);
    }

    #[test]
    fn ranges_that_make_no_sense_are_refused() {
        let sizes = |text: &str| Series::parse(text)?.sizes(Step::Whole);
        let error = |text: &str| sizes(text).unwrap_err().to_string();
        assert!(error("us7..us5").starts_with("'us7..us5' runs downwards"));
        assert!(error("us5..iso54").starts_with("'us5' and 'iso54' are on two scales"));
        assert!(error("us5..").starts_with("the ring size is empty"));
        assert!(error("us5,,us6").starts_with("the ring size is empty"));
        assert!(error("iso26..iso125").starts_with("more than 60 sizes"));
    }

    #[test]
    fn a_range_with_a_dash_is_shown_how_it_is_written() {
        let hint = |text| Series::parse(text).unwrap_err().to_string();
        assert_eq!(
            hint("us5-us9"),
            "'us5-us9' is not a ring size\nhint: write us5..us9"
        );
        assert!(hint("uk-l–uk-p").ends_with("write uk-l..uk-p"));
        assert_eq!(words("us7-1/2", Step::Whole), ["us7.5"]);
    }

    #[test]
    fn a_step_is_a_whole_size_or_a_half() {
        assert_eq!(Step::parse("1").unwrap(), Step::Whole);
        assert_eq!(Step::parse(" 0.5 ").unwrap(), Step::Half);
        assert_eq!(Step::parse("1.0").unwrap().to_string(), "1");
        for text in ["2", "0", "", "-1", "NaN", "half"] {
            let error = Step::parse(text).unwrap_err().to_string();
            assert!(
                error.starts_with(&format!("'{text}' is not a step")),
                "{error}"
            );
        }
    }
}
