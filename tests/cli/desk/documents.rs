//! Documents for other programs: the same bytes as the verbs print with `--json`, and the schemas.

use super::client::Desk;
use super::same_bytes::{both, prepared};
use serde_json::{Value, json};

/// A motif in five colours, as `band.json` in the desk's folder, and as text.
fn motif(desk: &Desk) -> String {
    let typed = "--size us7 --columns 9 --place motif --ground quay-58 --colours 5";
    let asked =
        json!({ "size": "us7", "columns": 9, "place": "motif", "ground": "quay-58", "colours": 5 });
    both(desk, "kittiwake.png", "tin.csv", typed, &asked).0
}

/// Kinds and options, each with the call that prints the same.
fn printed_alike(cases: &[(&str, Value, &str)]) {
    let desk = prepared();
    let text = motif(&desk);
    let palette = desk.palette("tin.csv");
    let picture = desk.picture("kittiwake.png");
    for (kind, options, call) in cases {
        let about = json!({
            "chart": text,
            "name": "band.json",
            "palette": { "id": palette },
            "picture": picture,
            "options": options,
        });
        let reply = desk.ask(&format!("export?kind={kind}"), &about).ok();
        let printed = desk.bench.line(call).out;
        assert!(reply.text() == printed, "{call}\n{}", reply.text());
        reply.is_guarded();
    }
}

#[test]
fn documents_are_what_the_verbs_print() {
    printed_alike(&[
        ("check", json!({}), "check band.json --palette tin.csv"),
        (
            "check",
            json!({ "make": 40, "thread": 0.2, "length": 900 }),
            "check band.json --palette tin.csv --make 40 --thread 0.2 --length 900",
        ),
        (
            "check-json",
            json!({}),
            "check band.json --palette tin.csv --json",
        ),
        (
            "check-json",
            json!({ "length": 900 }),
            "check band.json --palette tin.csv --length 900 --json",
        ),
        ("weave-json", json!({}), "weave band.json --json"),
        (
            "weave-json",
            json!({ "start": "right", "from": "top", "rows": "20..35" }),
            "weave band.json --start right --from top --rows 20..35 --json",
        ),
        (
            "kit-json",
            json!({ "make": 12, "spare": "25%", "thread": 0.13, "tail": 150 }),
            "kit band.json --palette tin.csv --make 12 --spare 25% --thread 0.13 --tail 150 --json",
        ),
    ]);
}

#[test]
fn documents_about_pictures_sizes_and_palettes_are_what_the_verbs_print() {
    printed_alike(&[
        (
            "near-json",
            json!({}),
            "compare band.json --picture kittiwake.png --json",
        ),
        (
            "near-json",
            json!({
                "seen": "500,900",
                "place": "repeat:2",
                "turn": "0",
                "crop": [10, 20, 200, 150],
                "fit": "stretch",
                "margin": 1,
                "crisp": 0.4,
                "ground": "1C3261",
            }),
            "compare band.json --picture kittiwake.png --distances 500,900 --place repeat:2 \
             --rotate 0 --crop 10,20,200,150 --scaling stretch --margin 1 --crisp 0.4 --ground \
             1C3261 --json",
        ),
        (
            "fit-json",
            json!({ "size": "us7" }),
            "fit --size us7 --json",
        ),
        (
            "fit-json",
            json!({
                "size": "uk-n",
                "columns": 11,
                "bead": "8",
                "fits": "42=us7",
                "prefer": "larger",
            }),
            "fit --size uk-n --columns 11 --bead 8 --fits 42=us7 --prefer larger --json",
        ),
        ("palette-json", json!({}), "palette tin.csv --json"),
        (
            "palette-json",
            json!({ "below": "19.5" }),
            "palette tin.csv --below 19.5 --json",
        ),
        ("schema", json!({}), "schema"),
        ("schema-weave", json!({}), "schema --of weave"),
    ]);
}

#[test]
fn the_table_of_sizes_is_what_resize_prints() {
    let desk = prepared();
    let text = motif(&desk);
    let about = json!({ "chart": text, "name": "band.json", "options": { "sizes": "us6..us8" } });
    let table = desk.ask("export?kind=sizes-json", &about).ok().text();
    // The files that it names lie beside one another here.
    let there = desk
        .bench
        .line("resize band.json --sizes us6..us8 -o . --json --force")
        .out;
    let there = there.replace("\"./", "\"");
    assert!(table == there, "{table}\n{there}");
}

#[test]
fn documents_that_need_more_than_a_chart_say_what_is_missing() {
    let desk = prepared();
    let text = motif(&desk);
    let bare = json!({ "chart": text, "name": "band.json" });
    for (kind, what) in [
        ("near-json", "there is no picture to compare with"),
        ("fit-json", "no ring size was given"),
        ("palette-json", "there is no palette"),
    ] {
        desk.ask(&format!("export?kind={kind}"), &bare)
            .fails(400, what);
    }
}

#[test]
fn what_a_verb_says_about_its_chart_comes_with_it() {
    let desk = prepared();
    let text = motif(&desk);
    let (palette, shelf) = (desk.palette("tin.csv"), desk.palette("shelf.csv"));
    let picture = desk.picture("kittiwake.png");
    let wish = json!({
        "picture": picture,
        "palette": { "id": palette },
        "size": "us7",
        "columns": 9,
        "place": "motif",
        "ground": "quay-58",
        "colours": 5,
        "name": "own.json",
    });
    let call = "chart kittiwake.png --palette tin.csv --size us7 --columns 9 --place motif \
        --ground quay-58 --colours 5 -o own.json --json";
    let finer = json!({
        "chart": text,
        "picture": picture,
        "name": "own.json",
        "seen": "700",
        "pin": "20",
    });
    let swap = json!({ "chart": text, "name": "own.json", "palette": { "id": shelf } });
    for (route, about, call) in [
        ("chart", wish, call),
        (
            "refine",
            finer,
            "refine band.json --picture kittiwake.png --distances 700 --pin 20 -o own.json --json \
             --force",
        ),
        (
            "swap",
            swap,
            "swap band.json --palette shelf.csv -o own.json --json --force",
        ),
    ] {
        let words: Vec<&str> = call.split(' ').collect();
        let told: Value = desk.ask(route, &about).ok().json();
        let printed = desk.bench.run(&words).ok().out;
        assert!(
            told["document"] == json!(printed),
            "{call}\n{}\n{printed}",
            told["document"]
        );
    }
    let path = json!({ "palette": { "id": palette }, "size": "us7", "name": "../own.json" });
    desk.ask("chart", &path)
        .fails(400, "that is not a file name");
}

#[test]
fn pairs_of_a_palette_are_listed_for_any_difference() {
    let desk = prepared();
    let palette = desk.palette("shelf.csv");
    for below in [json!(null), json!(5), json!("0")] {
        let mut call = vec!["palette", "shelf.csv", "--json"];
        let typed = below.as_str().map_or(below.to_string(), str::to_string);
        if !below.is_null() {
            call.extend(["--below", &typed]);
        }
        let about = json!({ "palette": { "id": palette }, "below": below });
        let told = desk.ask("alike?lane=alike&n=1", &about).ok().text();
        assert!(told == desk.bench.run(&call).ok().out, "{below}");
    }
    let told = desk.ask(
        "alike",
        &json!({ "palette": { "id": palette }, "below": "much" }),
    );
    assert_eq!(
        told.fails(400, "'much' is not a difference")["option"],
        "below"
    );
    assert_eq!(
        desk.ask("alike", &json!({ "palette": { "id": "0" } }))
            .status,
        410
    );
}
