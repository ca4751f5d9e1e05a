//! Requests that are refused; afterwards the desk still answers.

use super::client::{Desk, Reply};
use crate::common::repository;
use serde_json::json;
use std::io::{Read, Write};

const FOREIGN: &str = "another page sent this request";
const ELSEWHERE: &str = "this is not the desk's address";
const NOTHING: &str = "there is nothing here";

/// A GET of the page with these header lines.
fn with_headers(desk: &Desk, lines: &str) -> Reply {
    let request = format!(
        "GET /{}/begin HTTP/1.1\r\n{lines}Connection: close\r\n\r\n",
        desk.token
    );
    desk.raw(request.as_bytes())
}

#[test]
fn other_hosts_and_pages_are_refused() {
    let desk = Desk::open();
    let port = desk.port;
    for good in [
        format!("Host: 127.0.0.1:{port}\r\n"),
        format!("Host: localhost:{port}\r\n"),
        format!(
            "Host: 127.0.0.1:{port}\r\n\
             Origin: http://127.0.0.1:{port}\r\n\
             Sec-Fetch-Site: same-origin\r\n"
        ),
        format!("Host: 127.0.0.1:{port}\r\nSec-Fetch-Site: none\r\n"),
    ] {
        with_headers(&desk, &good).ok().is_guarded();
    }
    for bad in [
        "Host: harbour.example\r\n".to_string(),
        format!("Host: harbour.example:{port}\r\n"),
        "Host: 127.0.0.1\r\n".to_string(),
        format!("Host: 127.0.0.1:{}\r\n", port - 1),
        format!("Host: 127.0.0.1.harbour.example:{port}\r\n"),
        format!("Host: [::1]:{port}\r\n"),
        format!("Host: 127.0.0.1:{port}\r\nHost: harbour.example\r\n"),
        String::new(),
        "Host: \r\n".to_string(),
    ] {
        with_headers(&desk, &bad).fails(403, ELSEWHERE);
    }
    let host = format!("Host: 127.0.0.1:{port}\r\n");
    for bad in [
        "Origin: https://harbour.example\r\n".to_string(),
        "Origin: null\r\n".to_string(),
        "Origin: \r\n".to_string(),
        format!("Origin: https://127.0.0.1:{port}\r\n"),
        format!("Origin: http://localhost:{port}\r\n"),
        format!("Origin: http://127.0.0.1:{port}\r\nOrigin: https://harbour.example\r\n"),
        "Sec-Fetch-Site: cross-site\r\n".to_string(),
        "Sec-Fetch-Site: same-site\r\n".to_string(),
        "Sec-Fetch-Site: same-origin\r\nSec-Fetch-Site: cross-site\r\n".to_string(),
    ] {
        with_headers(&desk, &format!("{host}{bad}")).fails(403, FOREIGN);
    }
    // The name in the request line counts too.
    let absolute = format!(
        "GET http://harbour.example/{}/begin HTTP/1.1\r\n{host}Connection: close\r\n\r\n",
        desk.token
    );
    desk.raw(absolute.as_bytes()).fails(403, ELSEWHERE);
    // Another page may not even ask whether it might.
    let preflight = format!(
        "OPTIONS /{}/chart HTTP/1.1\r\n\
         {host}Origin: https://harbour.example\r\n\
         Access-Control-Request-Method: POST\r\n\
         Connection: close\r\n\
         \r\n",
        desk.token
    );
    desk.raw(preflight.as_bytes()).fails(403, FOREIGN);
    desk.get("begin").ok();
}

