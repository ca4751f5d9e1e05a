//! Programs that write one file at once.

use crate::common::{Bench, Run, repository};
use std::process::{Child, Stdio};

const GROUNDS: [&str; 6] = [
    "quay-01", "quay-11", "quay-58", "pool-26", "bell-09", "dune-05",
];

fn bench() -> Bench {
    let bench = Bench::new();
    let palette = std::fs::read(repository("palettes/tin.csv")).unwrap();
    bench.put("tin.csv", palette);
    bench
}

fn call<'a>(ground: &'a str, output: &'a str) -> Vec<&'a str> {
    let mut call = vec!["chart", "--plain", "--rows", "12", "--palette", "tin.csv"];
    call.extend(["--ground", ground, "-o", output]);
    call
}

/// All of them started at once, with how each ended.
fn at_once(bench: &Bench, more: &[&str]) -> Vec<(&'static str, Run)> {
    let start = |ground| {
        let mut command = bench.command(&[&call(ground, "band.json"), more].concat());
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        (ground, command.spawn().expect("the program starts"))
    };
    let running: Vec<(&str, Child)> = GROUNDS.into_iter().map(start).collect();
    let ended = running.into_iter().map(|(ground, child)| {
        let output = child.wait_with_output().expect("the program ends");
        (ground, bench.ended(&call(ground, "band.json"), output))
    });
    ended.collect()
}

/// What one of them writes when it is alone.
fn alone(ground: &str) -> String {
    let bench = bench();
    bench.run(&call(ground, "band.json")).ok();
    bench.text("band.json")
}

#[test]
fn one_of_them_makes_the_file_and_the_others_say_that_it_exists() {
    for _ in 0..6 {
        let bench = bench();
        let ended = at_once(&bench, &[]);
        let (made, refused): (Vec<_>, Vec<_>) =
            ended.iter().partition(|(_, run)| run.status == Some(0));
        assert_eq!(made.len(), 1);
        assert_eq!(bench.text("band.json"), alone(made[0].0));
        for (_, run) in refused {
            assert_eq!(run.status, Some(1), "{}", run.told());
            assert!(run.err.contains("exists"), "{}", run.told());
        }
        assert_eq!(bench.listing(), "band.json tin.csv");
    }
}

#[test]
fn with_force_the_file_is_that_of_one_of_them_and_whole() {
    let expected = GROUNDS.map(alone);
    for _ in 0..6 {
        let bench = bench();
        for (_, run) in at_once(&bench, &["--force"]) {
            run.ok();
        }
        assert!(expected.contains(&bench.text("band.json")));
        assert_eq!(bench.listing(), "band.json tin.csv");
    }
}
