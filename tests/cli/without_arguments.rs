//! `upbead` without arguments: help at a terminal, the desk after a double click.

use crate::common::Bench;
use std::io::{BufRead, BufReader, Read};
use std::process::{Command, Stdio};

/// The program, as a file manager starts it: no arguments, no terminal, here no browser either.
fn started_without_arguments(bench: &Bench) -> Command {
    let mut command = bench.command(&[]);
    command
        .env("PATH", bench.path(""))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

#[test]
fn without_a_terminal_the_desk_opens() {
    let mut child = started_without_arguments(&Bench::new()).spawn().unwrap();
    let mut line = String::new();
    let read = BufReader::new(child.stdout.as_mut().unwrap()).read_line(&mut line);
    let running = child.try_wait().unwrap().is_none();
    child.kill().unwrap();
    child.wait().unwrap();
    read.unwrap();
    assert!(
        line.starts_with("The desk is at http://127.0.0.1:"),
        "{line}"
    );
    assert!(running);
}

/// The controlling side of a pseudo-terminal counts as a terminal too.
#[cfg(target_os = "linux")]
#[test]
fn at_a_terminal_help_is_printed() {
    let terminal = || {
        let open = std::fs::File::options().read(true).write(true).to_owned();
        open.open("/dev/ptmx").unwrap()
    };
    let told = |command: &mut Command| {
        let mut child = command.spawn().unwrap();
        let mut help = String::new();
        if let Some(err) = child.stderr.as_mut() {
            err.read_to_string(&mut help).unwrap();
        }
        assert_eq!(child.wait().unwrap().code(), Some(2), "{help}");
        help
    };
    let bench = Bench::new();
    let typed = told(started_without_arguments(&bench).stdin(terminal()));
    assert!(typed.contains("Usage: upbead <COMMAND>"), "{typed}");
    assert!(typed.contains("Commands:"), "{typed}");
    assert_eq!(
        told(started_without_arguments(&bench).stdout(terminal())),
        typed
    );
    told(started_without_arguments(&bench).stderr(terminal()));
}
