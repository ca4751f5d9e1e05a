//! `upbead palette from-photo`.

use crate::common::tray::{Tray, bulb};
use crate::common::{Bench, golden, repository};
use crate::schema::suits;
use std::fs;
use std::sync::LazyLock;
use upbead::colour::{Light, light, read_hex};

/// A tray of 6 by 4 small piles, for commands that only have to run. Photographed once.
pub fn small() -> &'static [u8] {
    static SMALL: LazyLock<Vec<u8>> = LazyLock::new(photographed);
    &SMALL
}

fn photographed() -> Vec<u8> {
    let mut tray = Tray::new(480, 320);
    for at in 0..24 {
        let x = 40.0 + 80.0 * (at % 6) as f64;
        let y = 40.0 + 80.0 * (at / 6) as f64;
        let code = format!(
            "{:02X}{:02X}{:02X}",
            40 + 8 * at,
            220 - 8 * at,
            30 + 50 * (at % 4)
        );
        tray.pile(x, y, 24.0, colour(&code));
    }
    tray.photograph(bulb, 1.0)
}

fn colour(hex: &str) -> Light {
    light(read_hex(hex).unwrap())
}

/// Four colours of the shipped tin: three in a row and one below.
pub(crate) fn four() -> Vec<u8> {
    let mut tray = Tray::new(900, 600);
    for ((x, y), hex) in [
        ((160.0, 150.0), "CD2626"),
        ((450.0, 165.0), "1C3261"),
        ((740.0, 155.0), "D7BC92"),
        ((300.0, 430.0), "2D847B"),
    ] {
        tray.pile(x, y, 75.0, colour(hex));
    }
    tray.photograph(bulb, 2.0)
}

#[test]
fn a_photograph_becomes_a_palette_that_charts() {
    let bench = Bench::new();
    bench.put("tray.png", four());
    let run = bench
        .run(&["palette", "from-photo", "tray.png", "-o", "owned.csv"])
        .ok();
    let both = format!(
        "{}
{}",
        run.out,
        bench.text("owned.csv")
    );
    golden("palette/photo.txt", both.as_bytes());
    let read = bench.run(&["palette", "owned.csv", "--json"]).ok().json();
    assert_eq!(read["colours"][0]["extra"]["sure"], "yes");
    let picture = fs::read(repository("samples/tide-line.png")).unwrap();
    bench.put("tide.png", picture);
    bench
        .line("chart --match nearest tide.png --palette owned.csv --rows 72")
        .ok();
}

/// A grid has all of its places, in doubt where nothing lies: the fourth pile lies between two.
#[test]
fn piles_are_named_by_spots_or_by_a_grid() {
    let bench = Bench::new();
    bench.put("tray.png", four());
    let spots = "160,150;450,165;740,155;300,430";
    let json = bench
        .line(&format!(
            "palette from-photo tray.png --spots {spots} --white 600,420 -o b.csv --json"
        ))
        .ok()
        .json();
    suits("photo", &json);
    assert_eq!(json["piles"].as_array().unwrap().len(), 4);
    assert_eq!(json["piles"][1]["doubts"], serde_json::json!([]));
    assert_eq!(json["piles"][1]["name"], "navy");
    let run = bench
        .run_with(&["palette", "from-photo", "-", "--grid", "3x2"], &four())
        .ok();
    assert!(
        run.out.starts_with("code,name,hex,sure\np-01,red,"),
        "{}",
        run.told()
    );
    assert!(
        run.err
            .starts_with("palette: 6 colours from standard input\n"),
        "{}",
        run.told()
    );
    assert_eq!(
        run.out.matches("like the paper").count(),
        3,
        "{}",
        run.told()
    );
}

#[test]
fn the_same_photograph_gives_the_same_bytes_on_one_thread_and_on_four() {
    let bench = Bench::new();
    bench.put("tray.png", small());
    let mut first: Option<Vec<u8>> = None;
    for threads in ["1", "4"] {
        let call = [
            "palette",
            "from-photo",
            "tray.png",
            "--grid",
            "6x4",
            "-o",
            "a.csv",
            "--force",
        ];
        let output = bench
            .command(&call)
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap();
        bench.ended(&call, output).ok();
        let bytes = bench.get("a.csv");
        assert!(first.get_or_insert(bytes.clone()) == &bytes);
    }
}

