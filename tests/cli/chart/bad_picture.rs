//! Pictures that cannot be charted: one clear error, and nothing is written.

use super::{CLEAR, Chart, bench, chart, crafted, painted, samples};
use crate::common::{Bench, Run};
use image::ImageFormat;
use std::process::Command;

const CALL: [&str; 6] = ["--palette", "tin.csv", "--rows", "12", "-o", "band.json"];
const TOO_LARGE: &str = "pixels, which is too large\n\
    hint: make it smaller: a few thousand pixels a side are plenty for a band";
const CUT: &str = "the picture is cut short\nhint: copy or export it again";

/// Charts `picture` where the program may not have more than a gigabyte.
fn in_a_gigabyte(bench: &Bench, picture: &str) -> Run {
    let arguments = [&["chart", picture], &CALL[..]].concat();
    if !cfg!(target_os = "linux") {
        return bench.run(&arguments);
    }
    let mut command = Command::new("/bin/sh");
    command
        .args([
            "-c",
            "ulimit -v 1000000; exec \"$@\"",
            "sh",
            env!("CARGO_BIN_EXE_upbead"),
        ])
        .args(&arguments)
        .current_dir(bench.path(""))
        .env_clear()
        .env("HOME", bench.path(""))
        // Each thread reserves room of its own.
        .env("RAYON_NUM_THREADS", "2");
    let output = command.output().expect("a shell");
    bench.ended(&arguments, output)
}

#[test]
fn files_that_are_no_pictures_are_refused() {
    let bench = bench(&["tin.csv"]);
    std::fs::create_dir(bench.path("folder")).unwrap();
    bench.put("empty.png", "");
    bench.put("text.png", "not a picture\n");
    bench.put("page.html", "<html><body>no</body></html>");
    bench.put("one.jpg", [0xFF]);
    let before = bench.listing();
    let none =
        "this is not a picture that can be read\nhint: use PNG, JPEG, WebP, GIF, BMP, TIFF or SVG";
    for (picture, error) in [
        (
            "gone.png",
            "cannot read: no such file or directory\nhint: check the spelling and the folder",
        ),
        (
            "folder",
            "cannot read: is a directory\nhint: name a file, not a folder",
        ),
        (
            "tin.csv/x.png",
            "cannot read: not a directory\nhint: a part of the path is a file, not a folder",
        ),
        (
            "empty.png",
            "the file is empty\nhint: export the picture again",
        ),
        ("text.png", none),
        ("page.html", none),
        ("one.jpg", none),
        (
            "tin.csv",
            "this is a palette, not a picture or a design\nhint: name it with --palette",
        ),
    ] {
        let call = [&["chart", picture], &CALL[..]].concat();
        bench
            .run(&call)
            .fails(1, &format!("error: {picture}: {error}"));
        assert_eq!(bench.listing(), before);
    }
}

#[test]
fn a_fully_transparent_picture_is_refused() {
    let bench = bench(&["tin.csv"]);
    bench.put("clear.png", painted(20, 20, |_, _| CLEAR));
    bench.put(
        "half.png",
        painted(20, 20, |x, _| if x < 10 { CLEAR } else { super::WHITE }),
    );
    let told = "the picture is fully transparent where the band would show it\n\
        hint: choose another part with --crop, or another picture";
    let before = bench.listing();
    bench
        .run(&[&["chart", "clear.png"], &CALL[..]].concat())
        .fails(1, &format!("error: clear.png: {told}"));
    let part = [&["chart", "half.png"], &CALL[..], &["--crop", "0,0,10,20"]].concat();
    bench
        .run(&part)
        .fails(1, &format!("error: half.png: {told}"));
    assert_eq!(bench.listing(), before);
}

#[test]
fn pictures_that_declare_sixty_thousand_pixels_a_side_are_refused_unread() {
    let bench = bench(&["tin.csv"]);
    for (name, bytes) in crafted::huge() {
        assert!(bytes.len() < 1000, "test file is broken: {name}");
        bench.put(name, bytes);
        let told = format!("error: {name}: the picture declares 60,000 x 60,000 {TOO_LARGE}");
        in_a_gigabyte(&bench, name).fails(1, &told);
    }
    assert!(!bench.listing().contains("json"));
}

#[test]
fn small_files_that_unpack_to_gigabytes_are_refused() {
    let bench = bench(&["tin.csv"]);
    let bomb = crafted::black_png(30_000);
    assert!(
        bomb.len() < 8_000_000,
        "test file is broken: {}",
        bomb.len()
    );
    bench.put("bomb.png", bomb);
    let told = format!("error: bomb.png: the picture declares 30,000 x 30,000 {TOO_LARGE}");
    in_a_gigabyte(&bench, "bomb.png").fails(1, &told);
    let memory = "the picture needs too much memory to decode\n\
        hint: keep it under 512 MiB of pixels and 65535 a side";
    bench.put("frame.gif", crafted::gif(10, 60_000));
    in_a_gigabyte(&bench, "frame.gif").fails(1, &format!("error: frame.gif: {memory}"));
    // Half a thousand million strips of one picture.
    let strips = [(273, 4, 500_000_000, 400), (279, 4, 500_000_000, 400)];
    bench.put("strips.tiff", crafted::tiff(10, &strips));
    in_a_gigabyte(&bench, "strips.tiff").fails(1, &format!("error: strips.tiff: {memory}"));
    assert!(!bench.listing().contains("json"));
    // A profile that claims four gigabytes is not there.
    bench.put(
        "profile.tiff",
        crafted::tiff(10, &[(34675, 7, u32::MAX, 400)]),
    );
    in_a_gigabyte(&bench, "profile.tiff").ok();
}

