//! A drawing drawn in a process of its own: the same program, started with [`DRAW`], with limits on
//! time and memory. It gets the band and the SVG on standard input, and answers on standard output
//! with a line of JSON and, if it drew, the pixels.

use super::super::limits::check;
use super::{Band, Drawn, STACK, draw as draw_here, failed, picture, straight};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::picture::Picture;
use serde::{Deserialize, Serialize};
use std::io::{self, BufRead, BufReader, BufWriter, Read, Write};
use std::process::{
    Child, ChildStderr, ChildStdin, ChildStdout, Command, ExitCode, ExitStatus, Stdio,
};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// The one argument that starts the program as a drawer; no verb of it, and not in its help.
pub const DRAW: &str = "--draw-svg-from-standard-input";

/// Most processor time that a drawing may take: a busy machine refuses no drawing that an idle one
/// draws.
const MOST_TIME: Duration = Duration::from_secs(5);
/// Longest that it is waited for, also where the system has no limit of processor time.
const MOST_WAIT: Duration = Duration::from_secs(30);
/// Most memory that it may take, beside its stack, which is reserved and hardly used.
const MOST_MEMORY: u64 = 512 << 20;
/// Longest answer before the pixels.
const MOST_ANSWER: u64 = 1 << 20;
/// Longest end of what a failed process said that is read.
const MOST_LAST_WORDS: u64 = 64 << 10;
/// Time between looks at the flag that ends the work.
const LOOK: Duration = Duration::from_millis(20);

/// The first line of an answer.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
enum Answer {
    /// Pixels follow: red, green, blue and alpha of each, from the top.
    Drawn {
        width: u32,
        height: u32,
        linked: Vec<String>,
    },
    Refused {
        what: String,
        hint: Option<String>,
    },
}

/// Draws in a process of its own, which is ended when the work is cancelled or takes too long.
///
/// # Errors
/// As [`super::render`].
pub(super) fn draw(bytes: &[u8], band: Band, cancel: &Cancel) -> Result<Picture> {
    cancel.check()?;
    let mut child = start()?;
    let drawn = converse(&mut child, bytes, band, cancel);
    // Also where a thread could not be started: no process stays behind.
    let _ = child.kill();
    match (drawn, child.wait()) {
        (Err(_), Ok(status)) if took_too_long(status) => Err(too_long()),
        (drawn, _) => drawn,
    }
}

/// Whether the system ended it for its processor time.
#[cfg(unix)]
fn took_too_long(status: ExitStatus) -> bool {
    use std::os::unix::process::ExitStatusExt;
    status.signal() == Some(rustix::process::Signal::XCPU.as_raw())
}

#[cfg(not(unix))]
fn took_too_long(_: ExitStatus) -> bool {
    false
}

fn too_long() -> Error {
    Error::new(format!(
        "the SVG takes longer than {} seconds to draw",
        MOST_TIME.as_secs()
    ))
    .hint("simplify it in a drawing program, or export it as PNG")
}

fn start() -> Result<Child> {
    let cannot = |e: io::Error| {
        Error::new("no process can be started to draw the SVG")
            .hint("start upbead again, or export the drawing as PNG")
            .because(e)
    };
    Command::new(std::env::current_exe().map_err(cannot)?)
        .arg(DRAW)
        .env("RUST_BACKTRACE", "0")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(cannot)
}

/// Hands over the drawing, and waits for the answer.
fn converse(child: &mut Child, bytes: &[u8], band: Band, cancel: &Cancel) -> Result<Picture> {
    let until = Instant::now() + MOST_WAIT;
    let pipes = (child.stdin.take(), child.stdout.take(), child.stderr.take());
    let (Some(input), Some(output), Some(words)) = pipes else {
        return Err(failed());
    };
    std::thread::scope(|scope| {
        let (sender, answered) = channel();
        let thread = std::thread::Builder::new;
        let ended = thread()
            .spawn_scoped(scope, move || feed(input, bytes, band))
            .and_then(|_| {
                thread().spawn_scoped(scope, move || {
                    // Nobody listens any more where the work was ended.
                    let _ = sender.send(received(output, words));
                })
            })
            .map_err(|e| failed().because(e))
            .and_then(|_| wait(&answered, until, cancel));
        // The threads end with the process.
        let _ = child.kill();
        ended
    })
}

/// What goes to the process: the band, then the drawing. One that ended early is noticed elsewhere.
fn feed(mut input: ChildStdin, bytes: &[u8], band: Band) {
    let sizes = [band.across, band.along, band.finest].map(f64::to_le_bytes);
    let _ = input
        .write_all(sizes.as_flattened())
        .and_then(|()| input.write_all(bytes));
}

