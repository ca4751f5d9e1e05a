//! The secret in the desk's address: a client that does not know it finds nothing.

use crate::error::{Error, Result};
use subtle::ConstantTimeEq;

/// 128 random bits from the system, in hex.
pub struct Token(String);

impl Token {
    /// A new token.
    ///
    /// # Errors
    /// If the system gives no random numbers.
    pub fn new() -> Result<Self> {
        let mut bits = [0; 16];
        getrandom::fill(&mut bits).map_err(|e| {
            Error::new("the system gives no random numbers")
                .hint("try again later")
                .because(e)
        })?;
        Ok(Self(
            bits.iter().map(|byte| format!("{byte:02x}")).collect(),
        ))
    }

    /// The token as part of the address.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether a path begins with it. Takes the same time wherever the difference is.
    pub fn opens(&self, path: &str) -> bool {
        let first = path.trim_start_matches('/').split('/').next();
        let given = first.unwrap_or_default().as_bytes();
        path.starts_with('/')
            && !path.starts_with("//")
            && bool::from(given.ct_eq(self.0.as_bytes()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_whole_token_in_its_place_opens() {
        let token = Token::new().unwrap();
        let secret = token.as_str().to_string();
        assert_eq!(secret.len(), 32);
        assert_ne!(secret, Token::new().unwrap().as_str());
        assert!(token.opens(&format!("/{secret}/begin")));
        assert!(token.opens(&format!("/{secret}")));
        for path in [
            "".to_string(),
            "/".to_string(),
            secret.clone(),
            format!("//{secret}/"),
            format!("/x/{secret}/"),
            format!("/{}/", &secret[1..]),
            format!("/{secret}0/"),
            format!("/{}/", secret.to_uppercase().replace(char::is_numeric, "A")),
        ] {
            assert!(!token.opens(&path), "{path}");
        }
    }
}
