//! `upbead schema`, and what the other verbs print held against it.

use crate::common::Bench;
use serde_json::Value;
use upbead::{chart, weave};

/// Asserts that what a verb prints with `--json` suits the schema `of` that name, and that none of
/// its fields could have another name.
#[track_caller]
pub(crate) fn suits(of: &str, json: &Value) {
    let schema = Bench::new().run(&["schema", "--of", of]).ok().json();
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    let validator = jsonschema::draft202012::new(&schema).expect("the schema compiles");
    let errors: Vec<String> = validator
        .iter_errors(json)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}\n{json:#}");
    let fields = json.as_object().expect("an object");
    for name in fields.keys() {
        let mut renamed = fields.clone();
        if let Some(value) = renamed.remove(name) {
            renamed.insert(format!("{name}_"), value);
        }
        assert!(!validator.is_valid(&Value::Object(renamed)), "{name}");
    }
}

#[test]
fn the_schema_is_printed_as_it_is_built_in() {
    let run = Bench::new().run(&["schema"]).ok();
    assert_eq!(run.out, chart::SCHEMA);
    assert_eq!(run.json()["$id"], "urn:upbead:chart:1");
    let run = Bench::new().run(&["schema", "--of", "weave"]).ok();
    assert_eq!(run.out, weave::SCHEMA);
    assert_eq!(run.json()["$id"], "urn:upbead:weave:2");
}

/// What the verbs print is held against them beside each verb, the desk's answers in
/// `desk/answers.rs`.
#[test]
fn reports_have_schemas_that_describe_each_field() {
    for (of, field) in [("kit", "spare_percent"), ("check", "findings")] {
        let schema = Bench::new().run(&["schema", "--of", of]).ok().json();
        let described = &schema["properties"][field]["description"];
        assert!(described.is_string(), "{schema:#}");
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
    }
}

#[test]
fn a_schema_that_is_not_there_is_refused_with_the_nearest() {
    let run = Bench::new().run(&["schema", "--of", "kitt"]);
    run.fails(
        2,
        "error: --of: there is no schema of 'kitt'\nhint: did you mean kit?",
    );
}

#[test]
fn schemas_that_there_are_not_are_refused_with_those_that_there_are() {
    Bench::new().run(&["schema", "--of", "wave"]).fails(
        2,
        "error: --of: there is no schema of 'wave'\nhint: did you mean weave?",
    );
}
