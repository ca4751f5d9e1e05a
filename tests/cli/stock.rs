//! `upbead chart --from-stock`: charts for which there are enough beads in stock.

use crate::common::{Bench, Run, golden, repository};
use std::fs;

/// The shipped tin with little in it: 60 beads of the commonest colours, 39 to 41 of the others,
/// enough of brass and mackerel blue.
fn scarce() -> String {
    let tin = fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    let less = [
        (",10,", ",0.3,"),
        (",5,", ",0.3,"),
        (",7.5,", ",0.2,"),
        (",2.5,", ",0.2,"),
    ];
    less.iter()
        .fold(tin, |text, (from, to)| text.replace(from, to))
}

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("scarce.csv", scarce());
    for name in ["harbour-dusk.jpg", "kittiwake.png", "tide-line.png"] {
        bench.put(name, fs::read(repository("samples").join(name)).unwrap());
    }
    bench
}

fn chart(bench: &Bench, picture: &str, more: &[&str]) -> Run {
    let call = [
        "chart",
        "--match",
        "nearest",
        picture,
        "--palette",
        "scarce.csv",
        "--rows",
        "74",
        "--from-stock",
        "-o",
        "a.json",
        "--force",
    ];
    bench.run(&[&call[..], more].concat())
}

/// Beads of each colour of the chart, by code.
fn counts(bench: &Bench) -> Vec<(String, u64)> {
    let file: serde_json::Value = serde_json::from_slice(&bench.get("a.json")).unwrap();
    let colours = file["colours"].as_array().unwrap();
    let mut counts = vec![0; colours.len()];
    for row in file["rows"].as_array().unwrap() {
        for bead in row.as_array().unwrap() {
            counts[bead.as_u64().unwrap() as usize] += 1;
        }
    }
    let code = |colour: &serde_json::Value| colour["code"].as_str().unwrap().to_string();
    colours.iter().map(code).zip(counts).collect()
}

/// Grams times beads a gram, by hand from `palettes/tin.csv`.
fn most(code: &str, bands: u64) -> u64 {
    let all = match code {
        "quay-01" => 60,
        "quay-04" => 59,
        "quay-09" => 39,
        "quay-11" => 60,
        "quay-29" => 40,
        "quay-53" => 40,
        "quay-58" => 60,
        "dune-05" => 41,
        "dune-42" => 61,
        "pool-26" => 62,
        "bell-09" => 573,
        _ => 788,
    };
    all / bands
}

#[test]
fn no_colour_takes_more_beads_than_are_in_stock() {
    let bench = bench();
    for more in [
        &[][..],
        &["--colours", "6"],
        &["--mirror", "columns"],
        &["--mirror", "both", "--colours", "9"],
        &["--place", "repeat:4"],
        &["--dither", "diffuse"],
        &["--dither", "mask", "--strength", "1"],
        &[
            "--keep",
            "pool-26",
            "--without",
            "bell-09",
            "--colours",
            "8",
        ],
    ] {
        let run = chart(&bench, "harbour-dusk.jpg", more).ok();
        assert!(
            run.out
                .contains("beads take another colour, because there is not enough"),
            "{}",
            run.told()
        );
        for (code, count) in counts(&bench) {
            assert!(count <= most(&code, 1), "{more:?}: {code} {count}");
        }
    }
    chart(&bench, "harbour-dusk.jpg", &["--make", "3"]).ok();
    for (code, count) in counts(&bench) {
        assert!(count <= most(&code, 3), "{code} {count}");
    }
    // 10% of 333 beads are spared: `upbead kit` finds nothing short.
    chart(&bench, "harbour-dusk.jpg", &["--spare", "10%"]).ok();
    let kit = bench
        .run(&["kit", "a.json", "--palette", "scarce.csv", "--json"])
        .ok()
        .json();
    assert_eq!(kit["total"]["short_beads"], 0, "{kit}");
}

