//! Arguments and palettes that are refused: the exact message, the status, and nothing is written.

use super::bench;
use crate::common::Bench;

const CALL: [&str; 8] = [
    "chart",
    "--match",
    "nearest",
    "gull.png",
    "--palette",
    "tin.csv",
    "-o",
    "band.json",
];
const USAGE: &str = "\n\nFor more information, try '--help'.";

fn gull() -> Bench {
    let bench = bench(&["tin.csv", "kittiwake.png"]);
    std::fs::rename(bench.path("kittiwake.png"), bench.path("gull.png")).unwrap();
    bench
}

#[track_caller]
fn each(cases: &[(&[&str], &str)]) {
    let bench = gull();
    for (options, error) in cases {
        let sized = options
            .iter()
            .any(|option| ["--rows", "--size", "--open"].contains(option));
        let rows: &[&str] = if sized { &[] } else { &["--rows", "12"] };
        let call = [&CALL[..], rows, options].concat();
        bench.run(&call).fails(2, &format!("error: {error}"));
        assert_eq!(bench.listing(), "gull.png tin.csv");
    }
}

#[test]
fn columns_that_cannot_be_woven_are_refused() {
    let hint =
        "hint: use 3 to 1000; a ring usually has 5 to 15, and an odd count has a centre column";
    let cannot = |count: &str| format!("--columns: {count} cannot be woven\n{hint}");
    let whole = |text: &str| {
        format!("--columns: '{text}' is not a whole number\nhint: give a whole number, 0 or more")
    };
    each(&[
        (&["--columns", "0"], &cannot("0 columns")),
        (&["--columns", "1"], &cannot("1 column")),
        (&["--columns", "2"], &cannot("2 columns")),
        (&["--columns", "1001"], &cannot("1001 columns")),
        (&["--columns", "100000"], &cannot("100,000 columns")),
        (
            &["--columns", "99999999999"],
            "--columns: 99999999999 is too large",
        ),
        (&["--columns", "abc"], &whole("abc")),
        (&["--columns", "-3"], &whole("-3")),
        (&["--columns", "9.5"], &whole("9.5")),
        (
            &["--columns", "1000", "--rows", "20000"],
            "--columns: 10,000,000 beads are more than one band can have\nhint: keep to 2,000,000",
        ),
    ]);
}

#[test]
fn rows_that_do_not_close_name_the_two_nearest_even_counts() {
    let even = "an even count lets the last row zip to the first";
    each(&[
        (
            &["--rows", "75"],
            &format!("--rows: 75 rows do not close into a ring\nhint: use 74 or 76; {even}"),
        ),
        (
            &["--rows", "7"],
            &format!("--rows: 7 rows do not close into a ring\nhint: use 6 or 8; {even}"),
        ),
        (
            &["--rows", "19999"],
            &format!(
                "--rows: 19,999 rows do not close into a ring\nhint: use 19998 or 20000; {even}"
            ),
        ),
        (
            &["--rows", "0"],
            "--rows: 0 rows cannot be charted\nhint: use 6 to 20,000 rows",
        ),
        (
            &["--rows", "1"],
            "--rows: 1 row cannot be charted\nhint: use 6 to 20,000 rows",
        ),
        (
            &["--rows", "20001"],
            "--rows: 20,001 rows cannot be charted\nhint: use 6 to 20,000 rows",
        ),
        (
            &["--rows", "1", "--open"],
            "--rows: 1 row cannot be charted\nhint: use 2 to 20,000 rows",
        ),
        (
            &["--rows", "x"],
            "--rows: 'x' is not a whole number\nhint: give a whole number, 0 or more",
        ),
    ]);
}

#[test]
fn a_band_needs_a_size_or_rows_and_not_both() {
    let bench = gull();
    for (options, error) in [
        (
            &[][..],
            "neither a ring size nor a number of rows was given\n\
             hint: add --size, such as --size us7, or --rows, such as --rows 74\n",
        ),
        (
            &["--size", "us7", "--rows", "74"],
            "--rows: a ring size and rows cannot both be given\nhint: leave out --size or --rows\n",
        ),
        (
            &["--open"],
            "--open: an open strip needs a number of rows\nhint: add --rows, such as --rows 131\n",
        ),
        (
            &["--swatch", "40=33.6", "--fits", "74=us7", "--rows", "74"],
            "--fits: a swatch and a band that fits cannot both set the gauge\n\
             hint: leave out --swatch or --fits\n",
        ),
    ] {
        let run = bench.run(&[&CALL[..], options].concat());
        assert_eq!(run.status, Some(2), "{}", run.told());
        assert!(
            run.err.starts_with(&format!("error: {error}")),
            "{}",
            run.told()
        );
        assert_eq!(bench.listing(), "gull.png tin.csv");
    }
}

