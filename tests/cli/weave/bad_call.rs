//! Wrong arguments, and charts that cannot be read.

use super::{bench, ring, strip};

#[test]
fn rows_that_are_not_there_are_refused_with_the_range() {
    let bench = bench(&ring());
    let refused = |rows: &str, error: &str| {
        bench
            .run(&["weave", "band.json", "--rows", rows])
            .fails(2, &format!("error: --rows: {error}"));
    };
    refused("0", "there is no row 0\nhint: rows are numbered from 1");
    refused("0..4", "there is no row 0\nhint: rows are numbered from 1");
    refused(
        "5..3",
        "'5..3' runs backwards\nhint: write 3..5; rows are written in the order of work",
    );
    refused(
        "13",
        "there is no row 13 in this band\nhint: its rows are 1..12",
    );
    refused(
        "10..14",
        "there is no row 14 in this band\nhint: its rows are 1..12",
    );
    refused(
        "13..",
        "there is no row 13 in this band\nhint: its rows are 1..12",
    );
    refused(
        "99999999999999999999",
        "there is no row 99999999999999999999\nhint: a band has at most 20,000 rows",
    );
    refused(
        "20001..",
        "there is no row 20001\nhint: a band has at most 20,000 rows",
    );
    for odd in ["", "..", "a", "3-5", "-3", "3...5", "3,5", "1.5..3"] {
        refused(
            odd,
            &format!("'{odd}' is not a range of rows\nhint: write 20..35, 20.., ..35 or 20"),
        );
    }
}

#[test]
fn a_corner_where_the_strip_cannot_start_is_refused() {
    bench(&strip())
        .run(&["weave", "band.json", "--start", "left"])
        .fails(
            2,
            "error: this strip cannot be started at that corner: the first new bead would have no \
         bead below it\n\
         hint: use --start right",
        );
}

#[test]
fn two_output_forms_at_once_are_refused() {
    let bench = bench(&ring());
    for form in ["text", "markdown"] {
        bench
            .run(&["weave", "band.json", "--json", "--as", form])
            .fails(
                2,
                "error: --as: JSON is a form of its own\nhint: leave out --as or --json",
            );
    }
    bench
        .run(&["weave", "band.json", "--json", "--keys", "short"])
        .fails(
            2,
            "error: --keys: JSON has numbers in place of colour names\nhint: leave --keys out",
        );
}

#[test]
fn a_chart_that_is_broken_or_missing_is_named() {
    let bench = bench(&ring());
    let text = bench.text("band.json");
    bench.put(
        "band.json",
        text.replace("\"columns\": 7", "\"columns\": 9"),
    );
    let run = bench.run(&["weave", "band.json"]);
    assert_eq!(
        (run.status, run.out.as_str()),
        (Some(1), ""),
        "{}",
        run.told()
    );
    assert!(run.err.starts_with("error: band.json:"), "{}", run.told());
    let run = bench.run(&["weave", "gone.json"]);
    assert_eq!(
        (run.status, run.out.as_str()),
        (Some(1), ""),
        "{}",
        run.told()
    );
    assert!(
        run.err.starts_with("error: gone.json: cannot read"),
        "{}",
        run.told()
    );
}
