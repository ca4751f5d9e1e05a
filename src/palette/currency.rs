//! The currency that prices are in.

use crate::error::{Error, Result};
use std::fmt;
use std::str::FromStr;

/// Most letters of a currency. Ours.
const MOST_LETTERS: usize = 5;

/// A currency's code or sign, such as `EUR` or `£`: 1 to 5 letters or signs, no digits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Currency(String);

impl Currency {
    /// As it is written.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for Currency {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let text = text.trim();
        let letters = text.chars().count();
        let sign = |letter: char| letter.is_alphabetic() || "$£€¥₹₩₺₽₴₫₦₱฿.".contains(letter);
        if (1..=MOST_LETTERS).contains(&letters) && text.chars().all(sign) {
            return Ok(Self(text.to_string()));
        }
        Err(Error::usage(format!("'{text}' is not a currency"))
            .hint("write its code or sign, such as EUR or £, at most 5 letters"))
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_and_signs_are_currencies_and_amounts_are_not() {
        for good in ["EUR", " £ ", "kr.", "zł"] {
            assert!(good.parse::<Currency>().is_ok(), "{good}");
        }
        for bad in ["", "5", "EUR 5", "\u{1b}[3", "pounds"] {
            assert!(bad.parse::<Currency>().is_err(), "{bad}");
        }
    }
}