#[test]
fn sizes_that_no_finger_has_are_refused() {
    let ways = "hint: write us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14, 54.4mm or 2.14in (inner \
        circumference), d17.3mm or d0.68in (inside diameter)";
    each(&[
        (
            &["--size", "us99"],
            "--size: 'us99' is out of range\n\
             hint: write us0 to us34; rings from 8 to 40 mm inside are accepted",
        ),
        (
            &["--size", "us-3"],
            "--size: 'us-3' is out of range\nhint: write us3, without the dash",
        ),
        (
            &["--size", "NaN"],
            &format!("--size: 'NaN' is not a ring size\n{ways}"),
        ),
        (
            &["--size", "inf"],
            &format!("--size: 'inf' is not a ring size\n{ways}"),
        ),
        (
            &["--size", ""],
            &format!("--size: the ring size is empty\n{ways}"),
        ),
        (
            &["--size", "7"],
            "--size: '7' does not say its scale\nhint: which scale is it? write us7, jp7 or eu7",
        ),
        (
            &["--size", "-7"],
            &format!("--size: '-7' is not a ring size\n{ways}"),
        ),
    ]);
}

#[test]
fn no_colour_left_is_refused() {
    let all: Vec<String> = std::fs::read_to_string(crate::common::repository("palettes/tin.csv"))
        .unwrap()
        .lines()
        .skip(1)
        .map(|line| line.split(',').next().unwrap().to_string())
        .collect();
    each(&[(
        &["--without", &all.join(",")],
        "--without: no colour is left to choose from\nhint: rule out fewer colours",
    )]);
}

#[test]
fn colours_that_contradict_one_another_are_refused() {
    each(&[
        (
            &["--colours", "0"],
            "--colours: a band has at least one colour\n\
             hint: allow 1 or more, or leave the limit out",
        ),
        (
            &["--colours", "-1"],
            "--colours: '-1' is not a whole number\nhint: give a whole number, 0 or more",
        ),
        (
            &["--keep", "quay-01", "--without", "quay-04,quay-01"],
            "--without: 'quay-01' is kept in and left out at once\n\
             hint: name it in one of the two only",
        ),
        (
            &["--ground", "quay-58", "--without", "quay-58"],
            "--without: 'quay-58' is the ground and left out at once\n\
             hint: name it in one of the two only",
        ),
        (
            &["--keep", "quay-10"],
            "--keep: no colour has the code or name 'quay-10'\n\
             hint: did you mean quay-01 or quay-11 or quay-04?",
        ),
        (
            &["--without", "duen-05"],
            "--without: no colour has the code or name 'duen-05'\n\
             hint: did you mean dune-05 or dune-42?",
        ),
        (
            &["--keep", "gull whit"],
            "--keep: no colour has the code or name 'gull whit'\nhint: did you mean quay-01?",
        ),
        (
            &["--ground", "zzz"],
            "--ground: no colour has the code or name 'zzz'\n\
             hint: `upbead palette FILE` lists the codes",
        ),
        (
            &[
                "--keep",
                "quay-01,quay-04,quay-11",
                "--colours",
                "2",
                "--ground",
                "quay-01",
            ],
            "--colours: gull.png: 3 colours are to be kept, but only 2 allowed\n\
             hint: allow more colours or keep fewer; the ground counts as one",
        ),
    ]);
}

#[test]
fn dithering_and_mirrors_out_of_range_are_refused() {
    let range = |text: &str| {
        format!("--strength: a strength of {text} is out of range\nhint: give a number from 0 to 1")
    };
    let even = |both: &str| {
        format!(
            "--mirror: 8 columns have no mirror image left to right\nhint: use 7 or 9 columns{both}"
        )
    };
    let between = ": with an even count the mirrored beads fall between beads";
    each(&[
        (
            &["--strength", "0.5"],
            "--strength: there is no dithering to give a strength to\n\
             hint: add --dither diffuse or --dither mask",
        ),
        (&["--dither", "mask", "--strength", "1.01"], &range("1.01")),
        (
            &["--dither", "diffuse", "--strength", "-0.1"],
            &range("-0.1"),
        ),
        (&["--dither", "diffuse", "--strength", "NaN"], &range("NaN")),
        (&["--dither", "diffuse", "--strength", "inf"], &range("inf")),
        (
            &["--dither", "diffuse", "--strength", "half"],
            &range("half"),
        ),
        (
            &["--dither", "diffused"],
            &format!(
                "invalid value 'diffused' for '--dither <WAY>'\n  \
                 [possible values: none, diffuse, mask]\n\n  \
                 tip: a similar value exists: 'diffuse'{USAGE}"
            ),
        ),
        (&["--mirror", "columns", "--columns", "8"], &even(between)),
        (&["--mirror", "both", "--columns", "8"], &even(between)),
        (
            &["--mirror", "rows", "--open", "--rows", "30"],
            &format!(
                "--mirror: 30 rows have no mirror image end to end\n\
                 hint: use 29 or 31 rows{between}"
            ),
        ),
        (
            &["--mirror", "sideways"],
            &format!(
                "invalid value 'sideways' for '--mirror <WAY>'\n  \
                 [possible values: none, columns, rows, both]{USAGE}"
            ),
        ),
    ]);
}

