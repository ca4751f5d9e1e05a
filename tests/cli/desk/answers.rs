//! The desk's answers held against `upbead schema --of desk`, of which the types of the page's
//! scripts are made.

use super::client::Desk;
use super::same_bytes::prepared;
use crate::photo::four;
use serde_json::{Value, json};

/// An answer of each route that answers JSON, by the name that the schema has for it.
fn answers(desk: &Desk) -> Vec<(&'static str, Value)> {
    let bytes = |name: &str| desk.bench.get(name);
    let ask = |route: &str, body: Value| desk.ask(route, &body).ok().json();
    let post = |path: &str, body: &[u8]| desk.post(path, body).ok().json();
    let picture = post("picture?name=kittiwake.png", &bytes("kittiwake.png"));
    let palette = post("palette?name=tin.csv", &bytes("tin.csv"));
    let shelf = json!({ "id": desk.palette("shelf.csv") });
    let tin = json!({ "id": palette["id"] });
    let wish = json!({
        "picture": picture["id"], "palette": tin, "size": "us7", "place": "motif",
        "ground": "quay-58", "colours": 5, "refine": true,
    });
    let chart = ask("chart?lane=chart&n=7", wish.clone());
    let proposed = ask("propose?lane=propose&n=8", wish);
    let text = &chart["text"];
    let beside = json!({ "chart": text, "picture": picture["id"] });
    let gauge = json!({ "fits": "74=us7" });
    let gauge_file = desk.ask("gauge-file", &gauge).ok().body;
    let read = text.as_str().unwrap().as_bytes();
    let remembered = ask("remember", gauge);
    vec![
        (
            "alike",
            ask("alike", json!({ "palette": shelf, "below": "9" })),
        ),
        ("propose", proposed),
        (
            "resize",
            ask("resize", json!({ "chart": text, "size": "us8" })),
        ),
        ("refine", ask("refine", beside.clone())),
        ("compare", ask("compare", beside)),
        (
            "swap",
            ask("swap", json!({ "chart": text, "palette": shelf })),
        ),
        (
            "facts",
            ask("facts", json!({ "chart": text, "palette": shelf })),
        ),
        ("fit", ask("fit", json!({ "size": "us7" }))),
        ("follow", ask("follow", json!({ "chart": text }))),
        ("read", post("read?name=band.json", read)),
        ("gauge", post("gauge?name=gauge.json", &gauge_file)),
        ("photo", post("photo?name=tray.png", &four())),
        ("begin", desk.get("begin").ok().json()),
        (
            "refused",
            desk.ask("fit", &json!({ "size": "us70" })).json(),
        ),
        ("remember", remembered),
        ("picture", picture),
        ("palette", palette),
        ("chart", chart),
    ]
}

#[test]
fn each_route_answers_as_the_schema_says() {
    let desk = prepared();
    let schema = desk.bench.run(&["schema", "--of", "desk"]).ok().json();
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    let answers = answers(&desk);
    let mut routes: Vec<&str> = answers.iter().map(|(route, _)| *route).collect();
    routes.sort_unstable();
    let described = schema["properties"].as_object().unwrap();
    let mut names: Vec<&String> = described.keys().collect();
    names.sort_unstable();
    assert_eq!(routes, names);
    for (route, answer) in answers {
        let of_route = json!({ "$defs": schema["$defs"], "allOf": [described[route]] });
        let validator = jsonschema::draft202012::new(&of_route).expect("the schema compiles");
        let errors: Vec<String> = validator
            .iter_errors(&answer)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{route}: {errors:#?}");
        // No field could have another name.
        for name in answer.as_object().unwrap().keys() {
            let mut renamed = answer.as_object().unwrap().clone();
            let value = renamed.remove(name).unwrap();
            renamed.insert(format!("{name}_"), value);
            assert!(!validator.is_valid(&renamed.into()), "{route}: {name}");
        }
    }
}
