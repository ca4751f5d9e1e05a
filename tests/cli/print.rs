//! `upbead print`: the booklet read back by a reader of its own, which shares no code with the
//! writer.

mod bad_call;
mod colourways;
mod leaves;
mod lengthwise;
mod look;
mod maker;
mod several;
mod size;
mod words;

use crate::common::{Bench, repository};
use crate::pdf::Pdf;
use std::collections::BTreeMap;
use std::fs;
use std::process::Command;
use std::sync::{Arc, Mutex, OnceLock};

const KITTIWAKE: [&str; 19] = [
    "chart",
    "--match",
    "nearest",
    "bird.png",
    "--palette",
    "tin.csv",
    "--columns",
    "11",
    "--rows",
    "74",
    "--place",
    "motif",
    "--position",
    "middle",
    "--ground",
    "quay-58",
    "--colours",
    "5",
    "-o",
];

/// A folder with a ring's chart, `band.json`, and the palette it is made with.
fn ring() -> Bench {
    let bench = Bench::new();
    bench.put(
        "bird.png",
        fs::read(repository("samples/kittiwake.png")).unwrap(),
    );
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    static BAND: OnceLock<Vec<u8>> = OnceLock::new();
    bench.put_once("band.json", &BAND, || {
        bench.run(&[&KITTIWAKE[..], &["band.json"]].concat()).ok();
    });
    bench
}

/// A folder with a panel of 81 by 240 beads in 24 colours, `band.json`.
fn panel() -> Bench {
    let bench = Bench::new();
    bench.put(
        "dusk.jpg",
        fs::read(repository("samples/harbour-dusk.jpg")).unwrap(),
    );
    bench.put(
        "harbour.csv",
        fs::read(repository("palettes/harbour.csv")).unwrap(),
    );
    static BAND: OnceLock<Vec<u8>> = OnceLock::new();
    bench.put_once("band.json", &BAND, || {
        bench
            .run(&[
                "chart",
                "--match",
                "nearest",
                "dusk.jpg",
                "--palette",
                "harbour.csv",
                "--colours",
                "24",
                "--columns",
                "81",
                "--rows",
                "240",
                "-o",
                "band.json",
            ])
            .ok();
    });
    bench
}

/// The booklet of `band.json`. Without options it is printed once for all tests of the same chart.
fn print(bench: &Bench, options: &[&str]) -> Arc<Pdf> {
    static PRINTED: Mutex<BTreeMap<Vec<u8>, Arc<Pdf>>> = Mutex::new(BTreeMap::new());
    let printed = || {
        let call = [&["print", "band.json", "-o", "-"], options].concat();
        Arc::new(Pdf::read(&bench.run(&call).ok().bytes))
    };
    if !options.is_empty() {
        return printed();
    }
    let chart = bench.get("band.json");
    let kept = PRINTED.lock().unwrap().get(&chart).cloned();
    kept.unwrap_or_else(|| {
        let pdf = printed();
        PRINTED.lock().unwrap().insert(chart, pdf.clone());
        pdf
    })
}

/// An open strip of the bird, as `band.json`.
fn strip(bench: &Bench, columns: &str, rows: &str) {
    let call = [
        "chart",
        "--match",
        "nearest",
        "bird.png",
        "--palette",
        "tin.csv",
        "--open",
        "--columns",
        columns,
        "--rows",
        rows,
        "--force",
        "-o",
        "band.json",
    ];
    bench.run(&call).ok();
}

/// What poppler reads in `a.pdf`; none, with a word about it, where it is not installed.
fn pdftotext(bench: &Bench, options: &[&str]) -> Option<String> {
    let call = Command::new("pdftotext")
        .args(options)
        .args(["-enc", "UTF-8"])
        .arg(bench.path("a.pdf"))
        .arg("-")
        .output();
    let Ok(output) = call else {
        eprintln!("pdftotext is not installed: nothing was tested");
        return None;
    };
    Some(String::from_utf8(output.stdout).unwrap())
}
