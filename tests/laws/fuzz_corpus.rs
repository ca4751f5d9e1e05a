//! The seeds of the fuzz targets, run once each without a fuzzer, so that what was found stays
//! mended.

#[path = "../fuzz/targets.rs"]
mod targets;

use crate::common::repository;
use std::fs;
use std::path::{Path, PathBuf};

/// Most bytes of all seeds that are kept for the fuzz targets alone.
const MOST_BYTES: u64 = 300_000;

/// Files of a folder, in the order of their names.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder of seeds");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut files: Vec<PathBuf> = paths.filter(|path| path.is_file()).collect();
    files.sort();
    files
}

/// Runs a target on its own seeds, and on those of other folders that `seeds.txt` names.
fn replay(name: &str) {
    let fuzz = repository("tests/fuzz");
    let listed = fs::read_to_string(fuzz.join("seeds.txt")).expect("the list of seeds");
    let others = listed.lines().filter_map(|line| line.split_once(' '));
    let others = others.filter(|(target, _)| *target == name);
    let mut seeds = files(&fuzz.join("corpus").join(name));
    seeds.extend(others.flat_map(|(_, folder)| files(&repository(folder))));
    let found = targets::TARGETS.iter().find(|(known, _)| *known == name);
    let (_, run) = found.expect("a target of that name");
    for seed in seeds {
        // Shown if the target panics.
        println!("{}", seed.display());
        run(&fs::read(&seed).expect("a seed"));
    }
}

#[test]
fn every_target_has_seeds_and_they_are_small() {
    let corpus = repository("tests/fuzz/corpus");
    let mut targets: Vec<&str> = targets::TARGETS.iter().map(|(name, _)| *name).collect();
    targets.sort_unstable();
    let entries = fs::read_dir(&corpus).expect("the corpus");
    let mut folders: Vec<PathBuf> = entries.map(|e| e.expect("an entry").path()).collect();
    folders.sort();
    let expected: Vec<PathBuf> = targets.iter().map(|name| corpus.join(name)).collect();
    assert_eq!(folders, expected);
    let seeds: Vec<PathBuf> = folders.iter().flat_map(|folder| files(folder)).collect();
    let sizes = seeds.iter().map(|seed| seed.metadata().expect("a seed"));
    let bytes: u64 = sizes.map(|seed| seed.len()).sum();
    assert!(seeds.len() > 100 && bytes <= MOST_BYTES, "{bytes} bytes");
}

#[test]
fn pictures() {
    replay("picture");
}

#[test]
fn profiles_and_orientations() {
    replay("metadata");
}

#[test]
fn drawings() {
    replay("svg");
}

#[test]
fn palettes() {
    replay("palette");
}

#[test]
fn gauges() {
    replay("gauge");
}

#[test]
fn charts() {
    replay("chart");
}

#[test]
fn options() {
    replay("options");
}

#[test]
fn requests_to_the_desk() {
    replay("desk");
}
