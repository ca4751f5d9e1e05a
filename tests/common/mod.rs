//! The harness: the real program in a fresh folder with a cleared environment, and tables with `#`
//! heads.

#![allow(dead_code, clippy::disallowed_methods)]

pub mod hostile;
pub mod huge;
pub mod tray;

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

/// A fresh folder and the program to run in it; the folder goes when this goes.
pub struct Bench {
    folder: tempfile::TempDir,
}

/// How a run ended.
pub struct Run {
    /// Exit status; none if a signal ended it.
    pub status: Option<i32>,
    /// Standard output as text.
    pub out: String,
    /// Standard output as bytes.
    pub bytes: Vec<u8>,
    /// Standard error as text.
    pub err: String,
    told: String,
}

impl Bench {
    /// A fresh, empty folder.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        Self { folder }
    }

    /// A path inside the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Puts a file into the folder.
    pub fn put(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent).expect("a folder in the temporary folder");
        }
        fs::write(&path, bytes).expect("a file in the temporary folder");
        path
    }

    /// A file that is made once for all tests and copied from then on.
    pub fn put_once(&self, name: &str, once: &OnceLock<Vec<u8>>, make: impl FnOnce()) {
        let bytes = once.get_or_init(|| {
            make();
            self.get(name)
        });
        self.put(name, bytes);
    }

    /// The bytes of a file in the folder.
    pub fn get(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap_or_else(|e| panic!("{name}: {e}\n{}", self.listing()))
    }

    /// The text of a file in the folder.
    pub fn text(&self, name: &str) -> String {
        String::from_utf8(self.get(name)).expect("text")
    }

    /// Names of the files in the folder, sorted, hidden ones too.
    pub fn listing(&self) -> String {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .expect("the temporary folder")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .collect();
        names.sort();
        names.join(" ")
    }

    /// The program with these arguments, not started yet: cleared environment, home in the folder.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_upbead"));
        command
            .args(arguments)
            .current_dir(self.folder.path())
            .env_clear()
            .env("HOME", self.folder.path())
            .stdin(Stdio::null());
        command
    }

    /// Runs the program.
    pub fn run(&self, arguments: &[&str]) -> Run {
        let output = self
            .command(arguments)
            .output()
            .expect("the program starts");
        self.ended(arguments, output)
    }

    /// Runs the program on arguments without blanks, written as one line.
    pub fn line(&self, arguments: &str) -> Run {
        self.run(&arguments.split(' ').collect::<Vec<_>>())
    }

    /// Runs the program with something on its standard input.
    pub fn run_with(&self, arguments: &[&str], input: &[u8]) -> Run {
        let mut child = self
            .command(arguments)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut pipe = child.stdin.take().expect("its input");
        let input = input.to_vec();
        let feeder = std::thread::spawn(move || drop(pipe.write_all(&input)));
        let output = child.wait_with_output().expect("the program ends");
        feeder.join().expect("the feeder ends");
        self.ended(arguments, output)
    }

    /// What a finished run said, for commands started by hand.
    pub fn ended(&self, arguments: &[&str], output: Output) -> Run {
        let out = String::from_utf8_lossy(&output.stdout).into_owned();
        let err = String::from_utf8_lossy(&output.stderr).into_owned();
        let told = format!(
            "upbead {}\nfolder: {}\nstatus: {}\n--- out\n{}\n--- err\n{err}",
            arguments.join(" "),
            self.listing(),
            output.status,
            &out.chars().take(4000).collect::<String>(),
        );
        Run {
            status: output.status.code(),
            out,
            bytes: output.stdout,
            err,
            told,
        }
    }
}

impl Run {
    /// Asserts success and hands the run on.
    #[track_caller]
    pub fn ok(self) -> Self {
        assert_eq!(self.status, Some(0), "{}", self.told);
        self
    }

    /// Asserts that the run failed with this status and exactly this error, and printed no result.
    #[track_caller]
    pub fn fails(self, status: i32, error: &str) -> Self {
        assert_eq!(self.status, Some(status), "{}", self.told);
        assert_eq!(self.err.trim_end(), error, "{}", self.told);
        assert_eq!(self.out, "", "{}", self.told);
        self
    }

