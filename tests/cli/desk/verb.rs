//! The verb itself: its arguments, its port, its browser.

use super::client::Desk;
use crate::common::Bench;

#[test]
fn wrong_arguments_are_refused_before_the_desk_opens() {
    let bench = Bench::new();
    bench.put("bad.json", "{}");
    bench.put("bad.csv", "code,name,hex\na,kelp,kelp\n");
    bench.put("latin.csv", b"code,name,hex\na,d\xffne,AABBCC\n");
    let fails = |arguments: &[&str], error: &str| {
        bench
            .run(&[&["desk", "--no-open"], arguments].concat())
            .fails(1, error);
    };
    fails(
        &["bad.json"],
        "error: bad.json:1:1: this is not a chart: it has no 'format'\n\
         hint: name a chart file, as `upbead chart` writes it",
    );
    fails(
        &["none.json"],
        "error: none.json: cannot read: no such file or directory\n\
         hint: check the spelling and the folder",
    );
    fails(
        &["--palette", "bad.csv"],
        "error: bad.csv:2:8: 'kelp' is not a colour\nhint: write six hex digits, such as 2F5D50",
    );
    fails(
        &["--palette", "latin.csv"],
        "error: latin.csv:2:4: the text is not UTF-8\nhint: save the file as UTF-8",
    );
    bench.run(&["desk", "-", "--palette", "-"]).fails(
        2,
        "error: --palette: chart and palette cannot both come from standard input\n\
         hint: name a file for one of them",
    );
    for port in ["0", "65536", "-1", "http"] {
        let run = bench.run(&["desk", "--port", port]);
        assert_eq!(run.status, Some(2), "{}", run.told());
        assert!(
            run.err.contains("give a whole number from 1 to 65535"),
            "{}",
            run.told()
        );
    }
}

#[test]
fn a_port_that_was_asked_for_is_used_or_the_error_names_it() {
    let free = std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = free.local_addr().unwrap().port();
    drop(free);
    let typed = port.to_string();
    let desk = Desk::open_with(Bench::new(), &["--port", &typed]);
    assert_eq!(desk.port, port);
    desk.bench
        .run(&["desk", "--no-open", "--port", &typed])
        .fails(
            1,
            &format!(
                "error: port {port} cannot be used\n\
                 hint: name another with --port, or leave it out for a free one"
            ),
        );
    // Loopback only: no other address of this machine answers.
    let others = std::process::Command::new("hostname").arg("-I").output();
    let others = others.map_or(String::new(), |out| {
        String::from_utf8_lossy(&out.stdout).into_owned()
    });
    for address in others
        .split_whitespace()
        .filter_map(|word| word.parse().ok())
    {
        let address = std::net::SocketAddr::new(address, port);
        assert!(std::net::TcpStream::connect(address).is_err(), "{address}");
    }
}

/// Where no browser can be opened, the address is still there to be typed.
#[cfg(unix)]
#[test]
fn without_a_browser_the_desk_stays_open() {
    use std::io::{BufRead, BufReader};
    use std::process::{Command, Stdio};
    let bench = Bench::new();
    let mut child = bench
        .command(&["desk"])
        .env("PATH", bench.path(""))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stderr.as_mut().unwrap())
        .read_line(&mut line)
        .unwrap();
    assert_eq!(
        line,
        "note: no browser could be opened; open that address in one\n"
    );
    assert!(child.try_wait().unwrap().is_none());
    let sent = Command::new("kill")
        .args(["-TERM", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(sent.success() && child.wait().unwrap().success());
}
