//! A file made in a process of its own: the same program, started with [`EXPORT`]. It gets a line
//! of JSON and the picture on standard input, and answers with a line of JSON and the file.

use super::kinds::SHOWN;
use super::order::Order;
use super::{Made, Task, find, make as make_here};
use crate::cancel::Cancel;
use crate::desk::fields::parse_chart;
use crate::desk::response::{Refusal, refuse};
use crate::desk::state::{NamedPalette, Picture};
use crate::picture::{Decoding, Drawer, Size};
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::borrow::Cow;
use std::io::{self, BufRead, Write};
use std::process::{ExitCode, Stdio};
use std::sync::Arc;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::process::{Child, Command};
use tokio::sync::oneshot;

/// The one argument that starts the program as an exporter; no verb of it, and not in its help.
pub const EXPORT: &str = "--export-from-standard-input";

/// The first line of a task; a picture follows.
#[derive(Serialize, Deserialize)]
struct Head<'a> {
    kind: Cow<'a, str>,
    name: Cow<'a, str>,
    chart: Cow<'a, str>,
    options: Cow<'a, Map<String, Value>>,
    palette: Option<PaletteFile<'a>>,
    picture: Option<PictureHead<'a>>,
}

#[derive(Serialize, Deserialize)]
struct PaletteFile<'a> {
    file: Cow<'a, str>,
    text: Cow<'a, str>,
}

#[derive(Serialize, Deserialize)]
struct PictureHead<'a> {
    name: Cow<'a, str>,
    width: u32,
    height: u32,
}

/// The first line of an answer; of a file, its bytes follow.
#[derive(Serialize, Deserialize)]
enum Answer {
    Made { file: String, media_type: String },
    Refused { status: u16, json: String },
}

/// Makes a file in a process of its own, which is ended when this is dropped.
pub(super) async fn make(task: &Task) -> Result<Made, Refusal> {
    let mut child = Command::new(std::env::current_exe().map_err(failed)?)
        .arg(EXPORT)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .kill_on_drop(true)
        .spawn()
        .map_err(failed)?;
    let head = head(task).map_err(failed)?;
    let picture = task.picture.as_ref().map(|one| Arc::clone(&one.bytes));
    let (mut answer, answered) = oneshot::channel();
    // A task of its own, since a process that is ended must be waited for.
    tokio::spawn(async move {
        let picture = picture.as_deref().map_or(&[][..], Vec::as_slice);
        let output = tokio::select! {
            output = converse(&mut child, &head, picture) => Some(output),
            () = answer.closed() => None,
        };
        let _ = child.kill().await;
        output.map(|output| answer.send(output))
    });
    let output = answered.await.map_err(|e| failed(io::Error::other(e)))?;
    read(output.map_err(failed)?)
}

/// Hands over a task, and takes the whole answer.
async fn converse(child: &mut Child, head: &[u8], picture: &[u8]) -> io::Result<Vec<u8>> {
    let (input, output) = (child.stdin.take(), child.stdout.take());
    let feed = async {
        // One that ended early is noticed by its answer.
        if let Some(mut input) = input {
            let _ = input.write_all(head).await;
            let _ = input.write_all(picture).await;
        }
    };
    let take = async {
        let mut bytes = Vec::new();
        match output {
            Some(mut output) => output.read_to_end(&mut bytes).await.map(|_| bytes),
            None => Ok(bytes),
        }
    };
    tokio::join!(take, feed).0
}

fn head(task: &Task) -> io::Result<Vec<u8>> {
    let palette = task.palette.as_ref().map(|named| PaletteFile {
        file: Cow::from(&named.file),
        text: Cow::from(&named.text),
    });
    let picture = task.picture.as_ref().map(|picture| PictureHead {
        name: Cow::from(&picture.name),
        width: picture.size.width,
        height: picture.size.height,
    });
    line(&Head {
        kind: Cow::from(task.kind.word),
        name: Cow::from(&task.name),
        chart: Cow::from(&task.chart),
        options: Cow::Borrowed(&task.options),
        palette,
        picture,
    })
}

fn line(value: &impl Serialize) -> io::Result<Vec<u8>> {
    let mut line = serde_json::to_vec(value)?;
    line.push(b'\n');
    Ok(line)
}

/// The answer of a process that has ended.
fn read(mut output: Vec<u8>) -> Result<Made, Refusal> {
    let end = output.iter().position(|&byte| byte == b'\n');
    let ended = || failed(io::Error::other("its process ended without an answer"));
    let bytes = output.split_off(end.ok_or_else(ended)? + 1);
    match serde_json::from_slice(&output).map_err(|e| failed(e.into()))? {
        Answer::Made { file, media_type } => Ok(Made {
            file,
            media_type,
            bytes,
        }),
        Answer::Refused { status, json } => Err(Refusal::Written {
            status: StatusCode::from_u16(status).map_err(|e| failed(io::Error::other(e)))?,
            json: json.into_bytes(),
        }),
    }
}

fn failed(error: io::Error) -> Refusal {
    refuse(
        StatusCode::INTERNAL_SERVER_ERROR,
        format!("the file cannot be made: {error}"),
        "save your chart, and start the desk again",
    )
}

/// What the program does when it is started with [`EXPORT`].
pub fn serve() -> ExitCode {
    end_with_parent();
    match answer(&mut io::stdin().lock(), &mut io::stdout().lock()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(_) => ExitCode::FAILURE,
    }
}

/// If the program that started this one ends, it ends too.
fn end_with_parent() {
    #[cfg(target_os = "linux")]
    {
        use rustix::process::{Signal, set_parent_process_death_signal};
        let _ = set_parent_process_death_signal(Some(Signal::KILL));
    }
}

fn answer(input: &mut impl BufRead, output: &mut impl Write) -> io::Result<()> {
    let mut head = Vec::new();
    input.read_until(b'\n', &mut head)?;
    let mut bytes = Vec::new();
    input.read_to_end(&mut bytes)?;
    match made(&serde_json::from_slice(&head)?, bytes) {
        Ok(made) => {
            let Made {
                file, media_type, ..
            } = made;
            output.write_all(&line(&Answer::Made { file, media_type })?)?;
            output.write_all(&made.bytes)?;
        }
        Err(refusal) => {
            let (status, json) = refusal.answer();
            output.write_all(&line(&Answer::Refused {
                status: status.as_u16(),
                json: String::from_utf8(json).map_err(io::Error::other)?,
            })?)?;
        }
    }
    output.flush()
}

fn made(head: &Head, bytes: Vec<u8>) -> Result<Made, Refusal> {
    let shown = SHOWN.into_iter().find(|kind| kind.word == head.kind);
    let kind = shown.map_or_else(|| find(&head.kind), Ok)?;
    let palette = head.palette.as_ref();
    let palette =
        palette.map(|named| NamedPalette::read(named.file.to_string(), named.text.to_string()));
    let palette = palette.transpose()?;
    let picture = head.picture.as_ref().map(|picture| Picture {
        id: String::new(),
        name: picture.name.to_string(),
        bytes: Arc::new(bytes),
        memory: 0,
        size: Size {
            width: picture.width,
            height: picture.height,
        },
    });
    let order = Order {
        chart: &parse_chart(&head.chart, &head.name)?,
        name: &head.name,
        palette: palette.as_ref(),
        picture: picture.as_ref(),
        decoding: &Decoding {
            drawer: Drawer::ChildProcess,
            cancel: Cancel::default(),
        },
        options: &head.options,
    };
    Ok(make_here(kind, &order)?)
}
