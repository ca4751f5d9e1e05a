//! `upbead resize`.

use crate::common::{Bench, golden, repository};
use crate::schema::suits;
use serde_json::json;

/// A bench with a motif, a border in repeats, and a folder.
fn bench() -> Bench {
    let bench = Bench::new();
    let palette = repository("palettes/tin.csv");
    let palette = palette.to_str().unwrap();
    for (picture, more) in [
        (
            "kittiwake",
            "--columns 11 --size us7 --place motif --position middle --ground quay-58",
        ),
        ("tide-line", "--rows 72 --place repeat:4 --mirror columns"),
        ("lobster-pot", "--rows 53 --open"),
    ] {
        let file = repository(&format!("samples/{picture}.png"));
        let output = format!("{picture}.json");
        let mut call = vec![
            "chart",
            "--match",
            "nearest",
            file.to_str().unwrap(),
            "--palette",
            palette,
            "--colours",
            "5",
            "-o",
            &output,
        ];
        call.extend(more.split(' '));
        bench.run(&call).ok();
    }
    // A motif of 50 rows on a plain ground, in the 72 rows of us7.
    let mut long: serde_json::Value = serde_json::from_str(&bench.text("kittiwake.json")).unwrap();
    let rows = long["rows"].as_array_mut().unwrap();
    let own = rows.clone();
    for at in 0..22 {
        rows[at + 50] = own[26 + at % 22].clone();
    }
    bench.put("long.json", long.to_string());
    std::fs::create_dir(bench.path("sizes")).unwrap();
    bench
}

