//! Programs that are ended while they write, and what earlier ones left behind.

#![cfg(unix)]

use crate::common::{Bench, repository};
use std::fs;
use std::io::Read;
use std::process::{Command, Stdio};
use std::time::{Duration, SystemTime};

/// Stopped where every byte of the chart is on the disk: its drawing, which is larger than a pipe
/// holds, is not being read.
#[test]
fn a_program_that_is_ended_leaves_nothing_behind() {
    for signal in ["INT", "TERM", "KILL"] {
        for old in [None, Some("an older chart")] {
            let bench = Bench::new();
            bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
            let call = [
                "chart",
                "--plain",
                "--palette",
                "tin.csv",
                "--columns",
                "101",
                "--size",
                "us7",
                "-o",
                "band.json",
                "--preview",
                "pipe.svg",
                "--force",
            ];
            let pipe = bench.path("pipe.svg");
            assert!(
                Command::new("mkfifo")
                    .arg(&pipe)
                    .status()
                    .unwrap()
                    .success()
            );
            if let Some(old) = old {
                bench.put("band.json", old);
            }
            let mut command = bench.command(&call);
            let mut child = command.stdout(Stdio::null()).spawn().unwrap();
            let mut reader = fs::File::open(&pipe).unwrap();
            reader.read_exact(&mut [0]).unwrap();
            assert!(child.try_wait().unwrap().is_none(), "it is still writing");
            let id = child.id().to_string();
            let sent = Command::new("kill")
                .args([&format!("-{signal}"), &id])
                .status();
            assert!(sent.unwrap().success());
            assert!(!child.wait().unwrap().success());
            let chart = old.map_or("", |_| "band.json ");
            assert_eq!(
                bench.listing(),
                format!("{chart}pipe.svg tin.csv"),
                "{signal}"
            );
            if let Some(old) = old {
                assert_eq!(bench.text("band.json"), old);
            }
        }
    }
}

#[test]
fn only_old_temporary_files_of_ours_are_removed() {
    let bench = Bench::new();
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    let aged = |name: &str, hours: u64| {
        let path = bench.put(name, "half a chart");
        let then = SystemTime::now() - Duration::from_secs(hours * 3600);
        let file = fs::File::options().write(true).open(path).unwrap();
        file.set_modified(then).unwrap();
    };
    aged(".upbead-aB3xYz", 2);
    aged(".upbead-000000", 2000);
    aged(".upbead-inWork", 0);
    for own in [
        ".upbead-my-own",
        ".upbead-aB3xYz1",
        "upbead-aB3xYz",
        ".other-aB3xYz",
    ] {
        aged(own, 2);
    }
    bench
        .line("chart --plain --palette tin.csv --columns 9 --size us7 -o band.json")
        .ok();
    assert_eq!(
        bench.listing(),
        ".other-aB3xYz .upbead-aB3xYz1 .upbead-inWork .upbead-my-own band.json tin.csv \
         upbead-aB3xYz"
    );
}