#[test]
fn places_that_the_band_does_not_have_are_refused() {
    let place = |text: &str| {
        format!(
            "--place: '{text}' is no place on a band\n\
             hint: write round, motif or repeat:N, such as repeat:4"
        )
    };
    let turn = |text: &str| {
        format!(
            "--rotate: '{text}' is no quarter turn\nhint: write auto, 0, 90, 180 or 270, clockwise"
        )
    };
    let repeats = |count: &str| {
        format!(
            "--place: {count} repeats do not fit into 12 rows\n\
             hint: use 1 to 6 repeats, of two rows or more each"
        )
    };
    each(&[
        (&["--place", "repeat:0"], &repeats("0")),
        (&["--place", "repeat:7"], &repeats("7")),
        (
            &["--place", "repeat:99999999999"],
            &place("repeat:99999999999"),
        ),
        (&["--place", "repeat:-1"], &place("repeat:-1")),
        (&["--place", "repeat"], &place("repeat")),
        (&["--place", "middle"], &place("middle")),
        (&["--rotate", "45"], &turn("45")),
        (&["--rotate", "-90"], &turn("-90")),
        (
            &["--margin", "5"],
            "--margin: margins of 5 columns leave none of 9\nhint: use 4 at most",
        ),
        (
            &["--margin", "4294967295"],
            "--margin: margins of 4294967295 columns leave none of 9\nhint: use 4 at most",
        ),
        (
            &["--margin", "-1"],
            "--margin: '-1' is not a whole number\nhint: give a whole number, 0 or more",
        ),
        (
            &["--scaling", "fill"],
            &format!(
                "invalid value 'fill' for '--scaling <SCALING>'\n  \
                 [possible values: cover, contain, stretch]{USAGE}"
            ),
        ),
        (
            &["--bead", "9"],
            "--bead: '9' is not a bead size\n\
             hint: write 11, 10, 8 or 15, or length x diameter x hole in mm, such as 1.3x1.6x0.8",
        ),
    ]);
}

#[test]
fn crops_without_area_or_outside_the_picture_are_refused() {
    let part = |text: &str| {
        format!(
            "--crop: '{text}' is not a part of a picture\n\
             hint: give x,y,width,height in whole pixels, such as 120,0,300,900"
        )
    };
    let empty = "--crop: gull.png: a crop of no width or height shows nothing\n\
        hint: give x,y,width,height in pixels, such as 100,0,300,900";
    let beyond = |text: &str| {
        format!(
            "--crop: gull.png: the crop {text} reaches beyond the picture\n\
             hint: the picture is 440 x 640 pixels"
        )
    };
    each(&[
        (&["--crop", "0,0,0,10"], empty),
        (&["--crop", "0,0,10,0"], empty),
        (&["--crop", "440,0,1,1"], &beyond("440,0,1,1")),
        (&["--crop", "0,0,440,641"], &beyond("0,0,440,641")),
        (
            &["--crop", "4294967295,0,4294967295,1"],
            &beyond("4294967295,0,4294967295,1"),
        ),
        (&["--crop", "1,2,3"], &part("1,2,3")),
        (&["--crop", "1,2,3,4,5"], &part("1,2,3,4,5")),
        (&["--crop", "-1,0,10,10"], &part("-1,0,10,10")),
        (&["--crop", "1.5,0,10,10"], &part("1.5,0,10,10")),
        (&["--crop", "a,b,c,d"], &part("a,b,c,d")),
        (&["--crop", ""], &part("")),
    ]);
}

/// Every broken palette is told by `upbead palette` in `bad.rs`; here, that charting stops at them.
#[test]
fn broken_palettes_are_refused_with_their_place() {
    let bench = gull();
    for (palette, error) in [
        (
            &b"code,name,hex\na,kelp,2F5D50\nb,gold,C8A03Z\n"[..],
            "tin.csv:3:8: 'C8A03Z' is not a colour\nhint: write six hex digits, such as 2F5D50",
        ),
        (
            b"code,name,hex\na,kelp,2F5D50\na,gold,C8A03F\n",
            "tin.csv:3:1: the code 'a' stands twice\n\
             hint: line 2 has it too; give each colour a code of its own",
        ),
        (b"a,kelp,2F5D50\nb,gold,C8A03F\n", "tin.csv:1:1: "),
        (
            b"code,name,hex\na,k\xFFlp,2F5D50\n",
            "tin.csv:2:4: the text is not UTF-8\nhint: save the file as UTF-8",
        ),
        (
            b"",
            "tin.csv: the palette is empty\nhint: give each colour a line: code,name,hex",
        ),
    ] {
        bench.put("tin.csv", palette);
        let run = bench.run(&[&CALL[..], &["--rows", "12"]].concat());
        assert_eq!(run.status, Some(1), "{}", run.told());
        assert!(
            run.err.starts_with(&format!("error: {error}")),
            "{}",
            run.told()
        );
        assert!(run.err.contains("\nhint: "), "{}", run.told());
        assert_eq!(bench.listing(), "gull.png tin.csv");
    }
    let gone = [
        "chart", "--match", "nearest", "gull.png", "-p", "gone.csv", "--rows", "12",
    ];
    bench.run(&gone).fails(
        1,
        "error: gone.csv: cannot read: no such file or directory\n\
         hint: check the spelling and the folder",
    );
}
