//! Large pictures take turns: what they need together stays within the memory for them.

use super::client::Desk;
use crate::common::huge::{jpeg, webp};
use serde_json::json;

/// A gibibyte, in kilobytes.
const MOST: u64 = 1 << 20;

#[test]
fn eight_pictures_of_160_megapixels_at_once_stay_under_a_gibibyte() {
    let desk = Desk::open();
    let baseline = jpeg(16_000, 10_000, false);
    std::thread::scope(|scope| {
        let all: Vec<_> = (0..8)
            .map(|at| {
                let (desk, jpeg) = (&desk, &baseline);
                scope.spawn(move || desk.post(&format!("picture?name={at}.jpg"), jpeg))
            })
            .collect();
        for one in all {
            let told = one.join().unwrap().ok().json();
            assert_eq!(
                [&told["width"], &told["height"]],
                [&json!(16_000), &json!(10_000)]
            );
        }
    });
    let (_, most) = desk.memory();
    assert!(most < MOST, "{most} kB at most");
}

/// Some decoders hold far more than the pixels.
#[test]
fn pictures_whose_decoder_needs_too_much_are_refused() {
    let desk = Desk::open();
    for (name, bytes, needed) in [
        ("tide.webp", webp(16_000, 10_000), "1069"),
        ("tide.jpg", jpeg(16_000, 10_000, true), "1374"),
    ] {
        let error = format!(
            "the picture of 16,000 x 10,000 pixels takes {needed} MiB of memory to read; at most \
             640 are allowed"
        );
        desk.post(&format!("picture?name={name}"), &bytes)
            .fails(422, &error);
    }
    let (_, most) = desk.memory();
    assert!(most < MOST / 4, "{most} kB at most");
    desk.post("picture?name=tide.webp", &webp(400, 300)).ok();
    desk.post("picture?name=tide.jpg", &jpeg(400, 300, true))
        .ok();
}
