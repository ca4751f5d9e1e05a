//! What the colours are called in the rows: the palette's names, or short keys made from them.

use super::{Work, runs};
use crate::chart::Shade;
use crate::scene::{clean, first_letters, initials, short_keys as short};
use std::collections::{HashMap, HashSet};
use unicode_width::UnicodeWidthStr;

/// Longest name that is said in every row, in columns of a terminal.
const LONG: usize = 14;
/// Most columns of a terminal that a row's beads may take by names: two lines of text.
const WIDE: usize = 150;
/// A key keeps words up to this long whole.
const WHOLE: usize = 5;
/// Letters that a key takes of longer words.
const LETTERS: usize = 4;

/// What colours are called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keys {
    /// By the palette's names; where two are alike the code follows.
    Names,
    /// By short keys made from the names.
    Short,
    /// By the shortest keys, those that stand on beads.
    OnBeads,
}

/// A line of the table that says what the keys stand for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyLine {
    /// What the rows say.
    pub key: String,
    /// The colour: name, code, finish.
    pub colour: String,
    /// How many beads the chart has of it.
    pub count: usize,
}

/// The word for each of the chart's colours, and the table where the words are keys.
pub(super) fn names(work: &Work) -> (Vec<String>, Vec<KeyLine>) {
    let counts = work.chart.counts();
    let full: Vec<String> = work
        .chart
        .colours
        .iter()
        .map(|shade| clean(&shade.name))
        .collect();
    let used = || full.iter().zip(&counts).filter(|(_, count)| **count > 0);
    let keys = work.keys.unwrap_or_else(|| {
        let unfit = used().any(|(name, _)| is_unfit(name));
        let clash = has_clash(used().map(|(name, _)| name));
        match unfit || clash || is_wide(work, &full) {
            true => Keys::Short,
            false => Keys::Names,
        }
    });
    match keys {
        Keys::Names => (told_apart(&full, &work.chart.colours), Vec::new()),
        Keys::Short | Keys::OnBeads => {
            let cut = short(&full, &CUT);
            let keys = match (keys, is_wide(work, &cut)) {
                (Keys::OnBeads, _) => crate::scene::keys(work.chart),
                (_, true) => initials(&full),
                (_, false) => cut,
            };
            let line = |at: usize| KeyLine {
                key: keys[at].clone(),
                colour: described(&work.chart.colours[at]),
                count: counts[at],
            };
            let lines = (0..full.len()).filter(|&at| counts[at] > 0).map(line);
            let table = lines.collect();
            (keys, table)
        }
    }
}

/// `jersey navy (quay-58, opaque)`.
pub(super) fn described(shade: &Shade) -> String {
    let finish = shade
        .finish
        .map_or(String::new(), |finish| format!(", {finish}"));
    format!("{} ({}{finish})", clean(&shade.name), clean(&shade.code))
}

/// Whether a name is too long for a row, or would read as a number or as two colours.
fn is_unfit(name: &str) -> bool {
    name.width() > LONG || name.contains(',') || !name.starts_with(char::is_alphabetic)
}

fn has_clash<'a>(names: impl Iterator<Item = &'a String>) -> bool {
    let mut seen = HashSet::new();
    names
        .map(|name| name.to_lowercase())
        .any(|name| !seen.insert(name))
}

/// Whether the beads of some row take too much room by their names.
fn is_wide(work: &Work, names: &[String]) -> bool {
    let room = |beads: &[usize]| -> usize {
        runs(work.chart, beads)
            .iter()
            .map(|run| names[usize::from(run.colour)].width() + run.count.to_string().len() + 3)
            .sum()
    };
    work.weave.rows.iter().any(|row| room(&row.beads) > WIDE)
}

/// The names, with the code behind those that are alike.
fn told_apart(names: &[String], colours: &[Shade]) -> Vec<String> {
    let mut times: HashMap<String, usize> = HashMap::new();
    for name in names {
        *times.entry(name.to_lowercase()).or_default() += 1;
    }
    let alike = |name: &String| times[&name.to_lowercase()] > 1;
    names
        .iter()
        .zip(colours)
        .map(|(name, shade)| match alike(name) {
            true => format!("{name} ({})", clean(&shade.code)),
            false => name.clone(),
        })
        .collect()
}

/// `jers navy` for jersey navy, and where that is taken more letters or more words.
const CUT: [fn(&[String]) -> String; 3] = [
    |words| cut(words, LETTERS, 2),
    |words| cut(words, LETTERS + 2, 2),
    |words| cut(words, LETTERS, 3),
];

/// The first `letters` of the first `count` words, short words whole; a word on its own keeps twice as many.
fn cut(words: &[String], letters: usize, count: usize) -> String {
    let (letters, whole) = match words.len() {
        1 => (2 * letters, 2 * WHOLE),
        _ => (letters, WHOLE),
    };
    let cut: Vec<String> = words
        .iter()
        .take(count)
        .map(|word| match word.chars().count() <= whole {
            true => word.clone(),
            false => first_letters(word, letters),
        })
        .collect();
    cut.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::keys::KeyWays;

    fn keys(names: &[&str], ways: &KeyWays) -> Vec<String> {
        let names: Vec<String> = names.iter().map(|name| name.to_string()).collect();
        short(&names, ways)
    }

    #[test]
    fn keys_are_short_and_can_be_read() {
        let names = [
            "jersey navy",
            "coral",
            "gull white",
            "Aquamarine green",
            "chrysoprases",
        ];
        assert_eq!(
            keys(&names, &CUT),
            ["jers navy", "coral", "gull white", "aqua green", "chrysopr"]
        );
    }

    #[test]
    fn alike_names_get_keys_of_their_own() {
        let names = [
            "garnet",
            "garnet",
            "Garnet",
            "dark sea blue",
            "dark sea green",
            "dark sea green",
        ];
        assert_eq!(
            keys(&names, &CUT),
            [
                "garnet",
                "garnet-2",
                "garnet-3",
                "dark sea",
                "dark sea green",
                "dark sea-2"
            ]
        );
    }

    #[test]
    fn no_key_begins_with_a_figure_or_is_one_letter() {
        assert_eq!(
            keys(&["24k gold", "7", "A", "★", "red, 2nd lot"], &CUT),
            ["gold 24k", "tone 7", "tone a", "tone", "red lot"]
        );
    }
}
