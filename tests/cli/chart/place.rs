//! Where the picture is placed: place, ground, rotation, crop, scaling, margin.

use super::{BLACK, CLEAR, Chart, WHITE, bench, chart, charted, painted};
use crate::common::Bench;

/// White above, black below, 18 x 24.
fn horizon() -> Bench {
    let bench = bench(&["tin.csv"]);
    bench.put(
        "horizon.png",
        painted(18, 24, |_, y| if y < 12 { WHITE } else { BLACK }),
    );
    bench
}

/// How many of the beads are white: in the lower half, the upper half, the left and the right.
fn white(read: &Chart) -> [bool; 4] {
    let rows = read.rows.len();
    let all_white = |rows: std::ops::RangeInclusive<usize>,
                     columns: std::ops::RangeInclusive<usize>| {
        rows.flat_map(|row| {
            columns
                .clone()
                .filter_map(move |column| read.at(row, column))
        })
        .all(|code| code == "quay-01")
    };
    let (width, half) = (read.columns, rows / 2);
    [
        all_white(2..=half - 2, 1..=width),
        all_white(half + 2..=rows - 2, 1..=width),
        all_white(2..=rows - 2, 1..=width / 2),
        all_white(2..=rows - 2, width / 2 + 2..=width),
    ]
}

#[test]
fn quarter_turns_go_clockwise() {
    let bench = horizon();
    for (turn, expected) in [
        ("0", [false, true, false, false]),
        ("90", [false, false, false, true]),
        ("180", [true, false, false, false]),
        ("270", [false, false, true, false]),
    ] {
        let read = charted(
            &bench,
            "horizon.png",
            &["--rows", "20", "--scaling", "stretch", "--rotate", turn],
        );
        assert_eq!(white(&read), expected, "{turn}");
        assert_eq!(read.option("rotate"), Some(turn));
    }
}

#[test]
fn auto_turns_a_picture_that_loses_less_on_its_side_and_says_so() {
    let bench = bench(&["tin.csv"]);
    bench.put(
        "wide.png",
        painted(60, 20, |x, _| if x < 30 { WHITE } else { BLACK }),
    );
    bench.put(
        "tall.png",
        painted(20, 60, |_, y| if y < 30 { WHITE } else { BLACK }),
    );
    let call = ["--rows", "74", "--rotate", "auto"];
    let run = chart(&bench, "wide.png", &call).ok();
    // 11.7 x 59.2 mm of a picture three times as long as wide: 11.7/59.2 x 3 of it lying, a third
    // of 11.7/59.2 upright.
    assert!(
        run.out.contains(
            "note: rotated 90° clockwise: this keeps 59% of the picture, upright \
             would keep 7%; --rotate 0 leaves it upright\n"
        ),
        "{}",
        run.told()
    );
    let turned = Chart::read(&bench, "band.json");
    assert_eq!(turned.option("rotate"), Some("90"));
    let by_default = charted(&bench, "wide.png", &["--rows", "74"]);
    assert_eq!(by_default, turned);
    let run = chart(&bench, "tall.png", &call).ok();
    assert!(!run.out.contains("rotated"), "{}", run.told());
    assert_eq!(Chart::read(&bench, "band.json").option("rotate"), Some("0"));
    let upright = chart(&bench, "wide.png", &["--rows", "74", "--rotate", "0"]).ok();
    assert!(!upright.out.contains("rotated"), "{}", upright.told());
}

#[test]
fn a_crop_shows_only_its_part() {
    let bench = horizon();
    let all = charted(&bench, "horizon.png", &["--rows", "20"]);
    assert!(all.codes().len() > 1);
    let above = charted(
        &bench,
        "horizon.png",
        &["--rows", "20", "--crop", "0,0,18,12"],
    );
    assert_eq!(above.codes(), ["quay-01"].into());
    let below = charted(
        &bench,
        "horizon.png",
        &["--rows", "20", "--crop", " 17, 12, 1, 12"],
    );
    assert_eq!(below.codes(), ["quay-09"].into());
    assert_eq!(below.option("crop"), Some("17,12,1,12"));
}

#[test]
fn cover_fills_the_band_contain_leaves_ground_and_stretch_keeps_all() {
    let bench = bench(&["tin.csv"]);
    let frame = |x: u32, y: u32| (3..57).contains(&x) && (3..57).contains(&y);
    bench.put(
        "frame.png",
        painted(60, 60, |x, y| if frame(x, y) { WHITE } else { BLACK }),
    );
    let fit = |fit: &str| {
        let call = [
            "--rows",
            "74",
            "--ground",
            "quay-11",
            "--scaling",
            fit,
            "--json",
        ];
        let summary = chart(&bench, "frame.png", &call).ok().json();
        (Chart::read(&bench, "band.json"), summary)
    };
    let (cover, summary) = fit("cover");
    assert!(!cover.codes().contains("quay-11"));
    assert_eq!(
        cover.at(37, 1),
        Some("quay-01"),
        "the frame's sides are cut off"
    );
    // A square on 11.7 x 59.2 mm.
    assert_eq!(summary["kept"], 0.1976);
    let (contain, summary) = fit("contain");
    assert_eq!(contain.at(1, 1), Some("quay-11"));
    assert_eq!(contain.at(37, 5), Some("quay-01"));
    assert_eq!(
        (&summary["kept"], &summary["ground"]),
        (&1.0.into(), &"quay-11".into())
    );
    let (stretch, summary) = fit("stretch");
    assert!(!stretch.codes().contains("quay-11"));
    assert_ne!(
        stretch.at(37, 1),
        Some("quay-01"),
        "the frame's sides are there"
    );
    assert_eq!(summary["kept"], 1.0);
}

