//! The chapter about the reader's own size.

use super::words::table;
use super::{print, ring, strip};
use crate::common::Bench;

/// Each count is the one that `upbead fit` takes for a swatch as high as the booklet says.
#[test]
fn rows_by_hand_and_size_are_those_of_fit() {
    let bench = ring();
    let pdf = print(&bench, &[]);
    let chapter = pdf.chapter("Your size");
    let told = |start: &str| {
        let found = chapter
            .iter()
            .find(|e| e.role == "P" && e.words.starts_with(start));
        found.unwrap_or_else(|| panic!("{start}")).words.clone()
    };
    let words = told("How tightly");
    assert!(words.contains("11 columns and 40 rows"), "{words}");
    let heights: Vec<f64> = ["about ", "hand, ", "average one, "]
        .map(|before| {
            let (_, after) = words.split_once(before).unwrap();
            after.split(' ').next().unwrap().parse().unwrap()
        })
        .to_vec();
    assert_eq!(heights, [32.8, 33.8, 34.8]);
    let rows = table(&pdf, "inside, mm");
    assert_eq!(rows.len(), 5, "{rows:?}");
    let bench = Bench::new();
    for row in &rows {
        // The height is rounded to a tenth, so that the exact one is taken.
        for (cell, spacing) in row[2..].iter().zip([1.6, 1.65, 1.7]) {
            let swatch = format!("401={}", 200.0 * spacing + 1.6);
            let call = [
                "fit",
                "--size",
                row[0].as_str(),
                "--swatch",
                &swatch,
                "--json",
            ];
            let rows = bench.run(&call).ok().json()["rows"].clone();
            assert_eq!(*cell, rows.to_string(), "{row:?} at {spacing}");
        }
    }
}

#[test]
fn trying_on_is_told_as_in_the_written_rows() {
    let bench = ring();
    let text = bench.run(&["weave", "band.json"]).ok().out;
    let unbroken = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let pdf = print(&bench, &[]);
    let chapter = pdf.chapter("Your size");
    for start in ["Try the strip on after row", "This chart has 74 rows."] {
        let mut told = chapter.iter().filter(|e| e.words.starts_with(start));
        let words = told
            .next()
            .unwrap_or_else(|| panic!("{start}"))
            .words
            .trim();
        assert!(unbroken.contains(words), "{words}\n{unbroken}");
    }
    let rows = pdf.chapter("Row by row");
    let marked = rows
        .iter()
        .filter(|e| e.role == "LBody" && e.words.contains("; try on"));
    assert_eq!(marked.count(), 1);
}

#[test]
fn a_strip_has_no_size() {
    let bench = ring();
    strip(&bench, "9", "31");
    let pdf = print(&bench, &[]);
    assert!(pdf.elements.iter().all(|e| e.words.trim() != "Your size"));
}
