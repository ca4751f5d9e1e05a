//! Requests to a desk, over HTTP: the first line is the address below the desk's token, the rest is
//! the body.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::LazyLock;
use std::sync::mpsc::channel;
use std::time::Duration;
use upbead::desk::{Server, StartFiles};
use upbead::picture::Drawer;

/// A palette that is there from the beginning: requests name it by its id.
const PALETTE: &str = include_str!("../../../palettes/harbour.csv");
/// So is a picture.
const PICTURE: &[u8] = include_bytes!("../../data/odd/colour-indexed.png");

/// Host and token of a desk that runs as long as the process.
static DESK: LazyLock<(String, String)> = LazyLock::new(|| {
    let (sender, address) = channel();
    std::thread::spawn(move || {
        let desk = Server::bind(None, StartFiles::default(), Drawer::InProcess)
            .expect("a port for the desk");
        let address = desk.address();
        let told = || {
            sender.send(address).expect("the target waits for it");
            Ok(())
        };
        desk.serve(told).expect("the desk runs");
    });
    let address = address.recv().expect("the desk opens");
    let (host, token) = address
        .trim_start_matches("http://")
        .trim_end_matches('/')
        .split_once('/')
        .expect("an address with a token");
    (host.to_string(), token.to_string())
});

/// One request, and its answer: none may be an error of the desk itself.
pub fn desk(bytes: &[u8]) {
    let end = bytes.iter().position(|&byte| byte == b'\n');
    let (path, body) = bytes.split_at(end.unwrap_or(bytes.len()));
    let plain = |byte: &u8| byte.is_ascii_graphic();
    // A gauge would be kept in the home folder of whoever runs this.
    if !path.iter().all(plain) || path.starts_with(b"remember") {
        return;
    }
    let path = String::from_utf8_lossy(path);
    static PREPARED: LazyLock<()> = LazyLock::new(|| {
        asked("palette?name=harbour.csv", PALETTE.as_bytes());
        asked("picture?name=colour-indexed.png", PICTURE);
    });
    LazyLock::force(&PREPARED);
    let answer = asked(&path, body.strip_prefix(b"\n").unwrap_or(body));
    let status: Option<u16> = answer
        .strip_prefix(b"HTTP/1.1 ".as_slice())
        .and_then(|rest| std::str::from_utf8(rest.get(..3)?).ok()?.parse().ok());
    let told = String::from_utf8_lossy(&answer);
    assert!(
        status.is_some_and(|status| (200..500).contains(&status)),
        "{path}: {told}"
    );
}

/// Sends a body to an address below the token, and reads the whole answer.
fn asked(path: &str, body: &[u8]) -> Vec<u8> {
    let (host, token) = &*DESK;
    let mut stream = TcpStream::connect(host).expect("the desk listens");
    let limit = Some(Duration::from_secs(60));
    stream.set_read_timeout(limit).expect("a limit of time");
    let method = if body.is_empty() { "GET" } else { "POST" };
    let head = format!(
        "{method} /{token}/{path} HTTP/1.1\r\nHost: {host}\r\nContent-Length: {}\r\n\
         Connection: close\r\n\r\n",
        body.len()
    );
    // The desk may close before it has read everything.
    let _ = stream.write_all(&[head.as_bytes(), body].concat());
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    answer
}