fn listing(bench: &Bench) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(bench.path("sizes"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_motif_is_resized_and_each_size_is_a_valid_chart() {
    let bench = bench();
    let run = bench
        .run(&[
            "resize",
            "kittiwake.json",
            "--sizes",
            "us5..us9",
            "-o",
            "sizes",
        ])
        .ok();
    golden("resize/kittiwake.txt", &run.bytes);
    let names = listing(&bench);
    assert_eq!(
        names,
        [5, 6, 7, 8, 9].map(|size| format!("kittiwake-us{size}.json"))
    );
    for (name, rows) in names.iter().zip([66, 68, 72, 74, 78]) {
        let chart: serde_json::Value =
            serde_json::from_str(&bench.text(&format!("sizes/{name}"))).unwrap();
        assert_eq!(chart["rows"].as_array().unwrap().len(), rows);
        assert_eq!(chart["made"]["options"]["graded"], name[10..13], "{name}");
        assert_eq!(chart["made"]["source"], "kittiwake.png");
        bench.run(&["show", &format!("sizes/{name}")]).ok();
    }
    // The size that it was made for is the chart itself, but for the size in its record.
    let own: serde_json::Value = serde_json::from_str(&bench.text("kittiwake.json")).unwrap();
    let us7: serde_json::Value =
        serde_json::from_str(&bench.text("sizes/kittiwake-us7.json")).unwrap();
    assert_eq!(
        (&own["rows"], &own["colours"]),
        (&us7["rows"], &us7["colours"])
    );
}

#[test]
fn json_has_each_size_with_its_file() {
    let bench = bench();
    let json = bench
        .run(&[
            "resize",
            "kittiwake.json",
            "--sizes",
            "us6..us7",
            "--step",
            "0.5",
            "-o",
            "sizes",
            "--json",
            "--swatch",
            "40=33.6",
        ])
        .ok()
        .json();
    let sizes: Vec<(&str, u64)> = json["sizes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|size| {
            (
                size["size"].as_str().unwrap(),
                size["rows"].as_u64().unwrap(),
            )
        })
        .collect();
    assert_eq!(sizes, [("us6", 68), ("us6.5", 70), ("us7", 72)]);
    assert_eq!(
        (&json["repeats"], &json["motif_rows"], &json["step_rows"]),
        (&json!(1), &json!(25), &json!(2))
    );
    assert_eq!(json["sizes"][1]["file"], "sizes/kittiwake-us6.5.json");
    assert!(json["sizes"][1]["thread_mm"].as_f64().unwrap() > 1000.0);
    assert_eq!(json["left_out"], json!([]));
    assert_eq!(json["warnings"], json!([]));
}

#[test]
fn what_is_printed_for_programs_suits_its_schema() {
    let bench = bench();
    let mut seen = 0;
    for (chart, sizes, more) in [
        ("kittiwake.json", "us5..us9", &[][..]),
        ("tide-line.json", "us7,us8,d10mm", &[]),
        ("tide-line.json", "us7,us8", &["--nearest", "--force"]),
    ] {
        let call = ["resize", chart, "--sizes", sizes, "-o", "sizes", "--json"];
        let json = bench.run(&[&call[..], more].concat()).json();
        suits("resize", &json);
        seen +=
            json["sizes"].as_array().unwrap().len() + json["left_out"].as_array().unwrap().len();
    }
    assert_eq!(seen, 10);
}

/// What the warnings say is there as data, and told apart by kind.
#[test]
fn sizes_that_are_not_exact_or_come_out_the_same_are_data() {
    let bench = bench();
    let call = [
        "resize",
        "tide-line.json",
        "--sizes",
        "us6.5,us7,us8",
        "-o",
        "sizes",
    ];
    let json = bench
        .run(&[&call[..], &["--nearest", "--json"]].concat())
        .ok()
        .json();
    let warnings = json["warnings"].as_array().unwrap();
    let kinds: Vec<&str> = warnings
        .iter()
        .map(|one| one["kind"].as_str().unwrap())
        .collect();
    assert_eq!(
        kinds,
        ["nearest_rows", "nearest_rows", "same_rows", "no_gauge"]
    );
    assert_eq!(warnings[1]["rows"], json!([74, 72]));
    assert_eq!(warnings[1]["over_mm"], -0.525);
    assert_eq!(warnings[2]["sizes"], json!(["us6.5", "us7", "us8"]));
    assert_eq!(
        warnings[2]["text"],
        "us6.5, us7 and us8 come out the same: 72 rows"
    );
}

#[test]
fn the_old_name_of_the_verb_still_works() {
    let bench = bench();
    let call = |verb| {
        bench
            .run(&[
                verb,
                "kittiwake.json",
                "--sizes",
                "us7",
                "-o",
                "sizes",
                "--force",
            ])
            .ok()
            .out
    };
    assert_eq!(call("grade"), call("resize"));
    let help = bench.run(&["--help"]).ok().out;
    assert!(
        help.contains("  resize ") && !help.contains("grade"),
        "{help}"
    );
}

#[test]
fn sizes_are_needed() {
    let bench = bench();
    for (more, option) in [
        (&[][..], "--sizes"),
        (&["--nearest"], "--nearest"),
        (&["--step", "0.5"], "--step"),
    ] {
        let call = ["resize", "kittiwake.json", "-o", "sizes"];
        bench.run(&[&call[..], more].concat()).fails(
            2,
            &format!(
                "error: {option}: no ring sizes were given\n\
                 hint: add some, such as --sizes us5..us9"
            ),
        );
    }
}

#[test]
fn sizes_that_break_a_repeat_are_left_out_and_the_others_written() {
    let bench = bench();
    let call = [
        "resize",
        "tide-line.json",
        "--sizes",
        "us7,us8",
        "-o",
        "sizes",
    ];
    let run = bench.run(&call);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert_eq!(
        run.err,
        "error: tide-line.json: us8 closes with 74 rows, which is not a whole number of 18-row \
         repeats\n\
         hint: the nearest counts that work are 72 rows (us7.01) and 90 rows (us12.82); --nearest \
         takes the nearer\n"
    );
    assert_eq!(listing(&bench), ["tide-line-us7.json"]);
    let run = bench
        .run(&[&call[..], &["--nearest", "--force"]].concat())
        .ok();
    assert!(
        run.out.contains(
            "note: * us8: 74 rows would fit; the nearest count that keeps the \
             design is 72, 0.52 mm smaller inside\n"
        ),
        "{}",
        run.told()
    );
    assert_eq!(
        listing(&bench),
        ["tide-line-us7.json", "tide-line-us8.json"]
    );
}

#[test]
fn a_size_that_cannot_hold_the_motif_is_left_out() {
    let bench = bench();
    for more in [&[][..], &["--nearest", "--force"]] {
        let call = ["resize", "long.json", "--sizes", "d9mm,us7", "-o", "sizes"];
        let run = bench.run(&[&call[..], more].concat());
        let reason = "d9mm closes with 40 rows, but the design needs at least 50: fewer would be \
                      taken from its motif\n";
        assert_eq!(run.status, Some(1), "{}", run.told());
        let hint = "hint: leave out sizes below d11.565mm, or draw a shorter motif\n";
        assert_eq!(run.err, format!("error: long.json: {reason}{hint}"));
        // The table says it too, for those who get only that.
        assert!(
            run.out.contains(&format!("left out: {reason}")),
            "{}",
            run.out
        );
        assert_eq!(listing(&bench), ["long-us7.json"]);
    }
}

/// A tower of one colour fills the band, and a stem runs along it; the plain rows are few.
#[test]
fn a_tower_and_a_stem_keep_their_beads() {
    let bench = bench();
    let mut chart: serde_json::Value = serde_json::from_str(&bench.text("kittiwake.json")).unwrap();
    let rows = chart["rows"].as_array_mut().unwrap();
    for (at, row) in rows.iter_mut().enumerate().take(70).skip(4) {
        let row = row.as_array_mut().unwrap();
        for (column, bead) in row.iter_mut().enumerate() {
            let stem = at % 2 == 0 && column == 3;
            *bead = json!(if at >= 40 { 1 } else { u8::from(stem) });
        }
    }
    let name = chart["colours"][1]["name"].as_str().unwrap().to_string();
    bench.put("tower.json", chart.to_string());
    let call = [
        "resize",
        "tower.json",
        "--sizes",
        "us5..us9",
        "-o",
        "sizes",
        "--json",
    ];
    let json = bench.run(&call).json();
    let sizes = json["sizes"].as_array().unwrap();
    let towers: Vec<(&str, &serde_json::Value)> = sizes
        .iter()
        .map(|size| (size["size"].as_str().unwrap(), &size["colours"][1]["beads"]))
        .collect();
    let own = &towers[0].1;
    assert!(
        towers.iter().all(|(_, beads)| beads == own),
        "{name}: {towers:?}"
    );
    assert_eq!(towers.len(), 4, "{towers:?}");
    assert_eq!(json["left_out"][0]["size"], "us5");
    let reason = json["left_out"][0]["reason"].as_str().unwrap();
    assert!(
        reason.ends_with("fewer would be taken from its motif"),
        "{reason}"
    );
    assert_eq!(
        json["sizes"][2]["weave"],
        "rows 1 to 72, then 2 more plain rows"
    );
}

#[test]
fn a_chart_that_cannot_be_resized_is_refused() {
    let bench = bench();
    let resize =
        |chart: &str, sizes: &str| bench.run(&["resize", chart, "--sizes", sizes, "-o", "sizes"]);
    resize("lobster-pot.json", "us7").fails(
        1,
        "error: lobster-pot.json: an open strip has no ring size\n\
         hint: chart the picture again without --open",
    );
    resize("kittiwake.json", "us7..iso54").fails(
        2,
        "error: --sizes: 'us7' and 'iso54' are on two scales\n\
         hint: write both ends on one scale, such as us5..us9",
    );
    bench
        .run(&[
            "resize",
            "kittiwake.json",
            "--sizes",
            "us7",
            "-o",
            "nowhere",
        ])
        .fails(
            2,
            "error: -o: there is no folder 'nowhere'\nhint: make the folder first",
        );
    bench
        .run(&[
            "resize",
            "kittiwake.json",
            "--sizes",
            "us7",
            "-o",
            "sizes",
            "--step",
            "2",
        ])
        .fails(
            2,
            "error: --step: '2' is not a step between sizes\n\
             hint: give 1 for whole sizes or 0.5 for halves",
        );
    resize("kittiwake.json", "us7").ok();
    resize("kittiwake.json", "us5..us9").fails(
        1,
        "error: sizes/kittiwake-us7.json: the file exists\n\
         hint: choose another name, or add --force to replace it",
    );
    assert_eq!(listing(&bench), ["kittiwake-us7.json"]);
}

/// Between two counts `resize` and the booklet's table take the one that is preferred, as `fit`
/// does.
#[test]
fn of_two_counts_the_one_preferred_is_taken() {
    let bench = bench();
    let rows = |more: &[&str]| {
        let call = [
            "resize",
            "kittiwake.json",
            "--sizes",
            "us8",
            "-o",
            "sizes",
            "--force",
        ];
        let json = bench
            .run(&[&call[..], &["--json"], more].concat())
            .ok()
            .json();
        json["sizes"][0]["rows"].clone()
    };
    assert_eq!(rows(&[]), 74);
    assert_eq!(rows(&["--prefer", "nearest"]), 76);
    let fit = bench
        .run(&["fit", "us8", "--prefer", "larger", "--json"])
        .ok()
        .json();
    assert_eq!(rows(&["--prefer", "larger"]), fit["rows"]);
}
