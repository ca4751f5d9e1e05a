//! A desk in a fresh folder, and a client that sends exactly the bytes it is given, valid or not.

use crate::common::{Bench, repository};
use serde_json::Value;
#[cfg(target_os = "linux")]
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A running desk; it ends when this goes.
pub struct Desk {
    /// The folder that it runs in.
    pub bench: Bench,
    child: Child,
    /// Where it listens.
    pub port: u16,
    /// The secret in its address.
    pub token: String,
}

/// What came back.
pub struct Reply {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Desk {
    /// A desk with nothing on it.
    pub fn open() -> Self {
        Self::open_with(Bench::new(), &[])
    }

    /// A desk with these arguments.
    pub fn open_with(bench: Bench, arguments: &[&str]) -> Self {
        let command = bench.command(&[&["desk", "--no-open"], arguments].concat());
        Self::open_by(bench, command)
    }

    /// The desk that this command opens.
    pub fn open_by(bench: Bench, mut command: Command) -> Self {
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        BufReader::new(child.stdout.as_mut().unwrap())
            .read_line(&mut line)
            .unwrap();
        let address = line
            .strip_prefix("The desk is at http://127.0.0.1:")
            .unwrap_or_else(|| panic!("{line}"));
        let (port, rest) = address.split_once('/').unwrap();
        Self {
            bench,
            port: port.parse().unwrap(),
            token: rest.trim().trim_end_matches('/').to_string(),
            child,
        }
    }

    pub fn pid(&self) -> u32 {
        self.child.id()
    }