#[test]
fn a_palette_file_called_from_photo_can_still_be_read() {
    let bench = Bench::new();
    bench.put("from-photo", "code,name,hex\nx,flint,838383\n");
    let run = bench.run(&["palette", "./from-photo"]).ok();
    assert!(
        run.out.starts_with("from-photo: 1 colour\n"),
        "{}",
        run.told()
    );
}

fn fails(bench: &Bench, more: &[&str], status: i32, error: &str) {
    let call = [&["palette", "from-photo"], more, &["-o", "a.csv"]].concat();
    bench.run(&call).fails(status, &format!("error: {error}"));
}

#[test]
fn places_that_are_not_on_the_photograph_are_refused() {
    let bench = Bench::new();
    bench.put("tray.png", four());
    let fails = |more: &[&str], status, error: &str| fails(&bench, more, status, error);
    fails(
        &["tray.png", "--grid", "6"],
        2,
        "--grid: '6' is not a grid of piles\n\
         hint: give columns and rows, such as 6x4; 1000 piles at most",
    );
    for grid in ["0x4", "-1x4", "100x100", "x", "6x"] {
        let told = format!(
            "--grid: '{grid}' is not a grid of piles\n\
             hint: give columns and rows, such as 6x4; 1000 piles at most"
        );
        fails(&["tray.png", "--grid", grid], 2, &told);
    }
    fails(
        &["tray.png", "--spots", "120,80;kelp"],
        2,
        "--spots: 'kelp' is not a spot\n\
         hint: give pixels from the left and from the top, such as \"120,80;340,90\"",
    );
    fails(
        &["tray.png", "--spots", "120,80;900,90"],
        2,
        "--spots: 900,90 lies outside the photograph of 900 x 600 pixels\n\
         hint: count pixels from the left and from the top of the upright photograph",
    );
    fails(
        &["tray.png", "--white", "1"],
        2,
        "--white: '1' is not a place\n\
         hint: give pixels from the left and from the top, such as 40,25",
    );
    fails(
        &["tray.png", "--white", "5,-1"],
        2,
        "--white: 5,-1 lies outside the photograph of 900 x 600 pixels\n\
         hint: count pixels from the left and from the top of the upright photograph",
    );
    fails(
        &["tray.png", "--grid", "6x4", "--spots", "120,80"],
        2,
        "--spots: a grid and spots cannot both say where the piles are\n\
         hint: leave out --grid or --spots",
    );
}

#[test]
fn photographs_without_piles_or_paper_are_refused() {
    let bench = Bench::new();
    bench.put("empty.png", Tray::new(300, 200).photograph(bulb, 1.0));
    bench.put("tiny.png", Tray::new(20, 20).photograph(bulb, 1.0));
    bench.put("noise.png", Tray::new(200, 200).photograph(bulb, 120.0));
    bench.put("cut.png", &four()[..900]);
    let fails = |more: &[&str], status, error: &str| fails(&bench, more, status, error);
    fails(
        &["empty.png"],
        1,
        "empty.png: no piles were found on the paper\n\
         hint: say where they are with --grid COLUMNSxROWS or --spots X,Y;..",
    );
    fails(
        &["tiny.png"],
        1,
        "tiny.png: a photograph of 20 x 20 pixels shows no beads\n\
         hint: give one of at least a few hundred pixels a side",
    );
    fails(
        &["noise.png"],
        1,
        "noise.png: no white paper was found round the piles\n\
         hint: lay the beads on plain white paper with gaps between, or say where it is with \
         --white X,Y",
    );
    fails(
        &["cut.png"],
        1,
        "cut.png: the picture is cut short\nhint: copy or export it again",
    );
}

#[test]
fn files_that_are_there_are_not_written_over() {
    let bench = Bench::new();
    bench.put("tray.png", four());
    bench
        .line("palette from-photo tray.png -o tray.png --force")
        .fails(
            2,
            "error: -o: 'tray.png' is read and cannot be written over\nhint: choose another name",
        );
    bench.put("a.csv", "mine");
    fails(
        &bench,
        &["tray.png"],
        1,
        "a.csv: the file exists\nhint: choose another name, or add --force to replace it",
    );
    assert_eq!(bench.text("a.csv"), "mine");
}
