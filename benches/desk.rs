//! From a change to the answer, by a desk that is open and by the command line; and the desk's
//! memory after many changes.
//!
//! The desk must answer within 100 ms for a ring and 500 ms for a panel of 81 x 240. Give a number
//! of changes to replay: `cargo bench --bench desk -- 2000`.

#![allow(clippy::unwrap_used)]

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Instant;

/// A running desk.
struct Desk {
    child: Child,
    address: String,
    token: String,
}

impl Desk {
    fn open() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_upbead"))
            .args(["desk", "--no-open"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.as_mut().unwrap());
        out.read_line(&mut line).unwrap();
        let (_, rest) = line.trim().split_once("http://").unwrap();
        let (address, token) = rest.trim_end_matches('/').split_once('/').unwrap();
        let (address, token) = (address.to_string(), token.to_string());
        Self {
            child,
            address,
            token,
        }
    }

    fn post(&self, path: &str, body: &[u8]) -> Vec<u8> {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        let head = format!(
            "POST /{}/{path} HTTP/1.1\r\n\
             Host: {}\r\n\
             Content-Length: {}\r\n\
             Connection: close\r\n\
             \r\n",
            self.token,
            self.address,
            body.len()
        );
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        assert!(
            answer.starts_with(b"HTTP/1.1 200"),
            "{}",
            String::from_utf8_lossy(&answer)
        );
        let end = answer
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap();
        answer.split_off(end + 4)
    }

    fn ask(&self, path: &str, body: &Value) -> Value {
        serde_json::from_slice(&self.post(path, body.to_string().as_bytes())).unwrap()
    }

