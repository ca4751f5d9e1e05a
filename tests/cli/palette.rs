//! `upbead palette`.

use crate::common::{Bench, golden, repository};
use crate::schema::suits;
use std::fs;
use upbead::colour::ciede2000;
use upbead::output;
use upbead::palette::{alike, read};
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
    let with = output::palette::text(&PaletteReport::side_by_side(&palette, &request), true);
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

#[test]
fn the_pairs_equal_those_found_by_trying_all() {
    let text = String::from_utf8(shipped("harbour.csv")).unwrap();
    let tones = read::read(&text, "harbour").unwrap().tones();
    for below in [0.0, 3.5, 5.0, 12.0, 20.0] {
        let mut all = Vec::new();
        for other in 0..tones.len() {
            for one in 0..other {
                let difference = ciede2000(tones[one].lab, tones[other].lab);
                if difference < below {
                    all.push((difference, one, other));
                }
            }
        }
        all.sort_by(|a, b| a.partial_cmp(b).unwrap());
        let found = alike(&tones, below);
        let pairs: Vec<_> = found
            .pairs
            .iter()
            .map(|p| (p.difference, p.one, p.other))
            .collect();
        assert_eq!(pairs, all, "below {below}");
        assert_eq!(found.count, all.len());
    }
}
