//! `upbead refine`, and `upbead chart --refine` and `--calm`.

use crate::common::{Bench, Run, repository};
use crate::schema::suits;
use serde_json::Value;
use std::fs;

fn bench() -> Bench {
    let bench = Bench::new();
    for name in [
        "samples/harbour-dusk.jpg",
        "samples/kittiwake.png",
        "samples/tide-line.png",
        "palettes/tin.csv",
    ] {
        let file = name.rsplit('/').next().unwrap();
        bench.put(file, fs::read(repository(name)).unwrap());
    }
    bench
}

fn chart(bench: &Bench, picture: &str, more: &str) -> Run {
    let call = format!("chart --match nearest {picture} --palette tin.csv {more} --force");
    bench.run(&call.split_whitespace().collect::<Vec<_>>()).ok()
}

fn compared(bench: &Bench, chart: &str, picture: &str) -> Value {
    bench
        .run(&["compare", chart, "--picture", picture, "--json"])
        .ok()
        .json()
}

fn mean(json: &Value, at: usize) -> f64 {
    json["seen"][at]["mean"].as_f64().unwrap()
}

fn all(json: &Value) -> f64 {
    (0..3).map(|at| mean(json, at)).sum()
}

fn rows(bench: &Bench, name: &str) -> Vec<Vec<String>> {
    let json: Value = serde_json::from_str(&bench.text(name)).unwrap();
    let codes: Vec<&str> = json["colours"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["code"].as_str().unwrap())
        .collect();
    let row = |row: &Value| -> Vec<String> {
        let beads = row.as_array().unwrap().iter();
        beads
            .map(|at| codes[at.as_u64().unwrap() as usize].to_string())
            .collect()
    };
    json["rows"].as_array().unwrap().iter().map(row).collect()
}

#[test]
fn a_refined_chart_looks_more_like_its_picture_and_the_summary_says_so() {
    let bench = bench();
    chart(&bench, "harbour-dusk.jpg", "--rows 36 -o plain.json");
    let run = chart(
        &bench,
        "harbour-dusk.jpg",
        "--rows 36 --refine -o fine.json --json",
    );
    let (plain, fine) = (
        compared(&bench, "plain.json", "harbour-dusk.jpg"),
        compared(&bench, "fine.json", "harbour-dusk.jpg"),
    );
    assert!(all(&fine) < 0.95 * all(&plain), "{plain} {fine}");
    for figure in ["colour_changes", "stray_beads"] {
        let of = |json: &Value| json[figure].as_u64().unwrap();
        assert!(of(&fine) <= of(&plain), "{figure}: {plain} {fine}");
    }
    let told = run.json();
    for (name, json) in [("before", &plain), ("after", &fine)] {
        for figure in ["seen", "beads", "colour_changes", "stray_beads"] {
            assert!(!json[figure].is_null(), "{figure}");
            assert_eq!(
                told["refined"][name][figure], json[figure],
                "{name} {figure}"
            );
        }
    }
    let call = [
        "refine",
        "plain.json",
        "--picture",
        "harbour-dusk.jpg",
        "--json",
    ];
    suits("refine", &bench.run(&call).ok().json());
    let text = chart(
        &bench,
        "harbour-dusk.jpg",
        "--rows 36 --refine -o fine.json",
    )
    .out;
    let line = format!(
        "as the eye sees it: difference {:.1} before, {:.1} after at 300 mm",
        mean(&plain, 0),
        mean(&fine, 0)
    );
    assert!(text.contains(&line), "{text}");
}

#[test]
fn one_viewing_distance_can_count_alone() {
    let bench = bench();
    for seen in ["300", "2000"] {
        chart(
            &bench,
            "harbour-dusk.jpg",
            &format!("--rows 24 --refine --distances {seen} -o {seen}.json"),
        );
    }
    let (near, far) = (
        compared(&bench, "300.json", "harbour-dusk.jpg"),
        compared(&bench, "2000.json", "harbour-dusk.jpg"),
    );
    assert!(
        mean(&near, 0) < mean(&far, 0) && mean(&far, 2) < mean(&near, 2),
        "{near} {far}"
    );
}

