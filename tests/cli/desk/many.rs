//! Many requests at once: which are replaced, what is cached and dropped, memory, and the end.

use super::client::{Desk, Reply};
use crate::common::repository;
use serde_json::{Value, json};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// Two hundred at once, of every kind: all are answered, and rightly.
#[test]
fn two_hundred_requests_at_once_are_all_answered() {
    let desk = Desk::open();
    let (picture, palette) = (desk.picture("tide-line.png"), desk.palette("tin.csv"));
    let wish = json!({ "picture": picture, "palette": { "id": palette }, "size": "us7" });
    let expected = desk.chart(&wish);
    let answered = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        for at in 0..200 {
            let (desk, wish, expected, answered) = (&desk, &wish, &expected, &answered);
            scope.spawn(move || {
                match at % 5 {
                    0 => assert!(desk.chart(wish) == *expected),
                    1 => assert_eq!(
                        desk.ask("facts", &json!({ "chart": expected })).ok().json()["kit"]["make"],
                        1
                    ),
                    2 => drop(desk.get("begin").ok()),
                    3 => drop(desk.post("read", expected.as_bytes()).ok()),
                    _ => drop(desk.post("chart", b"{").fails(
                        400,
                        "the request cannot be read: EOF while parsing an object",
                    )),
                }
                answered.fetch_add(1, Ordering::Relaxed);
            });
        }
    });
    assert_eq!(answered.into_inner(), 200);
    assert!(desk.chart(&wish) == expected);
}

/// A burst of changes in one lane: the last is answered, each of the others is answered or said to
/// be replaced, and none waits for work that nobody wants.
#[test]
fn newer_changes_replace_older_ones() {
    let desk = Desk::open();
    let (picture, palette) = (
        desk.picture("harbour-dusk.jpg"),
        desk.palette("harbour.csv"),
    );
    let wish = |rows: u32| {
        json!({
            "picture": picture,
            "palette": { "id": palette },
            "columns": 81,
            "rows": rows,
            "colours": 12,
            "match": "nearest",
        })
    };
    let replies: Vec<(u64, u16, Value)> = std::thread::scope(|scope| {
        let waiting: Vec<_> = (1..=12)
            .map(|n: u64| {
                let (desk, wish) = (&desk, wish(200 + 2 * n as u32));
                let one = scope.spawn(move || {
                    let reply = desk.ask(&format!("chart?lane=chart-a&n={n}"), &wish);
                    (n, reply.status, reply.json())
                });
                std::thread::sleep(Duration::from_millis(8));
                one
            })
            .collect();
        waiting.into_iter().map(|one| one.join().unwrap()).collect()
    });
    let mut stale = 0;
    for (n, status, told) in &replies {
        match status {
            200 => assert_eq!(
                (&told["n"], &told["summary"]["rows"]),
                (&json!(n), &json!(200 + 2 * n))
            ),
            409 => {
                assert_eq!(
                    *told,
                    json!({ "error": { "what": "a newer change replaced this" }, "stale": true })
                );
                stale += 1;
            }
            _ => panic!("{status} {told}"),
        }
    }
    assert_eq!(replies.last().unwrap().1, 200);
    assert!(stale > 0, "nothing was replaced");
    // Whatever comes too late is stale at once; other lanes and a lane's own number are not.
    assert_eq!(desk.ask("chart?lane=chart-a&n=11", &wish(80)).status, 409);
    desk.ask("chart?lane=chart-a&n=12", &wish(80)).ok();
    desk.ask("chart?lane=chart-b&n=1", &wish(80)).ok();
    desk.ask("chart", &wish(80)).ok();
    desk.ask("chart?lane=chart-a", &wish(80))
        .fails(400, "a lane needs a name and a number");
    assert_eq!(desk.ask("chart?lane=chart-a&n=x", &wish(80)).status, 400);
}