#[test]
fn pictures_without_pixels_are_refused() {
    let bench = bench(&["tin.csv"]);
    bench.put("none.png", crafted::png(0, 8, 2, b""));
    bench.put(
        "none.svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"0\" height=\"9\"/>",
    );
    let before = bench.listing();
    for name in ["none.png", "none.svg"] {
        let run = chart(&bench, name, &["--rows", "12"]);
        assert_eq!(run.status, Some(1), "{}", run.told());
        assert!(run.err.contains("\nhint: "), "{}", run.told());
        assert_eq!(bench.listing(), before);
    }
}

/// Every sample and a picture of each other format.
fn files() -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = samples()
        .into_iter()
        .map(|name| {
            let bytes = std::fs::read(crate::common::repository("samples").join(&name)).unwrap();
            (name, bytes)
        })
        .collect();
    // Noise, so that no decoder can do without the last bytes.
    let noise = image::RgbImage::from_fn(40, 60, |x, y| {
        let word = (x * 7919 + y * 104_729).wrapping_mul(2_654_435_761);
        image::Rgb(word.to_be_bytes()[..3].try_into().unwrap())
    });
    for format in [
        ImageFormat::Gif,
        ImageFormat::Bmp,
        ImageFormat::Tiff,
        ImageFormat::WebP,
    ] {
        let mut bytes = std::io::Cursor::new(Vec::new());
        noise.write_to(&mut bytes, format).unwrap();
        let name = format!("noise.{}", format.extensions_str()[0]);
        files.push((name, bytes.into_inner()));
    }
    files
}

#[test]
fn a_picture_cut_short_anywhere_is_refused_or_charted_whole() {
    const LENGTHS: usize = 25;
    for (name, bytes) in files() {
        let bench = bench(&["tin.csv"]);
        bench.put(&name, &bytes);
        let whole = super::charted(&bench, &name, &["--rows", "12"]);
        std::fs::remove_file(bench.path("band.json")).unwrap();
        let mut refused = 0;
        let near_end = [1, 2, 4, 8, 13].map(|less| bytes.len() - less);
        for length in (1..LENGTHS)
            .map(|at| bytes.len() * at / LENGTHS)
            .chain(near_end)
        {
            bench.put(&name, &bytes[..length]);
            let run = chart(&bench, &name, &["--rows", "12"]);
            assert!(
                !run.err.contains("panicked"),
                "{length} of {name}: {}",
                run.told()
            );
            match run.status {
                Some(0) => {
                    let read = Chart::read(&bench, "band.json");
                    assert_eq!(read.rows, whole.rows, "{length} of {name}");
                    std::fs::remove_file(bench.path("band.json")).unwrap();
                }
                Some(1) => {
                    refused += 1;
                    assert!(
                        run.err.starts_with(&format!("error: {name}: ")),
                        "{}",
                        run.told()
                    );
                    assert!(run.err.contains("\nhint: "), "{}", run.told());
                    assert!(!bench.listing().contains("json"), "{}", run.told());
                }
                _ => panic!("{length} of {name}: {}", run.told()),
            }
        }
        assert!(refused >= LENGTHS - 1, "{name}: only {refused} refused");
    }
}

#[test]
fn a_photograph_or_drawing_cut_in_half_is_called_cut_short() {
    for name in [
        "harbour-dusk.jpg",
        "kittiwake.png",
        "tide-line.png",
        "lobster-pot.png",
    ] {
        let bench = bench(&["tin.csv", name]);
        let bytes = bench.get(name);
        bench.put(name, &bytes[..bytes.len() / 2]);
        let call = [&["chart", name], &CALL[..]].concat();
        bench.run(&call).fails(1, &format!("error: {name}: {CUT}"));
    }
}

/// What a damaged file gives is not decided here: only that it is a chart or an error.
#[test]
fn a_damaged_picture_gives_a_chart_or_an_error() {
    for (name, bytes) in files() {
        let bench = bench(&["tin.csv"]);
        let mut seed = 1u32;
        for _ in 0..25 {
            let mut damaged = bytes.clone();
            for _ in 0..4 {
                // Numerical Recipes' linear congruence, 2nd edition, section 7.1: any would do.
                seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                // More often near the head, where the structure is.
                let reach = if seed & 1 == 0 {
                    damaged.len()
                } else {
                    damaged.len().min(400)
                };
                let at = (seed >> 8) as usize % reach;
                damaged[at] ^= 1 << (seed >> 2 & 7);
            }
            bench.put(&name, &damaged);
            let run = chart(&bench, &name, &["--rows", "12"]);
            assert!(
                !run.err.contains("panicked"),
                "{name}, {seed}: {}",
                run.told()
            );
            match run.status {
                Some(0) => drop(Chart::read(&bench, "band.json")),
                Some(1) => assert!(run.err.contains("\nhint: "), "{}", run.told()),
                _ => panic!("{name}, {seed}: {}", run.told()),
            }
        }
    }
}
