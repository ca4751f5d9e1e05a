//! `upbead chart`: helpers, and what holds for every sample; the rest is in the modules.

mod bad_call;
mod bad_output;
mod bad_picture;
mod bad_svg;
mod colours;
mod crafted;
mod golden;
mod hostile_svg;
mod mirror;
mod odd;
mod outputs;
mod place;
mod plain;
mod reading;
mod ring;
mod same_bytes;

use crate::common::{Bench, Run, repository};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::sync::OnceLock;

/// A fresh folder with these samples and palettes in it.
fn bench(files: &[&str]) -> Bench {
    let bench = Bench::new();
    for name in files {
        let folder = if name.ends_with(".csv") {
            "palettes"
        } else {
            "samples"
        };
        let path = repository(folder).join(name);
        bench.put(name, fs::read(&path).expect("a sample or a palette"));
    }
    bench
}

/// Charts `picture` in the twelve colours of the tin into `band.json`, replacing it, and reads it.
#[track_caller]
fn charted(bench: &Bench, picture: &str, options: &[&str]) -> Chart {
    chart(bench, picture, options).ok();
    Chart::read(bench, "band.json")
}

/// The call of [`charted`], ended as it may.
fn chart(bench: &Bench, picture: &str, options: &[&str]) -> Run {
    let call = [
        "chart",
        "--match",
        "nearest",
        picture,
        "--palette",
        "tin.csv",
    ];
    bench.run(&[&call[..], &["-o", "band.json", "--force"], options].concat())
}

/// A picture of so many pixels, each as a function of its place says.
pub fn painted(width: u32, height: u32, colour: impl Fn(u32, u32) -> [u8; 4]) -> Vec<u8> {
    let pixels = image::RgbaImage::from_fn(width, height, |x, y| image::Rgba(colour(x, y)));
    let mut bytes = std::io::Cursor::new(Vec::new());
    pixels
        .write_to(&mut bytes, image::ImageFormat::Png)
        .expect("a PNG");
    bytes.into_inner()
}

/// Two colours of the tin, and nothing.
const WHITE: [u8; 4] = [0xFA, 0xFA, 0xF6, 255];
const BLACK: [u8; 4] = [0x11, 0x11, 0x11, 255];
const CLEAR: [u8; 4] = [0, 0, 0, 0];

/// A chart file, read by a few lines of its own: valid by the schema, its rows as codes.
#[derive(Debug, PartialEq)]
struct Chart {
    value: Value,
    columns: usize,
    /// Row 1 first, in column order.
    rows: Vec<Vec<String>>,
}

impl Chart {
    #[track_caller]
    fn read(bench: &Bench, name: &str) -> Self {
        Self::of(&bench.text(name))
    }

    #[track_caller]
    fn of(text: &str) -> Self {
        let value: Value = serde_json::from_str(text).expect("JSON");
        let faults: Vec<String> = schema()
            .iter_errors(&value)
            .map(|e| e.to_string())
            .collect();
        assert!(faults.is_empty(), "{faults:#?}\n{text}");
        let columns = value["columns"].as_u64().expect("columns") as usize;
        let codes: Vec<&str> = list(&value["colours"])
            .iter()
            .map(|colour| colour["code"].as_str().expect("a code"))
            .collect();
        let rows: Vec<Vec<String>> = list(&value["rows"])
            .iter()
            .map(|row| {
                let beads = list(row).iter();
                beads
                    .map(|at| codes[at.as_u64().expect("a place") as usize].to_string())
                    .collect()
            })
            .collect();
        for (at, row) in rows.iter().enumerate() {
            // Row 1 fills columns 1, 3, 5; row 2 fills 2, 4, 6.
            let beads = (columns + 1 - at % 2) / 2;
            assert_eq!(row.len(), beads, "row {}", at + 1);
        }
        let used: BTreeSet<&str> = rows.iter().flatten().map(String::as_str).collect();
        assert_eq!(used.len(), codes.len(), "a colour is listed but not used");
        Self {
            value,
            columns,
            rows,
        }
    }

    /// The code of a bead, counted from 1; none where no bead lies.
    fn at(&self, row: usize, column: usize) -> Option<&str> {
        if row % 2 != column % 2 {
            return None;
        }
        let code = self.rows.get(row - 1)?.get((column - 1) / 2)?;
        Some(code)
    }

