//! One shopping list for several charts.

use super::{OWNED, bench, chart, kit};
use crate::common::{Bench, golden, valid};

/// The band of the other tests, and the same in white alone under another title.
fn order() -> Bench {
    let bench = bench();
    let rows = chart();
    let (head, body) = rows.split_once("\"rows\": [").unwrap();
    let (body, tail) = body.split_once("\n  ]").unwrap();
    let white = body.replace('1', "0");
    assert_ne!(white, body, "test file is broken");
    let white = format!("{head}\"rows\": [{white}\n  ]{tail}");
    let white = white.replacen("Tide line", "Fog", 1);
    bench.put("fog.json", white);
    let packs = OWNED.replacen("price\n", "price,per_pack,currency\n", 1);
    let packs = packs
        .replace("0.40\n", "0.40,5,EUR\n")
        .replace("0.50\n", "0.50,,EUR\n");
    bench.put("packs.csv", packs);
    bench
}

/// White: 8 beads in each of 12 bands and 15 in each of 40 are 696, with 69.6 to spare 766: at 201
/// a gram 3.811 g. Half a gram holds 100, so 666 are short, 3.313 g, one pack of 5 g, 2.00 at 0.40
/// a gram. Red: 7 in each of 12 are 84, with 8.4 to spare 93.
#[test]
fn beads_of_all_charts_are_one_list_and_are_bought_in_packs() {
    let bench = order();
    let call = ["kit", "band.json", "fog.json", "--palette", "packs.csv"];
    let make = [
        "--make", "12,40", "--pace", "15", "--hourly", "18", "--markup", "50%",
    ];
    let call = [&call[..], &make].concat();
    golden("kit/order.txt", &bench.run(&call).ok().bytes);
    let json = bench.run(&[&call[..], &["--json"]].concat()).ok().json();
    valid(&json, "order");
    let white = &json["colours"][0];
    assert_eq!(
        (&white["beads"], &white["beads_with_spare"]),
        (&696.into(), &766.into())
    );
    assert_eq!(
        (&white["short_beads"], &white["packs"]),
        (&666.into(), &1.into())
    );
    assert_eq!(
        (&white["pack_grams"], &white["cost_packs"]),
        (&5.0.into(), &2.0.into())
    );
    let red = &json["colours"][1];
    assert_eq!(
        (&red["beads"], &red["beads_with_spare"]),
        (&84.into(), &93.into())
    );
    assert_eq!(
        (&red["packs"], &json["enough"]),
        (&serde_json::Value::Null, &false.into())
    );
    // 15 beads at 15 a minute are one minute, 0.30 of 18.00.
    assert_eq!((&json["bands"], &json["minutes"]), (&52.into(), &52.into()));
    let each = |at: usize| json["designs"][at]["kit"]["price"]["all"].as_f64().unwrap();
    assert!((each(0) + each(1) - json["price"].as_f64().unwrap()).abs() < 1e-9);
    let csv = bench.run(&[&call[..], &["--as", "csv"]].concat()).ok().out;
    assert_eq!(csv.lines().count(), 3, "{csv}");
}

/// One chart's kit and the list of that chart and nothing else have the same beads.
#[test]
fn the_same_chart_twice_takes_twice_the_beads() {
    let bench = order();
    let twice = bench
        .run(&["kit", "band.json", "band.json", "--json"])
        .ok()
        .json();
    let both = bench
        .run(&["kit", "band.json", "--make", "2", "--json"])
        .ok()
        .json();
    for field in ["beads", "beads_with_spare", "grams"] {
        let of = |json: &serde_json::Value, at: usize| json["colours"][at][field].clone();
        assert_eq!(
            (of(&twice, 0), of(&twice, 1)),
            (of(&both, 0), of(&both, 1)),
            "{field}"
        );
    }
}

#[test]
fn orders_that_make_no_sense_are_refused() {
    let bench = order();
    bench
        .run(&["kit", "band.json", "fog.json", "--make", "1,2,3"])
        .fails(
            2,
            "error: --make: 3 numbers of bands for 2 charts\n\
             hint: give one number for all charts, or one for each in their order",
        );
    kit(&["--make", "1,2"]).fails(
        2,
        "error: --make: 2 numbers of bands for 1 chart\n\
         hint: give one number for all charts, or one for each in their order",
    );
    let small = bench.text("fog.json");
    let small = small.replace(
        "\"length_mm\": 1.3, \"diameter_mm\": 1.6, \"hole_mm\": 0.8",
        "\"length_mm\": 1, \"diameter_mm\": 1.3, \"hole_mm\": 0.65",
    );
    bench.put("small.json", small);
    bench.run(&["kit", "band.json", "small.json"]).fails(
        1,
        "error: small.json: beads of 15/0 here, of 11/0 in the first chart\n\
         hint: gather charts of one bead size at a time",
    );
}

#[test]
fn palettes_with_two_currencies_or_empty_packs_are_refused() {
    let bench = order();
    let palette = bench.text("packs.csv");
    bench.put("two.csv", palette.replacen("EUR", "USD", 1));
    bench
        .run(&["kit", "band.json", "--palette", "two.csv"])
        .fails(
            1,
            "error: two.csv:3:33: EUR after USD: two currencies\n\
         hint: give all prices of a palette in one currency",
        );
    bench.put("none.csv", palette.replacen(",5,", ",0,", 1));
    bench
        .run(&["kit", "band.json", "--palette", "none.csv"])
        .fails(
            1,
            "error: none.csv:2:40: '0' is not a weight of a pack in grams\n\
         hint: write a number above 0 to 1,000,000, with a point and no unit, such as 7.5",
        );
}

/// 15 beads at 15 a minute are one minute, 0.30 of 18.00; the beads of twelve bands cost 0.44, of
/// one 0.04; half of 1.14 is 0.57; twelve times 1.71 is 20.52.
#[test]
fn the_price_of_a_band_is_told_as_a_sum() {
    let call = ["kit", "band.json", "--palette", "packs.csv", "--make", "12"];
    let price = ["--pace", "15", "--hourly", "18", "--materials", "0.80"];
    let markup = ["--markup", "50%"];
    let told = order().run(&[&call[..], &price, &markup].concat()).ok().out;
    let sum = "Price of 1 ring, EUR:\n   \
         0.04  beads, with the spare ones\n   \
         0.80  other materials\n   \
         0.30  work: 1 min at 18.00 an hour\n=  \
         1.14  cost\n   \
         0.57  markup: 50% of the cost\n=  \
         1.71  price\n= \
        20.52  12 rings at 1.71\n";
    assert!(told.contains(sum), "{told}");
}
