//! What the colours are called in the rows: the palette's names, or the keys that stand on beads.

use super::{WovenBand, runs};
use crate::chart::Shade;
use crate::request::Keys;
use crate::scene;
use crate::scene::clean;
use std::collections::{HashMap, HashSet};
use unicode_width::UnicodeWidthStr;

/// Longest name that is written in every row, in columns of a terminal.
const LONG: usize = 14;
/// Most columns of a terminal that a row's beads may take by names: two lines of text.
const WIDE: usize = 150;

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
pub(super) struct Names {
    /// In the chart's order.
    pub(super) words: Vec<String>,
    /// The colours in use; empty where the words are names.
    pub(super) key: Vec<KeyLine>,
}

/// What the colours are called.
pub(super) fn names(band: &WovenBand) -> Names {
    let colours = &band.chart.colours;
    let counts = band.chart.counts();
    let full: Vec<String> = colours.iter().map(|shade| clean(&shade.name)).collect();
    let used = || full.iter().zip(&counts).filter(|(_, count)| **count > 0);
    let keys = band.keys.unwrap_or_else(|| {
        let unfit = used().any(|(name, _)| is_unfit(name));
        let clash = has_clash(used().map(|(name, _)| name));
        if unfit || clash || is_wide(band, &full) {
            Keys::Short
        } else {
            Keys::Names
        }
    });
    match keys {
        Keys::Names => Names {
            words: told_apart(&full, colours),
            key: Vec::new(),
        },
        Keys::Short => {
            let words = scene::keys(band.chart);
            let line = |at: usize| KeyLine {
                key: words[at].clone(),
                colour: described(&colours[at]),
                count: counts[at],
            };
            let used = (0..words.len()).filter(|&at| counts[at] > 0);
            Names {
                key: used.map(line).collect(),
                words,
            }
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
fn is_wide(band: &WovenBand, names: &[String]) -> bool {
    let room = |beads: &[usize]| -> usize {
        runs(band.chart, beads)
            .iter()
            .map(|run| names[usize::from(run.colour)].width() + run.count.to_string().len() + 3)
            .sum()
    };
    band.weave.rows.iter().any(|row| room(&row.beads) > WIDE)
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
        .map(|(name, shade)| {
            if alike(name) {
                format!("{name} ({})", clean(&shade.code))
            } else {
                name.clone()
            }
        })
        .collect()
}
