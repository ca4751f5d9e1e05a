//! One program for all targets, so that one build serves them: `UPBEAD_FUZZ_TARGET` names the one
//! to run.

#![no_main]

#[path = "../targets.rs"]
mod targets;

use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

static TARGET: LazyLock<targets::Target> = LazyLock::new(|| {
    let name = std::env::var("UPBEAD_FUZZ_TARGET").expect("UPBEAD_FUZZ_TARGET names a target");
    let found = targets::TARGETS.iter().find(|(known, _)| *known == name);
    found.expect("the target is in TARGETS").1
});

fuzz_target!(|bytes: &[u8]| TARGET(bytes));
