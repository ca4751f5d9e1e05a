//! House rules that a compiler does not hold: the layers of the crate, in which a module uses only
//! what stands above it; no circles within a folder; lines, files and parameters that can be read.
//! And the tests' own page names only files that exist.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod dependencies;
mod siblings;
mod source;
mod style;

use source::{paths, root, sources, without_tests};
use std::collections::BTreeMap;
use std::fs;

/// The order, top first. `main.rs` stands below all of them and uses only the last; `lib.rs` lists
/// them.
const ORDER: [&str; 30] = [
    "words",
    "error",
    "files",
    "units",
    "bead",
    "lattice",
    "warning",
    "cancel",
    "ring",
    "colour",
    "palette",
    "json",
    "vision",
    "picture",
    "sample",
    "artwork",
    "palette_photo",
    "lettering",
    "request",
    "chart",
    "reading",
    "quantize",
    "pipeline",
    "weave",
    "render",
    "scene",
    "report",
    "output",
    "desk",
    "cli",
];
fn place(module: &str) -> Option<usize> {
    ORDER.iter().position(|name| *name == module)
}

#[test]
fn every_module_has_its_place() {
    for source in sources() {
        let module = source.module[0].as_str();
        let known = place(module).is_some() || ["lib", "main", "facade"].contains(&module);
        let path = source.path.display();
        assert!(known, "{path}: give {module} a place in ORDER");
    }
}

/// What a reader is told in `lib.rs`: `//! | [`name`] | ...`, or `[`mod@name`]`.
#[test]
fn the_crate_s_first_page_lists_the_modules_in_this_order() {
    let page = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let (_, table) = page.split_once("//! # Modules").expect("a list of modules");
    let table = table.split("//! # ").next().unwrap();
    let told: Vec<&str> = table
        .lines()
        .filter_map(|line| line.strip_prefix("//! | [`"))
        .filter_map(|line| line.split('`').next())
        .map(|name| name.trim_start_matches("mod@"))
        .collect();
    let there = sources();
    let expected: Vec<&str> = ORDER
        .into_iter()
        .filter(|name| there.iter().any(|source| source.module[0] == *name))
        .collect();
    assert_eq!(told, expected);
}

/// With a total order there is no cycle either.
#[test]
fn a_module_uses_only_what_stands_above_it() {
    let mut wrong = Vec::new();
    let mut edges: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for source in sources() {
        let module = source.module[0].as_str();
        if ["lib", "facade"].contains(&module) {
            continue;
        }
        let root = if module == "main" { "upbead" } else { "crate" };
        for used in paths(&source.code, &[root]) {
            let used = &used[1];
            let above = match module {
                "main" => used == "cli",
                own => used == own || place(used).is_some_and(|used| Some(used) < place(own)),
            };
            if !above {
                let path = source.path.display();
                wrong.push(format!("{path}: {used} does not stand above {module}"));
            }
            edges
                .entry(module.to_string())
                .or_default()
                .push(used.clone());
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(
        edges["cli"].len() > 20 && edges["main"] == ["cli"],
        "the uses are not found: {edges:?}"
    );
}

/// `super` in a module's own head file would leave it: `super::super` out of a folder does too.
#[test]
fn no_module_leaves_its_folder_by_super() {
    for source in sources() {
        // Inline modules, such as tests, stand one deeper.
        let code = without_tests(&source.code);
        for path in paths(code, &["super"]) {
            let up = path.iter().filter(|part| *part == "super").count();
            assert!(
                up < source.module.len(),
                "{} reaches the crate's root by super",
                source.path.display()
            );
        }
    }
}

/// A promise whose test has moved is one that nobody finds.
#[test]
fn the_readme_of_the_tests_names_no_missing_file() {
    let tests = root().join("tests");
    let text = fs::read_to_string(tests.join("README.md")).unwrap();
    // Every other piece stands between backquotes.
    let quoted = text.split('`').skip(1).step_by(2);
    let named: Vec<&str> = quoted
        .filter(|piece| piece.ends_with(".rs") || piece.contains('/') && !piece.ends_with('/'))
        .collect();
    assert!(named.len() > 80, "{} files are named", named.len());
    for name in named {
        let folder = if name.starts_with("src/") {
            tests.parent().unwrap()
        } else {
            &tests
        };
        assert!(folder.join(name).exists(), "tests/README.md names {name}");
    }
}
