//! Many requests at once, lanes, what is kept and what is dropped, memory, and the end.

use super::client::{Desk, Reply};
use crate::common::repository;
use serde_json::{Value, json};
use std::io::Write;
use std::net::TcpStream;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

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

/// A burst of changes in one lane: the last is answered, each of the others is answered or said to be replaced, and none waits for work that nobody wants.
#[test]
fn newer_changes_replace_older_ones() {
    let desk = Desk::open();
    let (picture, palette) = (
        desk.picture("harbour-dusk.jpg"),
        desk.palette("harbour.csv"),
    );
    let wish = |rows: u32| json!({ "picture": picture, "palette": { "id": palette }, "columns": 81, "rows": rows, "colours": 12 });
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

/// Processor time that the desk has used, in seconds.
#[cfg(target_os = "linux")]
fn worked(desk: &Desk) -> f64 {
    let told = std::fs::read_to_string(format!("/proc/{}/stat", desk.pid())).unwrap();
    let (_, fields) = told.rsplit_once(") ").unwrap();
    // proc(5): utime and stime are the 14th and 15th field, in hundredths of a second.
    let fields: Vec<f64> = fields
        .split(' ')
        .filter_map(|word| word.parse().ok())
        .collect();
    (fields[10] + fields[11]) / 100.0
}

/// Twenty changes of a panel, each a second's work and more: the work on those that were replaced ends soon after. Processor time is counted, so that a busy
/// machine changes nothing.
#[cfg(target_os = "linux")]
#[test]
fn work_that_was_replaced_ends_soon() {
    let desk = Desk::open();
    let (picture, palette) = (desk.picture("harbour-dusk.jpg"), desk.palette("tin.csv"));
    let wish = |strength: f64| json!({ "picture": picture, "palette": { "id": palette }, "columns": 81, "rows": 240, "refine": true, "calm": strength, "seen": 700 });
    let before = worked(&desk);
    let alone = desk.chart(&wish(0.5));
    let one = worked(&desk) - before;
    assert!(one > 0.5, "test is broken: one chart took {one} s");
    let before = worked(&desk);
    let last = std::thread::scope(|scope| {
        let mut all = Vec::new();
        for n in 1..=20_u32 {
            let (desk, wish) = (&desk, wish(if n == 20 { 0.5 } else { f64::from(n) / 40.0 }));
            all.push(scope.spawn(move || desk.ask(&format!("chart?lane=panel&n={n}"), &wish)));
            std::thread::sleep(Duration::from_millis(60));
        }
        all.pop().unwrap().join().unwrap().ok().json()
    });
    assert!(last["text"] == json!(alone), "what comes of it is the same");
    // Nothing of the others goes on behind the answer for long.
    std::thread::sleep(Duration::from_millis(1500));
    let all = worked(&desk) - before;
    std::thread::sleep(Duration::from_millis(500));
    assert!(worked(&desk) - before - all < 0.1, "old work goes on");
    assert!(
        all < 6.0 * one,
        "twenty changes took {all:.1} s of work, one takes {one:.1} s"
    );
}

#[test]
fn the_last_four_pictures_are_kept_and_others_are_asked_for_again() {
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

/// Pictures of 3 MB and more, all different: what is kept stays bounded, and so does what the system gives.
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
    // 600 MB went through. Kept: 4 files and the pixels of one, 15 MB; at most four bodies with two decoded at once on top.
    assert!(
        now < 150_000 && most < 250_000,
        "{now} kB now, {most} kB at most"
    );
    let gif = std::fs::read(repository("samples/tide-line.png")).unwrap();
    desk.post("picture?name=after.png", &gif).ok();
}

#[cfg(unix)]
#[test]
fn it_ends_within_a_second_whatever_is_going_on() {
    for signal in ["INT", "TERM"] {
        let desk = Desk::open();
        let (picture, palette) = (
            desk.picture("harbour-dusk.jpg"),
            desk.palette("harbour.csv"),
        );
        let wish = json!({ "picture": picture, "palette": { "id": palette }, "columns": 301, "rows": 1000, "colours": 30 }).to_string();
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
        let asked = Instant::now();
        desk.signal(signal);
        assert_eq!(desk.ended(), Some(0), "{signal}");
        let took = asked.elapsed();
        assert!(took < Duration::from_secs(1), "{signal}: {took:?}");
        drop((idle, begun, working));
    }
}

/// A request that has begun is still answered, and no other.
#[cfg(unix)]
#[test]
fn an_answer_under_way_is_still_given() {
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
    std::thread::sleep(Duration::from_millis(100));
    assert!(TcpStream::connect(("127.0.0.1", desk.port)).is_err());
    begun.write_all(rest.as_bytes()).unwrap();
    let told = Reply::read(&mut begun).ok().json();
    assert_eq!(told["summary"]["rows"], 74);
    assert_eq!(desk.ended(), Some(0));
}
