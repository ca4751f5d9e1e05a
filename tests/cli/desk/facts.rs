//! What the desk's page shows beside a chart: the same as the verbs print as JSON.

use super::client::Desk;
use super::same_bytes::{both, prepared};
use serde_json::{Value, json};

/// The harbour in seven colours, as `band.json` in the desk's folder, as text, and what the desk
/// told of it.
fn harbour(desk: &Desk) -> (String, Value) {
    both(
        desk,
        "harbour-dusk.jpg",
        "tin.csv",
        "--size us7 --colours 7",
        &json!({ "size": "us7", "colours": 7 }),
    )
}

#[test]
fn facts_are_what_the_verbs_print_as_json() {
    let desk = prepared();
    let (text, told) = harbour(&desk);
    let json = |words: &str| desk.bench.line(words).ok().json();
    let palette = desk.palette("tin.csv");
    let facts = desk
        .ask(
            "facts?lane=facts&n=3",
            &json!({
                "chart": text,
                "palette": { "id": palette },
                "make": 5,
                "spare": 20,
                "name": "band.json",
            }),
        )
        .ok()
        .json();
    assert_eq!(facts["n"], 3);
    assert_eq!(
        facts["kit"],
        json("kit band.json --palette tin.csv --make 5 --spare 20 --json")
    );
    assert_eq!(
        facts["findings"],
        json("check band.json --palette tin.csv --make 5 --json")["findings"]
    );
    assert_eq!(facts["missing"], Value::Null);
    assert_eq!(facts["width_mm"], 11.7);
    assert_eq!(
        facts["ring"]["diameter_mm"],
        told["summary"]["inside_diameter_mm"]
    );
    let plain = desk.ask("facts", &json!({ "chart": text })).ok().json();
    assert_eq!(plain["kit"], json("kit band.json --json"));
    assert_eq!(plain["n"], Value::Null);
}

/// The same keys as in the rows, for each of the chart's colours.
#[test]
fn bead_keys_are_those_of_the_rows() {
    let desk = prepared();
    let (text, _) = harbour(&desk);
    let palette = desk.palette("tin.csv");
    let about = json!({ "chart": text, "palette": { "id": palette } });
    let facts = desk.ask("facts", &about).ok().json();
    let rows = desk.bench.line("weave band.json --keys short").ok().out;
    let keys = facts["keys"].as_array().unwrap();
    let colours = facts["kit"]["colours"].as_array().unwrap();
    assert!(keys.len() == colours.len() && keys.len() > 3, "{facts}");
    for (key, colour) in keys.iter().zip(colours) {
        let name = colour["name"].as_str().unwrap();
        let line = rows
            .lines()
            .find(|line| line.contains(&format!(" {name} (")));
        let key = key.as_str().unwrap();
        assert!(
            line.unwrap().starts_with(&format!("{key} ")),
            "{key}\n{rows}"
        );
    }
}

#[test]
fn options_for_facts_are_checked() {
    let desk = prepared();
    let (text, _) = harbour(&desk);
    let refused = desk.ask("facts", &json!({ "chart": text, "thread": 9 }));
    let refused = refused.fails(400, "'9' is not a thread");
    assert_eq!(refused["option"], "thread");
    let refused = desk.ask("facts", &json!({ "chart": text, "lenght": 900 }));
    let refused = refused.fails(400, "'lenght' is not an option here");
    assert_eq!(refused["hint"], "did you mean length?");
}

/// A palette without the chart's colours: the kit's own words, and the rest all the same.
#[test]
fn facts_name_the_colours_that_a_palette_lacks() {
    let desk = prepared();
    let (text, _) = harbour(&desk);
    let other = desk
        .post(
            "palette?name=three.csv",
            b"code,name,hex\na,dune,D8C39A\nb,dulse,7A2E3B\n",
        )
        .ok()
        .json();
    let facts = desk
        .ask(
            "facts",
            &json!({ "chart": text, "palette": { "id": other["id"] } }),
        )
        .ok()
        .json();
    let what = facts["missing"]["what"].as_str().unwrap();
    assert!(
        what.contains("colours of the chart are not in this palette"),
        "{what}"
    );
    assert_eq!(facts["missing"]["where"], "three.csv");
    assert!(
        facts["findings"].to_string().contains("not-in-palette"),
        "{facts}"
    );
}

#[test]
fn charts_and_palettes_are_read_as_by_the_verbs() {
    let desk = prepared();
    let (text, _) = harbour(&desk);
    let read = desk
        .post("read?name=band.json", text.replace("\n", "\r\n").as_bytes())
        .ok()
        .json();
    assert_eq!(read["text"], json!(text));

    let bytes = desk.bench.get("tin.csv");
    let told = desk.post("palette?name=tin.csv", &bytes).ok().json();
    let printed = desk.bench.line("palette tin.csv --json").ok().json();
    assert_eq!(told["colours"], printed["colours"]);
    assert_eq!(told["alike"], printed["pairs"]);
    assert_eq!(told["name"], "tin");
}
