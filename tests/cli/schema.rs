//! `upbead schema`.

use crate::common::Bench;
use upbead::chart;

#[test]
fn the_schema_is_printed_as_it_is_built_in() {
    let run = Bench::new().run(&["schema"]).ok();
    assert_eq!(run.out, chart::SCHEMA);
    assert_eq!(run.json()["$id"], "urn:upbead:chart:1");
}
