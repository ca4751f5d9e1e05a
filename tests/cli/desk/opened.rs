//! What the desk's page begins with.

use super::client::Desk;
use crate::common::{Bench, repository};
use serde_json::{Value, json};

/// Kinds of files and of work that the page asks for.
const OFFERED: [&str; 16] = [
    "chart",
    "svg",
    "png",
    "beads",
    "ring",
    "turntable",
    "pdf",
    "page",
    "rows",
    "kit-text",
    "kit-csv",
    "sizes",
    "weave",
    "follow",
    "seen",
    "calm",
];

#[test]
fn the_desk_opens_with_the_files_it_was_given() {
    let bench = Bench::new();
    let tin = std::fs::read(repository("palettes/tin.csv")).unwrap();
    bench.put("owned.csv", &tin);
    bench.put(
        "tide.png",
        std::fs::read(repository("samples/tide-line.png")).unwrap(),
    );
    bench
        .line("chart tide.png --palette owned.csv --size us7 -o band.json")
        .ok();
    bench.line("fit --swatch 40=33.6 --remember").ok();
    let text = bench.text("band.json");
    let desk = Desk::open_with(bench, &["band.json", "--palette", "owned.csv"]);
    let begin = desk.get("begin").ok().json();
    assert_eq!(begin["file"], json!({ "name": "band.json", "text": text }));
    assert_eq!(begin["palettes"][0]["name"], "owned.csv");
    assert_eq!(
        begin["palettes"][0]["text"].as_str().unwrap().as_bytes(),
        tin
    );
    assert_eq!(begin["palettes"].as_array().unwrap().len(), 4);
    assert_eq!(begin["gauge"]["from"], "swatch 40=33.6");
    assert!(begin["sizes"].as_array().unwrap().contains(&json!("us7.5")));
    assert_eq!(begin["beads"][0]["length_mm"], 1.3);
    let offers = begin["offers"].as_array().unwrap();
    for offered in OFFERED {
        assert!(offers.contains(&json!(offered)), "{offered}");
    }
    // The weaver's own gauge counts, as it does on the command line.
    let wish = json!({
        "picture": desk.picture("tide-line.png"),
        "palette": { "id": desk.palette("tin.csv") },
        "size": "us7",
    });
    let chart: Value = serde_json::from_str(&desk.chart(&wish)).unwrap();
    desk.bench.put("tide-line.png", desk.bench.get("tide.png"));
    desk.bench.put("tin.csv", &tin);
    desk.bench
        .line("chart tide-line.png --palette tin.csv --size us7 -o again.json")
        .ok();
    let again: Value = serde_json::from_str(&desk.bench.text("again.json")).unwrap();
    assert_eq!(chart, again);
    let listing = desk.bench.listing();
    desk.ask("facts", &json!({ "chart": text })).ok();
    assert_eq!(desk.bench.listing(), listing, "the desk writes nothing");
}
