//! How the page is opened in a browser: nothing secret is among a program's arguments.

use super::client::Desk;
use crate::common::Bench;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;

/// A program that opens what it is given, as the system's own does, and writes down how it was
/// called.
const OPENER: &str = "#!/bin/sh\nprintf '%s\\n' \"$@\" > called.new\nmv called.new called\n";

/// A desk that opens its page, and the file that the browser was given.
fn launched() -> (Desk, PathBuf) {
    let bench = Bench::new();
    let opener = bench.put("bin/xdg-open", OPENER);
    std::fs::set_permissions(&opener, PermissionsExt::from_mode(0o755)).unwrap();
    let mut command = bench.command(&["desk"]);
    let path = format!("{}:/usr/bin:/bin", opener.parent().unwrap().display());
    command.env("PATH", path);
    let desk = Desk::open_by(bench, command);
    while !desk.bench.path("called").exists() {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    let called = desk.bench.text("called");
    let arguments: Vec<&str> = called.lines().collect();
    let [file] = arguments.as_slice() else {
        panic!("{called}");
    };
    assert!(!file.contains(&desk.token), "{file}");
    let file = PathBuf::from(file);
    (desk, file)
}

fn no_argument_holds(secret: &str) {
    for process in std::fs::read_dir("/proc").unwrap() {
        let arguments = std::fs::read(process.unwrap().path().join("cmdline"));
        let arguments = arguments.unwrap_or_default();
        assert!(!String::from_utf8_lossy(&arguments).contains(secret));
    }
}

#[test]
fn the_browser_is_given_a_private_file_that_goes_once_the_page_is_open() {
    let (desk, file) = launched();
    no_argument_holds(&desk.token);
    let mode = std::fs::metadata(&file).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
    let text = std::fs::read_to_string(&file).unwrap();
    let address = format!("http://127.0.0.1:{}/{}/", desk.port, desk.token);
    assert!(
        text.contains(&format!("content=\"0; url={address}\"")),
        "{text}"
    );
    desk.get("begin").ok();
    assert!(file.exists());
    desk.get("").ok();
    assert!(!file.exists());
}

#[test]
fn the_file_goes_when_the_desk_ends() {
    let (desk, file) = launched();
    assert!(file.exists());
    desk.signal("TERM");
    let (bench, status) = desk.ended_in();
    assert_eq!(status, Some(0));
    assert_eq!(bench.listing(), "bin called");
    assert!(!file.exists());
}

/// To a browser the file is another site.
#[test]
fn another_site_may_open_the_page_and_nothing_else() {
    let desk = Desk::open();
    let asked = |path: &str, to: &str, mode: &str| {
        let head = desk.head("GET", path, 0);
        let fetch = format!(
            "Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: {mode}\r\nSec-Fetch-Dest: {to}\r\n\r\n"
        );
        let head = head.strip_suffix("\r\n").unwrap();
        desk.raw(format!("{head}{fetch}").as_bytes())
    };
    asked("", "document", "navigate").ok().is_guarded();
    for (path, to, mode) in [
        ("begin", "document", "navigate"),
        ("main.js", "document", "navigate"),
        ("", "iframe", "navigate"),
        ("", "empty", "cors"),
        ("", "document", "no-cors"),
    ] {
        asked(path, to, mode).fails(403, "another page sent this request");
    }
}
