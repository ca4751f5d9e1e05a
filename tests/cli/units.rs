//! `--units inch`: inches and yards beside millimetres and metres, in every verb that words them.

use crate::common::{Bench, repository};
use crate::pdf::Pdf;
use std::collections::BTreeSet;

/// A bench with a ring of plain rows and a motif.
fn bench() -> Bench {
    let bench = Bench::new();
    let file = repository("samples/kittiwake.png");
    let palette = repository("palettes/tin.csv");
    let chart = [
        "chart",
        file.to_str().unwrap(),
        "--palette",
        palette.to_str().unwrap(),
        "--columns",
        "11",
        "--size",
        "us7",
        "--place",
        "motif",
        "--match",
        "nearest",
        "-o",
        "bird.json",
    ];
    bench.run(&chart).ok();
    bench
}

/// Every length of `text` in millimetres that has inches behind it, and how many have none.
fn lengths(text: &str) -> (Vec<[f64; 2]>, usize) {
    let words: Vec<&str> = text.split_whitespace().collect();
    let (mut pairs, mut alone) = (Vec::new(), 0);
    for at in 1..words.len() {
        let unit = words[at].trim_end_matches(|c: char| !c.is_alphabetic());
        let Ok(mm) = words[at - 1].replace(',', "").parse::<f64>() else {
            continue;
        };
        if unit != "mm" || words.get(at - 2) == Some(&"×") {
            continue;
        }
        let behind = words.get(at + 1).and_then(|word| word.strip_prefix('('));
        match behind.and_then(|inches| inches.parse().ok()) {
            Some(inches) => pairs.push([mm, inches]),
            None => alone += 1,
        }
    }
    (pairs, alone)
}

/// The inches are the millimetres', to the figures that are shown.
fn are_the_same(pairs: &[[f64; 2]]) {
    for [mm, inches] in pairs {
        let shown = if mm / 25.4 < 1.0 { 0.0005 } else { 0.005 };
        assert!(
            (mm / 25.4 - inches).abs() <= shown + 1e-9,
            "{mm} mm, {inches} in"
        );
    }
}

#[test]
fn every_length_that_is_printed_has_its_inches() {
    let bench = bench();
    for (call, least) in [
        (&["fit", "us7"][..], 5),
        (&["fit", "us7", "--swatch", "40=33.6"], 5),
        (&["kit", "bird.json"], 5),
        (&["kit", "bird.json", "--make", "3"], 5),
        (&["weave", "bird.json"], 5),
        (&["weave", "bird.json", "--as", "markdown"], 5),
    ] {
        let inch = bench.run(&[call, &["--units", "inch"]].concat()).ok().out;
        let (pairs, alone) = lengths(&inch);
        assert!(
            pairs.len() >= least && alone == 0,
            "{alone} without inches:\n{inch}"
        );
        are_the_same(&pairs);
        // Without the option, and with millimetres, nothing changes.
        let plain = bench.run(call).ok().out;
        let mm = bench.run(&[call, &["--units", "mm"]].concat()).ok().out;
        assert_eq!(plain, mm);
        assert!(!mm.contains(" in)") && !mm.contains(" yd)"), "{mm}");
    }
    let kit = bench.run(&["kit", "bird.json", "--units", "inch"]).ok().out;
    assert!(kit.contains(" m (1.8"), "yards of thread: {kit}");
}

#[test]
fn the_page_has_them_too() {
    let bench = bench();
    let page = |more: &[&str]| {
        let call = ["weave", "bird.json", "--force", "--page", "rows.html"];
        bench.run(&[&call[..], more].concat()).ok();
        bench.text("rows.html")
    };
    let (inch, mm) = (page(&["--units", "inch"]), page(&[]));
    assert!(inch.contains("100 mm (3.94 in)") && inch.contains(" yd)"));
    assert!(!mm.contains(" in)") && !mm.contains(" yd)"));
}

/// Letter paper is read where inches are.
#[test]
fn letter_paper_implies_inches() {
    let bench = bench();
    let booklet = |more: &[&str]| {
        let call = [
            "print",
            "bird.json",
            "--force",
            "--sizes",
            "us7,us8",
            "-o",
            "bird.pdf",
        ];
        bench.run(&[&call[..], more].concat()).ok();
        let pdf = Pdf::read(&bench.get("bird.pdf"));
        let words = pdf.elements.iter().filter(|element| element.depth == 0);
        let words: Vec<&str> = words.map(|element| element.words.as_str()).collect();
        words.join("\n")
    };
    let metric = booklet(&["--paper", "a4"]);
    assert!(!metric.contains(" in)") && !metric.contains("thread, yd"));
    assert_eq!(metric, booklet(&[]));
    for inches in [
        booklet(&["--paper", "letter"]),
        booklet(&["--paper", "a4", "--units", "inch"]),
    ] {
        for words in [
            "14.3 mm (0.563 in) wide",
            "inside, in",
            "thread, yd",
            "100 mm (3.94 in)",
        ] {
            assert!(inches.contains(words), "{words}: {inches}");
        }
        are_the_same(&lengths(&inches).0);
    }
    let letter_in_mm = booklet(&["--paper", "letter", "--units", "mm"]);
    assert!(!letter_in_mm.contains(" in)"));
}

#[test]
fn what_has_no_inches_refuses_them() {
    let bench = bench();
    for call in [
        &["fit", "us7", "--json"][..],
        &["kit", "bird.json", "--json"],
        &["weave", "bird.json", "--json"],
    ] {
        bench.run(&[call, &["--units", "inch"]].concat()).fails(
            2,
            "error: --units: JSON has no inches\nhint: leave --units out",
        );
    }
    bench
        .run(&["kit", "bird.json", "--as", "csv", "--units", "inch"])
        .fails(
            2,
            "error: --units: CSV has no inches\nhint: leave --units out",
        );
    let unknown = bench.run(&["fit", "us7", "--units", "feet"]);
    assert_eq!(unknown.status, Some(2), "{}", unknown.told());
    let said: BTreeSet<&str> = unknown.err.split_whitespace().collect();
    assert!(said.contains("'feet'"), "{}", unknown.err);
}