#[test]
fn a_refined_or_calmed_chart_takes_no_more_beads_than_are_in_stock() {
    let bench = bench();
    for more in [
        &["--refine"][..],
        &["--calm", "1"],
        &["--refine", "--colours", "8"],
        &["--refine", "--mirror", "both", "--colours", "9"],
        &["--refine", "--dither", "mask", "--place", "repeat:4"],
    ] {
        let run = chart(&bench, "harbour-dusk.jpg", more).ok();
        let told = "note: the band uses only the beads in stock; the picture would need more ";
        assert!(run.out.contains(told), "{}", run.told());
        for (code, count) in counts(&bench) {
            assert!(count <= most(&code, 1), "{more:?}: {code} {count}");
        }
    }
    let seen = |bench: &Bench| -> f64 {
        let call = [
            "compare",
            "a.json",
            "--picture",
            "harbour-dusk.jpg",
            "--json",
        ];
        let json = bench.run(&call).ok().json();
        (0..3)
            .map(|at| json["seen"][at]["mean"].as_f64().unwrap())
            .sum()
    };
    chart(&bench, "harbour-dusk.jpg", &[]).ok();
    let plain = seen(&bench);
    chart(&bench, "harbour-dusk.jpg", &["--refine", "--calm", "0.1"]).ok();
    assert!(seen(&bench) < plain);
}

#[test]
fn a_chart_from_the_stock_is_refined_from_the_stock() {
    let bench = bench();
    let stock = ["--make", "2", "--spare", "5%"];
    chart(&bench, "harbour-dusk.jpg", &stock).ok();
    let refine = |more: &[&str]| {
        let call = [
            "refine",
            "a.json",
            "--picture",
            "harbour-dusk.jpg",
            "--palette",
            "scarce.csv",
            "-o",
            "refined.json",
            "--force",
        ];
        let run = bench.run(&[&call[..], more].concat());
        if run.status == Some(0) {
            fs::rename(bench.path("refined.json"), bench.path("a.json")).unwrap();
        }
        run
    };
    for more in [&[][..], &["--calm", "0.6", "--pin", "3..9"]] {
        refine(more).ok();
        let made: serde_json::Value = serde_json::from_slice(&bench.get("a.json")).unwrap();
        let options = &made["made"]["options"];
        assert!(
            options["from_stock"] == "true" && options["make"] == "2" && options["spare"] == "5",
            "{options}"
        );
        for (code, count) in counts(&bench) {
            // Both bands together, 5% more of them, by hand.
            let both = (2 * count * 105).div_ceil(100);
            assert!(both <= most(&code, 1), "{more:?}: {code} {count}");
        }
    }
    // Mended by hand beyond what is there: brought back, unless the beads are pinned.
    let text = bench.text("a.json");
    let mut mended: serde_json::Value = serde_json::from_str(&text).unwrap();
    let colours = mended["colours"].as_array().unwrap();
    let navy = colours.iter().position(|c| c["code"] == "quay-58").unwrap();
    for row in 0..20 {
        for bead in mended["rows"][row].as_array_mut().unwrap() {
            *bead = navy.into();
        }
    }
    bench.put("a.json", mended.to_string());
    refine(&["--pin", "1..20"]).fails(
        1,
        "error: harbour-dusk.jpg: the ground and what is pinned take 90 beads of jersey navy, and \
         there are 28\n\
         hint: get 62 more, or pin fewer",
    );
    refine(&[]).ok();
    for (code, count) in counts(&bench) {
        assert!(
            (2 * count * 105).div_ceil(100) <= most(&code, 1),
            "{code} {count}"
        );
    }
}

#[test]
fn enough_beads_change_nothing_but_the_record() {
    let bench = bench();
    let tin = fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    bench.put("scarce.csv", tin);
    chart(&bench, "harbour-dusk.jpg", &[]).ok();
    let with = bench.text("a.json");
    bench
        .run(&[
            "chart",
            "--match",
            "nearest",
            "harbour-dusk.jpg",
            "--palette",
            "scarce.csv",
            "--rows",
            "74",
            "-o",
            "a.json",
            "--force",
        ])
        .ok();
    let record = "\"from_stock\": \"true\"";
    assert!(with.contains(record), "{with}");
    let rows = |text: &str| {
        text.split("\"rows\"")
            .nth(1)
            .unwrap()
            .split("\"made\"")
            .next()
            .unwrap()
            .to_string()
    };
    assert_eq!(rows(&with), rows(&bench.text("a.json")));
}

