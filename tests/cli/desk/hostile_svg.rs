//! Drawings that ask for endless work, sent to the desk: it answers, and goes on.

use super::client::Desk;
use crate::common::hostile::{Hostile, counted, endless, vast};
use std::io::Write;

fn send(desk: &Desk, drawing: &Hostile) -> super::client::Reply {
    desk.post(
        &format!("picture?name={}", drawing.name),
        drawing.svg.as_bytes(),
    )
}

#[test]
fn hostile_drawings_are_refused_and_a_good_one_still_works() {
    let desk = Desk::open();
    for drawing in counted().into_iter().take(2).chain([vast()]) {
        let reply = send(&desk, &drawing);
        assert_eq!(reply.status, 422, "{}", reply.text());
        assert!(reply.text().contains(drawing.error), "{}", reply.text());
    }
    desk.picture("kittiwake.svg");
}

#[test]
fn two_endless_drawings_at_once_are_ended_and_a_good_one_still_works() {
    let desk = Desk::open();
    let drawing = endless();
    std::thread::scope(|scope| {
        let both = [(); 2].map(|()| scope.spawn(|| send(&desk, &drawing)));
        for reply in both.map(|one| one.join().unwrap()) {
            assert_eq!(reply.status, 422, "{}", reply.text());
            assert!(reply.text().contains(drawing.error), "{}", reply.text());
        }
    });
    desk.picture("kittiwake.svg");
}

/// The one that is given up began last, and is the first to end.
#[test]
#[cfg(target_os = "linux")]
fn the_process_of_a_client_that_leaves_is_ended() {
    let desk = Desk::open();
    let drawing = endless();
    std::thread::scope(|scope| {
        let kept = scope.spawn(|| send(&desk, &drawing));
        let first = desk.wait_for_processes(|drawers| drawers.len() == 1);
        let path = format!("picture?name={}", drawing.name);
        let mut leaving = desk.connect();
        let head = desk.head("POST", &path, drawing.svg.len());
        leaving.write_all(head.as_bytes()).unwrap();
        leaving.write_all(drawing.svg.as_bytes()).unwrap();
        desk.wait_for_processes(|drawers| drawers.len() == 2);
        drop(leaving);
        let left = desk.wait_for_processes(|drawers| drawers.len() < 2);
        assert_eq!(left, first);
        assert_eq!(kept.join().unwrap().status, 422);
    });
    desk.picture("kittiwake.svg");
}
