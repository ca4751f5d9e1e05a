//! The command line: what was typed becomes checked options, the library does the work, the answer
//! is printed.

mod beside;
mod chart;
mod check;
mod compare;
mod desk;
mod fit;
mod flip;
mod kit;
mod manual;
mod mend;
mod palette;
mod print;
mod progress;
mod propose;
mod read;
mod refine;
mod repeat;
mod resize;
mod schema;
mod set;
mod shift;
mod show;
mod swap;
mod weave;

use crate::chart::Chart;
use crate::desk::{EXPORT, serve_export};
use crate::error::{Error, Result};
use crate::files::{self, Target};
use crate::picture::{DRAW, Decoding, Drawer, serve_drawing};
use crate::pipeline::Source;
use crate::words::{shortened, shown};
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Parser, Subcommand};
use std::ffi::OsString;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// From a picture to a peyote-stitch ring that fits, in beads you own.
#[derive(Debug, Parser)]
#[command(
    name = "upbead",
    version,
    about,
    max_term_width = 100,
    disable_help_subcommand = true,
    after_help = "`upbead VERB --help` teaches a verb. Start with:\n  \
        upbead chart picture.png --palette colours.csv --columns 9 --size us7 -o band.json \
        --preview band.png"
)]
struct Call {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Turn pictures into charts of bands
    #[command(long_about = chart::LONG_ABOUT)]
    Chart(Box<chart::Args>),
    /// Show several ways to chart a picture
    #[command(long_about = propose::LONG_ABOUT)]
    Propose(Box<propose::Args>),
    /// Improve a chart so that it looks more like its picture
    #[command(long_about = refine::LONG_ABOUT)]
    Refine(refine::Args),
    /// Measure how well a chart matches its picture
    #[command(long_about = compare::LONG_ABOUT)]
    Compare(compare::Args),
    /// Work out the rows for a ring size
    #[command(long_about = fit::LONG_ABOUT)]
    Fit(fit::Args),
    /// Draw a chart, or print it into the terminal
    #[command(long_about = show::LONG_ABOUT)]
    Show(show::Args),
    /// Write the rows out, bead by bead
    #[command(long_about = weave::LONG_ABOUT)]
    Weave(weave::Args),
    /// Print the pattern as a booklet, a PDF
    #[command(long_about = print::LONG_ABOUT)]
    Print(Box<print::Args>),
    /// Gather beads, thread and needle
    #[command(long_about = kit::LONG_ABOUT)]
    Kit(kit::Args),
    /// Check a chart for problems before you weave
    #[command(long_about = check::LONG_ABOUT)]
    Check(check::Args),
    /// Make a finished chart in other ring sizes
    #[command(long_about = resize::LONG_ABOUT, alias = "grade")]
    Resize(resize::Args),
    /// Design by eye in the browser
    #[command(long_about = desk::LONG_ABOUT)]
    Desk(desk::Args),
    /// Move a finished chart onto another palette
    #[command(long_about = swap::LONG_ABOUT)]
    Swap(swap::Args),
    /// Give beads of a finished chart another colour
    #[command(long_about = set::LONG_ABOUT)]
    Set(set::Args),
    /// Move a finished chart's pattern up or sideways
    #[command(long_about = shift::LONG_ABOUT)]
    Shift(shift::Args),
    /// Flip a finished chart left to right or end to end
    #[command(long_about = flip::LONG_ABOUT, alias = "turn")]
    Flip(flip::Args),
    /// Repeat some rows of a finished chart
    #[command(long_about = repeat::LONG_ABOUT)]
    Repeat(repeat::Args),
    /// Read a chart from a table, rows in words or a picture
    #[command(long_about = read::LONG_ABOUT)]
    Read(Box<read::Args>),
    /// Check a palette and print it
    #[command(long_about = palette::LONG_ABOUT)]
    Palette(palette::Args),
    /// Print the JSON Schema of a file or report
    #[command(long_about = schema::LONG_ABOUT)]
    Schema(schema::Args),
    /// Print the manual page
    Manual(manual::ManualArgs),
    /// Print completions for a shell
    Completions(manual::CompletionsArgs),
}

