//! Journeys in a real browser: starts `node --test` here, if there is a browser to start.
//!
//! A machine without Node, its packages (`npm ci` in this folder) or chromium leaves them out and
//! says so. With `UPBEAD_BROWSER=needed` that is a failure; with `UPBEAD_BROWSER=beside` they are
//! left out because they run at the same time: `.ci/run` does both.

#![allow(clippy::expect_used)]

use std::path::Path;
use std::process::{Command, ExitCode, Stdio};

fn main() -> ExitCode {
    // A filter that does not name these tests asks for others; so does a list.
    let mut arguments = std::env::args().skip(1);
    let filter = arguments.find(|argument| !argument.starts_with("--"));
    let listed = std::env::args().any(|argument| argument == "--list");
    if listed || filter.is_some_and(|filter| !"browser".contains(&filter)) {
        return ExitCode::SUCCESS;
    }
    let wanted = std::env::var("UPBEAD_BROWSER").unwrap_or_default();
    if wanted == "beside" {
        println!("browser tests run beside these");
        return ExitCode::SUCCESS;
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser");
    match missing(&folder) {
        Some(missing) if wanted == "needed" => {
            eprintln!("browser tests cannot run: {missing}");
            ExitCode::FAILURE
        }
        Some(missing) => {
            println!("browser tests are left out: {missing}");
            ExitCode::SUCCESS
        }
        None => journeys(&folder),
    }
}

/// What the journeys need and the machine does not have.
fn missing(folder: &Path) -> Option<&'static str> {
    if !starts("node") {
        return Some("there is no node");
    }
    if !folder.join("node_modules/playwright-core").is_dir() {
        return Some("their packages are not there; run npm ci in tests/browser");
    }
    let has_browser = starts("chromium-headless-shell") || starts("chromium");
    (!has_browser).then_some("there is no chromium")
}

fn starts(program: &str) -> bool {
    let version = Command::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    version.is_ok_and(|status| status.success())
}

fn journeys(folder: &Path) -> ExitCode {
    let status = Command::new("node")
        .args(["--test", "--test-reporter=spec", "--test-concurrency=3"])
        .current_dir(folder)
        .env("UPBEAD", env!("CARGO_BIN_EXE_upbead"))
        .status()
        .expect("node starts");
    if status.success() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
