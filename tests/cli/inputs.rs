//! No verb writes over a file that it reads, under whatever name, with `--force` too.

#![cfg(unix)]

use crate::common::{Bench, repository};
use std::fs;
use std::process::Stdio;

const FILES: [&str; 6] = [
    "rows.txt",
    "band.json",
    "tide-line.png",
    "tin.csv",
    "gauge.json",
    "tray.jpg",
];

/// Call with `IN` for an input and `OUT` for the output, the input, the output, the option named.
const CALLS: [(&str, &str, &str, &str); 24] = [
    (
        "chart IN --palette tin.csv --size us7 -o OUT",
        "tide-line.png",
        "out.json",
        "-o",
    ),
    (
        "chart tide-line.png --palette IN --size us7 -o OUT",
        "tin.csv",
        "out.json",
        "-o",
    ),
    (
        "chart tide-line.png --palette tin.csv --size us7 --gauge IN -o OUT",
        "gauge.json",
        "out.json",
        "-o",
    ),
    (
        "chart IN --palette tin.csv --size us7 --preview OUT",
        "tide-line.png",
        "out.png",
        "--preview",
    ),
    (
        "chart tide-line.png --palette IN --size us7 --preview OUT",
        "tin.csv",
        "out.svg",
        "--preview",
    ),
    (
        "propose IN --palette tin.csv --size us7 -o OUT",
        "tide-line.png",
        "out.png",
        "-o",
    ),
    (
        "propose tide-line.png --palette IN --size us7 --take 1 -o OUT",
        "tin.csv",
        "out.json",
        "-o",
    ),
    (
        "propose tide-line.png --palette tin.csv --gauge IN --size us7 -o OUT",
        "gauge.json",
        "out.png",
        "-o",
    ),
    (
        "refine IN --picture tide-line.png -o OUT",
        "band.json",
        "out.json",
        "-o",
    ),
    (
        "refine band.json --picture IN -o OUT",
        "tide-line.png",
        "out.json",
        "-o",
    ),
    (
        "refine band.json --picture tide-line.png --palette IN -o OUT",
        "tin.csv",
        "out.json",
        "-o",
    ),
    ("show IN --flat OUT", "band.json", "out.png", "--flat"),
    ("show IN --ring OUT", "band.json", "out.png", "--ring"),
    (
        "show IN --turntable OUT",
        "band.json",
        "out.png",
        "--turntable",
    ),
    ("show IN --seen 700 OUT", "band.json", "out.png", "--seen"),
    ("weave IN --page OUT", "band.json", "out.html", "--page"),
    ("print IN -o OUT", "band.json", "out.pdf", "-o"),
    (
        "print band.json --palette IN -o OUT",
        "tin.csv",
        "out.pdf",
        "-o",
    ),
    (
        "print band.json --picture IN -o OUT",
        "tide-line.png",
        "out.pdf",
        "-o",
    ),
    (
        "swap IN --palette tin.csv -o OUT",
        "band.json",
        "out.json",
        "-o",
    ),
    (
        "swap band.json --palette IN -o OUT",
        "tin.csv",
        "out.json",
        "-o",
    ),
    (
        "read IN --palette tin.csv -o OUT",
        "rows.txt",
        "out.json",
        "-o",
    ),
    (
        "read rows.txt --palette IN -o OUT",
        "tin.csv",
        "out.json",
        "-o",
    ),
    ("palette from-photo IN -o OUT", "tray.jpg", "out.csv", "-o"),
];

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put(
        "rows.txt",
        "Rows 1 & 2: 5 sandbar\nR3: 3 sandbar\nR4: 2 sandbar\n",
    );
    for (folder, name) in [
        ("samples", "tide-line.png"),
        ("samples", "tray.jpg"),
        ("palettes", "tin.csv"),
    ] {
        bench.put(name, fs::read(repository(folder).join(name)).unwrap());
    }
    bench
        .line("fit --fits 74=us7 --remember --gauge gauge.json")
        .ok();
    bench
        .line("chart tide-line.png --palette tin.csv --size us7 -o band.json")
        .ok();
    bench
}