#[test]
fn without_the_token_there_is_nothing() {
    let desk = Desk::open();
    let secret = desk.token.clone();
    let mut other = secret.clone();
    let last = if other.pop() == Some('0') { '1' } else { '0' };
    other.push(last);
    for path in [
        "/".to_string(),
        "/begin".to_string(),
        "//".to_string(),
        format!("//{secret}/begin"),
        format!("/{other}/"),
        format!("/{other}/begin"),
        format!("/{}/begin", &secret[..31]),
        format!("/{secret}0/begin"),
        format!("/x/../{secret}/begin"),
        format!("/%{:02x}{}/begin", secret.as_bytes()[0], &secret[1..]),
        format!("/begin?{secret}"),
        "/favicon.ico".to_string(),
    ] {
        for method in ["GET", "POST"] {
            let request = format!(
                "{method} {path} HTTP/1.1\r\n\
                 Host: 127.0.0.1:{}\r\n\
                 Content-Length: 0\r\n\
                 Connection: close\r\n\
                 \r\n",
                desk.port
            );
            desk.raw(request.as_bytes()).fails(404, NOTHING);
        }
    }
    // Without its slash the page moves to where its files are beside it.
    let request = format!(
        "GET /{secret} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n\r\n",
        desk.port
    );
    let moved = desk.raw(request.as_bytes());
    assert_eq!(
        (moved.status, moved.header("location")),
        (308, Some(format!("/{secret}/").as_str()))
    );
    let page = desk.get("").ok();
    page.is_guarded();
    assert_eq!(
        page.header("content-type"),
        Some("text/html; charset=utf-8")
    );
}

#[test]
fn no_path_leads_to_files_of_the_machine() {
    let desk = Desk::open();
    desk.bench.put("secret.txt", "the tide table");
    for path in [
        "../secret.txt",
        "../../../../etc/passwd",
        "..%2f..%2f..%2fetc%2fpasswd",
        "%2e%2e/%2e%2e/etc/passwd",
        "..\\secret.txt",
        "..%5csecret.txt",
        "secret.txt",
        "/etc/passwd",
        "./secret.txt",
        "begin/../secret.txt",
        "index.html%00.txt",
        "%ff%fe",
        "picture/..%2fsecret.txt/x",
        "a/b/c",
    ] {
        desk.get(path).fails(404, NOTHING);
    }
    desk.get("picture/..%2f..%2fsecret.txt")
        .fails(410, "this picture is no longer kept");
    desk.get("picture/%ff").fails(404, NOTHING);
    for name in ["..", "a/b.png", "..%5Ca.png", "a%0Ab.png", "%00"] {
        desk.post(&format!("picture?name={name}"), b"x")
            .fails(400, "that is not a file name");
    }
    // Nor does a request read files by its options.
    let palette = desk.palette("tin.csv");
    let told = desk.ask(
        "chart",
        &json!({ "palette": { "id": palette }, "size": "us7", "gauge": "secret.txt" }),
    );
    assert_eq!(told.status, 400, "{}", told.text());
}

#[test]
fn bodies_that_are_too_large_are_refused_with_a_message() {
    let desk = Desk::open();
    for (path, bytes, shown) in [
        ("chart", 65 << 10, "64 KiB"),
        ("palette", (4 << 20) + 1, "4 MiB"),
        ("picture", (64 << 20) + 1, "64 MiB"),
        ("facts", (64 << 20) + 1, "64 MiB"),
    ] {
        let told = desk
            .post(path, &vec![b' '; bytes])
            .fails(413, &format!("that is larger than the limit of {shown}"));
        assert_eq!(told["hint"], "make it smaller first");
    }
    // Said to be small, or not said at all: what comes is counted.
    let mut stream = desk.connect();
    let head = format!(
        "POST /{}/chart HTTP/1.1\r\n\
         Host: 127.0.0.1:{}\r\n\
         Transfer-Encoding: chunked\r\n\
         Connection: close\r\n\
         \r\n",
        desk.token, desk.port
    );
    stream.write_all(head.as_bytes()).unwrap();
    let piece = [b"4000\r\n".as_slice(), &vec![b' '; 0x4000], b"\r\n"].concat();
    for _ in 0..8 {
        stream.write_all(&piece).unwrap();
    }
    stream.write_all(b"0\r\n\r\n").unwrap();
    Reply::read(&mut stream).fails(413, "that is larger than the limit of 64 KiB");
    desk.get("begin").ok();
}