#[test]
fn a_small_chart_from_a_small_stock_is_unchanged() {
    let bench = bench();
    let run = bench
        .run(&[
            "chart",
            "--match",
            "nearest",
            "tide-line.png",
            "--palette",
            "scarce.csv",
            "--rows",
            "36",
            "--columns",
            "7",
            "--from-stock",
            "--make",
            "2",
            "-o",
            "tide.json",
        ])
        .ok();
    let both = format!(
        "{}
{}",
        run.out,
        bench.text("tide.json")
    );
    golden("stock/tide.txt", both.as_bytes());
}

#[test]
fn the_ground_is_a_colour_with_enough_beads() {
    let bench = bench();
    let run = chart(&bench, "kittiwake.png", &["--place", "motif"]).ok();
    assert!(
        run.out.contains("note: the ground is mackerel blue")
            || run.out.contains("note: the ground is brass"),
        "{}",
        run.told()
    );
    chart(
        &bench,
        "kittiwake.png",
        &["--place", "motif", "--ground", "quay-58"],
    )
    .fails(
        1,
        "error: kittiwake.png: the ground takes 263 beads of jersey navy, and there are 60\n\
         hint: get 203 more, or make the ground brass or mackerel blue",
    );
}

#[test]
fn beads_that_are_short_are_named() {
    let bench = bench();
    for more in [&["--refine"][..], &["--calm"]] {
        chart(
            &bench,
            "harbour-dusk.jpg",
            &[&["--make", "9"], more].concat(),
        )
        .fails(
            1,
            "error: harbour-dusk.jpg: there are too few beads: the band takes 333, and 131 are \
             missing\n\
             hint: most needed: 89 of jersey navy, 32 of coral, 8 of mussel grey and 2 of sandbar; \
             get those, or make the band smaller",
        );
    }
    chart(
        &bench,
        "harbour-dusk.jpg",
        &[
            "--without",
            "bell-09,shell-28,pool-26,quay-53,quay-01,\
             dune-42",
        ],
    )
    .fails(
        1,
        "error: harbour-dusk.jpg: there are too few beads: the band takes 333, and 34 are missing\n\
         hint: most needed: 20 of coral and 14 of jersey navy; get those, or make the band smaller",
    );
    chart(
        &bench,
        "harbour-dusk.jpg",
        &["--without", "bell-09,shell-28", "--colours", "4"],
    )
    .fails(
        1,
        "error: harbour-dusk.jpg: 4 colours in stock have 243 beads at most, and 333 are needed\n\
         hint: allow more colours with --colours, or make the band smaller",
    );
    chart(&bench, "harbour-dusk.jpg", &["--make", "9"]).fails(
        1,
        "error: harbour-dusk.jpg: there are too few beads: the band takes 333, and 131 are \
         missing\n\
         hint: most needed: 89 of jersey navy, 32 of coral, 8 of mussel grey and 2 of sandbar; get \
         those, or make the band smaller",
    );
}

#[test]
fn a_palette_without_grams_gives_a_warning() {
    let bench = bench();
    bench.put(
        "scarce.csv",
        "code,name,hex\na,ash,808080\nb,brine,203040\n",
    );
    let run = chart(&bench, "harbour-dusk.jpg", &[]).ok();
    let told = "note: the palette has no grams, so every colour counts as enough; add a grams \
        column to it\n";
    assert!(run.out.contains(told), "{}", run.told());
}

#[test]
fn options_of_the_stock_need_the_stock() {
    let bench = bench();
    let run = bench.run(&[
        "chart",
        "--match",
        "nearest",
        "kittiwake.png",
        "--palette",
        "scarce.csv",
        "--rows",
        "74",
        "--make",
        "2",
    ]);
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(run.err.contains("--from-stock"), "{}", run.told());
    chart(&bench, "kittiwake.png", &["--make", "0"]).fails(
        2,
        "error: --make: '0' is not a number of bands to make\n\
         hint: give a whole number from 1 to 100,000",
    );
    chart(&bench, "kittiwake.png", &["--spare", "-1"]).fails(
        2,
        "error: --spare: '-1' is not a share of spare beads\n\
         hint: give a percentage from 0 to 1000, such as 10%",
    );
}