/// How to talk to the person: decided once, from the terminal and `NO_COLOR`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Manner {
    /// Whether standard output may carry 24-bit colour.
    pub(crate) colour: bool,
    /// Whether progress may be shown on standard error.
    pub(crate) progress: bool,
}

impl Manner {
    fn of_this_terminal() -> Self {
        let no_colour = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|value| value == "dumb");
        Self {
            colour: std::io::stdout().is_terminal() && !no_colour && !dumb,
            progress: std::io::stderr().is_terminal() && !dumb,
        }
    }
}

/// All verbs with their options, as they are parsed.
pub fn command() -> clap::Command {
    Call::command()
}

/// Runs one call and returns the process's status: 0, 1 (failed) or 2 (the call was wrong).
///
/// Without arguments and without a terminal, as after a double click, it opens the desk.
///
/// `arguments` are those of this process: for a drawing, and for a file that the desk exports, the
/// program is started again, and comes here with an argument of its own, which is no verb.
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let mut arguments: Vec<OsString> = arguments.into_iter().collect();
    if arguments.len() == 1 && !at_a_terminal() {
        arguments.push("desk".into());
    }
    if let [_, only] = arguments.as_slice() {
        if only == DRAW {
            return serve_drawing();
        }
        if only == EXPORT {
            return serve_export();
        }
    }
    let call = match Call::try_parse_from(&arguments) {
        Ok(call) => call,
        Err(error) => match of_another_name(&error, &arguments) {
            Some(error) => {
                tell(&error);
                return ExitCode::from(error.status());
            }
            None => return refused(error),
        },
    };
    match run(&call.verb, Manner::of_this_terminal()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) if error.is_closed_pipe() => ExitCode::SUCCESS,
        Err(error) => {
            if !error.is_reported() {
                tell(&error);
            }
            ExitCode::from(error.status())
        }
    }
}

/// Whether anyone can read or type at a terminal; a program started with a double click has none.
fn at_a_terminal() -> bool {
    std::io::stdin().is_terminal()
        || std::io::stdout().is_terminal()
        || std::io::stderr().is_terminal()
}

/// How the program decodes pictures: drawings in a process of their own.
pub(crate) fn decoding() -> Decoding {
    Decoding {
        drawer: Drawer::ChildProcess,
        ..Decoding::default()
    }
}

/// A picture to be decoded so.
pub(crate) fn source(name: impl Into<String>, bytes: Vec<u8>) -> Source {
    Source::new(name, bytes).decoded_by(decoding())
}

/// A call that could not be parsed: our own words where a value was refused, clap's otherwise.
fn refused(mut error: clap::Error) -> ExitCode {
    let own = std::error::Error::source(&error).and_then(|cause| cause.downcast_ref::<Error>());
    if let (Some(own), Some(ContextValue::String(argument))) =
        (own, error.get(ContextKind::InvalidArg))
    {
        let flag = argument.split_whitespace().next().unwrap_or(argument);
        let mut said = Error::usage(own.what());
        // What is not named by a flag is known by its value.
        if flag.starts_with('-') {
            said = said.option(flag);
        }
        if let Some(hint) = own.remedy() {
            said = said.hint(hint);
        }
        tell(&said);
        return ExitCode::from(said.status());
    }
    for (kind, value) in shown_context(&error) {
        if error.get(kind) != Some(&value) {
            // A tip repeats what was typed.
            error.remove(ContextKind::Suggested);
        }
        error.insert(kind, value);
    }
    let status = error.exit_code();
    // A closed pipe under --help is no error either.
    let _ = error.print();
    ExitCode::from(u8::try_from(status).unwrap_or(2))
}

/// Options that are looked for under a name that they do not have, and what to write.
const OTHER_NAMES: [(&str, &str); 2] = [("--repeat", "repeat"), ("--repeats", "repeat")];