/// Work that the desk has done, in the system's ticks of processor time.
#[cfg(target_os = "linux")]
fn worked(desk: &Desk) -> u64 {
    let stat = std::fs::read_to_string(format!("/proc/{}/stat", desk.pid())).unwrap();
    let (_, fields) = stat.rsplit_once(") ").unwrap();
    // proc(5): utime and stime are the 14th and 15th field, the state that stands first here the
    // 3rd.
    let fields: Vec<&str> = fields.split(' ').collect();
    fields[11].parse::<u64>().unwrap() + fields[12].parse::<u64>().unwrap()
}

/// Waits until the desk has worked up to a number of ticks, or has nothing left to work on.
#[cfg(target_os = "linux")]
fn wait_for_work(desk: &Desk, ticks: u64) {
    let (mut last, mut same) = (worked(desk), 0);
    while last < ticks && same < 20 {
        std::thread::sleep(Duration::from_millis(20));
        let now = worked(desk);
        same = if now == last { same + 1 } else { 0 };
        last = now;
    }
}

/// Twenty changes of a panel, each sent when the one before it is a twentieth done: all of them and
/// what they leave behind take less than six times the work of one. The desk's ticks are counted,
/// not time, so that a busy machine changes nothing.
#[cfg(target_os = "linux")]
#[test]
fn work_that_was_replaced_ends_soon() {
    let desk = Desk::open();
    let (picture, palette) = (desk.picture("harbour-dusk.jpg"), desk.palette("tin.csv"));
    let wish = |strength: f64| {
        json!({
            "picture": picture,
            "palette": { "id": palette },
            "columns": 41,
            "rows": 150,
            "refine": true,
            "calm": strength,
            "seen": 700,
        })
    };
    let before = worked(&desk);
    let alone = desk.chart(&wish(0.5));
    let one = worked(&desk) - before;
    assert!(one >= 20, "test is broken: one chart takes {one} ticks");
    let before = worked(&desk);
    let last = std::thread::scope(|scope| {
        let mut all = Vec::new();
        for n in 1..=20_u32 {
            let (desk, wish) = (&desk, wish(if n == 20 { 0.5 } else { f64::from(n) / 40.0 }));
            let begun = worked(desk);
            all.push(scope.spawn(move || desk.ask(&format!("chart?lane=panel&n={n}"), &wish)));
            wait_for_work(desk, begun + one / 20);
        }
        all.pop().unwrap().join().unwrap().ok().json()
    });
    assert!(last["text"] == json!(alone), "what comes of it is the same");
    // Whatever of the others goes on behind the answer counts too, up to the bound.
    wait_for_work(&desk, before + 6 * one);
    let all = worked(&desk) - before;
    assert!(
        all < 6 * one,
        "twenty changes take {all} ticks, one takes {one}"
    );
}

#[test]
fn the_last_four_pictures_are_kept_and_older_ones_are_requested_again() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let first = desk.picture("tide-line.png");
    let wish = json!({ "picture": first, "palette": { "id": palette }, "size": "us7" });
    let chart = desk.chart(&wish);
    let others: Vec<String> = [
        "kittiwake.png",
        "lighthouse.png",
        "lobster-pot.png",
        "harbour-dusk.jpg",
    ]
    .map(|name| desk.picture(name))
    .into();
    let gone = desk.ask("chart?lane=a&n=1", &wish);
    assert_eq!(
        (gone.status, gone.json()["gone"].clone()),
        (410, json!(true))
    );
    for id in &others {
        desk.get(&format!("picture/{id}?width=40")).ok();
    }
    assert_eq!(desk.picture("tide-line.png"), first);
    assert_eq!(
        desk.ask("chart?lane=a&n=1", &wish).ok().json()["text"],
        json!(chart)
    );
    let unknown = desk.ask(
        "chart",
        &json!({ "palette": { "id": "0".repeat(64) }, "size": "us7" }),
    );
    unknown.fails(410, "this palette is no longer kept");
}

