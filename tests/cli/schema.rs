//! `upbead schema`.

use crate::common::Bench;
use upbead::{chart, weave};

#[test]
fn the_schema_is_printed_as_it_is_built_in() {
    let run = Bench::new().run(&["schema"]).ok();
    assert_eq!(run.out, chart::SCHEMA);
    assert_eq!(run.json()["$id"], "urn:upbead:chart:1");
    let run = Bench::new().run(&["schema", "--of", "weave"]).ok();
    assert_eq!(run.out, weave::SCHEMA);
    assert_eq!(run.json()["$id"], "urn:upbead:weave:1");
}