    /// Every bead of these columns.
    fn of_columns(&self, columns: impl Iterator<Item = usize> + Clone) -> BTreeSet<&str> {
        (1..=self.rows.len())
            .flat_map(|row| {
                columns
                    .clone()
                    .filter_map(move |column| self.at(row, column))
            })
            .collect()
    }

    fn codes(&self) -> BTreeSet<&str> {
        self.of_columns(1..=self.columns)
    }

    fn option(&self, name: &str) -> Option<&str> {
        self.value["made"]["options"][name].as_str()
    }
}

#[track_caller]
fn list(value: &Value) -> &Vec<Value> {
    value.as_array().expect("a list")
}

/// What `upbead schema` prints, compiled by another program's hand.
fn schema() -> &'static jsonschema::Validator {
    static SCHEMA: OnceLock<jsonschema::Validator> = OnceLock::new();
    SCHEMA.get_or_init(|| {
        let schema = Bench::new().run(&["schema"]).ok().json();
        jsonschema::validator_for(&schema).expect("a schema")
    })
}

#[test]
fn every_sample_becomes_a_chart_with_every_palette() {
    let samples: Vec<String> = samples();
    let mut names: Vec<&str> = samples.iter().map(String::as_str).collect();
    names.extend(["tin.csv", "shelf.csv", "harbour.csv"]);
    let bench = bench(&names);
    for picture in &samples {
        for palette in ["tin.csv", "shelf.csv", "harbour.csv"] {
            let call = [
                "chart",
                "--match",
                "nearest",
                picture,
                "--palette",
                palette,
                "--size",
                "us7",
            ];
            let run = bench
                .run(&[&call[..], &["-o", "band.json", "--force"]].concat())
                .ok();
            let read = Chart::read(&bench, "band.json");
            assert_eq!((read.columns, read.rows.len()), (9, 72), "{}", run.told());
            assert_eq!(read.value["made"]["source"], picture.as_str());
        }
    }
}

/// The names of all samples.
fn samples() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(repository("samples"))
        .expect("the samples")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| {
            [".png", ".jpg", ".svg"]
                .iter()
                .any(|ending| name.ends_with(ending))
        })
        .collect();
    names.sort();
    assert!(names.len() >= 10, "the samples are gone: {names:?}");
    names
}

#[test]
fn a_chart_says_how_it_was_made() {
    use sha2::Digest;
    let bench = bench(&["tin.csv"]);
    let picture = painted(36, 240, |x, _| if x < 18 { WHITE } else { BLACK });
    bench.put("halves.png", &picture);
    // The digest of a text that FIPS 180-4's examples give, so that the other one is not taken on
    // trust.
    let known = sha2::Sha256::digest(b"abc");
    assert_eq!(
        hex(&known),
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
    let read = charted(&bench, "halves.png", &["--rows", "74"]);
    let made = &read.value["made"];
    assert_eq!(made["source"], "halves.png");
    assert_eq!(made["sha256"], hex(&sha2::Sha256::digest(&picture)));
    assert_eq!(made["version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(read.option("palette"), Some("tin"));
    assert_eq!(read.option("rotate"), Some("0"));
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn the_options_that_a_chart_records_make_it_again() {
    let bench = bench(&["tin.csv", "kittiwake.png"]);
    let options = [
        "--rows",
        "74",
        "--place",
        "repeat:3",
        "--rotate",
        "90",
        "--scaling",
        "contain",
        "--crop",
        "10,20,400,600",
        "--margin",
        "1",
        "--ground",
        "quay-58",
        "--colours",
        "5",
        "--keep",
        "quay-11",
        "--without",
        "quay-04",
        "--dither",
        "mask",
        "--strength",
        "0.75",
        "--mirror",
        "columns",
    ];
    let first = charted(&bench, "kittiwake.png", &options);
    let mut again = vec!["--rows".to_string(), "74".to_string()];
    for (name, value) in first.value["made"]["options"].as_object().expect("options") {
        if !name.starts_with("palette") {
            again.extend([
                format!("--{name}"),
                value.as_str().expect("text").to_string(),
            ]);
        }
    }
    let again: Vec<&str> = again.iter().map(String::as_str).collect();
    assert_eq!(again.len(), options.len(), "{again:?}");
    assert_eq!(charted(&bench, "kittiwake.png", &again), first);
}