    pub fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).expect("a connection");
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .unwrap();
        stream
    }

    /// Sends bytes as they are, and reads the answer.
    pub fn raw(&self, bytes: &[u8]) -> Reply {
        let mut stream = self.connect();
        // The other side may close before it has heard all.
        let _ = stream.write_all(bytes);
        Reply::read(&mut stream)
    }

    /// The head of a request below the token, with its usual headers.
    pub fn head(&self, method: &str, path: &str, length: usize) -> String {
        format!(
            "{method} /{}/{path} HTTP/1.1\r\n\
             Host: 127.0.0.1:{}\r\n\
             Content-Length: {length}\r\n\
             Connection: close\r\n\
             \r\n",
            self.token, self.port
        )
    }

    pub fn get(&self, path: &str) -> Reply {
        self.raw(self.head("GET", path, 0).as_bytes())
    }

    pub fn post(&self, path: &str, body: &[u8]) -> Reply {
        self.raw(&[self.head("POST", path, body.len()).as_bytes(), body].concat())
    }

    pub fn ask(&self, path: &str, body: &Value) -> Reply {
        self.post(path, body.to_string().as_bytes())
    }

    /// Sends a picture of the samples, and returns its id.
    pub fn picture(&self, name: &str) -> String {
        let bytes = std::fs::read(repository("samples").join(name)).unwrap();
        let told = self
            .post(&format!("picture?name={name}"), &bytes)
            .ok()
            .json();
        told["id"].as_str().unwrap().to_string()
    }

    /// Sends a palette that ships, and returns its id.
    pub fn palette(&self, name: &str) -> String {
        let bytes = std::fs::read(repository("palettes").join(name)).unwrap();
        let told = self
            .post(&format!("palette?name={name}"), &bytes)
            .ok()
            .json();
        told["id"].as_str().unwrap().to_string()
    }

    /// A chart's text.
    pub fn chart(&self, wish: &Value) -> String {
        let told = self.ask("chart", wish).ok().json();
        told["text"].as_str().unwrap().to_string()
    }

    /// Asks it to end.
    #[cfg(unix)]
    pub fn signal(&self, signal: &str) {
        let sent = Command::new("kill")
            .args([&format!("-{signal}"), &self.child.id().to_string()])
            .status()
            .unwrap();
        assert!(sent.success());
    }

    /// Waits for its end, and says how it ended.
    #[cfg(unix)]
    pub fn ended(mut self) -> Option<i32> {
        self.child.wait().unwrap().code()
    }

    /// The same, with the folder that it ran in.
    #[cfg(unix)]
    pub fn ended_in(mut self) -> (Bench, Option<i32>) {
        let code = self.child.wait().unwrap().code();
        (std::mem::replace(&mut self.bench, Bench::new()), code)
    }

    /// The processes that it has started, drawers and exporters.
    #[cfg(target_os = "linux")]
    pub fn processes(&self) -> BTreeSet<u32> {
        let processes = std::fs::read_dir("/proc").unwrap();
        let ids = processes.filter_map(|entry| entry.unwrap().file_name().to_str()?.parse().ok());
        ids.filter(|id: &u32| {
            // One that has just ended has no file any more.
            let status = std::fs::read_to_string(format!("/proc/{id}/status")).unwrap_or_default();
            let parent = status.lines().find_map(|line| line.strip_prefix("PPid:"));
            parent.is_some_and(|parent| parent.trim() == self.pid().to_string())
        })
        .collect()
    }

    /// Waits until its processes are as expected, and returns them.
    #[cfg(target_os = "linux")]
    pub fn wait_for_processes(&self, expected: impl Fn(&BTreeSet<u32>) -> bool) -> BTreeSet<u32> {
        loop {
            let processes = self.processes();
            if expected(&processes) {
                return processes;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Kilobytes of memory in use, and the most that were, as the system counts them.
    #[cfg(target_os = "linux")]
    pub fn memory(&self) -> (u64, u64) {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.pid())).unwrap();
        let field = |name: &str| {
            let line = status.lines().find(|line| line.starts_with(name)).unwrap();
            line.split_whitespace().nth(1).unwrap().parse().unwrap()
        };
        (field("VmRSS:"), field("VmHWM:"))
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Reply {
    /// Reads one answer to the end of the connection.
    pub fn read(stream: &mut TcpStream) -> Self {
        let mut bytes = Vec::new();
        let ended = stream.read_to_end(&mut bytes);
        let end = bytes
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap_or_else(|| {
                panic!("no answer: {ended:?} {:?}", String::from_utf8_lossy(&bytes))
            });
        let head = String::from_utf8(bytes[..end].to_vec()).unwrap();
        let body = bytes[end + 4..].to_vec();
        let reply = Self {
            status: head.split(' ').nth(1).unwrap().parse().unwrap(),
            body,
            head,
        };
        if let Some(length) = reply.header("content-length") {
            assert_eq!(length.parse(), Ok(reply.body.len()), "{}", reply.head);
        }
        reply
    }

    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (known, value) = line.split_once(": ")?;
            known.eq_ignore_ascii_case(name).then_some(value)
        })
    }

    #[track_caller]
    pub fn ok(self) -> Self {
        assert_eq!(self.status, 200, "{}\n{}", self.head, self.text());
        self
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    #[track_caller]
    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|e| panic!("{e}\n{}\n{}", self.head, self.text()))
    }

    /// Asserts the status and the plain statement of the error.
    #[track_caller]
    pub fn fails(self, status: u16, what: &str) -> Value {
        assert_eq!(self.status, status, "{}\n{}", self.head, self.text());
        let mut told = self.json();
        assert_eq!(told["error"]["what"], what, "{told}");
        self.is_guarded();
        told["error"].take()
    }

    /// Asserts the headers that every answer has.
    #[track_caller]
    pub fn is_guarded(&self) {
        let policy = self.header("content-security-policy").unwrap_or_default();
        assert!(
            policy.starts_with("default-src 'none'; script-src 'self';"),
            "{}",
            self.head
        );
        assert!(
            !policy.contains("unsafe") && !policy.contains('*'),
            "{policy}"
        );
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cache-control", "no-store"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
        ] {
            assert_eq!(self.header(name), Some(value), "{}", self.head);
        }
        assert_eq!(self.header("access-control-allow-origin"), None);
    }
}