fn wait(answered: &Receiver<Result<Picture>>, until: Instant, cancel: &Cancel) -> Result<Picture> {
    loop {
        match answered.recv_timeout(LOOK) {
            Ok(answer) => return answer,
            Err(RecvTimeoutError::Disconnected) => return Err(failed()),
            Err(RecvTimeoutError::Timeout) => cancel.check()?,
        }
        if Instant::now() >= until {
            return Err(too_long());
        }
    }
}

/// The answer; of a process that ended without one, why.
fn received(output: ChildStdout, words: ChildStderr) -> Result<Picture> {
    answer(BufReader::new(output)).unwrap_or_else(|| {
        let mut last = Vec::new();
        let _ = words.take(MOST_LAST_WORDS).read_to_end(&mut last);
        // Rust's own words for memory that the system refuses.
        if String::from_utf8_lossy(&last).contains("memory allocation of") {
            Err(Error::new(format!(
                "the SVG takes more than {} MiB of memory to draw",
                MOST_MEMORY >> 20
            ))
            .hint("simplify it in a drawing program, or export it as PNG"))
        } else {
            Err(failed())
        }
    })
}

/// None if it is cut short.
fn answer(mut output: impl BufRead) -> Option<Result<Picture>> {
    let mut line = Vec::new();
    output
        .by_ref()
        .take(MOST_ANSWER)
        .read_until(b'\n', &mut line)
        .ok()?;
    match serde_json::from_slice(&line).ok()? {
        Answer::Refused { what, hint } => {
            let error = Error::new(what);
            Some(Err(match hint {
                Some(hint) => error.hint(hint),
                None => error,
            }))
        }
        Answer::Drawn {
            width,
            height,
            linked,
        } => {
            let length = u64::from(width) * u64::from(height) * 4;
            if let Err(error) = check(width, height, length) {
                return Some(Err(error));
            }
            let mut data = vec![0; length as usize];
            output.read_exact(&mut data).ok()?;
            Some(Ok(picture(width, height, data, linked)))
        }
    }
}

/// What the program does when it is started with [`DRAW`].
pub fn serve() -> ExitCode {
    limit();
    match answer_input(&mut io::stdin().lock(), io::stdout().lock()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(_) => ExitCode::FAILURE,
    }
}

/// Limits this process, before it reads anything. A system without such limits still ends it after
/// [`MOST_WAIT`], from outside.
fn limit() {
    #[cfg(unix)]
    {
        use rustix::process::{Resource, Rlimit, setrlimit};
        let most = |limit: u64| Rlimit {
            current: Some(limit),
            maximum: Some(limit),
        };
        // Where one is refused, the others still hold.
        let _ = setrlimit(Resource::As, most(MOST_MEMORY + STACK as u64));
        let _ = setrlimit(Resource::Core, most(0));
        // The first limit ends it with a signal of its own, which tells why.
        let seconds = MOST_TIME.as_secs();
        let cpu = Rlimit {
            current: Some(seconds),
            maximum: Some(seconds + 1),
        };
        let _ = setrlimit(Resource::Cpu, cpu);
    }
    #[cfg(target_os = "linux")]
    {
        // If the program that started it ends, it ends too.
        use rustix::process::{Signal, set_parent_process_death_signal};
        let _ = set_parent_process_death_signal(Some(Signal::KILL));
    }
}

fn answer_input(input: &mut impl Read, output: impl Write) -> io::Result<()> {
    let mut sizes = [[0; 8]; 3];
    input.read_exact(sizes.as_flattened_mut())?;
    let [across, along, finest] = sizes.map(f64::from_le_bytes);
    let band = Band {
        across,
        along,
        finest,
    };
    let mut bytes = Vec::new();
    input.read_to_end(&mut bytes)?;
    let mut output = BufWriter::new(output);
    match draw_here(&bytes, band, &Cancel::default()) {
        Ok(Drawn { pixels, linked }) => {
            let (width, height) = (pixels.width(), pixels.height());
            say(
                &mut output,
                &Answer::Drawn {
                    width,
                    height,
                    linked,
                },
            )?;
            for pixel in pixels.pixels() {
                output.write_all(&straight(pixel))?;
            }
        }
        Err(error) => say(
            &mut output,
            &Answer::Refused {
                what: error.what().to_string(),
                hint: error.remedy().map(ToString::to_string),
            },
        )?,
    }
    output.flush()
}

fn say(output: &mut impl Write, answer: &Answer) -> io::Result<()> {
    serde_json::to_writer(&mut *output, answer)?;
    output.write_all(b"\n")
}
