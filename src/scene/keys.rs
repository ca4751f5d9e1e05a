//! Short keys for colours, few letters each, and whether a key can be read on its bead.

use super::accent::contrast;
use super::font;
use super::words::clean;
use crate::chart::Chart;
use crate::colour::Srgb8;
use std::collections::{HashMap, HashSet};

/// How keys are made of a name's words: each rule in turn, until a key is free. `jn` for jersey
/// navy; one word keeps three letters.
const RULES: [fn(&[String]) -> String; 4] = [
    |words| leading(words, 1, 1),
    |words| leading(words, 1, 2),
    |words| leading(words, 2, 1),
    |words| leading(words, 2, 2),
];

/// A short key for each of the chart's colours, in their order, no two alike: such as `jn` for
/// jersey navy.
///
/// The same keys stand on beads, in pictures, in the rows of every guide and on the desk. A name
/// with letters that the typeface does not have is replaced by the code.
pub fn keys(chart: &Chart) -> Vec<String> {
    let printed = |words: &String| words.chars().all(font::has);
    let named = chart.colours.iter().map(|colour| {
        // A letter that the typeface does not have would be the same square on every bead.
        let words = [clean(&colour.name), clean(&colour.code)];
        words.into_iter().find(printed).unwrap_or_default()
    });
    initials(&named.collect::<Vec<_>>())
}

/// The keys as they stand on the beads: with `blank_ground` nothing on the beads of the most
/// frequent colour, so that the motif stands out.
pub fn bead_keys(chart: &Chart, blank_ground: bool) -> Vec<String> {
    let mut keys = keys(chart);
    if blank_ground && let Some(key) = keys.get_mut(chart.most_frequent()) {
        key.clear();
    }
    keys
}

/// A key of few letters for each name, no two alike; where all are taken, a number follows.
fn initials(names: &[String]) -> Vec<String> {
    let mut taken = HashSet::new();
    let mut numbers: HashMap<String, usize> = HashMap::new();
    names
        .iter()
        .map(|name| {
            let words = words_of(name);
            let mut keys = RULES.iter().map(|rule| rule(&words));
            let key = keys
                .find(|key| !taken.contains(key))
                .unwrap_or_else(|| numbered(RULES[0](&words), &taken, &mut numbers));
            taken.insert(key.clone());
            key
        })
        .collect()
}

/// The key with the first number that is free: `garnet-2`.
fn numbered(key: String, taken: &HashSet<String>, numbers: &mut HashMap<String, usize>) -> String {
    let number = numbers.entry(key.clone()).or_insert(1);
    loop {
        *number += 1;
        let numbered = format!("{key}-{number}");
        if !taken.contains(&numbered) {
            return numbered;
        }
    }
}

/// The words of a name: letters and digits only, those that begin with a digit last, so that a key
/// never reads as a count.
fn words_of(name: &str) -> Vec<String> {
    let kept = |word: &str| -> String {
        word.chars()
            .flat_map(char::to_lowercase)
            .filter(|c| c.is_alphanumeric())
            .collect()
    };
    let (mut words, figures): (Vec<String>, Vec<String>) = name
        .split([' ', '-', '/', ','])
        .map(kept)
        .filter(|word| !word.is_empty())
        .partition(|word| word.starts_with(char::is_alphabetic));
    let single = words.len() == 1 && words[0].chars().count() == 1;
    if words.is_empty() || single {
        words.insert(0, "tone".to_string());
    }
    words.extend(figures);
    words
}

/// The first letters of the first word and of each of the two after it.
fn leading(words: &[String], of_first: usize, of_others: usize) -> String {
    match words {
        [word] => first_letters(word, of_first + of_others + 1),
        [word, others @ ..] => {
            let others = others
                .iter()
                .take(2)
                .map(|word| first_letters(word, of_others));
            first_letters(word, of_first) + &others.collect::<String>()
        }
        [] => String::new(),
    }
}

/// The first letters of a word.
fn first_letters(word: &str, letters: usize) -> String {
    word.chars().take(letters).collect()
}

/// Black or white, whichever is read better on a bead of this colour: never below 4.58:1, the
/// square root of 21.
pub fn legible(bead: Srgb8) -> Srgb8 {
    let (black, white) = (Srgb8::new(0, 0, 0), Srgb8::new(255, 255, 255));
    if contrast(bead, white) >= contrast(bead, black) {
        white
    } else {
        black
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(names: &[&str]) -> Vec<String> {
        let names: Vec<String> = names.iter().map(|name| name.to_string()).collect();
        initials(&names)
    }

    #[test]
    fn keys_have_few_letters_and_are_never_alike() {
        let names = ["jersey navy", "coral", "gull white", "chrysoprases"];
        assert_eq!(keys(&names), ["jn", "cor", "gw", "chr"]);
        assert_eq!(
            keys(&["navy tide", "night tide", "night tile", "night tide"]),
            ["nt", "nti", "nit", "niti"]
        );
        assert_eq!(keys(&["24k gold", "7", "θάλασσα"]), ["g2", "t7", "θάλ"]);
    }

    /// WCAG 2.2, success criterion 1.4.3: 4.5:1 for text. Every grey, where the choice between
    /// black and white is closest.
    #[test]
    fn a_key_is_read_on_every_bead() {
        for level in 0..=255 {
            let bead = Srgb8::new(level, level, level);
            assert!(contrast(legible(bead), bead) >= 4.5, "{level}");
        }
        // Black on white is 21:1 by the definition.
        let (black, white) = (Srgb8::new(0, 0, 0), Srgb8::new(255, 255, 255));
        assert!((contrast(black, white) - 21.0).abs() < 1e-9);
    }
}