#[test]
fn a_motif_stands_once_in_the_middle_of_its_ground() {
    let bench = bench(&["tin.csv", "kittiwake.png"]);
    let call = [
        "--rows", "74", "--place", "motif", "--ground", "quay-58", "--rotate", "0",
    ];
    let read = charted(&bench, "kittiwake.png", &call);
    let plain = |row: usize| read.rows[row - 1].iter().all(|code| code == "quay-58");
    let motif: Vec<usize> = (1..=74).filter(|&row| !plain(row)).collect();
    let (first, last) = (motif[0], motif[motif.len() - 1]);
    assert!(last - first < 26, "{motif:?}");
    assert!((first + last).abs_diff(74) <= 4, "{motif:?}");
    assert_eq!(read.option("place"), Some("motif"));
    // All round, the same picture fills the band.
    let round = charted(
        &bench,
        "kittiwake.png",
        &["--rows", "74", "--ground", "quay-58", "--rotate", "0"],
    );
    assert_ne!(round.rows, read.rows);
}

#[test]
fn repeats_are_the_same_bead_for_bead_where_the_rows_divide() {
    let bench = bench(&["tin.csv", "tide-line.png", "kittiwake.png"]);
    for (picture, repeats, rows) in [
        ("tide-line.png", 4, "72"),
        ("tide-line.png", 6, "72"),
        ("kittiwake.png", 3, "72"),
        ("tide-line.png", 37, "74"),
    ] {
        for extra in [
            &[][..],
            &["--dither", "diffuse"],
            &["--dither", "mask"],
            &["--colours", "3"],
        ] {
            let place = format!("repeat:{repeats}");
            let run = chart(
                &bench,
                picture,
                &[&["--rows", rows, "--place", &place], extra].concat(),
            )
            .ok();
            assert!(!run.out.contains("share evenly"), "{}", run.told());
            let read = Chart::read(&bench, "band.json");
            let each = read.rows.len() / repeats;
            for row in each..read.rows.len() {
                assert_eq!(
                    read.rows[row],
                    read.rows[row % each],
                    "row {} of {place}, {extra:?}",
                    row + 1
                );
            }
        }
    }
}

#[test]
fn repeats_that_do_not_divide_the_rows_are_refused_with_counts_that_do() {
    let bench = bench(&["tin.csv", "tide-line.png"]);
    let run = chart(
        &bench,
        "tide-line.png",
        &["--rows", "74", "--place", "repeat:4"],
    )
    .ok();
    assert!(
        run.out.contains(
            "note: 74 rows do not divide evenly into 4 repeats: some have 18 rows and \
             some 20; --rows 72 or --rows 80 would\n"
        ),
        "{}",
        run.told()
    );
}

#[test]
fn margins_stay_ground_along_both_edges() {
    let bench = horizon();
    let how = ["--rows", "20", "--ground", "quay-11", "--margin", "2"];
    let read = charted(&bench, "horizon.png", &how);
    assert_eq!(
        read.of_columns([1, 2, 8, 9].into_iter()),
        ["quay-11"].into()
    );
    assert!(!read.of_columns(3..=7).contains("quay-11"));
    assert!(
        !charted(&bench, "horizon.png", &how[..4])
            .codes()
            .contains("quay-11")
    );
}

#[test]
fn a_ground_that_was_not_named_is_the_one_that_differs_more_and_is_reported() {
    let bench = bench(&["tin.csv"]);
    for (name, colour, ground, told) in [
        ("light.png", WHITE, "quay-09", "tar black"),
        ("dark.png", BLACK, "quay-01", "gull white"),
    ] {
        let inside = |x: u32, y: u32| (5..15).contains(&x) && (5..15).contains(&y);
        bench.put(
            name,
            painted(20, 20, |x, y| if inside(x, y) { colour } else { CLEAR }),
        );
        let run = chart(&bench, name, &["--rows", "74", "--place", "motif"]).ok();
        let note = format!("note: the ground is {told}; --ground sets another colour\n");
        assert!(run.out.contains(&note), "{}", run.told());
        let read = Chart::read(&bench, "band.json");
        assert_eq!(read.at(1, 1), Some(ground));
        assert_eq!(read.option("ground"), Some(ground));
        let named = chart(
            &bench,
            name,
            &["--rows", "74", "--place", "motif", "--ground", "quay-11"],
        )
        .ok();
        assert!(!named.out.contains("the ground is"), "{}", named.told());
        assert_eq!(Chart::read(&bench, "band.json").at(1, 1), Some("quay-11"));
    }
}

