//! Clients that send nothing, or little by little, keep no other waiting.

use super::client::{Desk, Reply};
use crate::common::repository;
use std::io::{ErrorKind, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// Whether the desk has closed a connection; it has sent nothing on it.
fn is_closed(stream: &TcpStream) -> bool {
    stream.set_nonblocking(true).unwrap();
    let mut stream = stream;
    match stream.read(&mut [0; 100]) {
        Ok(0) => true,
        Ok(_) => panic!("an answer to no request"),
        Err(e) if e.kind() == ErrorKind::WouldBlock => false,
        Err(_) => true,
    }
}

fn upload(desk: &Desk) {
    let picture = std::fs::read(repository("samples/tide-line.png")).unwrap();
    desk.post("picture?name=tide-line.png", &picture).ok();
}

#[test]
fn a_head_that_does_not_come_to_its_end_is_given_up() {
    let desk = Desk::open();
    let silent = desk.connect();
    let mut begun = desk.connect();
    begun.write_all(b"GET / HTTP/1.1\r\nHo").unwrap();
    let mut answered = desk.connect();
    let again = format!(
        "GET /{0}/begin HTTP/1.1\r\nHost: 127.0.0.1:{1}\r\n\r\n",
        desk.token, desk.port
    );
    answered.write_all(again.as_bytes()).unwrap();
    for mut stream in [silent, begun, answered] {
        let mut answer = Vec::new();
        // Longer than this, and the read fails.
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .unwrap();
        stream.read_to_end(&mut answer).unwrap();
    }
    desk.get("begin").ok();
}

#[test]
fn the_connection_that_has_been_idle_longest_makes_room() {
    let desk = Desk::open();
    let oldest = desk.connect();
    // It has been idle only since its last answer, and is younger than those before it.
    let mut used = desk.connect();
    let mut idle: Vec<TcpStream> = (0..200).map(|_| desk.connect()).collect();
    let head = desk
        .head("GET", "begin", 0)
        .replace("Connection: close\r\n", "");
    used.write_all(head.as_bytes()).unwrap();
    let mut first = [0; 12];
    used.read_exact(&mut first).unwrap();
    assert_eq!(&first, b"HTTP/1.1 200");
    while !is_closed(&oldest) {
        idle.push(desk.connect());
        assert!(idle.len() < 2_000, "no connection is closed");
    }
    let last = idle.last().unwrap();
    upload(&desk);
    assert!(!is_closed(last));
}

/// Before, eight such bodies held all the memory for a minute.
#[test]
fn large_bodies_that_do_not_come_keep_no_other_waiting() {
    let desk = Desk::open();
    let head = desk.head("POST", "picture", 64 << 20);
    let all: Vec<TcpStream> = (0..200)
        .map(|_| {
            let mut stream = desk.connect();
            stream.write_all(head.as_bytes()).unwrap();
            stream.write_all(b"x").unwrap();
            stream
        })
        .collect();
    upload(&desk);
    drop(all);
}

/// A byte a second is no pause, but no body either.
#[test]
fn a_body_that_drips_is_given_up() {
    let desk = Desk::open();
    let mut stream = desk.connect();
    stream
        .write_all(desk.head("POST", "picture", 1000).as_bytes())
        .unwrap();
    let mut writer = stream.try_clone().unwrap();
    std::thread::scope(|scope| {
        let dripping = scope.spawn(move || {
            (0..1000)
                .take_while(|_| {
                    std::thread::sleep(Duration::from_secs(1));
                    writer.write_all(b"x").is_ok()
                })
                .count()
        });
        Reply::read(&mut stream).fails(408, "the request came in too slowly");
        drop(stream);
        let dripped = dripping.join().unwrap();
        assert!(dripped < 1000, "{dripped}");
    });
}
