//! A palette from the text of its file: CSV or GIMP palette, told apart by the first line.

use super::Finish;
use crate::error::{Error, nearest_names};

/// A word of the user's in quotes, cut to a readable length, with nothing in it that would upset a terminal.
pub(crate) fn shown(word: &str) -> String {
    const MOST: usize = 60;
    let mut text: String = word
        .chars()
        .take(MOST)
        .map(|letter| {
            if letter.is_control() {
                '\u{fffd}'
            } else {
                letter
            }
        })
        .collect();
    if word.chars().nth(MOST).is_some() {
        text.push('…');
    }
    format!("'{text}'")
}

/// `hex` should have been a colour.
pub(crate) fn bad_hex(hex: &str) -> Error {
    Error::new(format!("{} is not a colour", shown(hex)))
        .hint("write six hex digits, such as 2F5D50")
}

/// `word` should have been a finish.
pub(crate) fn unknown_finish(word: &str) -> Error {
    let error = Error::new(format!("{} is not a finish", shown(word)));
    let words = Finish::ALL.map(Finish::word);
    match nearest_names(word, words).first() {
        Some(near) => error.hint(format!(
            "did you mean {near}? The finishes are {}",
            words.join(", ")
        )),
        None => error.hint(format!("the finishes are {}", words.join(", "))),
    }
}
