//! The `upbead` program: parse, run, print the error, return the status.

use std::process::ExitCode;

fn main() -> ExitCode {
    upbead::cli::main(std::env::args_os())
}
