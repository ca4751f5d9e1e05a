//! Words wrapped into lines.

use super::{Figures, Weight, font};
use crate::units::Mm;

/// `words` wrapped into lines no wider than `room`; a word that is wider still is broken too. At
/// least one line.
pub fn wrap(words: &str, size: Mm, weight: Weight, room: Mm) -> Vec<String> {
    let fits = |line: &str| font::width(line, size, weight, Figures::Running) <= room;
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words.split(' ') {
        let longer = if line.is_empty() {
            word.to_string()
        } else {
            format!("{line} {word}")
        };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            line.push(letter);
            if !fits(&line) && line.chars().nth(1).is_some() {
                line.pop();
                lines.push(std::mem::replace(&mut line, letter.to_string()));
            }
        }
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_between_words_and_within_long_ones() {
        let lines = |words, room| wrap(words, Mm::new(3.0), Weight::Regular, Mm::new(room));
        assert_eq!(lines("kelp green", 40.0), ["kelp green"]);
        assert_eq!(lines("kelp green", 9.0), ["kelp", "green"]);
        let cut = lines("bladderwrackbladderwrack", 20.0);
        assert!(
            cut.len() > 1 && cut.concat() == "bladderwrackbladderwrack",
            "{cut:?}"
        );
        assert_eq!(lines("", 20.0), [""]);
        assert_eq!(lines("wide", 0.1).concat(), "wide");
    }
}
