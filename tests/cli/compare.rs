//! `upbead compare`.

use crate::common::{Bench, repository};
use crate::schema::suits;
use std::fs;

/// A chart of the lighthouse, whose picture lies beside it.
fn bench() -> Bench {
    let bench = Bench::new();
    for name in [
        "samples/lighthouse.png",
        "samples/harbour-dusk.jpg",
        "palettes/tin.csv",
    ] {
        let file = name.rsplit('/').next().unwrap();
        bench.put(file, fs::read(repository(name)).unwrap());
    }
    let made = "chart --match nearest \
        lighthouse.png --palette tin.csv --rows 24 --place motif --ground quay-58 -o \
        band.json";
    bench.run(&made.split(' ').collect::<Vec<_>>()).ok();
    bench
}

#[test]
fn figures_come_as_text_and_as_json() {
    let bench = bench();
    let call = ["compare", "band.json", "--picture", "lighthouse.png"];
    let text = bench.run(&call).ok().out;
    let json = bench.run(&[&call[..], &["--json"]].concat()).ok().json();
    suits("compare", &json);
    let seen = json["seen"].as_array().unwrap();
    assert_eq!(seen.len(), 3);
    for (line, figures) in text
        .lines()
        .filter(|line| line.starts_with("seen from"))
        .zip(seen)
    {
        let (mean, p95) = (
            figures["mean"].as_f64().unwrap(),
            figures["p95"].as_f64().unwrap(),
        );
        assert!(mean > 0.0 && p95 >= mean, "{figures}");
        assert!(
            line.ends_with(&format!("{p95:.1}")) && line.contains(&format!("{mean:.1}")),
            "{line}"
        );
    }
    let changes = json["colour_changes"].as_u64().unwrap();
    assert!(
        text.contains(&format!("{changes} colour changes")),
        "{text}"
    );
    assert_eq!(json["warnings"].as_array().unwrap().len(), 0);
    // The ground beside the motif is as the chart says: taken for another it would look far off.
    let other = bench
        .run(&[&call[..], &["--ground", "FFFFFF", "--json"]].concat())
        .ok()
        .json();
    let mean = |json: &serde_json::Value| json["seen"][1]["mean"].as_f64().unwrap();
    assert!(mean(&other) > 3.0 * mean(&json));
    // Laid otherwise the picture no longer fits.
    let turned = bench
        .run(&[&call[..], &["--rotate", "180", "--json"]].concat())
        .ok()
        .json();
    assert!(mean(&turned) > mean(&json));
}

#[test]
fn differences_shrink_with_distance_and_one_distance_can_be_asked_for() {
    let bench = bench();
    let call = [
        "compare",
        "band.json",
        "--picture",
        "lighthouse.png",
        "--json",
        "--distances",
    ];
    let json = bench.run(&[&call[..], &["300,20000"]].concat()).ok().json();
    let mean = |at: usize| json["seen"][at]["mean"].as_f64().unwrap();
    assert!(mean(1) < mean(0) / 2.0, "{json}");
    let one = bench.run(&[&call[..], &["300"]].concat()).ok().json();
    assert_eq!(one["seen"][0], json["seen"][0]);
}

#[test]
fn a_picture_other_than_the_chart_s_own_gives_a_warning() {
    let bench = bench();
    let run = bench
        .run(&["compare", "band.json", "--picture", "harbour-dusk.jpg"])
        .ok();
    assert!(
        run.out.contains(
            "note: this is not the picture that the chart was made from \
             ('lighthouse.png'), or it has changed since"
        ),
        "{}",
        run.told()
    );
}

#[test]
fn wrong_arguments_are_refused_with_their_own_message() {
    let bench = bench();
    let call = |more: &[&str]| {
        let all = [
            &["compare", "band.json", "--picture", "lighthouse.png"],
            more,
        ]
        .concat();
        bench.run(&all)
    };
    call(&["--distances", "near"]).fails(
        2,
        "error: --distances: 'near' is not a viewing distance\n\
         hint: give millimetres from 100 to 20000, such as 700 or 300,700,2000",
    );
    call(&["--distances", "300,9"]).fails(
        2,
        "error: --distances: '9' is not a viewing distance\n\
         hint: give millimetres from 100 to 20000, such as 700 or 300,700,2000",
    );
    call(&["--margin", "5"]).fails(
        2,
        "error: --margin: margins of 5 columns leave none of 9\nhint: use 4 at most",
    );
    bench.put("bad.png", "no picture");
    let run = bench.run(&["compare", "band.json", "--picture", "bad.png"]);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(run.err.contains("bad.png"), "{}", run.told());
}
