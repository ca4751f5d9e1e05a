//! A finished chart gets other rows as `upbead resize` gives it them.

use super::client::Desk;
use super::same_bytes::prepared;
use serde_json::{Value, json};

/// The kittiwake on a plain ground, as text and as `band.json` in the desk's folder.
fn kittiwake(desk: &Desk) -> String {
    desk.bench
        .line("chart kittiwake.png --palette tin.csv --size us7 -o band.json")
        .ok();
    desk.bench.text("band.json")
}

fn chart(text: &Value) -> Value {
    serde_json::from_str(text.as_str().unwrap()).unwrap()
}

#[test]
fn rows_are_added_where_other_sizes_add_them() {
    let desk = prepared();
    let text = kittiwake(&desk);
    desk.bench.line("resize band.json --sizes us9 -o .").ok();
    let expected: Value = serde_json::from_str(&desk.bench.text("band-us9.json")).unwrap();
    let by_size = json!({ "chart": text, "size": "us9" });
    let told = desk.ask("resize?lane=resize&n=2", &by_size).ok().json();
    assert_eq!(told["n"], 2);
    let resized = chart(&told["text"]);
    assert_eq!(resized["rows"], expected["rows"]);
    assert_eq!(resized["made"]["options"]["size"], "us9");
    let rows = expected["rows"].as_array().unwrap().len();
    let by_rows = json!({ "chart": text, "rows": rows });
    let counted = chart(&desk.ask("resize", &by_rows).ok().json()["text"]);
    assert_eq!(counted["rows"], expected["rows"]);
    assert_eq!(counted["made"]["options"]["size"], Value::Null);
}

#[test]
fn a_length_that_the_design_cannot_have_is_refused_by_its_field() {
    let desk = prepared();
    let text = kittiwake(&desk);
    for (length, status, option, what) in [
        (
            json!({ "size": "banana" }),
            400,
            "size",
            "'banana' is not a ring size",
        ),
        (
            json!({ "size": "us99" }),
            400,
            "size",
            "'us99' is out of range",
        ),
        (
            json!({ "rows": 75 }),
            400,
            "rows",
            "75 rows do not close into a ring",
        ),
        (
            json!({ "rows": 8 }),
            400,
            "rows",
            "this design cannot have 8 rows",
        ),
    ] {
        let mut wish = length.clone();
        wish["chart"] = json!(text);
        let refused = desk.ask("resize", &wish).fails(status, what);
        assert_eq!(refused["option"], option, "{length}");
        assert!(refused["hint"].is_string(), "{length}");
    }
}