/// The ground that nobody named, and the notes.
#[track_caller]
fn unnamed_ground(
    bench: &crate::common::Bench,
    picture: &str,
    options: &[&str],
) -> (String, String) {
    let call = [&["--rows", "74", "--rotate", "0", "--json"][..], options].concat();
    let summary = chart(bench, picture, &call).ok().json();
    (
        summary["ground"].as_str().unwrap_or("none").to_string(),
        summary["warnings"].to_string(),
    )
}

#[test]
fn an_unnamed_ground_sets_a_motif_off_and_continues_an_opaque_picture() {
    let bench = bench(&["tin.csv"]);
    let motif = |colour: [u8; 4]| {
        painted(60, 60, move |x, y| {
            if x.abs_diff(30) + y.abs_diff(30) < 20 {
                colour
            } else {
                CLEAR
            }
        })
    };
    bench.put("white-motif.png", motif(WHITE));
    bench.put("black-motif.png", motif(BLACK));
    // An alpha channel that is never used makes no motif.
    bench.put(
        "white-sheet.png",
        painted(
            60,
            60,
            |x, y| if x == 30 && y == 30 { BLACK } else { WHITE },
        ),
    );
    let ground = |picture, options: &[&str]| unnamed_ground(&bench, picture, options).0;
    assert_eq!(ground("white-motif.png", &["--place", "motif"]), "quay-09");
    assert_eq!(ground("black-motif.png", &["--place", "motif"]), "quay-01");
    assert_eq!(
        ground("white-sheet.png", &["--scaling", "contain"]),
        "quay-01"
    );
    assert_eq!(
        ground(
            "white-sheet.png",
            &["--scaling", "contain", "--without", "quay-01"]
        ),
        "quay-04"
    );
}

#[test]
fn a_ground_that_shows_nowhere_and_a_motif_placed_all_round_give_a_warning() {
    let bench = bench(&["tin.csv"]);
    bench.put("sheet.png", painted(60, 60, |_, _| WHITE));
    bench.put(
        "dot.png",
        painted(60, 60, |x, y| {
            if x.abs_diff(30) + y.abs_diff(30) < 20 {
                WHITE
            } else {
                CLEAR
            }
        }),
    );
    let (ground, notes) = unnamed_ground(&bench, "sheet.png", &["--ground", "quay-11"]);
    assert_eq!(ground, "none");
    assert!(notes.contains("the ground does not show"), "{notes}");
    let (_, notes) = unnamed_ground(&bench, "dot.png", &[]);
    assert!(notes.contains("--place motif"), "{notes}");
    let (_, notes) = unnamed_ground(&bench, "dot.png", &["--place", "motif"]);
    assert!(!notes.contains("--place motif"), "{notes}");
}

#[test]
fn colours_in_use_that_look_alike_give_a_warning() {
    let bench = bench(&[]);
    bench.put(
        "tin.csv",
        "code,name,hex\nfoam,foam,FAFAF6\nspray,spray,F8F8F4\ntar,tar,111111\n",
    );
    bench.put(
        "halves.png",
        painted(60, 60, |x, _| {
            if x < 30 {
                [0xF8, 0xF8, 0xF4, 255]
            } else {
                WHITE
            }
        }),
    );
    let (_, notes) = unnamed_ground(&bench, "halves.png", &[]);
    assert!(
        notes.contains("foam and spray are hard to tell apart"),
        "{notes}"
    );
    let (_, notes) = unnamed_ground(&bench, "halves.png", &["--without", "spray"]);
    assert!(!notes.contains("hard to tell apart"), "{notes}");
}

/// A motif whose colours all come nearest to the ground is no chart, but a mistake of the palette
/// or the ground.
#[test]
fn a_motif_that_becomes_its_ground_is_an_error() {
    let bench = bench(&["tin.csv"]);
    let pale = |x: u32, y: u32| {
        if x.abs_diff(9) + y.abs_diff(9) < 8 {
            super::WHITE
        } else {
            super::CLEAR
        }
    };
    bench.put("foam.png", super::painted(18, 18, pale));
    let motif = |ground| {
        let how = ["--rows", "72", "--place", "motif", "--ground", ground];
        chart(&bench, "foam.png", &how)
    };
    motif("quay-01").fails(
        1,
        "error: --ground: foam.png: nothing of the motif is left: all of its colours come nearest \
         to the ground, gull white\n\
         hint: choose another --ground, allow more --colours, or take a palette with colours \
         nearer to the motif's",
    );
    motif("quay-58").ok();
}
