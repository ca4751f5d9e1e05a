//! Gauges that several programs remember at once.

use crate::common::Bench;
use std::process::{Child, Stdio};

const FILE: &str = ".config/upbead/gauge.json";
const BEADS: [(&str, &str); 4] = [
    ("11", "74=us7"),
    ("10", "60=us7"),
    ("8", "40=us7"),
    ("15", "90=us7"),
];

fn remember(bench: &Bench, bead: &str, fits: &str) -> Child {
    let call = ["fit", "--bead", bead, "--fits", fits, "--remember"];
    let mut command = bench.command(&call);
    command
        .stdout(Stdio::null())
        .spawn()
        .expect("the program starts")
}

#[test]
fn of_gauges_remembered_at_once_none_is_lost() {
    for round in 0..12 {
        let bench = Bench::new();
        let running = BEADS.map(|(bead, fits)| remember(&bench, bead, fits));
        for mut child in running {
            assert!(child.wait().unwrap().success());
        }
        let text = bench.text(FILE);
        for (_, fits) in BEADS {
            assert!(
                text.contains(&format!("\"fits 9x{fits}\"")),
                "round {round}: {text}"
            );
        }
    }
}

#[cfg(unix)]
#[test]
fn links_to_one_gauge_file_wait_for_one_another() {
    for round in 0..12 {
        let bench = Bench::new();
        bench.put(
            "home/own.json",
            "{ \"format\": \"upbead-gauge\", \"version\": 1, \"gauges\": [] }",
        );
        let names = ["a.json", "b.json", "c.json", "home/own.json"];
        for link in &names[..3] {
            std::os::unix::fs::symlink("home/own.json", bench.path(link)).unwrap();
        }
        let running: Vec<Child> = BEADS
            .iter()
            .zip(names)
            .map(|((bead, fits), name)| {
                let call = [
                    "fit",
                    "--bead",
                    bead,
                    "--fits",
                    fits,
                    "--remember",
                    "--gauge",
                    name,
                ];
                let mut command = bench.command(&call);
                command
                    .stdout(Stdio::null())
                    .spawn()
                    .expect("the program starts")
            })
            .collect();
        for mut child in running {
            assert!(child.wait().unwrap().success());
        }
        let text = bench.text("home/own.json");
        assert_eq!(
            text.matches("\"pitch_mm\"").count(),
            4,
            "round {round}: {text}"
        );
        assert!(bench.path("a.json").is_symlink(), "{}", bench.listing());
    }
}
