//! Files and folders side by side use one another in one direction only.

use super::source::{Source, paths, sources, without_tests};
use std::collections::{BTreeMap, BTreeSet};

/// Which of its neighbours each file or folder uses, for each folder.
type Uses = BTreeMap<Vec<String>, BTreeMap<String, BTreeSet<String>>>;

/// The module that a path leads to, as far as there is one; none if it is out of the crate.
fn target(from: &[String], path: &[String], modules: &BTreeSet<Vec<String>>) -> Vec<String> {
    let mut to = match path[0].as_str() {
        "crate" => Vec::new(),
        _ => from.to_vec(),
    };
    for part in path {
        match part.as_str() {
            "crate" | "self" => {}
            "super" => {
                to.pop();
            }
            part => to.push(part.to_string()),
        }
    }
    while !to.is_empty() && !modules.contains(&to) {
        to.pop();
    }
    to
}

fn uses(sources: &[Source]) -> Uses {
    let modules: BTreeSet<Vec<String>> = sources.iter().map(|one| one.module.clone()).collect();
    let mut uses = Uses::new();
    for source in sources {
        let code = without_tests(&source.code);
        for path in paths(code, &["crate", "super", "self"]) {
            let to = target(&source.module, &path, &modules);
            let both = source.module.iter().zip(&to);
            let shared = both.take_while(|(one, other)| one == other).count();
            // Modules of the crate itself have their order.
            if shared > 0 && shared < source.module.len() && shared < to.len() {
                uses.entry(to[..shared].to_vec())
                    .or_default()
                    .entry(source.module[shared].clone())
                    .or_default()
                    .insert(to[shared].clone());
            }
        }
    }
    uses
}

/// Those that use themselves by way of others, with what they use.
fn circles(uses: &Uses) -> Vec<String> {
    let mut found = Vec::new();
    for (folder, of) in uses {
        for (name, direct) in of {
            let mut reached = BTreeSet::new();
            let mut open: Vec<&String> = direct.iter().collect();
            while let Some(next) = open.pop() {
                if reached.insert(next) {
                    open.extend(of.get(next).into_iter().flatten());
                }
            }
            if reached.contains(name) {
                found.push(format!("{}: {name} uses {direct:?}", folder.join("/")));
            }
        }
    }
    found
}

#[test]
fn no_two_files_of_a_folder_use_one_another() {
    let sources = sources();
    let uses = uses(&sources);
    assert!(uses.len() > 20, "the uses are not found: {uses:?}");
    let circles = circles(&uses);
    assert!(circles.is_empty(), "{}", circles.join("\n"));
}

#[test]
fn a_circle_is_found_however_it_is_written() {
    let file = |path: &str, code: &str| Source {
        path: path.into(),
        module: path.split('/').map(String::from).collect(),
        code: code.to_string(),
    };
    let of = |code: &str| {
        circles(&uses(&[
            file("weave", "mod ends; mod passes; use ends::End;"),
            file("weave/ends", code),
            file("weave/passes", "use super::turns::Turn;"),
            file(
                "weave/turns",
                "use crate::weave::{ends::End, other::Other};",
            ),
        ]))
    };
    for code in [
        "use super::passes::Pass;",
        "use crate::weave::{self, passes};",
        "fn f() { super::passes::all() }",
    ] {
        assert_eq!(of(code).len(), 3, "{code}");
    }
    let fine = "use super::Weave; #[cfg(test)]\nmod tests { use super::super::passes; }";
    assert_eq!(of(without_tests(fine)), [""; 0]);
}