#[test]
fn what_is_not_a_request_is_refused() {
    let desk = Desk::open();
    let host = format!("Host: 127.0.0.1:{}", desk.port);
    for (bytes, status) in [
        ("nonsense\r\n\r\n".to_string(), 400),
        (
            format!("GET /{} HTTP/9.9\r\n{host}\r\n\r\n", desk.token),
            400,
        ),
        (
            format!(
                "GET /{0}/ HTTP/1.1\r\n{host}\r\nbad header\r\n\r\n",
                desk.token
            ),
            400,
        ),
        (
            format!(
                "POST /{0}/bye HTTP/1.1\r\n{host}\r\nContent-Length: -1\r\n\r\n",
                desk.token
            ),
            400,
        ),
        (
            format!(
                "POST /{0}/bye HTTP/1.1\r\n\
                 {host}\r\n\
                 Content-Length: 1\r\n\
                 Content-Length: 2\r\n\
                 \r\n\
                 x",
                desk.token
            ),
            400,
        ),
    ] {
        let reply = desk.raw(bytes.as_bytes());
        assert_eq!(reply.status, status, "{bytes:.80}\n{}", reply.head);
    }
    // A head without end is not read to its end; whether the answer arrives depends on the system.
    let endless = format!(
        "GET /{0}/ HTTP/1.1\r\n{host}\r\nx: {1}\r\n\r\n",
        desk.token,
        "a".repeat(1 << 20)
    );
    let mut stream = desk.connect();
    let _ = stream.write_all(endless.as_bytes());
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer);
    assert!(
        answer.is_empty() || answer.starts_with("HTTP/1.1 431"),
        "{answer}"
    );
    desk.get("chart")
        .fails(405, "this address does not take that method");
    desk.post("begin", b"")
        .fails(405, "this address does not take that method");
    let bye = desk.post("bye", b"");
    assert_eq!((bye.status, bye.body.len()), (204, 0));
    bye.is_guarded();
}

#[test]
fn bodies_that_are_not_as_expected_are_refused_with_the_place() {
    let desk = Desk::open();
    let read = |body: &[u8], what: &str| {
        for path in ["chart", "facts", "export?kind=svg"] {
            let told = desk.post(path, body);
            assert_eq!(told.status, 400, "{path}: {}", told.text());
            let told = told.json();
            assert!(
                told["error"]["what"].as_str().unwrap().starts_with(what),
                "{path}: {told}"
            );
        }
    };
    read(b"", "the request cannot be read: EOF while parsing a value");
    read(
        b"{",
        "the request cannot be read: EOF while parsing an object",
    );
    read(b"[]", "the request cannot be read: invalid ");
    read(b"\xff\xfe{}", "the request cannot be read: expected value");
    read(b"{\"chart\":\"\xff\"}", "the request cannot be read: ");
    read(
        "[".repeat(60_000).as_bytes(),
        "the request cannot be read: ",
    );
    let told = desk.post("swap", b"{\n \"glow\": 1 }").json();
    assert_eq!(told["error"]["where"], "line 2, column 7", "{told}");
    assert!(
        told["error"]["what"]
            .as_str()
            .unwrap()
            .contains("unknown field `glow`")
    );
}

#[test]
fn pictures_that_cannot_be_read_are_refused() {
    let desk = Desk::open();
    desk.post("picture", b"").fails(422, "the file is empty");
    desk.post("picture?name=x.png", b"not a picture")
        .fails(422, "this is not a picture that can be read");
    let whole = std::fs::read(repository("samples/harbour-dusk.jpg")).unwrap();
    let told = desk
        .post("picture?name=dusk.jpg", &whole[..whole.len() / 2])
        .fails(422, "the picture is cut short");
    assert_eq!(told["where"], "dusk.jpg");
    assert_eq!(told["hint"], "copy or export it again");
}

