//! `upbead desk`: the page for designing by eye.

use crate::chart;
use crate::desk::{NamedText, Server, StartFiles};
use crate::error::{Error, Result};
use crate::files;
use crate::palette;
use std::path::{Path, PathBuf};

/// What `upbead desk --help` begins with.
pub(crate) const LONG_ABOUT: &str = "Design by eye in the browser\n\n\
    Serves a page on this machine and opens it in your browser: choose a picture and a palette, \
    see the band, the ring and the rows follow each change, draw bead by bead, and take away \
    everything that the other verbs write. Nobody else can reach it: it listens on 127.0.0.1 \
    alone, at an address with a secret in it. To open the page it writes a small file to your home \
    folder, which only you can read, and removes it once the page is open. It writes no other file \
    but your gauge, when you press Remember. Ctrl-C ends it.";

/// Options of `upbead desk`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  upbead desk --palette owned.csv\n  upbead desk band.json --no-open"
)]
pub(crate) struct Args {
    /// Chart file to begin with
    #[arg(value_name = "CHART")]
    chart: Option<PathBuf>,

    /// Colours that you own: CSV or GIMP palette
    ///
    /// The palette that the desk begins with, as for `upbead chart`; the ones that come with the
    /// program are there too. None by default. Example: --palette owned.csv
    #[arg(long, short, value_name = "FILE")]
    palette: Option<PathBuf>,

    /// Port to listen on
    ///
    /// 1 to 65535. The default is the first free one of 24171 to 24174, where the browser finds
    /// again what it kept, or any. Example: --port 8123
    #[arg(long, value_name = "PORT", allow_negative_numbers = true, value_parser = port)]
    port: Option<u16>,

    /// Print the address and open no browser
    ///
    /// For a browser of your choice, or a machine without one. Off by default. Example: --no-open
    #[arg(long)]
    no_open: bool,
}

/// Opens the desk and stays until it is ended.
pub(crate) fn run(args: &Args) -> Result<()> {
    if args.chart.as_deref() == Some(Path::new("-"))
        && args.palette.as_deref() == Some(Path::new("-"))
    {
        return Err(
            Error::usage("chart and palette cannot both come from standard input")
                .option("--palette")
                .hint("name a file for one of them"),
        );
    }
    let start = StartFiles {
        chart: args.chart.as_deref().map(chart_file).transpose()?,
        palette: args.palette.as_deref().map(palette_file).transpose()?,
    };
    let server = Server::bind(args.port, start, super::decoding().drawer)?;
    let address = server.address();
    let launch = if args.no_open {
        None
    } else {
        Some(server.launch_file())
    };
    server.serve(|| {
        files::print(format!("The desk is at {address}\n").as_bytes())?;
        let opened =
            launch.is_none_or(|file| file.is_ok_and(|file| ::open::that_detached(file).is_ok()));
        if !opened {
            super::say("note: no browser could be opened; open that address in one\n");
        }
        Ok(())
    })
}

/// Name and text of a chart, which is checked before the desk opens.
fn chart_file(path: &Path) -> Result<NamedText> {
    let text = files::read_text(path, "a chart")?;
    chart::read::read(&text).map_err(|error| error.file(path))?;
    Ok(named(path, "band.json", text))
}

fn palette_file(path: &Path) -> Result<NamedText> {
    let text = files::read_text(path, "a palette")?;
    palette::read::read(&text, "palette").map_err(|error| error.file(path))?;
    Ok(named(path, "palette.csv", text))
}

fn named(path: &Path, stdin_name: &str, text: String) -> NamedText {
    let name = match path.file_name() {
        Some(name) if path != Path::new("-") => name.to_string_lossy().into_owned(),
        _ => stdin_name.to_string(),
    };
    NamedText { name, text }
}

fn port(text: &str) -> std::result::Result<u16, &'static str> {
    text.trim()
        .parse()
        .ok()
        .filter(|port| *port > 0)
        .ok_or("give a whole number from 1 to 65535")
}
