//! What is chosen from the artwork where the call leaves it open, and how each choice is overruled.

use super::{Chart, bench};
use crate::common::{Bench, Run, repository};
use std::fs;
use std::process::Command;

/// The named pieces of the artwork set, beside the tin.
fn with(pieces: &[&str]) -> Bench {
    let bench = bench(&["tin.csv"]);
    for piece in pieces {
        let path = repository("tests/data/artwork").join(piece);
        bench.put(piece, fs::read(path).unwrap());
    }
    bench
}

fn charted(bench: &Bench, picture: &str, options: &str) -> (Run, Chart) {
    let call =
        format!("chart {picture} --palette tin.csv --size us7 -o band.json --force {options}");
    let run = bench.line(call.trim_end()).ok();
    (run, Chart::read(bench, "band.json"))
}

#[test]
fn a_flat_motif_on_a_clear_ground_is_charted_once_in_its_own_colours() {
    let bench = with(&["fox.png"]);
    let (run, chart) = charted(&bench, "fox.png", "");
    for (option, value) in [
        ("place", "motif"),
        ("rotate", "0"),
        ("match", "flat"),
        ("mirror", "columns"),
    ] {
        assert_eq!(chart.option(option), Some(value), "{option}");
    }
    // Orange, cream and black of its own, and the ground.
    assert_eq!(chart.value["colours"].as_array().unwrap().len(), 4);
    assert!(
        run.out.contains(
            "note: read as a drawing in 3 flat colours on a clear ground, the same left and \
             right: --place motif, --rotate 0, --match flat, --mirror columns; \
             --match nearest turns this off\n"
        ),
        "{}",
        run.told()
    );
}

#[test]
fn every_choice_is_overruled_by_its_option() {
    let bench = with(&["fox.png"]);
    let (_, open) = charted(&bench, "fox.png", "");
    for (options, option, value) in [
        ("--place round", "place", Some("round")),
        ("--rotate 90", "rotate", Some("90")),
        ("--mirror none", "mirror", Some("none")),
        ("--crisp", "match", None),
        ("--dither none", "match", None),
        ("--match nearest", "mirror", None),
        ("--ground quay-58", "ground", Some("quay-58")),
    ] {
        let (_, chart) = charted(&bench, "fox.png", options);
        assert_ne!(chart.option(option), open.option(option), "{options}");
        let told = chart.option(option);
        // No mirror leaves no record.
        assert!(told == value || told.is_none(), "{options}: {told:?}");
    }
    let (run, _) = charted(&bench, "fox.png", "--match nearest");
    assert!(!run.out.contains("read as"), "{}", run.told());
}

#[test]
fn what_the_call_asks_for_holds_beside_what_is_read() {
    let bench = with(&["fox.png", "lake.png"]);
    bench
        .line("chart fox.png --palette tin.csv --size us7 -o band.json --colours 1")
        .fails(
            2,
            "error: --colours: fox.png: one colour is the ground's, and none is left for the \
             drawing\nhint: allow 2 colours or more",
        );
    let (_, two) = charted(&bench, "fox.png", "--colours 2");
    assert_eq!(two.value["colours"].as_array().unwrap().len(), 2);
    // Beads that are counted are mixed as they last.
    let (_, counted) = charted(&bench, "fox.png", "--from-stock");
    assert_eq!(counted.option("match"), None);
    // More colours kept in than the usual limit raise it.
    bench.put(
        "shelf.csv",
        fs::read(repository("palettes/shelf.csv")).unwrap(),
    );
    let text = bench.text("shelf.csv");
    let codes: Vec<&str> = text
        .lines()
        .skip(1)
        .filter_map(|line| line.split(',').next())
        .collect();
    let keep = codes[..14].join(",");
    let call = format!("chart lake.png --palette shelf.csv --size us7 -o lake.json --keep {keep}");
    bench.line(&call).ok();
}

#[test]
fn a_pattern_repeats_evenly_in_the_nearest_rows_that_allow_it() {
    let bench = with(&["lozenges-5.png"]);
    let (run, chart) = charted(&bench, "lozenges-5.png", "--swatch 41=33.6");
    let place = chart.option("place").unwrap();
    let repeats: usize = place.strip_prefix("repeat:").unwrap().parse().unwrap();
    let rows = chart.rows.len();
    // 74 rows are 2 x 37, which allow no repeat near the pattern's own length.
    assert!(rows == 72 || rows == 76, "{rows}");
    assert!(
        rows.is_multiple_of(2 * repeats),
        "{rows} rows, {repeats} times"
    );
    assert!(run.out.contains(" rows in place of 74"), "{}", run.told());
    // The record must not claim a size that these rows do not have.
    assert_eq!(chart.option("size"), None);
    let period = rows / repeats;
    for row in 0..rows - period {
        assert_eq!(chart.rows[row], chart.rows[row + period], "row {}", row + 1);
    }
    let (_, round) = charted(&bench, "lozenges-5.png", "--place round --swatch 41=33.6");
    assert_eq!(round.rows.len(), 74);
}

#[test]
fn the_same_bytes_whatever_the_number_of_threads() {
    let bench = with(&["cat.png", "chevrons-6.png", "lake.png"]);
    for picture in ["cat.png", "chevrons-6.png", "lake.png"] {
        let made = ["1", "2", "5"].map(|threads| {
            let run = Command::new(env!("CARGO_BIN_EXE_upbead"))
                .current_dir(bench.path("."))
                .env("RAYON_NUM_THREADS", threads)
                .args(["chart", picture, "--palette", "tin.csv", "--size", "us7"])
                .args(["-o", "band.json", "--force"])
                .output()
                .unwrap();
            assert!(run.status.success(), "{picture}");
            bench.get("band.json")
        });
        assert!(made.iter().all(|one| *one == made[0]), "{picture}");
    }
}

#[test]
fn what_is_too_fine_says_from_how_many_columns_it_is_whole() {
    let bench = with(&["sail-outline.png", "heart.png"]);
    let (run, _) = charted(&bench, "sail-outline.png", "--columns 5");
    assert!(run.out.contains("too fine for 5 columns"), "{}", run.told());
    let (run, _) = charted(&bench, "heart.png", "");
    assert!(!run.out.contains("too fine"), "{}", run.told());
}
