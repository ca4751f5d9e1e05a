//! Pictures on the desk's page: upright, small, in sRGB.

use super::client::Desk;
use super::same_bytes::prepared;
use crate::common::{number, repository, table};
use serde_json::json;

#[test]
fn previews_are_upright_and_small() {
    let desk = prepared();
    let id = desk.picture("harbour-dusk.jpg");
    let told = desk
        .post("picture?name=a.jpg", &desk.bench.get("harbour-dusk.jpg"))
        .ok()
        .json();
    assert_eq!(told["id"], json!(id));
    assert_eq!(told["mime"], "image/jpeg");
    let reply = desk.get(&format!("picture/{id}?width=120")).ok();
    assert_eq!(reply.header("content-type"), Some("image/png"));
    let little = image::load_from_memory(&reply.body).unwrap();
    let (width, height) = (
        told["width"].as_f64().unwrap(),
        told["height"].as_f64().unwrap(),
    );
    assert_eq!(little.width(), 120);
    assert_eq!(little.height(), (120.0 * height / width).round() as u32);
    // By another way: the decoder's own picture, scaled by the same library, in sRGB.
    let whole = image::load_from_memory(&desk.bench.get("harbour-dusk.jpg")).unwrap();
    let expected = whole
        .resize_exact(120, little.height(), image::imageops::FilterType::Triangle)
        .to_rgb8();
    let worst = little
        .to_rgb8()
        .iter()
        .zip(expected.iter())
        .map(|(one, other)| one.abs_diff(*other))
        .max();
    assert!(worst <= Some(1), "{worst:?}");
    desk.get(&format!("picture/{id}?width=0"))
        .fails(400, "a preview cannot be 0 pixels wide");
    desk.get("picture/abc")
        .fails(410, "this picture is no longer kept");
}

/// Against values by independent programs, as in `tables/profiles.rs`; 8-bit levels add 0.005, as
/// the head of the table says.
#[test]
fn previews_honour_orientation_and_profiles() {
    let desk = Desk::open();
    let linear = |level: u8| match f64::from(level) / 255.0 {
        low if low <= 0.04045 => low / 12.92,
        level => ((level + 0.055) / 1.055).powf(2.4),
    };
    let mut files: std::collections::BTreeMap<String, image::RgbImage> = Default::default();
    for row in table("profiles.csv") {
        let file = row["file"].clone();
        let little = files.entry(file.clone()).or_insert_with(|| {
            let bytes = std::fs::read(repository("tests/data/profiles").join(&file)).unwrap();
            let told = desk
                .post(&format!("picture?name={file}"), &bytes)
                .ok()
                .json();
            let id = told["id"].as_str().unwrap();
            let preview = desk.get(&format!("picture/{id}")).ok();
            let little = image::load_from_memory(&preview.body).unwrap().to_rgb8();
            assert_eq!(
                json!([little.width(), little.height()]),
                json!([told["width"], told["height"]])
            );
            little
        });
        let pixel = little.get_pixel(number(&row, "x") as u32, number(&row, "y") as u32);
        let tolerance = number(&row, "tolerance") + 0.005;
        for (level, column) in pixel.0.into_iter().zip(["r", "g", "b"]) {
            let off = (linear(level) - number(&row, column).clamp(0.0, 1.0)).abs();
            assert!(off <= tolerance, "{row:?}: {column} {}", linear(level));
        }
    }
    assert!(files.len() >= 30, "test file is broken");
}

/// Every kind of file that can be charted can be previewed.
#[test]
fn every_picture_that_is_read_has_a_preview() {
    let desk = Desk::open();
    let mut seen = 0;
    for entry in std::fs::read_dir(repository("tests/data/odd")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        if name.ends_with(".md") {
            continue;
        }
        let told = desk.post(
            &format!("picture?name={name}"),
            &std::fs::read(&path).unwrap(),
        );
        if name.starts_with("unread-") {
            assert_eq!(told.status, 422, "{name}: {}", told.text());
            continue;
        }
        let id = told.ok().json()["id"].as_str().unwrap().to_string();
        let preview = desk.get(&format!("picture/{id}?width=8")).ok();
        assert_eq!(
            image::load_from_memory(&preview.body).unwrap().width(),
            8,
            "{name}"
        );
        seen += 1;
    }
    assert!(seen > 30, "test file is broken");
}
