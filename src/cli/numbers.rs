//! Numbers as they are typed, for verbs that do not have a request yet.

/// A number with or without decimals; NaN and infinity too, which the verb refuses with its range.
pub(super) fn decimal(text: &str) -> Result<f64, &'static str> {
    text.trim()
        .parse()
        .map_err(|_| "give a number, such as 0.5")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read() {
        assert_eq!(decimal("0.5"), Ok(0.5));
        assert_eq!(decimal("half"), Err("give a number, such as 0.5"));
    }
}
