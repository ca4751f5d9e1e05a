//! Numbers as they are typed, with words for what is not one.

use std::str::FromStr;

/// A whole number, 0 or more.
pub(super) fn whole<N: FromStr>(text: &str) -> Result<N, &'static str> {
    let text = text.trim();
    text.parse().map_err(|_| {
        match text.bytes().all(|byte| byte.is_ascii_digit()) && !text.is_empty() {
            true => "the number is too large",
            false => "give a whole number, 0 or more",
        }
    })
}

/// A number with or without decimals; NaN and infinity too, which the verb refuses with the range that it takes.
pub(super) fn decimal(text: &str) -> Result<f64, &'static str> {
    text.trim()
        .parse()
        .map_err(|_| "give a number, such as 0.5")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_and_other_words_are_told_apart() {
        assert_eq!(whole::<u32>(" 74"), Ok(74));
        assert_eq!(whole::<u32>("4294967296"), Err("the number is too large"));
        for text in ["", "-3", "3.5", "1e3", "nine"] {
            let told = whole::<u32>(text);
            assert_eq!(told, Err("give a whole number, 0 or more"), "{text}");
        }
        assert_eq!(decimal("0.5"), Ok(0.5));
        assert_eq!(decimal("half"), Err("give a number, such as 0.5"));
    }
}