/// Pictures of 3 MB and more, all different: what is kept stays bounded, and so does what the
/// system gives.
#[cfg(target_os = "linux")]
#[test]
fn two_hundred_pictures_do_not_fill_the_memory() {
    let desk = Desk::open();
    // An uncompressed TIFF-like weight without its work: a BMP of 1000 x 1000.
    let picture = image::RgbImage::from_fn(1000, 1000, |x, y| {
        image::Rgb([x as u8, y as u8, (x ^ y) as u8])
    });
    let mut bmp = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bmp, image::ImageFormat::Bmp).unwrap();
    let bmp = bmp.into_inner();
    assert!(bmp.len() > 3_000_000, "test file is broken");
    std::thread::scope(|scope| {
        for worker in 0..4_u8 {
            let (desk, mut bmp) = (&desk, bmp.clone());
            scope.spawn(move || {
                for at in 0..50_u8 {
                    let end = bmp.len();
                    bmp[end - 2..].copy_from_slice(&[worker, at]);
                    desk.post("picture?name=many.bmp", &bmp).ok();
                }
            });
        }
    });
    let (now, most) = desk.memory();
    // 600 MB went through. Kept: 4 files and the pixels of one, 15 MB; at most four bodies with two
    // decoded at once on top.
    assert!(
        now < 150_000 && most < 250_000,
        "{now} kB now, {most} kB at most"
    );
    let gif = std::fs::read(repository("samples/tide-line.png")).unwrap();
    desk.post("picture?name=after.png", &gif).ok();
}

/// The long work that is going on gets no answer: the desk has not waited for it.
#[cfg(unix)]
#[test]
fn it_ends_without_waiting_for_long_work_or_idle_connections() {
    for signal in ["INT", "TERM"] {
        let desk = Desk::open();
        let (picture, palette) = (
            desk.picture("harbour-dusk.jpg"),
            desk.palette("harbour.csv"),
        );
        let wish = json!({
            "picture": picture,
            "palette": { "id": palette },
            "columns": 301,
            "rows": 1000,
            "colours": 30,
        })
        .to_string();
        // One connection that says nothing, one that has begun, and one that waits for long work.
        let idle = desk.connect();
        let mut begun = desk.connect();
        std::io::Write::write_all(&mut begun, desk.head("POST", "facts", 500).as_bytes()).unwrap();
        let mut working = desk.connect();
        std::io::Write::write_all(
            &mut working,
            format!("{}{wish}", desk.head("POST", "chart", wish.len())).as_bytes(),
        )
        .unwrap();
        std::thread::sleep(Duration::from_millis(150));
        desk.signal(signal);
        assert_eq!(desk.ended(), Some(0), "{signal}");
        let mut answer = Vec::new();
        let _ = working.read_to_end(&mut answer);
        let answer = String::from_utf8_lossy(&answer);
        assert_eq!(answer, "", "{signal}: the work was short");
        drop((idle, begun));
    }
}

/// A request that has begun is still answered, and no other.
#[cfg(unix)]
#[test]
fn a_request_in_progress_is_still_answered_at_the_end() {
    let desk = Desk::open();
    let palette = desk.palette("tin.csv");
    let wish = json!({ "palette": { "id": palette }, "size": "us7" }).to_string();
    let (first, rest) = wish.split_at(10);
    let mut begun = desk.connect();
    let head = desk.head("POST", "chart", wish.len());
    begun
        .write_all(format!("{head}{first}").as_bytes())
        .unwrap();
    std::thread::sleep(Duration::from_millis(100));
    desk.signal("TERM");
    while TcpStream::connect(("127.0.0.1", desk.port)).is_ok() {
        std::thread::sleep(Duration::from_millis(5));
    }
    begun.write_all(rest.as_bytes()).unwrap();
    let told = Reply::read(&mut begun).ok().json();
    assert_eq!(told["summary"]["rows"], 72);
    assert_eq!(desk.ended(), Some(0));
}
