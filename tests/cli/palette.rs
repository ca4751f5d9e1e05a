//! `upbead palette`.

use crate::common::{Bench, golden, repository};
use crate::schema::suits;
use std::fs;
use upbead::cancel::Cancel;
use upbead::colour::ciede2000;
use upbead::output;
use upbead::palette::{Tone, alike, read};
use upbead::report::palette::PaletteReport;
use upbead::request::PaletteRequest;

/// Heads in any order and case, wide and combining letters, quotes, a control character, a last
/// column that is empty.
const WIDE: &str = "Hex, NAME ,code,box,grams,\r\n\
    #faFAf6,海の白,1,a,2.25,\r\n\
    2f5d50,\"kelp, \"\"wet\"\"\",22,b,10,\r\n\
    2f5d51,e\u{301}t\u{e9}\u{1b}[31m,333,,,\r\n";

fn shipped(name: &str) -> Vec<u8> {
    fs::read(repository("palettes").join(name)).unwrap()
}

#[test]
fn shipped_palettes_are_read_without_a_warning() {
    let bench = Bench::new();
    for (name, count) in [("tin.csv", 12), ("shelf.csv", 48), ("harbour.csv", 240)] {
        bench.put(name, shipped(name));
        let json = bench.run(&["palette", name, "--json"]).ok().json();
        suits("palette", &json);
        assert_eq!(json["colours"].as_array().unwrap().len(), count, "{name}");
        assert_eq!(json["pairs_count"], 0, "{name}");
    }
}

#[test]
fn a_palette_is_printed_as_a_table_without_escapes_where_there_is_no_terminal() {
    let bench = Bench::new();
    bench.put("tin.csv", shipped("tin.csv"));
    let run = bench.run(&["palette", "tin.csv", "--below", "15"]).ok();
    golden("palette/tin.txt", &run.bytes);
    let run = bench.run_with(&["palette", "-"], &shipped("tin.csv")).ok();
    assert!(
        run.out.starts_with("standard input: 12 colours\n"),
        "{}",
        run.told()
    );
}

#[test]
fn columns_line_up_by_the_width_of_their_letters() {
    let bench = Bench::new();
    bench.put("wide.csv", WIDE);
    let run = bench.run(&["palette", "wide.csv"]).ok();
    golden("palette/wide.txt", &run.bytes);
}

#[test]
fn json_has_every_field_and_the_columns_of_the_owner() {
    let bench = Bench::new();
    bench.put("wide.csv", WIDE);
    let json = bench.run(&["palette", "wide.csv", "--json"]).ok();
    golden("palette/wide.json", &json.bytes);
}

#[test]
fn a_terminal_gets_swatches() {
    let text = String::from_utf8(shipped("tin.csv")).unwrap();
    let palette = read::read(&text, "tin").unwrap();
    let request = PaletteRequest {
        below: Some("15".parse().unwrap()),
    };
    let report = PaletteReport::side_by_side(&palette, &request, &Cancel::default()).unwrap();
    let with = output::palette::text(&report, true);
    assert!(
        with.contains("\n\u{1b}[48;2;250;250;246m    \u{1b}[0m  quay-01   gull white"),
        "{with}"
    );
    assert!(
        with.contains("\u{1b}[48;2;215;188;146m  \u{1b}[0m\u{1b}[48;2;200;154;63m  \u{1b}[0m"),
        "{with}"
    );
}

#[test]
fn gimp_palettes_are_read_and_give_codes() {
    let bench = Bench::new();
    bench.put(
        "tide.gpl",
        "GIMP Palette\n\
         Name: Low Tide\n\
         Columns: 2\n\
         # from a photograph\n \
         47  93  80\tKelp\n \
         48  93  80\tKelp\n\
         250 250 246\tUntitled\n",
    );
    let run = bench.run(&["palette", "tide.gpl"]).ok();
    golden("palette/tide.txt", &run.bytes);
}

#[test]
fn ten_thousand_colours_are_printed_with_pairs_few_enough_to_read() {
    let mut text = String::from("code,name,hex\n");
    for at in 0u32..10_000 {
        // Steps of an odd number visit every colour once; the pattern has no meaning.
        let hex = at.wrapping_mul(9_301_633) % (1 << 24);
        text += &format!("c{at},colour {at},{hex:06x}\n");
    }
    let bench = Bench::new();
    bench.put("many.csv", &text);
    let run = bench.run(&["palette", "many.csv"]).ok();
    assert!(run.out.lines().count() < 10_040, "{}", run.told());
    let json = bench.run(&["palette", "many.csv", "--json"]).ok().json();
    let pairs = json["pairs"].as_array().unwrap();
    assert_eq!(json["pairs_count"], pairs.len());
    assert!(pairs.len() > 20 && run.out.contains(" more; --json lists them"));
}

#[test]
fn more_colours_than_a_chart_can_number_are_refused() {
    let mut text = String::from("code,name,hex\n");
    for at in 0..65_536 {
        text += &format!("c{at},colour,2F5D50\n");
    }
    let error = read::read(&text, "many").unwrap_err();
    assert_eq!(
        error.file("many.csv".as_ref()).to_string(),
        "many.csv:65537:1: the palette has more than 65,535 colours\n\
         hint: leave out the colours that you will not use"
    );
    let fewer = text.rsplit_once("c65535").unwrap().0;
    assert_eq!(read::read(fewer, "many").unwrap().colours().len(), 65_535);
}

