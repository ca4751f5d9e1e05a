//! Source files, and which modules they name.

use std::fs;
use std::path::{Path, PathBuf};

/// A source file of the crate.
pub struct Source {
    /// Its place below `src`.
    pub path: PathBuf,
    /// Its module, without the crate: `output`, `pdf`, `text` for `output/pdf/text.rs`.
    pub module: Vec<String>,
    /// Its text without comments and without what its strings hold.
    pub code: String,
}

/// The folder of the crate.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Files below a folder of the crate whose names end so, in order, but for `node_modules`.
pub fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() && !path.ends_with("node_modules") {
                folders.push(path);
            } else if path.extension().is_some_and(|own| own == ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// Every file of the crate, `lib.rs` and `main.rs` among them.
pub fn sources() -> Vec<Source> {
    let src = root().join("src");
    let found: Vec<Source> = files("src", "rs")
        .into_iter()
        .map(|file| {
            let path = file.strip_prefix(&src).unwrap().to_path_buf();
            Source {
                module: module(&path),
                code: code(&fs::read_to_string(&file).unwrap()),
                path,
            }
        })
        .collect();
    assert!(found.len() > 50, "the sources are gone");
    found
}

fn module(path: &Path) -> Vec<String> {
    let mut parts: Vec<String> = path
        .with_extension("")
        .iter()
        .map(|part| part.to_str().unwrap().to_string())
        .collect();
    if parts.last().is_some_and(|last| last == "mod") {
        parts.pop();
    }
    parts
}

/// The text with comments and what strings hold replaced by blanks, and line ends kept.
pub fn code(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let skipped = comment(rest).or_else(|| string(rest)).unwrap_or(0);
        if skipped == 0 {
            // An identifier that ends in `r` begins no raw string.
            let word = rest
                .find(|c: char| !c.is_alphanumeric() && c != '_')
                .unwrap_or(rest.len())
                .max(first.len_utf8());
            out += &rest[..word];
            rest = &rest[word..];
        } else {
            out.extend(rest[..skipped].chars().map(|c| match c {
                '\n' => '\n',
                _ => ' ',
            }));
            rest = &rest[skipped..];
        }
    }
    out
}

/// How long the comment is that begins here.
fn comment(text: &str) -> Option<usize> {
    if text.starts_with("//") {
        return Some(text.find('\n').unwrap_or(text.len()));
    }
    let mut depth = 0;
    let mut at = 0;
    while text[at..].starts_with("/*") || depth > 0 {
        if text[at..].starts_with("/*") {
            (depth, at) = (depth + 1, at + 2);
        } else if text[at..].starts_with("*/") {
            (depth, at) = (depth - 1, at + 2);
        } else {
            at += text[at..].chars().next()?.len_utf8();
        }
        if depth == 0 {
            return Some(at);
        }
    }
    None
}

/// How long the string or character is that begins here; a lifetime is neither.
fn string(text: &str) -> Option<usize> {
    let raw = text.strip_prefix("br").or_else(|| text.strip_prefix('r'));
    if let Some(raw) = raw {
        let marks = raw.len() - raw.trim_start_matches('#').len();
        if raw[marks..].starts_with('"') {
            let end = format!("\"{}", "#".repeat(marks));
            let begin = text.len() - raw.len() + marks + 1;
            return Some(begin + text[begin..].find(&end)? + end.len());
        }
    }
    if text.starts_with('"') {
        let mut escaped = false;
        for (at, letter) in text.char_indices().skip(1) {
            match letter {
                _ if escaped => escaped = false,
                '\\' => escaped = true,
                '"' => return Some(at + 1),
                _ => {}
            }
        }
    }
    let inside = text.strip_prefix('\'')?;
    let first = inside.chars().next()?;
    if first == '\\' {
        return Some(inside[2..].find('\'')? + 4);
    }
    inside[first.len_utf8()..]
        .starts_with('\'')
        .then_some(first.len_utf8() + 2)
}

/// The text before the tests that stand in the same file.
pub fn without_tests(code: &str) -> &str {
    code.split("#[cfg(test)]\nmod tests {").next().unwrap()
}

/// Every path that begins with one of the words, as its parts; a list gives one for each of its
/// items: `crate::{error, lattice::Row}`.
pub fn paths(code: &str, beginnings: &[&str]) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    for beginning in beginnings {
        for (at, _) in code.match_indices(&format!("{beginning}::")) {
            let before = code[..at].chars().next_back();
            let inside = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
            if !before.is_some_and(inside) {
                tree(&code[at..], &[], &mut found);
            }
        }
    }
    found
}

/// The paths of a tree of uses that begins here, each after `above`; returns what follows it.
fn tree<'a>(code: &'a str, above: &[String], found: &mut Vec<Vec<String>>) -> &'a str {
    let code = code.trim_start();
    if let Some(mut list) = code.strip_prefix('{') {
        loop {
            list = list.trim_start();
            if let Some(rest) = list.strip_prefix('}') {
                return rest;
            }
            let rest = tree(list, above, found);
            // After a name of its own: `Row as Line`.
            let end = rest.find([',', '}']).unwrap_or(rest.len());
            list = rest[end..].trim_start_matches(',');
            if list.is_empty() {
                return list;
            }
        }
    }
    let end = code
        .find(|c: char| !c.is_alphanumeric() && c != '_')
        .unwrap_or(code.len());
    let path = [above, &[code[..end].to_string()]].concat();
    match code[end..].strip_prefix("::") {
        Some(rest) => tree(rest, &path, found),
        None => {
            found.push(path);
            &code[end..]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_strings_are_not_code() {
        assert_eq!(
            code("a // crate::b\nc \"http://d\""),
            "a            \nc           "
        );
        assert_eq!(code("/* a /* b */ c */d"), "                 d");
        assert_eq!(code("r#\"a\"b\"# c, \"\\\"\" d"), "         c,      d");
        let unchanged = "fn f<'a>(colour: &'a str) -> Vec<'a> { var }";
        assert_eq!(code(unchanged), unchanged);
        assert_eq!(code("'\\'' + 'x' + '\"' + b"), "     +     +     + b");
    }

    #[test]
    fn paths_are_found_in_every_way_of_writing_them() {
        let text = "use crate::error::Result; use crate::{ bead::{Bead, x}, lattice as grid, \
            note::Warning }; pub(in crate::cli) fn f(a: &crate::chart::Chart) {} my_crate::not";
        let found: Vec<String> = paths(text, &["crate"])
            .iter()
            .map(|path| path.join("::"))
            .collect();
        assert_eq!(
            found,
            [
                "crate::error::Result",
                "crate::bead::Bead",
                "crate::bead::x",
                "crate::lattice",
                "crate::note::Warning",
                "crate::cli",
                "crate::chart::Chart"
            ]
        );
        assert_eq!(
            paths("super::super::a()", &["super"]),
            [["super", "super", "a"]]
        );
    }
}
