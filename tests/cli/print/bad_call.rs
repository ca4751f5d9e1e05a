//! Wrong arguments: each has its own message, and nothing is written.

use super::{ring, strip};
use crate::common::Bench;

fn refused(bench: &Bench, options: &[&str], status: i32, error: &str) {
    let before = bench.listing();
    bench
        .run(&[&["print", "band.json"], options].concat())
        .fails(status, error);
    assert_eq!(bench.listing(), before);
}

#[test]
fn wrong_arguments_are_refused_with_their_own_message() {
    let bench = ring();
    let out = ["-o", "a.pdf"];
    let cases: [(&[&str], &str); 6] = [
        (
            &["--paper", "a5"],
            "error: --paper: 'a5' is no paper that is known\nhint: write a4 or letter",
        ),
        (
            &["--title", &"o".repeat(91)],
            "error: --title: a title of 91 letters is too long\nhint: keep to 90",
        ),
        (
            &["--by", &"o".repeat(120)],
            "error: --by: a name of 120 letters is too long\nhint: keep to 90",
        ),
        (
            &["--note", &"o".repeat(601)],
            "error: --note: a note of 601 letters is too long\nhint: keep to 600",
        ),
        (
            &["--sizes", "us9..us5"],
            "error: --sizes: 'us9..us5' runs downwards\nhint: write us5..us9",
        ),
        (
            &["--swatch", "40=33.6", "--fits", "74=us7"],
            "error: --fits: a swatch and a band that fits cannot both set the gauge\n\
             hint: leave out --swatch or --fits",
        ),
    ];
    for (options, error) in cases {
        refused(&bench, &[options, &out].concat(), 2, error);
    }
}

#[test]
fn files_are_replaced_only_with_force_and_no_input_ever() {
    let bench = ring();
    bench.put("a.pdf", "mine");
    refused(
        &bench,
        &["-o", "a.pdf"],
        1,
        "error: a.pdf: the file exists\nhint: choose another name, or add --force to replace it",
    );
    assert_eq!(bench.text("a.pdf"), "mine");
    let own = |name: &str| {
        format!("error: -o: '{name}' is read and cannot be written over\nhint: choose another name")
    };
    refused(
        &bench,
        &["-o", "band.json", "--force"],
        2,
        &own("band.json"),
    );
    refused(
        &bench,
        &["--picture", "bird.png", "-o", "./bird.png", "--force"],
        2,
        &own("bird.png"),
    );
    refused(
        &bench,
        &["-o", "no/a.pdf"],
        1,
        "error: no/a.pdf: there is no folder 'no'\nhint: make the folder first",
    );
    let run = bench
        .run(&["print", "band.json", "-o", "a.pdf", "--force"])
        .ok();
    assert!(
        run.out.starts_with("a.pdf: ") && run.out.ends_with(" kB\n"),
        "{}",
        run.told()
    );
    assert!(bench.get("a.pdf").starts_with(b"%PDF-1.5"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_an_error() {
    ring()
        .run(&["print", "band.json", "-o", "/dev/full"])
        .fails(
            1,
            "note: no gauge set\n\
             error: /dev/full: cannot write: no space left on device\n\
             hint: free some space or choose another disk"
                .split_once('\n')
                .unwrap()
                .1,
        );
}

#[test]
fn pictures_and_palettes_that_cannot_be_read_are_named() {
    let bench = ring();
    bench.put("note.txt", "no picture");
    let run = bench.run(&["print", "band.json", "--picture", "note.txt", "-o", "a.pdf"]);
    assert!(
        run.status == Some(1) && run.err.starts_with("error: note.txt: "),
        "{}",
        run.told()
    );
    let run = bench.run(&["print", "band.json", "--picture", "gone.jpg", "-o", "a.pdf"]);
    assert!(
        run.status == Some(1) && run.err.starts_with("error: gone.jpg: cannot read: "),
        "{}",
        run.told()
    );
    bench.put("other.csv", "code,name,hex\nkelp-1,kelp,2F5D50\n");
    let run = bench.run(&[
        "print",
        "band.json",
        "--palette",
        "other.csv",
        "-o",
        "a.pdf",
    ]);
    assert!(
        run.err
            .starts_with("error: other.csv: 5 colours of the chart are not in this palette"),
        "{}",
        run.told()
    );
    assert!(!bench.path("a.pdf").exists());
}

/// Narrow, short, even, odd and open bands all have their booklet.
#[test]
fn every_shape_of_band_is_printed() {
    let bench = ring();
    for (columns, rows) in [("3", "6"), ("4", "8"), ("9", "400"), ("30", "20")] {
        let chart = [
            "chart",
            "--match",
            "nearest",
            "bird.png",
            "--palette",
            "tin.csv",
            "--columns",
            columns,
            "--rows",
            rows,
            "--force",
            "-o",
            "band.json",
        ];
        bench.run(&chart).ok();
        bench
            .run(&["print", "band.json", "-o", "a.pdf", "--force"])
            .ok();
    }
    for (columns, rows) in [("3", "2"), ("6", "9"), ("7", "3"), ("8", "41")] {
        strip(&bench, columns, rows);
        bench
            .run(&["print", "band.json", "-o", "a.pdf", "--force"])
            .ok();
        let run = bench.run(&["print", "band.json", "--sizes", "us7", "-o", "b.pdf"]);
        assert!(
            run.err.contains("an open strip has no ring size"),
            "{}",
            run.told()
        );
    }
}

/// Repeats of 18 rows allow few row counts: without `--nearest` a size between them is left out.
#[test]
fn sizes_between_the_row_counts_of_repeats_take_the_nearest_if_asked() {
    let bench = Bench::new();
    for name in ["samples/tide-line.png", "palettes/tin.csv"] {
        let file = name.rsplit('/').next().unwrap();
        bench.put(
            file,
            std::fs::read(crate::common::repository(name)).unwrap(),
        );
    }
    bench
        .run(&[
            "chart",
            "--match",
            "nearest",
            "tide-line.png",
            "--palette",
            "tin.csv",
            "--rows",
            "72",
            "--place",
            "repeat:4",
            "-o",
            "tide.json",
        ])
        .ok();
    let call = ["print", "tide.json", "--sizes", "us8", "-o", "a.pdf"];
    let run = bench.run(&call);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err.contains("the design can have none of these sizes"),
        "{}",
        run.told()
    );
    let nearest = bench.run(&[&call[..], &["--nearest"]].concat());
    nearest.ok();
    assert!(bench.get("a.pdf").starts_with(b"%PDF"));
    let lonely = ["print", "tide.json", "--nearest", "-o", "b.pdf"];
    bench.run(&lonely).fails(
        2,
        "error: --nearest: no ring sizes were given\nhint: add some, such as --sizes us5..us9",
    );
}

/// Before anything is made, and before the picture for the cover is read.
#[test]
fn a_band_too_large_for_a_booklet_is_refused_before_any_work() {
    let bench = Bench::new();
    bench.put("tin.csv", "code,name,hex\nq-11,harbour grey,8A9299\n");
    bench.put("cover.png", "no picture");
    let size = ["--columns", "1000", "--rows", "4000", "-o", "band.json"];
    let plain = ["chart", "--plain", "--palette", "tin.csv"];
    bench.run(&[plain.as_slice(), &size].concat()).ok();
    let error = "error: band.json: a band of 2,000,000 beads is too large for a booklet\n\
                 hint: keep to 100,000 beads, or draw it with `upbead show --flat`";
    refused(&bench, &["-o", "a.pdf"], 1, error);
    refused(&bench, &["--picture", "cover.png", "-o", "a.pdf"], 1, error);
}
