//! `upbead swap`.

use crate::common::{Bench, golden, repository};
use crate::schema::suits;
use std::fs;

fn bench() -> Bench {
    let bench = Bench::new();
    for name in ["tin.csv", "shelf.csv", "harbour.csv"] {
        bench.put(name, fs::read(repository("palettes").join(name)).unwrap());
    }
    let picture = fs::read(repository("samples/harbour-dusk.jpg")).unwrap();
    bench.put("dusk.jpg", picture);
    bench
        .line(
            "chart --match nearest \
        dusk.jpg --palette harbour.csv --rows 74 --colours 6 -o dusk.json",
        )
        .ok();
    bench
}

#[test]
fn a_chart_moves_to_another_palette_bead_for_bead() {
    let bench = bench();
    let run = bench.line("swap dusk.json --palette shelf.csv").ok();
    golden("swap/dusk-shelf.txt", &run.bytes);
    let read =
        |name: &str| -> serde_json::Value { serde_json::from_slice(&bench.get(name)).unwrap() };
    let (old, new) = (read("dusk.json"), read("dusk-shelf.json"));
    assert_eq!(old["rows"], new["rows"]);
    assert_eq!(new["made"]["options"]["swap"], "shelf");
    bench.line("check dusk-shelf.json").ok();
    // Rich enough a palette keeps every pair and the whole order; the table is the chart's.
    let json = bench
        .line("swap dusk.json --palette shelf.csv -o b.json --json")
        .ok()
        .json();
    suits("swap", &json);
    assert_eq!(json["together"], serde_json::json!([]));
    assert_eq!(json["turned"], serde_json::json!([]));
    assert_eq!(json["proven"], true);
    let beads = json["substitutions"].as_array().unwrap().iter();
    assert_eq!(
        beads.map(|one| one["beads"].as_u64().unwrap()).sum::<u64>(),
        333
    );
    assert_eq!(bench.get("b.json"), bench.get("dusk-shelf.json"));
}

#[test]
fn a_chart_s_own_palette_gives_its_own_colours() {
    let bench = bench();
    let run = bench.line("swap dusk.json --palette harbour.csv -o -").ok();
    let swapped: serde_json::Value = run.json();
    let old: serde_json::Value = serde_json::from_slice(&bench.get("dusk.json")).unwrap();
    assert_eq!(swapped["colours"], old["colours"]);
    assert!(
        run.err.contains("mean difference from the old chart 0\n"),
        "{}",
        run.told()
    );
}

/// Two greys of the chart are nearest to one bead: taken alone, both would become it.
#[test]
fn two_colours_stay_two_and_lighter_stays_lighter() {
    let bench = Bench::new();
    let chart = |colours: &str| {
        format!(
            "{{\"format\":\"upbead-chart\",\"version\":1,\"bead\":{{\"length_mm\":1.3,\
             \"diameter_mm\":1.6,\"hole_mm\":0.8}},\"columns\":3,\"closed\":false,\
             \"colours\":[{colours}],\"rows\":[[0,1],[0],[1,1]],\"made\":{{\"source\":\"a.png\",\
             \"sha256\":\"{}\",\"options\":{{}},\"version\":\"0.1.0\"}}}}",
            "0".repeat(64)
        )
    };
    bench.put(
        "two.json",
        chart(
            "{\"code\":\"a\",\"name\":\"fog\",\"hex\":\"8A8A8A\"},{\"code\":\"b\",\
             \"name\":\"slate\",\"hex\":\"7C7C7C\"}",
        ),
    );
    bench.put(
        "owned.csv",
        "code,name,hex,grams\nx,flint,838383,0.005\ny,gravel,868686,\nz,pebble,A8A8A8,\n",
    );
    let run = bench.line("swap two.json --palette owned.csv").ok();
    golden("swap/two.txt", &run.bytes);
    // With one grey besides, there is no way to keep them apart but far off: said, not hidden.
    bench.put(
        "owned.csv",
        "code,name,hex\nx,flint,838383\ny,gravel,868686\n",
    );
    let run = bench
        .line("swap two.json --palette owned.csv -o c.json")
        .ok();
    assert!(
        run.out
            .contains("- fog and slate are now hard to tell apart: gravel and flint\n"),
        "{}",
        run.told()
    );
    assert!(
        run.out
            .contains("Lighter and darker as before: the one pair\n"),
        "{}",
        run.told()
    );
}

#[test]
fn wrong_arguments_are_refused_with_their_own_message() {
    let bench = bench();
    bench.put("few.csv", "code,name,hex\nx,flint,838383\n");
    bench.line("swap dusk.json --palette few.csv").fails(
        1,
        "error: dusk.json: the chart uses 6 colours, and few has 1: some would become the same \
             bead\n\
             hint: chart the picture again with --colours 1, or add colours to the palette",
    );
    bench
        .line("swap dusk.json --palette tin.csv -o dusk.json --force")
        .fails(
            2,
            "error: -o: 'dusk.json' is read and cannot be written over\nhint: choose another name",
        );
    bench
        .line("swap dusk.json --palette tin.csv -o tin.csv --force")
        .fails(
            2,
            "error: -o: 'tin.csv' is read and cannot be written over\nhint: choose another name",
        );
    bench.line("swap - --palette -").fails(
        2,
        "error: --palette: chart and palette cannot both come from standard input\n\
         hint: name a file for one of them",
    );
    bench
        .line("swap dusk.json --palette tin.csv -o - --json")
        .fails(
            2,
            "error: --json: the chart and what became of it cannot both go to standard output\n\
             hint: give the chart a file with -o",
        );
    bench.put("dusk-tin.json", "mine");
    bench.line("swap dusk.json --palette tin.csv").fails(
        1,
        "error: dusk-tin.json: the file exists\n\
             hint: choose another name, or add --force to replace it",
    );
    bench.line("swap tin.csv --palette tin.csv");
    assert_eq!(bench.text("dusk-tin.json"), "mine");
    assert_eq!(
        bench.listing(),
        "dusk-tin.json dusk.jpg dusk.json few.csv harbour.csv shelf.csv tin.csv"
    );
}
