//! The layers of the crate: a module uses only what stands above it, and files stay small enough to
//! read. And the tests' own page names only files that exist.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The order, top first. `main.rs` stands below all of them and uses only the last; `lib.rs` lists
/// them.
const ORDER: [&str; 26] = [
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
    "vision",
    "picture",
    "sample",
    "palette_photo",
    "request",
    "chart",
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
/// Files of `report` that still use `output`, which now stands below it; the list only shrinks.
const TO_CONVERT: [&str; 1] = ["report/booklet.rs"];
/// Most lines of a file, its tests among them.
const MOST_LINES: usize = 600;

/// Every source file with the module that it belongs to: the first part of its path.
fn sources() -> Vec<(String, PathBuf)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let inside = path.strip_prefix(&root).unwrap();
                let first = inside
                    .components()
                    .next()
                    .unwrap()
                    .as_os_str()
                    .to_str()
                    .unwrap();
                found.push((first.trim_end_matches(".rs").to_string(), path));
            }
        }
    }
    found.sort();
    assert!(found.len() > 50, "the sources are gone");
    found
}

/// The text without comments: `//` to the end of the line, unless it stands in a string such as an
/// address.
fn code(text: &str) -> String {
    text.lines()
        .map(|line| match line.find("//") {
            Some(at) if !line[..at].ends_with(':') => &line[..at],
            _ => line,
        })
        .collect::<Vec<_>>()
        .join("\n")
}

/// The modules that `text` names after `root::`, also in a list: `use crate::{error,
/// lattice::Row}`.
fn named(text: &str, root: &str) -> Vec<String> {
    let mut names = Vec::new();
    for (at, _) in text.match_indices(&format!("{root}::")) {
        let before = text[..at].chars().next_back();
        if before.is_some_and(|letter| letter.is_alphanumeric() || letter == '_' || letter == ':') {
            continue;
        }
        let rest = &text[at + root.len() + 2..];
        let word = |text: &str| -> String {
            text.chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect()
        };
        let Some(list) = rest.strip_prefix('{') else {
            names.push(word(rest));
            continue;
        };
        let mut depth = 0;
        let mut first = true;
        for (at, letter) in list.char_indices() {
            match letter {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => first = true,
                letter if first && !letter.is_whitespace() => {
                    names.push(word(&list[at..]));
                    first = false;
                }
                _ => {}
            }
        }
    }
    names
}

fn place(module: &str) -> Option<usize> {
    ORDER.iter().position(|name| *name == module)
}

#[test]
fn names_are_found_in_every_way_of_writing_them() {
    let text = "use crate::error::Result; use crate::{ bead::{Bead, x}, lattice, note::Warning }; \
        pub(in crate::cli) fn f(a: &crate::chart::Chart) {} my_crate::not";
    assert_eq!(
        named(text, "crate"),
        ["error", "bead", "lattice", "note", "cli", "chart"]
    );
    assert_eq!(code("a // crate::b\nc \"http://d\""), "a \nc \"http://d\"");
}

#[test]
fn every_module_has_its_place() {
    for (module, path) in sources() {
        let known =
            place(&module).is_some() || ["lib", "main", "facade"].contains(&module.as_str());
        assert!(known, "{}: give {module} a place in ORDER", path.display());
    }
}

/// What a reader is told in `lib.rs`: `//! | [`name`] | ...`, or `[`mod@name`]`.
#[test]
fn the_crate_s_first_page_lists_the_modules_in_this_order() {
    let page =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).unwrap();
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
        .filter(|name| there.iter().any(|(module, _)| module == name))
        .collect();
    assert_eq!(told, expected);
}

/// With a total order there is no cycle either.
#[test]
fn a_module_uses_only_what_stands_above_it() {
    let mut wrong = Vec::new();
    let mut excused = Vec::new();
    let mut edges: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (module, path) in sources() {
        if ["lib", "facade"].contains(&module.as_str()) {
            continue;
        }
        let text = code(&fs::read_to_string(&path).unwrap());
        let root = if module == "main" { "upbead" } else { "crate" };
        for used in named(&text, root) {
            let Some(used_place) = place(&used) else {
                // Macros and items of lib.rs itself.
                wrong.push(format!("{}: crate::{used} has no place", path.display()));
                continue;
            };
            let above = match module.as_str() {
                "main" => used == "cli",
                own => used == own || Some(used_place) < place(own),
            };
            let old = TO_CONVERT.into_iter().find(|old| path.ends_with(old));
            if let (false, Some(old), "output") = (above, old, used.as_str()) {
                excused.push(old);
            } else if !above {
                wrong.push(format!(
                    "{}: {module} uses {used}, which stands below it",
                    path.display()
                ));
            }
            edges.entry(module.clone()).or_default().push(used);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for old in TO_CONVERT {
        assert!(excused.contains(&old), "{old} is converted: take it off");
    }
    assert!(
        edges["cli"].len() > 20 && edges["main"] == ["cli"],
        "the uses are not found: {edges:?}"
    );
}

/// `super` in a module's own head file would leave it: `super::super` out of a folder does too.
#[test]
fn no_module_leaves_its_folder_by_super() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for (_, path) in sources() {
        let inside = path.strip_prefix(&root).unwrap();
        // src/a.rs and src/a/mod.rs stand at depth 1, src/a/b.rs at 2.
        let depth = inside.components().count() - usize::from(inside.ends_with("mod.rs"));
        let text = fs::read_to_string(&path).unwrap();
        // Inline modules, such as tests, stand one deeper.
        let text = code(text.split("#[cfg(test)]").next().unwrap());
        let out = "super::".repeat(depth);
        let named = text
            .match_indices(&out)
            .filter(|(at, _)| !text[..*at].ends_with("super::"));
        assert_eq!(
            named.count(),
            0,
            "{} reaches the crate's root by super",
            path.display()
        );
    }
}

#[test]
fn every_file_is_short_enough_to_read() {
    let mut lengths: Vec<usize> = Vec::new();
    for (_, path) in sources() {
        let lines = fs::read_to_string(&path).unwrap().lines().count();
        assert!(lines <= MOST_LINES, "{}: {lines} lines", path.display());
        lengths.push(lines);
    }
    lengths.sort_unstable();
    let median = lengths[lengths.len() / 2];
    assert!(median < 200, "the median file has {median} lines");
}

/// A promise whose test has moved is one that nobody finds.
#[test]
fn the_readme_of_the_tests_names_no_missing_file() {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
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