    /// Megabytes in use, where the system tells.
    fn memory(&self) -> Option<f64> {
        let path = format!("/proc/{}/status", self.child.id());
        let status = std::fs::read_to_string(path).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
        Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1000.0)
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// In milliseconds: the median, and the 95th of a hundred.
#[derive(Clone, Copy)]
struct Times {
    median: f64,
    high: f64,
}

fn spread(mut times: Vec<f64>) -> Times {
    times.sort_by(f64::total_cmp);
    Times {
        median: times[times.len() / 2],
        high: times[times.len() * 95 / 100],
    }
}

fn timed(rounds: usize, mut work: impl FnMut(usize)) -> Times {
    let times = (0..rounds).map(|at| {
        let begun = Instant::now();
        work(at);
        begun.elapsed().as_secs_f64() * 1000.0
    });
    spread(times.collect())
}

fn main() {
    let replayed: usize = std::env::args()
        .find_map(|word| word.parse().ok())
        .unwrap_or(400);
    let desk = Desk::open();
    let picture = std::fs::read(repository("samples/harbour-dusk.jpg")).unwrap();
    let palette = std::fs::read(repository("palettes/harbour.csv")).unwrap();
    let picture = desk_id(&desk, "picture?name=harbour-dusk.jpg", &picture);
    let palette = desk_id(&desk, "palette?name=harbour.csv", &palette);
    let wish = |columns: usize, rows: usize, strength: f64| {
        json!({ "picture": picture, "palette": { "id": palette }, "columns": columns, "rows": rows,
            "colours": 8, "dither": "diffuse", "strength": strength })
    };
    println!("                     p50 ms   p95 ms   command line / desk");
    let mut texts = Vec::new();
    for (name, columns, rows, rounds) in
        [("ring 9 x 74", 9, 74, 100), ("panel 81 x 240", 81, 240, 30)]
    {
        let mut text = Value::Null;
        let charted = timed(rounds, |at| {
            let strength = (at % 90 + 1) as f64 / 100.0;
            let told = desk.ask(
                &format!("chart?lane=bench-{columns}&n={at}"),
                &wish(columns, rows, strength),
            );
            text = told["text"].clone();
        });
        let plain = timed(rounds.min(20), |at| command_line(columns, rows, at));
        line(&format!("{name}, chart"), charted, Some(plain.median));
        let facts = json!({ "chart": text, "palette": { "id": palette } });
        line(
            &format!("{name}, facts"),
            timed(rounds, |_| drop(desk.ask("facts", &facts))),
            None,
        );
        texts.push(text);
    }
    motif(&desk);
    let before = desk.memory();
    let begun = Instant::now();
    for at in 0..replayed {
        let chart = edited(texts[0].as_str().unwrap(), at);
        match at % 10 {
            0 => drop(desk.ask("chart", &wish(9 + at % 7, 60 + 2 * (at % 20), 0.5))),
            1 => drop(desk.post(
                "export?kind=svg",
                json!({ "chart": chart }).to_string().as_bytes(),
            )),
            2 => drop(desk.ask("export?kind=weave-json", &json!({ "chart": chart }))),
            _ => drop(desk.ask(
                "facts",
                &json!({ "chart": chart, "palette": { "id": palette } }),
            )),
        }
    }
    let passed = begun.elapsed().as_secs_f64();
    if let (Some(before), Some(after)) = (before, desk.memory()) {
        println!(
            "{replayed} changes in {passed:.1} s: memory {before:.0} MB before, {after:.0} MB after"
        );
    }
}

/// A motif on a ring: its seat is looked for first, and remembered while only the title changes.
fn motif(desk: &Desk) {
    let picture = std::fs::read(repository("samples/kittiwake.png")).unwrap();
    let palette = std::fs::read(repository("palettes/tin.csv")).unwrap();
    let picture = desk_id(desk, "picture?name=kittiwake.png", &picture);
    let palette = desk_id(desk, "palette?name=tin.csv", &palette);
    let chart = |crisp: f64, title: usize| {
        let wish = json!({
            "picture": picture,
            "palette": { "id": palette },
            "columns": 11,
            "rows": 74,
            "place": "motif",
            "ground": "quay-58",
            "colours": 5,
            "crisp": crisp,
            "title": format!("gull {title}"),
        });
        drop(desk.ask("chart", &wish));
    };
    // Each strength asks for a seat of its own.
    let first = timed(20, |at| chart(0.5 + at as f64 / 100.0, 0));
    chart(0.6, 0);
    let again = timed(100, |at| chart(0.6, at));
    line("motif, first", first, None);
    line("motif, its seat known", again, None);
    println!("{:60.1} first / known", first.median / again.median);
}

fn line(name: &str, times: Times, plain: Option<f64>) {
    let Times { median, high } = times;
    let ratio = plain.map_or(String::new(), |plain| format!("{:8.1}", plain / median));
    println!("{name:20} {median:7.1}  {high:7.1}  {ratio}");
}

fn desk_id(desk: &Desk, path: &str, bytes: &[u8]) -> String {
    let told: Value = serde_json::from_slice(&desk.post(path, bytes)).unwrap();
    told["id"].as_str().unwrap().to_string()
}

/// The same chart by starting the program.
fn command_line(columns: usize, rows: usize, at: usize) {
    let strength = format!("{}", (at % 90 + 1) as f64 / 100.0);
    let status = Command::new(env!("CARGO_BIN_EXE_upbead"))
        .arg("chart")
        .arg(repository("samples/harbour-dusk.jpg"))
        .arg("--palette")
        .arg(repository("palettes/harbour.csv"))
        .args([
            "--columns",
            &columns.to_string(),
            "--rows",
            &rows.to_string(),
        ])
        .args([
            "--colours",
            "8",
            "--dither",
            "diffuse",
            "--strength",
            &strength,
        ])
        .args(["-o", "-"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    assert!(status.success());
}

/// One bead of row 1 in another colour.
fn edited(text: &str, at: usize) -> String {
    let (before, rows) = text.split_once("\"rows\": [\n    [").unwrap();
    let (_, rest) = rows.split_once(',').unwrap();
    format!("{before}\"rows\": [\n    [{},{rest}", at % 4)
}
