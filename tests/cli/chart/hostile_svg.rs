//! Short drawings that ask for endless work: each ends, with the cause.

use super::{bench, chart};
use crate::common::Bench;
use crate::common::hostile::{Hostile, counted, endless, svg, vast};

#[track_caller]
fn refused(bench: &Bench, drawing: &Hostile) {
    let Hostile { name, svg, error } = drawing;
    bench.put(name, svg);
    let before = bench.listing();
    let run = chart(bench, name, &["--rows", "74"]);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err.starts_with(&format!("error: {name}: ")) && run.err.contains(error),
        "{}",
        run.told()
    );
    assert_eq!(
        run.err.lines().count(),
        2,
        "an error and a hint: {}",
        run.err
    );
    assert!(run.err.len() < 300, "{}", run.err);
    assert_eq!(run.out, "");
    assert_eq!(bench.listing(), before);
}

#[test]
fn what_can_be_counted_is_refused_with_the_count_and_the_limit() {
    let bench = bench(&["tin.csv"]);
    for drawing in counted() {
        refused(&bench, &drawing);
    }
}

#[test]
fn what_takes_too_long_or_too_much_memory_is_ended() {
    let bench = bench(&["tin.csv"]);
    refused(&bench, &endless());
    refused(&bench, &vast());
}

/// Every verb that reads a picture draws it with the same limits.
#[test]
fn other_verbs_are_ended_too() {
    let bench = bench(&["tin.csv", "kittiwake.svg"]);
    chart(&bench, "kittiwake.svg", &["--rows", "74"]).ok();
    let Hostile { name, svg, error } = vast();
    bench.put(name, svg);
    for call in [
        &["propose", name, "--palette", "tin.csv", "--rows", "74"][..],
        &["refine", "band.json", "--picture", name, "-o", "b.json"],
        &["compare", "band.json", "--picture", name],
        &["print", "band.json", "--picture", name, "-o", "b.pdf"],
        &["palette", "from-photo", name, "-o", "p.csv"],
    ] {
        let run = bench.run(call);
        assert_eq!(run.status, Some(1), "{}", run.told());
        assert!(run.err.contains(error), "{}", run.told());
    }
}

/// A huge radius or a huge region alone is drawn, as coarse as it must be.
#[test]
fn a_single_large_effect_is_drawn() {
    let bench = bench(&["tin.csv"]);
    let far = "x=\"-1e4\" y=\"-1e4\" width=\"2e4\" height=\"2e4\" filterUnits=\"userSpaceOnUse\"";
    for (region, effect) in [
        ("", "<feMorphology operator=\"dilate\" radius=\"1e9\"/>"),
        (far, "<feOffset/>"),
    ] {
        bench.put(
            "effect.svg",
            svg(&format!(
                "<filter id=\"f\" {region}>{effect}</filter>\
                 <rect width=\"90\" height=\"120\" fill=\"#FAFAF6\" filter=\"url(#f)\"/>"
            )),
        );
        let read = super::charted(&bench, "effect.svg", &["--rows", "12"]);
        assert_eq!(read.codes(), ["quay-01"].into(), "{effect}");
    }
}

/// The argument that starts the process is not a verb, and stands in no help.
#[test]
fn the_process_that_draws_is_not_in_the_help() {
    let bench = Bench::new();
    for call in [
        &["--help"][..],
        &["chart", "--help"],
        &["manual"],
        &["completions", "bash"],
    ] {
        let run = bench.run(call).ok();
        assert!(!run.out.contains("draw-svg"), "{}", run.told());
    }
    let run = bench.run(&["--draw-svg"]);
    assert_eq!(run.status, Some(2), "{}", run.told());
    // Started without a drawing, it just ends.
    let run = bench.run(&["--draw-svg-from-standard-input"]);
    assert_eq!(run.status, Some(1), "{}", run.told());
}