/// The error for an option under another name, where the verb has the one that is meant.
fn of_another_name(error: &clap::Error, arguments: &[OsString]) -> Option<Error> {
    if error.kind() != ErrorKind::UnknownArgument {
        return None;
    }
    let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidArg) else {
        return None;
    };
    let (flag, place) = OTHER_NAMES.into_iter().find(|(name, _)| *name == typed)?;
    let verb = Call::command().find_subcommand(arguments.get(1)?)?.clone();
    verb.get_arguments()
        .find(|one| one.get_long() == Some("place"))?;
    let words: Vec<&str> = arguments.iter().filter_map(|word| word.to_str()).collect();
    let value = words.iter().enumerate().find_map(|(at, word)| {
        let joined = word.strip_prefix(flag)?;
        if joined.is_empty() {
            words.get(at + 1).copied()
        } else {
            joined.strip_prefix('=')
        }
    });
    let count: u32 = value.and_then(|value| value.parse().ok()).unwrap_or(4);
    let hint = format!("write [--place {place}:{count}]");
    Some(Error::usage(format!("there is no option {flag}")).hint(hint))
}

/// What was typed, as an error names it.
fn shown_context(error: &clap::Error) -> Vec<(ContextKind, ContextValue)> {
    let own = |(kind, value): (ContextKind, &ContextValue)| match value {
        ContextValue::String(typed) => Some((kind, ContextValue::String(typed_word(typed)))),
        ContextValue::Strings(typed) => {
            let typed = typed.iter().map(|one| typed_word(one)).collect();
            Some((kind, ContextValue::Strings(typed)))
        }
        _ => None,
    };
    error.context().filter_map(own).collect()
}

/// A word of the command line, cut to a readable length.
fn typed_word(word: &str) -> String {
    shortened(&shown(word), 100)
}

/// Prints an error for a person.
pub(crate) fn tell(error: &Error) {
    say(&format!("error: {error}\n"));
}

/// Opens charts. Every one that cannot be read is told; the error returned is that of the last.
pub(crate) fn open_all(files: &[PathBuf]) -> Result<Vec<Chart>> {
    let piped = files.iter().filter(|file| file.as_path() == Path::new("-"));
    if piped.count() > 1 {
        return Err(
            Error::usage("two charts cannot both come from standard input")
                .hint("name a file for all but one of them"),
        );
    }
    let (mut charts, mut failed) = (Vec::new(), None);
    for file in files {
        match crate::chart::read::open(file) {
            Ok(chart) => charts.push(chart),
            Err(error) => {
                if let Some(before) = failed.replace(error) {
                    tell(&before);
                }
            }
        }
    }
    failed.map_or(Ok(charts), Err)
}

/// Prints what was made: on standard error where standard output carries the output itself.
///
/// # Errors
/// If standard output cannot be written.
pub(crate) fn publish(printed: &str, target: &Target) -> Result<()> {
    match target {
        Target::Stdout => {
            say(printed);
            Ok(())
        }
        Target::File(_) => files::print(printed.as_bytes()),
    }
}

/// Prints words for a person on standard error; where nobody can hear them, they are lost.
pub(crate) fn say(words: &str) {
    let _ = std::io::stderr().write_all(words.as_bytes());
}

fn run(verb: &Verb, manner: Manner) -> Result<()> {
    match verb {
        Verb::Chart(args) => chart::run(args, manner),
        Verb::Propose(args) => propose::run(args),
        Verb::Refine(args) => refine::run(args),
        Verb::Compare(args) => compare::run(args),
        Verb::Fit(args) => fit::run(args),
        Verb::Show(args) => show::run(args, manner),
        Verb::Check(args) => check::run(args),
        Verb::Desk(args) => desk::run(args),
        Verb::Resize(args) => resize::run(args),
        Verb::Print(args) => print::run(args),
        Verb::Kit(args) => kit::run(args),
        Verb::Weave(args) => weave::run(args),
        Verb::Swap(args) => swap::run(args),
        Verb::Set(args) => set::run(args),
        Verb::Shift(args) => shift::run(args),
        Verb::Flip(args) => flip::run(args),
        Verb::Repeat(args) => repeat::run(args),
        Verb::Read(args) => read::run(args),
        Verb::Palette(args) => palette::run(args, manner),
        Verb::Schema(args) => schema::run(args),
        Verb::Manual(args) => manual::manual(args, Call::command()),
        Verb::Completions(args) => manual::completions(args, Call::command()),
    }
}
