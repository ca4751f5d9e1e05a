//! Lines, files and parameters that can be read. Clippy holds the rest: the lints in `Cargo.toml`,
//! how long a function may be in `.ci/clippy.toml`.

use super::source::{code, files, root};
use std::fs;
use std::path::Path;

/// Most lines of a file, its tests among them.
const MOST_LINES: usize = 600;
/// Most columns of a line.
const MOST_COLUMNS: usize = 100;

/// The scripts and the Rust files, with their names from the folder of the crate.
fn all(kinds: &[(&str, &str)]) -> Vec<(String, String)> {
    let paths = kinds.iter().flat_map(|(folder, kind)| files(folder, kind));
    let named = |path: &Path| path.strip_prefix(root()).unwrap().display().to_string();
    paths
        .map(|path| (named(&path), fs::read_to_string(&path).unwrap()))
        .collect()
}

const RUST: [(&str, &str); 3] = [("src", "rs"), ("tests", "rs"), ("benches", "rs")];
const SCRIPTS: [(&str, &str); 2] = [("src", "js"), ("tests/browser", "js")];

/// The numbers of the lines that are too long.
fn long_lines(text: &str) -> Vec<usize> {
    let lines = text.lines().zip(1..);
    lines
        .filter(|(line, _)| line.chars().count() > MOST_COLUMNS)
        .map(|(_, number)| number)
        .collect()
}

/// The parts of a list between its brackets, at whose beginning `text` is.
fn parts(text: &str) -> Vec<&str> {
    let (mut depth, mut begin) = (0, 1);
    let mut found = Vec::new();
    let mut last = ' ';
    for (at, letter) in text.char_indices() {
        match letter {
            '(' | '[' | '{' | '<' => depth += 1,
            // An arrow is no bracket.
            '>' if last == '-' || last == '=' => {}
            ')' | ']' | '}' | '>' => depth -= 1,
            _ => {}
        }
        if depth == 0 || depth == 1 && letter == ',' {
            found.push(text[begin..at].trim());
            begin = at + 1;
        }
        if depth == 0 {
            break;
        }
        last = letter;
    }
    found
}

/// A type without references and lifetimes before it.
fn bare(kind: &str) -> &str {
    let kind = kind.trim().trim_start_matches('&').trim_start();
    let kind = match kind.strip_prefix('\'') {
        Some(rest) => rest.split_once(' ').map_or(rest, |(_, kind)| kind),
        None => kind,
    };
    kind.trim_start().trim_start_matches("mut ").trim_start()
}

/// Parameters of functions that are tuples, which hide arguments, with the functions' names.
fn tuple_parameters(text: &str) -> Vec<String> {
    let code = code(text);
    let mut found = Vec::new();
    for (at, _) in code.match_indices("fn ") {
        let before = code[..at].chars().next_back();
        let rest = &code[at + 3..];
        let name: String = rest
            .chars()
            .take_while(|c| c.is_alphanumeric() || *c == '_')
            .collect();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_') || name.is_empty() {
            continue;
        }
        let mut after = &rest[name.len()..];
        if after.starts_with('<') {
            let generics: usize = parts(after).iter().map(|part| part.len()).sum();
            let end = after[generics..].find('(').unwrap_or(0);
            after = &after[generics + end..];
        }
        if !after.starts_with('(') {
            continue;
        }
        let kinds = parts(after).into_iter().filter_map(|parameter| {
            let (_, kind) = parameter.split_once(": ")?;
            Some(bare(kind))
        });
        for kind in kinds {
            // `()` and `(dyn Any)` hide nothing.
            if kind.starts_with('(') && kind.contains(',') {
                found.push(format!("{name}: {kind}"));
            }
        }
    }
    found
}

#[test]
fn no_line_is_longer_than_the_page() {
    let files = all(&[&RUST[..], &SCRIPTS].concat());
    assert!(files.len() > 400, "{} files are found", files.len());
    let mut wrong = Vec::new();
    for (name, text) in files {
        let long = long_lines(&text);
        if !long.is_empty() {
            wrong.push(format!("{name}: lines {long:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_line_that_is_too_long_is_found() {
    let (fits, long) = ("é".repeat(100), "é".repeat(101));
    assert_eq!(long_lines(&format!("{fits}\n{long}\n// {fits}\n")), [2, 3]);
}

#[test]
fn no_parameter_is_a_tuple_that_hides_arguments() {
    let mut wrong = Vec::new();
    for (name, text) in all(&RUST) {
        let tuples = tuple_parameters(&text);
        wrong.extend(tuples.iter().map(|one| format!("{name}: {one}")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_tuple_parameter_is_found_however_it_is_written() {
    for text in [
        "fn f((x, y): (f64, f64)) {}",
        "pub(super) fn f<'a, F: Fn(u8) -> u8>(\n    &self,\n    at: &'a mut (f64, f64),\n) {}",
    ] {
        assert_eq!(tuple_parameters(text).len(), 1, "{text}");
    }
    for text in [
        "fn f(list: &[(f64, f64)]) -> (f64, f64) { (1.0, 2.0) }",
        "fn f(work: impl Fn(&(f64, f64)) -> u8, unit: ()) {}",
        "proptest! { fn f((a, b) in any_frame()) {} }",
        "// fn f(at: (f64, f64))\nconst A: &str = \"fn f(at: (f64, f64))\";",
        "struct At(f64, f64);\nfn f(At(x, y): At, any: &(dyn Any + Send)) {}",
    ] {
        assert_eq!(tuple_parameters(text), [""; 0], "{text}");
    }
}

#[test]
fn every_file_is_short_enough_to_read() {
    let mut lengths: Vec<usize> = Vec::new();
    for (name, text) in all(&RUST) {
        let lines = text.lines().count();
        assert!(lines <= MOST_LINES, "{name}: {lines} lines");
        if name.starts_with("src") {
            lengths.push(lines);
        }
    }
    lengths.sort_unstable();
    let median = lengths[lengths.len() / 2];
    assert!(median < 200, "the median file has {median} lines");
}
