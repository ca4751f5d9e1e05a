//! Work on finished charts, and palettes from photographs: the same bytes as from `upbead refine`,
//! `swap`, `compare`, `fit` and `palette from-photo`.

use super::same_bytes::{both, prepared};
use crate::common::repository;
use serde_json::{Value, json};

/// A motif in five colours, as `band.json` in the desk's folder, and as text.
fn motif(desk: &super::client::Desk) -> String {
    let (text, _) = both(
        desk,
        "kittiwake.png",
        "tin.csv",
        "--rows 40 --columns 9 --place motif --ground quay-58 --colours 5",
        &json!({ "rows": 40, "columns": 9, "place": "motif", "ground": "quay-58", "colours": 5 }),
    );
    text
}

/// The motif with some beads of row 20 mended by hand, as `band.json`, and as text.
fn mended(desk: &super::client::Desk) -> String {
    let mut chart: Value = serde_json::from_str(&motif(desk)).unwrap();
    for bead in [0, 1, 2] {
        chart["rows"][19][bead] = json!(0);
    }
    let told = desk.post("read?name=band.json", chart.to_string().as_bytes());
    let text = told.ok().json()["text"].as_str().unwrap().to_string();
    desk.bench.put("band.json", &text);
    text
}

#[test]
fn a_chart_is_refined_around_the_beads_that_stay() {
    let desk = prepared();
    let text = mended(&desk);
    let chart: Value = serde_json::from_str(&text).unwrap();
    let picture = desk.picture("kittiwake.png");
    let about = |more: Value| {
        let mut about = json!({ "chart": text, "picture": picture });
        about
            .as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        desk.ask("refine?lane=finer&n=3", &about)
    };
    let palette = json!({
        "palette": { "id": desk.palette("tin.csv") },
        "pin": "20,3:3",
        "distances": 700,
        "calm": 0.2,
    });
    for (typed, asked) in [
        ("", json!({})),
        (
            " --palette tin.csv --pin 20,3:3 --distances 700 --calm 0.2",
            palette,
        ),
    ] {
        let call = "refine band.json --picture kittiwake.png -o finer.json --force --json";
        let summary = desk.bench.line(&format!("{call}{typed}")).ok().json();
        let told = about(asked).ok().json();
        assert!(
            told["text"] == json!(desk.bench.text("finer.json")),
            "{typed:?}"
        );
        assert_eq!(told["n"], json!(3));
        assert_eq!(told["summary"]["warnings"], summary["warnings"]);
        assert_eq!(told["summary"]["difference"], summary["difference"]);
    }
    let finer: Value = serde_json::from_str(&desk.bench.text("finer.json")).unwrap();
    let named = |chart: &Value, bead: usize| {
        let at = chart["rows"][19][bead].as_u64().unwrap() as usize;
        chart["colours"][at]["code"].clone()
    };
    for bead in 0..3 {
        assert_eq!(named(&finer, bead), named(&chart, bead), "pinned");
    }
    let told = about(json!({ "pin": "99" })).fails(400, "there is no row 99");
    assert_eq!(told["option"], "pin");
    about(json!({ "calm": 3 })).fails(400, "a calm of 3 is out of range");
}

#[test]
fn a_chart_moves_onto_another_palette() {
    let desk = prepared();
    let text = motif(&desk);
    let told = desk.ask(
        "swap",
        &json!({ "chart": text, "palette": { "id": desk.palette("shelf.csv") } }),
    );
    let told = told.ok().json();
    let call = [
        "swap",
        "band.json",
        "--palette",
        "shelf.csv",
        "-o",
        "other.json",
        "--json",
    ];
    let summary = desk.bench.run(&call).ok().json();
    assert!(told["text"] == json!(desk.bench.text("other.json")));
    let object = summary.as_object().unwrap();
    let same = object
        .iter()
        .filter(|(name, _)| *name != "chart" && *name != "file");
    for (name, value) in same {
        assert_eq!(told["told"][name], *value, "{name}");
    }
}

#[test]
fn a_chart_is_compared_with_its_picture() {
    let desk = prepared();
    let text = motif(&desk);
    let picture = desk.picture("kittiwake.png");
    let call = [
        "compare",
        "band.json",
        "--picture",
        "kittiwake.png",
        "--json",
    ];
    let about = json!({ "chart": text, "picture": picture });
    assert_eq!(
        desk.ask("compare?lane=near&n=1", &about).ok().json(),
        desk.bench.run(&call).ok().json()
    );
    let about = json!({ "chart": text, "picture": picture, "distances": "500,900" });
    assert_eq!(
        desk.ask("compare", &about).ok().json(),
        desk.bench
            .run(&[&call[..], &["--distances", "500,900"]].concat())
            .ok()
            .json()
    );
    let about = json!({ "chart": text, "picture": picture, "distances": "x" });
    desk.ask("compare", &about)
        .fails(400, "'x' is not a viewing distance");
    let gone = desk.ask(
        "compare",
        &json!({ "chart": text, "picture": "0".repeat(64) }),
    );
    assert_eq!(gone.status, 410);
}

#[test]
fn the_row_counts_next_to_a_fit_are_listed() {
    let desk = prepared();
    for (typed, asked) in [
        (&["--size", "us7"][..], json!({ "size": "us7" })),
        (
            &[
                "--size",
                "54.4mm",
                "--columns",
                "11",
                "--bead",
                "8",
                "--swatch",
                "40=50",
                "--prefer",
                "nearest",
            ],
            json!({
                "size": "54.4mm",
                "columns": 11,
                "bead": 8,
                "swatch": "40=50",
                "prefer": "nearest",
            }),
        ),
    ] {
        let call = [&["fit", "--json"], typed].concat();
        assert_eq!(
            desk.ask("fit", &asked).ok().json(),
            desk.bench.run(&call).ok().json()
        );
    }
    let told = desk.ask("fit", &json!({ "size": "us99x" }));
    assert_eq!(told.status, 400);
    assert_eq!(told.json()["error"]["option"], "size");
}

#[test]
fn a_photograph_of_beads_becomes_the_same_palette() {
    let desk = prepared();
    let photo = std::fs::read(repository("samples/tray.jpg")).unwrap();
    desk.bench.put("tray.jpg", &photo);
    let call = ["palette", "from-photo", "tray.jpg", "--json", "--force"];
    for (typed, asked) in [
        (&[][..], ""),
        (
            &["--grid", "4x3", "--white", "20,20"],
            "&grid=4x3&white=20,20",
        ),
    ] {
        let summary = desk.bench.run(&[&call[..], typed].concat()).ok().json();
        let told = desk
            .post(&format!("photo?name=tray.jpg{asked}"), &photo)
            .ok()
            .json();
        assert_eq!(told["name"], "tray.csv");
        assert!(
            told["text"] == json!(desk.bench.text("tray.csv")),
            "{typed:?}"
        );
        assert_eq!(told["told"], summary);
        // And the page can take it into the drawer.
        let text = told["text"].as_str().unwrap();
        let kept = desk
            .post("palette?name=tray.csv", text.as_bytes())
            .ok()
            .json();
        assert_eq!(kept["name"], "tray");
    }
    let told = desk.post("photo?name=tray.jpg&grid=0x3", &photo);
    assert_eq!(
        told.fails(400, "'0x3' is not a grid of piles")["option"],
        "grid"
    );
    assert_eq!(desk.post("photo?name=x.png", b"no picture").status, 422);
    assert_eq!(desk.post("photo?name=x.png&other=1", &photo).status, 400);
}