/// The same words and the same place as on the command line.
#[test]
fn palettes_and_charts_that_cannot_be_read_are_refused_with_the_place() {
    let desk = Desk::open();
    let told = desk
        .post("palette?name=mine.csv", b"code,name,hex\na,kelp,kelp\n")
        .fails(422, "'kelp' is not a colour");
    assert_eq!(
        (
            told["where"].as_str(),
            told["line"].as_u64(),
            told["column"].as_u64()
        ),
        (Some("mine.csv:2:8"), Some(2), Some(8))
    );
    desk.bench.put("mine.csv", "code,name,hex\na,kelp,kelp\n");
    desk.bench.run(&["palette", "mine.csv"]).fails(
        1,
        &format!(
            "error: {}: 'kelp' is not a colour\nhint: {}",
            "mine.csv:2:8",
            told["hint"].as_str().unwrap()
        ),
    );
    let told = desk
        .post(
            "palette?name=mine.csv",
            b"code,name,hex\na,d\xffne,AABBCC\n",
        )
        .fails(422, "the text is not UTF-8");
    assert_eq!(told["where"], "mine.csv:2:4");

    let told = desk
        .post("read?name=band.json", b"{\n  \"format\": \"knitting\"\n}")
        .json();
    assert_eq!(told["error"]["where"], "band.json:2:13", "{told}");
    desk.post("read", b"\xff")
        .fails(422, "the text is not UTF-8");
    let told = desk.ask("facts", &json!({ "chart": "{}" }));
    assert_eq!(told.status, 422, "{}", told.text());
}

#[test]
fn options_that_are_out_of_range_are_refused_by_name() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let wish = |more: serde_json::Value| {
        let mut wish = json!({
            "palette": { "id": palette },
            "picture": desk.picture("tide-line.png"),
            "size": "us7",
        });
        wish.as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        desk.ask("chart", &wish)
    };
    let told =
        wish(json!({ "ground": "quay-99" })).fails(400, "no colour has the code or name 'quay-99'");
    assert_eq!(told["option"], "ground");
    wish(json!({ "size": "us99" }));
    let told =
        wish(json!({ "rows": 75, "size": null })).fails(400, "75 rows do not close into a ring");
    assert_eq!(
        (told["where"].as_str(), told["option"].as_str()),
        (None, Some("rows"))
    );
    wish(json!({ "columns": 1001 }));
    wish(json!({ "repeats": 3 })).fails(400, "'repeats' is not an option here");
    let outside = wish(json!({ "crop": [100_000, 0, 10, 10] }));
    assert!(
        outside.status == 422 || outside.status == 400,
        "{}",
        outside.text()
    );
}

#[test]
fn kinds_names_and_options_of_exports_are_checked() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    for kind in ["", "sgv", "exe"] {
        desk.ask(&format!("export?kind={kind}"), &json!({ "chart": "" }))
            .fails(
                400,
                &format!("'{kind}' is not a kind of file that the desk exports"),
            );
    }
    let told = desk.ask("export?kind=svgg", &json!({ "chart": "" })).json();
    assert_eq!(told["error"]["hint"], "did you mean svg?");
    let chart = desk.chart(&json!({ "palette": { "id": palette }, "size": "us7" }));
    let told = desk.ask(
        "export?kind=svg",
        &json!({ "chart": chart, "options": { "tilt": 30 } }),
    );
    assert!(
        told.status == 400 && told.text().contains("'tilt' is not an option here"),
        "{}",
        told.text()
    );
    desk.ask(
        "export?kind=svg",
        &json!({ "chart": chart, "name": "../a.json" }),
    )
    .fails(400, "that is not a file name");
    desk.get("begin").ok();
}

/// Pauses and breaks inside a body. In parallel: each waits for the same time limit. The client
/// stops waiting long after it.
#[test]
fn slow_and_broken_bodies_are_given_up() {
    let desk = Desk::open();
    std::thread::scope(|scope| {
        for path in ["chart", "picture", "facts"] {
            let desk = &desk;
            scope.spawn(move || {
                let mut stream = desk.connect();
                stream
                    .write_all(desk.head("POST", path, 1000).as_bytes())
                    .unwrap();
                stream.write_all(b"{").unwrap();
                Reply::read(&mut stream).fails(408, "the request came in too slowly");
            });
        }
        scope.spawn(|| {
            let mut stream = desk.connect();
            stream
                .write_all(desk.head("POST", "facts", 1000).as_bytes())
                .unwrap();
            stream.write_all(b"{").unwrap();
            stream.shutdown(std::net::Shutdown::Write).unwrap();
            Reply::read(&mut stream).fails(400, "the request broke off");
        });
    });
    desk.get("begin").ok();
}
