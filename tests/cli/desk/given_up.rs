//! When a client leaves, its work ends, and the worker is free again.

use super::client::{Desk, Reply};
use serde_json::{Value, json};
use std::io::Write;
use std::net::TcpStream;

/// Sends a request, and does not wait for the answer.
fn send(desk: &Desk, path: &str, body: &Value) -> TcpStream {
    let body = body.to_string();
    let mut stream = desk.connect();
    let head = desk.head("POST", path, body.len());
    stream.write_all(head.as_bytes()).unwrap();
    stream.write_all(body.as_bytes()).unwrap();
    stream
}

/// Minutes of work.
fn long(chart: &str) -> Value {
    json!({ "chart": chart, "options": { "frames": 120, "pixels": 2000 } })
}

#[test]
fn the_process_that_makes_a_file_is_ended_when_its_client_leaves() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let chart = desk.chart(&json!({ "palette": { "id": palette }, "size": "us7" }));
    for _ in 0..3 {
        let both = [(); 2].map(|()| send(&desk, "export?kind=turntable", &long(&chart)));
        let at_work = desk.wait_for_processes(|all| all.len() == 2);
        // A third waits for its turn, and goes without it.
        let third = send(&desk, "export?kind=turntable", &long(&chart));
        drop((both, third));
        desk.wait_for_processes(|now| now.is_disjoint(&at_work));
    }
    desk.wait_for_processes(|all| all.is_empty());
    let made = desk.ask("export?kind=svg", &json!({ "chart": chart })).ok();
    assert!(made.text().starts_with("<svg"));
}

/// The band at a distance, as the page asks for it while a slider moves.
#[test]
fn a_newer_change_ends_the_process_of_the_one_before() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let plain = json!({ "palette": { "id": palette }, "columns": 99, "rows": 2000 });
    let large = json!({ "chart": desk.chart(&plain) });
    let first = send(&desk, "seen?lane=seen&n=1", &large);
    let at_work = desk.wait_for_processes(|all| all.len() == 1);
    let small = json!({ "palette": { "id": palette }, "size": "us7" });
    let small = json!({ "chart": desk.chart(&small), "bare": true });
    desk.ask("seen?lane=seen&n=2", &small).ok();
    desk.wait_for_processes(|now| now.is_disjoint(&at_work));
    Reply::read(&mut { first }).fails(409, "a newer change replaced this");
}

/// Findings, kit and keys of a chart that takes seconds; those of a ring take no process.
#[test]
fn a_newer_chart_ends_the_facts_of_a_large_one() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let plain = json!({ "palette": { "id": palette }, "columns": 999, "rows": 4000 });
    let large = json!({ "chart": desk.chart(&plain) });
    let small = json!({ "palette": { "id": palette }, "size": "us7" });
    let small = json!({ "chart": desk.chart(&small) });
    let first = send(&desk, "facts?lane=facts&n=1", &large);
    let at_work = desk.wait_for_processes(|all| all.len() == 1);
    let facts = desk.ask("facts?lane=facts&n=2", &small).ok().json();
    assert_eq!(facts["n"], 2);
    desk.wait_for_processes(|now| now.is_disjoint(&at_work));
    Reply::read(&mut { first }).fails(409, "a newer change replaced this");
    let whole = desk.ask("facts?lane=facts&n=3", &large).ok().json();
    assert_eq!(
        whole["kit"]["total"]["beads"], 1_998_000,
        "{}",
        whole["kit"]
    );
}

#[test]
fn no_process_outlives_the_desk() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let chart = desk.chart(&json!({ "palette": { "id": palette }, "size": "us7" }));
    let waiting = send(&desk, "export?kind=turntable", &long(&chart));
    let at_work = desk.wait_for_processes(|all| all.len() == 1);
    desk.signal("KILL");
    assert_eq!(desk.ended(), None);
    for process in at_work {
        while std::path::Path::new(&format!("/proc/{process}/exe")).exists() {
            std::thread::yield_now();
        }
    }
    drop(waiting);
}
