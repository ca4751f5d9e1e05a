//! Broken files under `tests/bad`, each beside the exact message expected: `NAME.json` or
//! `NAME.csv` and `NAME.txt`.
//!
//! A message changes only under `UPBEAD_BLESS=1`; a blessing run fails too, so that a person looks
//! at it.

use crate::common::{Bench, repository};
use std::fs;
use std::path::{Path, PathBuf};

/// Asserts that each broken file in `tests/bad/FOLDER` is told as its text says.
#[track_caller]
pub fn each(folder: &str, told: impl Fn(&Path) -> String) {
    let bless = std::env::var_os("UPBEAD_BLESS").is_some();
    let mut wrong = Vec::new();
    for path in broken(folder) {
        let expected = path.with_extension("txt");
        let actual = told(&path) + "\n";
        if bless {
            fs::write(&expected, &actual).unwrap();
        }
        let expected = fs::read_to_string(&expected).unwrap_or_default();
        if bless || expected != actual {
            wrong.push(format!(
                "{}\nexpected: {expected}actual:   {actual}",
                path.display()
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn broken(folder: &str) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = fs::read_dir(repository("tests/bad").join(folder))
        .expect("the folder of broken files")
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending != "txt"))
        .collect();
    paths.sort();
    assert!(paths.len() > 20, "test folder is broken: {folder}");
    paths
}

/// The library's reader; `upbead show` adds only the path that was typed.
#[test]
fn each_broken_chart_is_refused_with_its_place_and_a_hint() {
    each("chart", |path| {
        let text = upbead::files::read_text(path, "a chart").unwrap();
        let name = Path::new(path.file_name().unwrap());
        match upbead::chart::read::read(&text) {
            Ok(_) => "test file is broken: it is a chart".to_string(),
            Err(error) => error.file(name).to_string(),
        }
    });
}

/// The real program, in a folder with nothing but the file.
#[test]
fn each_broken_palette_is_refused_with_its_place_and_a_hint() {
    each("palette", |path| {
        let bench = Bench::new();
        let name = path.file_name().unwrap().to_str().unwrap();
        bench.put(name, fs::read(path).unwrap());
        let run = bench.run(&["palette", name]);
        match (run.status, run.out.as_str()) {
            (Some(1), "") => run.err.trim_end().to_string(),
            _ => format!("test file is broken: {}", run.told()),
        }
    });
}

/// Tables and rows in words, with a palette of two colours.
#[test]
fn each_broken_table_and_each_broken_row_is_refused_with_its_place_and_a_hint() {
    each("read", |path| {
        let bench = Bench::new();
        let name = path.file_name().unwrap().to_str().unwrap();
        bench.put(name, fs::read(path).unwrap());
        bench.put(
            "two.pal",
            "code,name,hex\na,herring grey,BBBEC1\nb,jersey navy,1C3261\n",
        );
        let run = bench.run(&["read", name, "--palette", "two.pal", "-o", "band.json"]);
        match (run.status, run.out.as_str()) {
            (Some(1), "") if !bench.path("band.json").exists() => run.err.trim_end().to_string(),
            _ => format!("test file is broken: {}", run.told()),
        }
    });
}
