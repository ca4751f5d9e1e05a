//! Outputs that are links, and standard output by its other name.

#![cfg(unix)]

use crate::common::{Bench, repository};
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    fs::create_dir(bench.path("elsewhere")).unwrap();
    bench
}

const PLAIN: &str = "chart --plain --palette tin.csv --columns 9 --size us7";

#[test]
fn a_link_is_followed_and_stays() {
    let bench = bench();
    bench.put("elsewhere/real.json", "old");
    let mode = fs::Permissions::from_mode(0o640);
    fs::set_permissions(bench.path("elsewhere/real.json"), mode).unwrap();
    symlink("elsewhere/real.json", bench.path("near.json")).unwrap();
    symlink("near.json", bench.path("far.json")).unwrap();
    bench.line(&format!("{PLAIN} -o far.json")).fails(
        1,
        "error: far.json: the file exists\n\
         hint: choose another name, or add --force to replace it",
    );
    bench.line(&format!("{PLAIN} -o far.json --force")).ok();
    assert!(bench.text("elsewhere/real.json").contains("upbead-chart"));
    for link in ["near.json", "far.json"] {
        assert!(bench.path(link).is_symlink(), "{link}");
    }
    let facts = fs::metadata(bench.path("elsewhere/real.json")).unwrap();
    assert_eq!(facts.permissions().mode() & 0o777, 0o640);
    assert_eq!(bench.listing(), "elsewhere far.json near.json tin.csv");
}

#[test]
fn a_link_to_no_file_makes_the_file() {
    let bench = bench();
    symlink("elsewhere/new.json", bench.path("band.json")).unwrap();
    bench.line(&format!("{PLAIN} -o band.json")).ok();
    assert!(bench.path("band.json").is_symlink());
    assert!(bench.text("elsewhere/new.json").contains("upbead-chart"));
    symlink("nowhere/new.json", bench.path("lost.json")).unwrap();
    bench.line(&format!("{PLAIN} -o lost.json")).fails(
        1,
        "error: lost.json: there is no folder 'nowhere'\nhint: make the folder first",
    );
}

#[test]
fn links_in_a_circle_are_refused() {
    let bench = bench();
    symlink("b.json", bench.path("a.json")).unwrap();
    symlink("a.json", bench.path("b.json")).unwrap();
    for force in ["", " --force"] {
        bench.line(&format!("{PLAIN} -o a.json{force}")).fails(
            1,
            "error: a.json: its links lead in a circle\nhint: choose another name",
        );
    }
}

#[test]
fn dev_stdout_is_standard_output_whatever_it_is() {
    let bench = bench();
    bench.line(&format!("{PLAIN} -o band.json")).ok();
    for (call, option) in [
        ("swap band.json --palette tin.csv", "-o"),
        ("show band.json", "--flat"),
        ("weave band.json", "--page"),
        ("print band.json", "-o"),
        (PLAIN, "-o"),
    ] {
        let expected = bench.line(&format!("{call} {option} -")).ok();
        let piped = bench.line(&format!("{call} {option} /dev/stdout")).ok();
        assert!(piped.bytes == expected.bytes, "{}", piped.told());
        assert_eq!(piped.err, expected.err);
        let file = fs::File::create(bench.path("out")).unwrap();
        let call = format!("{call} {option} /dev/stdout");
        let arguments: Vec<&str> = call.split(' ').collect();
        let mut command = bench.command(&arguments);
        let output = command.stdout(file).output().unwrap();
        bench.ended(&arguments, output).ok();
        assert!(bench.get("out") == expected.bytes, "{call}");
    }
}