#[test]
fn the_limit_mirrors_repeats_and_grounds_are_kept() {
    let bench = bench();
    let how = "--rows 32 --place repeat:2 --mirror columns --colours 4 --keep quay-11 --refine \
        --calm 0.2 -o tide.json";
    chart(&bench, "tide-line.png", how);
    let rows = rows(&bench, "tide.json");
    let mut used: Vec<&String> = rows.iter().flatten().collect();
    used.sort_unstable();
    used.dedup();
    assert!(used.len() <= 4, "{used:?}");
    for (at, row) in rows.iter().enumerate() {
        assert!(row.iter().eq(row.iter().rev()), "{row:?}");
        assert_eq!(*row, rows[(at + 16) % 32]);
    }
    chart(
        &bench,
        "kittiwake.png",
        "--rows 40 --place motif --ground quay-58 --refine -o bird.json",
    );
    let rows = self::rows(&bench, "bird.json");
    assert!(
        rows[0]
            .iter()
            .chain(&rows[39])
            .all(|code| code == "quay-58")
    );
}

#[test]
fn calm_leaves_fewer_colour_changes_and_fewer_stray_beads() {
    let bench = bench();
    let mut before: Option<(u64, u64)> = None;
    for calm in ["0", "0.5", "1"] {
        chart(
            &bench,
            "harbour-dusk.jpg",
            &format!("--rows 36 --refine --calm {calm} -o calm.json"),
        );
        let json = compared(&bench, "calm.json", "harbour-dusk.jpg");
        let now = (
            json["colour_changes"].as_u64().unwrap(),
            json["stray_beads"].as_u64().unwrap(),
        );
        assert!(
            before.is_none_or(|before| now.0 < before.0 && now.1 <= before.1),
            "{calm}: {before:?} {now:?}"
        );
        before = Some(now);
    }
    // Without a search too.
    chart(&bench, "harbour-dusk.jpg", "--rows 36 -o plain.json");
    chart(&bench, "harbour-dusk.jpg", "--rows 36 --calm -o calm.json");
    let figure = |name| {
        compared(&bench, name, "harbour-dusk.jpg")["colour_changes"]
            .as_u64()
            .unwrap()
    };
    assert!(figure("calm.json") < figure("plain.json"));
}

#[test]
fn a_chart_is_refined_with_its_own_options_and_pinned_beads_stay() {
    let bench = bench();
    chart(
        &bench,
        "harbour-dusk.jpg",
        "--rows 36 --rotate 90 --colours 9 --title Dusk -o band.json",
    );
    let before = rows(&bench, "band.json");
    let call = [
        "refine",
        "band.json",
        "--picture",
        "harbour-dusk.jpg",
        "--palette",
        "tin.csv",
    ];
    bench
        .run(&[&call[..], &["--calm", "0.1", "--pin", "7..12,20:2"]].concat())
        .ok();
    let after = rows(&bench, "band-refined.json");
    assert!(before != after && before[6..12] == after[6..12] && before[19][0] == after[19][0]);
    let (one, two) = (
        compared(&bench, "band.json", "harbour-dusk.jpg"),
        compared(&bench, "band-refined.json", "harbour-dusk.jpg"),
    );
    assert!(all(&two) < all(&one));
    let made: Value = serde_json::from_str(&bench.text("band-refined.json")).unwrap();
    assert_eq!(made["title"], "Dusk");
    let options = &made["made"]["options"];
    assert!(
        options["rotate"] == "90"
            && options["colours"] == "9"
            && options["distances"] == "300,700,2000",
        "{options}"
    );
    let mut used: Vec<&String> = after.iter().flatten().collect();
    used.sort_unstable();
    used.dedup();
    assert!(used.len() <= 9);
    // Again from there, nothing gets worse; and a file that is there stays.
    let again = [
        "refine",
        "band-refined.json",
        "--picture",
        "harbour-dusk.jpg",
        "-o",
        "third.json",
    ];
    bench.run(&again).ok();
    assert!(all(&compared(&bench, "third.json", "harbour-dusk.jpg")) <= all(&two) + 1e-3);
    let run = bench.run(&again);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err.contains("third.json") && run.err.contains("--force"),
        "{}",
        run.told()
    );
}