    /// Asserts that the run failed with this status and an error that begins so, and printed no
    /// result.
    #[track_caller]
    pub fn fails_with(self, status: i32, error: &str) -> Self {
        assert_eq!(self.status, Some(status), "{}", self.told);
        assert!(self.err.starts_with(error), "{error}\n{}", self.told);
        assert_eq!(self.out, "", "{}", self.told);
        self
    }

    /// Standard output as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("{e}\n{}", self.told))
    }

    /// Everything about the run, for a failing assertion.
    pub fn told(&self) -> &str {
        &self.told
    }
}

/// Holds what a verb prints with `--json` against the schema that `upbead schema --of` prints.
#[track_caller]
pub fn valid(document: &serde_json::Value, of: &str) {
    let schema = Bench::new().run(&["schema", "--of", of]).ok().json();
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    let validator = jsonschema::validator_for(&schema).expect("the schema compiles");
    if let Err(error) = validator.validate(document) {
        panic!("{error}\n{document:#}");
    }
}

/// A path in the repository.
pub fn repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The rows of a CSV under `tests/data` whose head lines start with `#`, each as a map from column
/// to cell.
pub fn table(name: &str) -> Vec<std::collections::BTreeMap<String, String>> {
    let path = repository("tests/data").join(name);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let heads = reader.headers().expect("heads").clone();
    let rows: Vec<_> = reader
        .records()
        .map(|record| {
            let record = record.expect("a row");
            heads
                .iter()
                .map(String::from)
                .zip(record.iter().map(String::from))
                .collect()
        })
        .collect();
    assert!(!rows.is_empty(), "test file is broken: {name} has no rows");
    rows
}

/// The number in a cell of a row of [`table`].
#[track_caller]
pub fn number(row: &std::collections::BTreeMap<String, String>, column: &str) -> f64 {
    let cell = &row[column];
    cell.parse()
        .unwrap_or_else(|_| panic!("test file is broken: {column} is '{cell}'"))
}

/// Compares with `tests/golden/NAME`. Under `UPBEAD_BLESS=1` the file is written and the test
/// fails, so that a person looks at it.
#[track_caller]
pub fn golden(name: &str, actual: &[u8]) {
    let path = repository("tests/golden").join(name);
    if std::env::var_os("UPBEAD_BLESS").is_some() {
        fs::create_dir_all(path.parent().expect("a folder")).expect("the golden folder");
        fs::write(&path, actual).expect("the golden file");
        panic!("{name} was written: look at it, then run again without UPBEAD_BLESS");
    }
    let expected =
        fs::read(&path).unwrap_or_else(|e| panic!("{name}: {e}; UPBEAD_BLESS=1 writes it"));
    if expected != actual {
        let aside = repository("target/golden-actual").join(name);
        fs::create_dir_all(aside.parent().expect("a folder")).expect("a folder in target");
        fs::write(&aside, actual).expect("the actual file");
        panic!("{name} differs; the actual output is in target/golden-actual/{name}");
    }
}

/// Compares a picture with `tests/golden/NAME` as the eye does: sizes are equal, and the mean
/// CIEDE2000 of all pixels is at most `most`. Blessed as [`golden`].
#[track_caller]
pub fn golden_picture(name: &str, actual: &[u8], most: f64) {
    use upbead::colour::{Srgb8, ciede2000, lab, light};
    let path = repository("tests/golden").join(name);
    if std::env::var_os("UPBEAD_BLESS").is_some() {
        golden(name, actual);
    }
    let expected =
        fs::read(&path).unwrap_or_else(|e| panic!("{name}: {e}; UPBEAD_BLESS=1 writes it"));
    let open = |bytes: &[u8]| image::load_from_memory(bytes).expect("a picture").to_rgb8();
    let (one, other) = (open(&expected), open(actual));
    assert_eq!(one.dimensions(), other.dimensions(), "{name}");
    let tone = |p: &image::Rgb<u8>| lab(light(Srgb8::new(p[0], p[1], p[2])));
    let off: f64 = one
        .pixels()
        .zip(other.pixels())
        .map(|(a, b)| ciede2000(tone(a), tone(b)))
        .sum();
    let off = off / f64::from(one.width() * one.height());
    if off > most {
        let aside = repository("target/golden-actual").join(name);
        fs::create_dir_all(aside.parent().expect("a folder")).expect("a folder in target");
        fs::write(&aside, actual).expect("the actual file");
        panic!("{name} differs by {off:.2}; the actual picture is in target/golden-actual/{name}");
    }
}
