//! Colourways of one design, as text, as a picture and as pages.

#[cfg(feature = "pdf")]
mod sheet;

#[cfg(feature = "pdf")]
pub use sheet::ContactSheet;

use super::lines::paragraph;
use super::palette::printable;
use crate::report::swap::ChangedPairReport;
use crate::report::ways::{WayReport, WaysReport};
use crate::units::grouped;
use crate::words::shown;
use std::collections::BTreeMap;

/// A blank at which no line is broken.
const UNBROKEN: char = '\u{a0}';

/// Words that stay on one line.
fn unbroken(words: &str) -> String {
    words.replace(' ', &UNBROKEN.to_string())
}

/// For a person: a paragraph for each colourway, with its beads, and what was not kept.
pub fn text(report: &WaysReport) -> String {
    let mut text = match report.ways.as_slice() {
        [_] => String::new(),
        ways => format!("{}: {} colourways\n", shown(&report.design), ways.len()),
    };
    for file in report.sheet.iter().chain(&report.pages) {
        text += &format!("{}\n", shown(file));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    for way in &report.ways {
        text += &of_way(way);
    }
    if let Some(wanted) = report.wanted
        && report.ways.len() < wanted
    {
        text += &paragraph(
            "- ",
            &format!(
                "{} of {wanted} colourways: no others were found that differ visibly and read as \
                 well; a palette of more colours may give some",
                report.ways.len()
            ),
        );
    }
    text
}

fn of_way(way: &WayReport) -> String {
    let file = shown(way.chart.as_deref().unwrap_or("chart"));
    let changed = match way.changed {
        0 => "no bead changed".to_string(),
        changed => format!(
            "{} of {} beads changed",
            grouped(changed),
            grouped(way.beads)
        ),
    };
    let mut text = format!("{file}: {changed}\n");
    let facts = beads(way).into_iter().chain(contrast(way.contrast));
    let facts = paragraph("  ", &facts.collect::<Vec<_>>().join("; "));
    text += &facts.replace(UNBROKEN, " ");
    for line in short(way).into_iter().chain(lost(way)) {
        text += &paragraph("  - ", &line);
    }
    text
}

/// `40 tar black, 13 gull white`: the beads of each colour, the most frequent first.
fn beads(way: &WayReport) -> Option<String> {
    let mut all: Vec<(usize, &str)> = Vec::new();
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    for one in &way.colours {
        let at = *places.entry(&one.to.code).or_insert_with(|| {
            all.push((0, &one.to.name));
            all.len() - 1
        });
        all[at].0 += one.beads;
    }
    all.sort_by_key(|(beads, _)| std::cmp::Reverse(*beads));
    let words = all
        .iter()
        .map(|(beads, name)| unbroken(&format!("{} {}", grouped(*beads), printable(name))));
    let words: Vec<String> = words.collect();
    (!words.is_empty()).then(|| words.join(", "))
}

/// How the motif stands out.
fn contrast(contrast: Option<f64>) -> Option<String> {
    contrast.map(|ratio| format!("contrast {ratio:.1} to 1"))
}

/// Colours of which there are too few beads.
fn short(way: &WayReport) -> Option<String> {
    let mut all: Vec<(&str, &str, u64)> = Vec::new();
    for one in way.colours.iter().filter(|one| one.short > 0) {
        if all.iter().all(|(code, ..)| *code != one.to.code) {
            all.push((&one.to.code, &one.to.name, one.short));
        }
    }
    let words = all
        .iter()
        .map(|(_, name, beads)| format!("{} {}", grouped(*beads as usize), printable(name)));
    let words: Vec<String> = words.collect();
    (!words.is_empty()).then(|| format!("beads short: {}", words.join(", ")))
}

/// Pairs that merged or changed places.
fn lost(way: &WayReport) -> Vec<String> {
    let name = |code: &str| {
        let mut all = way.colours.iter();
        all.find(|one| one.from.code == code)
            .map_or(String::new(), |one| printable(&one.to.name))
    };
    let pair = |pair: &ChangedPairReport, what: &str| {
        let (one, other) = (name(&pair.one), name(&pair.other));
        if one == other {
            format!("two colours of the design are both {one} now")
        } else {
            format!("{one} and {other} {what}")
        }
    };
    let together = way.together.iter();
    let together = together.map(|one| pair(one, "are hard to tell apart"));
    let turned = way.turned.iter();
    let turned = turned.map(|one| pair(one, "change places in lightness"));
    together.chain(turned).collect()
}