#[test]
fn one_thread_and_two_give_the_same_bytes() {
    let bench = bench();
    let call = "chart --match nearest \
        harbour-dusk.jpg --palette tin.csv --rows 30 --columns 13 --colours 5 \
        --refine --calm 0.3 -o - --rotate 0";
    let call: Vec<&str> = call.split(' ').collect();
    let of = |threads: &str| {
        let mut command = bench.command(&call);
        command.env("RAYON_NUM_THREADS", threads);
        let output = command.output().unwrap();
        bench.ended(&call, output).ok().bytes
    };
    let one = of("1");
    assert!(one.len() > 1000 && one == of("2"));
}

fn harbour() -> Bench {
    let bench = bench();
    chart(&bench, "harbour-dusk.jpg", "--rows 24 -o band.json");
    bench
}

#[test]
fn wrong_arguments_are_refused_with_their_own_message() {
    let bench = harbour();
    let refine = |more: &[&str]| {
        let call = "refine band.json --picture harbour-dusk.jpg -o out.json";
        let call: Vec<&str> = call.split(' ').collect();
        bench.run(&[&call[..], more].concat())
    };
    refine(&["--calm", "2"]).fails(
        2,
        "error: --calm: a calm of 2 is out of range\nhint: give a number from 0 to 1",
    );
    refine(&["--pin", "25"]).fails(
        2,
        "error: --pin: there is no row 25\nhint: the chart has rows 1 to 24",
    );
    refine(&["--pin", "3:2"]).fails(
        2,
        "error: --pin: row 3 has no bead in column 2\n\
         hint: it fills the columns 1, 3, 5 and so on, to 9",
    );
    refine(&["--pin", "sky"]).fails(
        2,
        "error: --pin: 'sky' names no beads\n\
         hint: give rows, ranges of rows or row:column, such as 12,20..35,40:5",
    );
    bench
        .line("refine band.json --picture harbour-dusk.jpg -o harbour-dusk.jpg --force")
        .fails(
            2,
            "error: -o: 'harbour-dusk.jpg' is read and cannot be written over\n\
             hint: choose another name",
        );
    assert!(!bench.listing().contains("out.json"));
}

#[test]
fn options_of_a_record_that_are_out_of_range_are_named() {
    let bench = harbour();
    let text = bench
        .text("band.json")
        .replace("\"place\": \"round\"", "\"place\": \"somewhere\"");
    bench.put("odd.json", text);
    bench
        .run(&["refine", "odd.json", "--picture", "harbour-dusk.jpg"])
        .fails(
            1,
            "error: odd.json:47:16: the option 'place' under 'made': 'somewhere' is no place on a \
             band\n\
             hint: write round, motif or repeat:N, such as repeat:4",
        );
    for (name, value) in [
        ("colours", "0"),
        ("calm", "7"),
        ("calm", "-3"),
        ("calm", "NaN"),
        ("strength", "40"),
        ("seen", "0"),
    ] {
        let spoilt = bench.text("band.json").replace(
            "\"place\": \"round\"",
            &format!("\"place\": \"round\", \"{name}\": \"{value}\""),
        );
        bench.put("odd.json", spoilt);
        let run = bench.run(&["refine", "odd.json", "--picture", "harbour-dusk.jpg"]);
        assert_eq!(run.status, Some(1), "{}", run.told());
        let said = format!("the option '{name}' under 'made': ");
        assert!(run.err.contains(&said), "{}", run.told());
    }
    assert!(!bench.listing().contains("odd-refined"));
}

#[test]
fn a_chart_that_is_not_refined_has_no_distances() {
    let bench = bench();
    let call = "chart --match nearest harbour-dusk.jpg --palette tin.csv --rows 24 -o new.json";
    let run = bench.line(&format!("{call} --calm much"));
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(run.err.contains("--calm"), "{}", run.told());
    let run = bench.line(&format!("{call} --distances 700"));
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(run.err.contains("--refine"), "{}", run.told());
}