#[test]
fn differences_out_of_range_are_refused() {
    let bench = Bench::new();
    bench.put("tin.csv", shipped("tin.csv"));
    for word in ["-1", "NaN", "inf", "21", "3,5", ""] {
        let told = format!(
            "error: --below: '{word}' is not a difference\n\
             hint: give a number from 0 to 20, such as 3"
        );
        bench
            .run(&["palette", "tin.csv", "--below", word])
            .fails(2, &told);
    }
    bench.run(&["palette", "tin.csv", "--below", "0"]).ok();
}

#[test]
fn a_missing_file_is_named() {
    Bench::new().run(&["palette", "gone.csv"]).fails(
        1,
        "error: gone.csv: cannot read: no such file or directory\n\
         hint: check the spelling and the folder",
    );
}

#[test]
fn a_palette_cut_short_anywhere_gives_an_error_or_whole_colours() {
    let text = String::from_utf8(shipped("shelf.csv")).unwrap();
    let whole = read::read(&text, "shelf").unwrap();
    for end in 0..text.len() {
        if let Ok(cut) = read::read(&text[..end], "shelf") {
            let (last, before) = cut.colours().split_last().unwrap();
            assert_eq!(before, &whole.colours()[..before.len()]);
            assert_eq!(last.code, whole.colours()[before.len()].code);
        }
    }
}

/// The pairs of all, the closest first.
fn all_pairs(tones: &[Tone], below: f64) -> Vec<(f64, usize, usize)> {
    let mut all = Vec::new();
    for other in 0..tones.len() {
        for one in 0..other {
            let difference = ciede2000(tones[one].lab, tones[other].lab);
            let back = ciede2000(tones[other].lab, tones[one].lab);
            assert_eq!(
                difference.to_bits(),
                back.to_bits(),
                "the formula is symmetric"
            );
            if difference < below {
                all.push((difference, one, other));
            }
        }
    }
    all.sort_by(|a, b| a.partial_cmp(b).unwrap());
    all
}

#[track_caller]
fn pairs_equal_all(tones: &[Tone], below: f64) {
    let all = all_pairs(tones, below);
    let found = alike(tones, below, &Cancel::default()).unwrap();
    let pairs: Vec<_> = found
        .pairs
        .iter()
        .map(|p| (p.difference, p.one, p.other))
        .collect();
    assert_eq!(pairs, all[..all.len().min(100_000)], "below {below}");
    assert_eq!((found.count, found.below), (all.len(), below));
}

#[test]
fn the_pairs_equal_those_found_by_trying_all() {
    let text = String::from_utf8(shipped("harbour.csv")).unwrap();
    let tones = read::read(&text, "harbour").unwrap().tones();
    for below in [0.0, 3.5, 5.0, 12.0, 20.0] {
        pairs_equal_all(&tones, below);
    }
}

/// Colours that stand in a palette several times, among near ones; and more pairs than are listed.
#[test]
fn the_pairs_of_equal_colours_equal_those_found_by_trying_all() {
    let palette = |count: usize, shades: usize| {
        let mut text = "code,name,hex\n".to_string();
        for at in 0..count {
            let shade = at * 7 % shades;
            text += &format!(
                "c{at},colour {at},{:02X}{:02X}{:02X}\n",
                120 + shade,
                130,
                140 - shade
            );
        }
        read::read(&text, "equal").unwrap().tones()
    };
    pairs_equal_all(&palette(60, 5), 3.0);
    pairs_equal_all(&palette(60, 1), 3.0);
    pairs_equal_all(&palette(600, 4), 30.0);
}

/// Each would take minutes if all pairs were judged.
#[test]
fn palettes_of_many_near_colours_are_listed() {
    let bench = Bench::new();
    let palette = |name: &str, count: usize, hex: &dyn Fn(usize) -> String| {
        let mut text = "code,name,hex\n".to_string();
        for at in 0..count {
            text += &format!("c{at},colour {at},{}\n", hex(at));
        }
        bench.put(name, text);
        bench.run(&["palette", name, "--json"]).ok().json()
    };
    let equal = palette("equal.csv", 65_535, &|_| "808080".to_string());
    assert_eq!(equal["pairs_count"], 65_535_u64 * 65_534 / 2);
    let pairs = equal["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 100_000);
    assert_eq!(
        (&pairs[65_534]["one"], &pairs[65_534]["other"]),
        (&"c1".into(), &"c2".into())
    );
    let near = palette("near.csv", 12_000, &|at| {
        format!(
            "{:02X}{:02X}{:02X}",
            100 + at % 40,
            100 + at / 40 % 40,
            100 + at / 1600
        )
    });
    // Of so many pairs only closer ones than were asked for are judged.
    let below = near["below"].as_f64().unwrap();
    assert!(below < 3.0 && below > 0.1, "{below}");
    assert!(near["pairs_count"].as_u64().unwrap() > 100_000);
}
