//! Where the dependencies come from, under which licences, and which of them are there twice.

use super::source::root;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::process::Command;

const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// Licences of which every dependency offers one, or more where it asks for more. All of them may
/// go into a program that is handed on together with their texts, which `.ci/release` packs.
const LICENCES: [&str; 7] = [
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Zlib",
];

/// Crates of which two versions are built, for this system or another. Each costs minutes of
/// building: look for a way round it before adding one.
const TWICE: [&str; 12] = [
    "base64",
    "font-types",
    "getrandom",
    "imagesize",
    "miniz_oxide",
    "moxcms",
    "r-efi",
    "read-fonts",
    "skrifa",
    "syn",
    "weezl",
    "windows-link",
];

/// Name and source of each package in `Cargo.lock`; upbead has no source.
fn locked() -> Vec<(String, String)> {
    let lock = fs::read_to_string(root().join("Cargo.lock")).expect("Cargo.lock");
    let field = |package: &str, name: &str| {
        let line = package.lines().find_map(|line| line.strip_prefix(name));
        line.map_or(String::new(), |text| text.trim_matches('"').to_string())
    };
    let packages = lock.split("[[package]]").skip(1);
    packages
        .map(|package| (field(package, "name = "), field(package, "source = ")))
        .collect()
}

#[test]
fn every_dependency_comes_from_the_registry() {
    let locked = locked();
    assert!(locked.len() > 100, "Cargo.lock is read wrongly");
    for (name, source) in locked {
        let own = name == "upbead" && source.is_empty();
        assert!(own || source == REGISTRY, "{name} comes from '{source}'");
    }
}

#[test]
fn crates_that_are_there_twice_are_known() {
    let mut versions: BTreeMap<String, usize> = BTreeMap::new();
    for (name, _) in locked() {
        *versions.entry(name).or_default() += 1;
    }
    let twice = versions.into_iter().filter(|(_, count)| *count > 1);
    let twice: Vec<String> = twice.map(|(name, _)| name).collect();
    assert_eq!(twice, TWICE);
}

/// Packages that are built on this system, by name, with the licences that each states.
fn licensed() -> Vec<(String, String)> {
    let told = |program: &str, variable: &str, arguments: &[&str]| {
        let program = std::env::var(variable).unwrap_or_else(|_| program.to_string());
        let mut command = Command::new(program);
        let output = command.args(arguments).current_dir(root()).output();
        let output = output.expect("it starts");
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{arguments:?}: {err}");
        String::from_utf8(output.stdout).expect("text")
    };
    let version = told("rustc", "RUSTC", &["-vV"]);
    let host = version.lines().find_map(|line| line.strip_prefix("host: "));
    let metadata = told(
        "cargo",
        "CARGO",
        &[
            "metadata",
            "--locked",
            "--offline",
            "--format-version=1",
            "--filter-platform",
            host.expect("rustc names its host"),
        ],
    );
    let metadata: Value = serde_json::from_str(&metadata).expect("JSON");
    let word = |package: &Value, key: &str| package[key].as_str().unwrap_or("").to_string();
    let packages = metadata["packages"].as_array().expect("packages").iter();
    packages
        .map(|package| (word(package, "name"), word(package, "license")))
        .collect()
}

#[test]
fn every_dependency_offers_a_licence_that_is_allowed() {
    let licensed = licensed();
    assert!(licensed.len() > 100, "cargo metadata is read wrongly");
    let refused = licensed.iter().filter(|(_, offer)| !allowed(offer));
    assert_eq!(refused.collect::<Vec<_>>(), Vec::<&(String, String)>::new());
}

/// Whether an expression of SPDX (annex D) can be met: one side of OR, both of AND. Parentheses
/// hold only ORs in what crates state.
fn allowed(offer: &str) -> bool {
    let one = |licence: &str| LICENCES.contains(&licence.trim());
    let any = |choice: &str| choice.replace('/', " OR ").split(" OR ").any(one);
    let all = |group: &str| {
        let group = group.trim().trim_matches(['(', ')']);
        any(group)
    };
    if offer.contains('(') || !offer.contains(" OR ") {
        offer.split(" AND ").all(all)
    } else {
        any(offer)
    }
}

#[test]
fn expressions_of_licences_are_read() {
    for offer in [
        "MIT",
        "MIT/Apache-2.0",
        "Unlicense OR MIT",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "MIT AND BSD-3-Clause",
        "Apache-2.0 WITH LLVM-exception OR Apache-2.0 OR MIT",
    ] {
        assert!(allowed(offer), "{offer}");
    }
    for offer in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR Apache-2.0) AND GPL-3.0-only",
        "GPL-2.0-only OR LGPL-2.1-only",
        "Apache-2.0 WITH LLVM-exception",
    ] {
        assert!(!allowed(offer), "{offer}");
    }
}
