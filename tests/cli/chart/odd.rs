//! Less common kinds of picture file: `tests/data/odd`, two halves in two colours of
//! `palettes/tin.csv`.

use super::{bench, chart, charted};
use crate::common::repository;
use std::fs;

#[test]
fn every_kind_of_file_gives_its_two_halves() {
    let bench = bench(&["tin.csv"]);
    let mut seen = 0;
    for entry in fs::read_dir(repository("tests/data/odd")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        if name.ends_with(".md") || name.starts_with("unread") {
            continue;
        }
        seen += 1;
        bench.put(&name, fs::read(&path).unwrap());
        let read = charted(
            &bench,
            &name,
            &[
                "--rows",
                "12",
                "--rotate",
                "0",
                "--scaling",
                "stretch",
                "--ground",
                "dune-42",
            ],
        );
        let (left, right) = match name.split('-').next().unwrap() {
            "grey" => ("quay-01", "quay-09"),
            "colour" => ("quay-11", "quay-58"),
            "alpha" => ("quay-11", "dune-42"),
            other => panic!("test folder is broken: {other}"),
        };
        assert_eq!(read.of_columns(1..=4), [left].into(), "{name}");
        assert_eq!(read.of_columns(6..=9), [right].into(), "{name}");
    }
    assert!(seen > 20, "test folder is broken: {seen} files");
}

#[test]
fn unsupported_kinds_of_picture_have_their_own_error() {
    let bench = bench(&["tin.csv"]);
    for name in ["unread-indexed.tiff", "unread-float.tiff"] {
        bench.put(
            name,
            fs::read(repository("tests/data/odd").join(name)).unwrap(),
        );
        let before = bench.listing();
        chart(&bench, name, &["--rows", "12"]).fails(
            1,
            &format!(
                "error: {name}: this kind of TIFF picture is not read\n\
                 hint: export it as PNG with 8 or 16 bits a channel"
            ),
        );
        assert_eq!(bench.listing(), before);
    }
}