fn contents(bench: &Bench) -> Vec<Vec<u8>> {
    FILES.iter().map(|name| bench.get(name)).collect()
}

#[test]
fn no_verb_replaces_its_input_by_name_link_or_hard_link() {
    let bench = bench();
    let before = contents(&bench);
    for (call, input, output, option) in CALLS {
        for way in ["its own name", "a link", "a hard link"] {
            let (from, to) = (bench.path(input), bench.path(output));
            let read = match way {
                "a link" => std::os::unix::fs::symlink(input, &to).map(|()| input),
                "a hard link" => fs::hard_link(&from, &to).map(|()| input),
                _ => fs::copy(&from, &to).map(|_| output),
            };
            let read = read.unwrap();
            let other = format!("./{output}");
            let call = call.replace("IN", read).replace("OUT", &other) + " --force";
            bench.line(&call).fails_with(
                2,
                &format!("error: {option}: '{read}' is read and cannot be written over\n"),
            );
            assert!(fs::read(&to).unwrap() == fs::read(&from).unwrap(), "{call}");
            fs::remove_file(to).unwrap();
        }
    }
    assert!(contents(&bench) == before);
}

#[test]
fn no_other_size_replaces_its_chart_or_its_gauge() {
    let bench = bench();
    let before = contents(&bench);
    for input in ["band.json", "gauge.json"] {
        fs::hard_link(bench.path(input), bench.path("band-us8.json")).unwrap();
        bench
            .line("resize band.json --sizes us7,us8 --nearest --gauge gauge.json -o . --force")
            .fails(
                2,
                &format!(
                    "error: -o: '{input}' is read and cannot be written over\n\
                     hint: name another folder"
                ),
            );
        fs::remove_file(bench.path("band-us8.json")).unwrap();
    }
    assert!(contents(&bench) == before);
    assert!(!bench.path("band-us7.json").exists());
}

#[test]
fn the_gauge_that_is_always_read_is_no_output() {
    let bench = bench();
    bench.line("fit --fits 74=us7 --remember").ok();
    let kept = ".config/upbead/gauge.json";
    let before = bench.get(kept);
    let gauge = bench.path(kept);
    let gauge = gauge.to_str().unwrap();
    let call = "chart tide-line.png --palette tin.csv --size us7 --force -o";
    let error = format!("error: -o: '{gauge}' is read and cannot be written over\n");
    bench.line(&format!("{call} {kept}")).fails_with(2, &error);
    assert!(bench.get(kept) == before);
}

#[test]
fn a_standard_stream_that_is_the_input_is_no_output() {
    let bench = bench();
    let before = contents(&bench);
    let open = |name| {
        fs::OpenOptions::new()
            .read(true)
            .append(true)
            .open(bench.path(name))
            .unwrap()
    };
    let refused = |call: &str, stdin: Stdio, stdout: Stdio| {
        let call: Vec<&str> = call.split(' ').collect();
        let output = bench
            .command(&call)
            .stdin(stdin)
            .stdout(stdout)
            .output()
            .unwrap();
        bench.ended(&call, output)
    };
    refused(
        "show - --flat band.json.svg",
        open("band.json").into(),
        Stdio::piped(),
    )
    .ok();
    fs::hard_link(bench.path("band.json"), bench.path("band.svg")).unwrap();
    let call = "show - --flat band.svg --force";
    refused(call, open("band.json").into(), Stdio::piped())
        .fails_with(2, "error: --flat: '-' is read and cannot be written over\n");
    let call = "swap band.json --palette tin.csv -o -";
    refused(call, Stdio::null(), open("band.json").into()).fails_with(
        2,
        "error: -o: 'band.json' is read and cannot be written over\n",
    );
    assert!(contents(&bench) == before);
}
