//! Several sizes as they are typed: `us5,us6.5` or `us5..us9`.

use super::scales::Scale;
use super::sizes::RingSize;
use crate::error::{Error, Result};

/// Most sizes at once: US 0 to 16 by halves, and more than any pattern is graded for.
const MOST: usize = 60;

/// Reads sizes parted by commas; `from..to` stands for the sizes of that scale from one to the other, `step` apart.
///
/// Each size comes once, in the order as typed, and is written the usual way: `us 7 1/2` as `us7.5`.
///
/// # Errors
/// If a size cannot be read, a range has two scales or falls, or there are more than 60 sizes.
pub fn series(text: &str, step: f64) -> Result<Vec<RingSize>> {
    let mut sizes: Vec<RingSize> = Vec::new();
    for part in text.split(',') {
        let more = match part.split_once("..") {
            Some((from, to)) => range(from.trim(), to.trim(), step)?,
            None => {
                let (scale, number) = RingSize::parse_on_scale(part)?;
                vec![RingSize::on_scale(scale, number)]
            }
        };
        for size in more {
            if !sizes
                .iter()
                .any(|known| known.to_string() == size.to_string())
            {
                sizes.push(size);
            }
        }
        if sizes.len() > MOST {
            return Err(Error::usage(format!("more than {MOST} sizes are too many"))
                .hint("grade them in several goes"));
        }
    }
    Ok(sizes)
}

fn range(from: &str, to: &str, step: f64) -> Result<Vec<RingSize>> {
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
    // A little is allowed for rounding, so that the last size is not lost.
    let count = ((last - first) / step + 1e-9) as usize;
    Ok((0..=count.min(MOST))
        .map(|at| RingSize::on_scale(scale, first + step * at as f64))
        .collect())
}

impl RingSize {
    /// The size with this number, written the usual way.
    fn on_scale(scale: Scale, number: f64) -> Self {
        // A thousandth of a size is nothing; noise digits in a file's name would be something.
        let number = (number * 1000.0).round() / 1000.0;
        Self::written(scale.typed(number), scale.diameter(number))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str, step: f64) -> Vec<String> {
        let sizes = series(text, step).unwrap();
        for size in &sizes {
            let again = RingSize::parse(&size.to_string()).unwrap();
            assert!((again.diameter() - size.diameter()).get().abs() < 1e-9);
        }
        sizes.iter().map(RingSize::to_string).collect()
    }

    #[test]
    fn ranges_and_lists_are_read() {
        assert_eq!(words("us5..us7", 1.0), ["us5", "us6", "us7"]);
        assert_eq!(words("US 5..us6", 0.5), ["us5", "us5.5", "us6"]);
        assert_eq!(words("us5.5..us7", 1.0), ["us5.5", "us6.5"]);
        assert_eq!(words("uk-l..uk-m", 0.5), ["uk-l", "uk-l.5", "uk-m"]);
        assert_eq!(words("us 7 1/2,us7.5,iso54", 1.0), ["us7.5", "iso54"]);
        assert_eq!(words("54.4mm,d17.3mm", 1.0), ["54.4mm", "d17.3mm"]);
    }

    #[test]
    fn ranges_that_make_no_sense_are_refused() {
        let told = |text: &str| series(text, 1.0).unwrap_err().to_string();
        assert!(told("us7..us5").starts_with("'us7..us5' runs downwards"));
        assert!(told("us5..iso54").starts_with("'us5' and 'iso54' are on two scales"));
        assert!(told("us5..").starts_with("the ring size is empty"));
        assert!(told("us5,,us6").starts_with("the ring size is empty"));
        assert!(told("iso26..iso125").starts_with("more than 60 sizes"));
    }
}
