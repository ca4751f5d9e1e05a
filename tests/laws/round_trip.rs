//! What is written is read back the same, and no text makes a reader panic.

use crate::common::{golden, repository};
use proptest::collection::{hash_map, vec};
use proptest::option;
use proptest::prelude::*;
use std::sync::LazyLock;
use upbead::bead::Bead;
use upbead::chart::{self, Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::{self, Colour, Finish, Palette};
use upbead::units::{Grams, Mm};

pub(crate) static SCHEMA: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
    let schema = serde_json::from_str(chart::SCHEMA).expect("the schema is JSON");
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    jsonschema::validator_for(&schema).expect("the schema compiles")
});

/// Any text that is not blank: quotes, commas, line ends, all of Unicode.
fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,8}( [a-z]{1,8})?",
        "[\"',;\\\\\n\r\t#é海🧵 ]{1,6}x",
        any::<String>(),
    ]
    .prop_filter("not blank", |text| !text.trim().is_empty())
}

fn srgb() -> impl Strategy<Value = Srgb8> {
    any::<[u8; 3]>().prop_map(|[red, green, blue]| Srgb8::new(red, green, blue))
}

fn finish() -> impl Strategy<Value = Option<Finish>> {
    option::of(proptest::sample::select(&Finish::ALL[..]))
}

fn bead() -> impl Strategy<Value = Bead> {
    let own =
        (0.3..20.0, 0.3..20.0, 0.01..0.99).prop_map(|(length, diameter, hole): (f64, f64, f64)| {
            Bead::new(Mm::new(length), Mm::new(diameter), Mm::new(diameter * hole)).unwrap()
        });
    prop_oneof![Just(Bead::default()), own]
}

fn lattice() -> impl Strategy<Value = Lattice> {
    (bead(), 3u32..14, 1u32..20, any::<bool>()).prop_map(|(bead, columns, count, closed)| {
        let rows = if closed {
            Rows::closed(2 * count + 4)
        } else {
            Rows::open(count + 1)
        };
        Lattice::new(bead, columns, rows.unwrap()).unwrap()
    })
}

fn shades() -> impl Strategy<Value = Vec<Shade>> {
    hash_map(words(), (words(), srgb(), finish()), 1..20).prop_map(|colours| {
        colours
            .into_iter()
            .map(|(code, (name, srgb, finish))| Shade {
                code,
                name,
                srgb,
                finish,
            })
            .collect()
    })
}

fn made() -> impl Strategy<Value = Made> {
    let digest = prop_oneof![Just(String::new()), "[0-9a-f]{64}"];
    let options = hash_map(any::<String>(), any::<String>(), 0..6);
    (any::<String>(), digest, options, any::<String>()).prop_map(
        |(source, sha256, options, version)| Made {
            source,
            sha256,
            options: options.into_iter().collect(),
            version,
        },
    )
}

fn charts() -> impl Strategy<Value = Chart> {
    let words = || option::of(any::<String>());
    (lattice(), shades(), made(), words(), words()).prop_flat_map(
        |(lattice, colours, made, title, notes)| {
            let most = colours.len() as u16;
            vec(0..most, lattice.len()).prop_map(move |beads| Chart {
                lattice,
                colours: colours.clone(),
                beads,
                made: made.clone(),
                title: title.clone(),
                notes: notes.clone(),
            })
        },
    )
}

/// Words as palettes can hold them: without spaces at the ends.
fn trimmed() -> impl Strategy<Value = String> {
    words().prop_map(|text| text.trim().to_string())
}

fn palettes() -> impl Strategy<Value = Palette> {
    let number = || option::of(0.001f64..9000.0);
    let rest = (number(), number(), number(), vec("[ -~é]{0,5}", 2));
    let colour = (trimmed(), srgb(), finish(), rest);
    let heads = prop_oneof![
        Just(Vec::new()),
        Just(vec!["box, left".to_string()]),
        Just(vec!["Shop".to_string(), "\"note\"\n海".to_string()]),
    ];
    (heads, hash_map(trimmed(), colour, 1..20)).prop_map(|(heads, colours)| {
        let colours = colours
            .into_iter()
            .map(|(code, (name, srgb, finish, rest))| {
                let (grams, per_gram, price, cells) = rest;
                Colour {
                    code,
                    name,
                    srgb,
                    finish,
                    grams: grams.map(Grams::new),
                    per_gram,
                    price,
                    per_pack: price.map(|price| Grams::new(price + 0.5)),
                    extra: cells
                        .iter()
                        .take(heads.len())
                        .map(|cell| cell.trim().to_string())
                        .collect(),
                }
            });
        Palette::new("tide", colours.collect(), heads.clone()).unwrap()
    })
}

/// A chart that a person can read; one colour is not used.
fn small() -> Chart {
    let shade = |code: &str, name: &str, srgb: [u8; 3], finish| Shade {
        code: code.to_string(),
        name: name.to_string(),
        srgb: srgb.into(),
        finish,
    };
    Chart {
        lattice: Lattice::new(Bead::default(), 5, Rows::closed(6).unwrap()).unwrap(),
        colours: vec![
            shade(
                "quay-01",
                "gull white",
                [250, 250, 246],
                Some(Finish::Opaque),
            ),
            shade("quay-11", "buoy \"red\"", [205, 38, 38], None),
            shade("bell-09", "brass", [200, 154, 63], Some(Finish::Metallic)),
        ],
        beads: vec![0, 1, 0, 1, 1, 0, 1, 0, 1, 1, 0, 0, 0, 0, 1],
        made: Made {
            source: "tide.png".to_string(),
            sha256: "0123456789abcdef".repeat(4),
            options: vec![
                ("columns".to_string(), "5".to_string()),
                ("colours".to_string(), "2".to_string()),
            ],
            version: "0.1.0".to_string(),
        },
        title: Some("Tide line".to_string()),
        notes: Some("for Ada,\nin May".to_string()),
    }
}

#[test]
fn a_chart_file_can_be_read_by_a_person() {
    golden("chart/small.json", chart::write::write(&small()).as_bytes());
}

#[test]
fn what_is_optional_in_a_chart_file_is_left_out() {
    let plain = Chart {
        made: Made::default(),
        title: None,
        notes: None,
        ..small()
    };
    golden("chart/plain.json", chart::write::write(&plain).as_bytes());
}

#[test]
fn a_chart_cut_short_anywhere_is_refused_at_its_end() {
    let text = chart::write::write(&small());
    let whole = text.len() - 1;
    assert!(chart::read::read(&text[..whole]).is_ok());
    for end in 1..whole {
        let error = chart::read::read(&text[..end]).unwrap_err();
        assert_eq!(error.what(), "the chart ends too soon", "{end}");
        assert_eq!(error.place().line, Some(text[..end].split('\n').count()));
    }
}

/// The schema alone finds all but what a schema cannot say.
#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let mut passed: Vec<String> = std::fs::read_dir(repository("tests/bad/chart"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .filter(|path| {
            let text = std::fs::read_to_string(path).unwrap();
            serde_json::from_str(&text).is_ok_and(|json| SCHEMA.is_valid(&json))
        })
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    passed.sort();
    assert_eq!(
        passed,
        [
            "bead-hole",
            "code-twice",
            "field-twice",
            "index-out",
            "option-twice",
            "row-long",
            "row-short",
            "rows-odd",
        ]
    );
}

proptest! {
    #[test]
    fn a_chart_is_read_back_as_it_was_written(chart in charts()) {
        let text = chart::write::write(&chart);
        prop_assert_eq!(
            &chart::read::read(&text).map_err(|e| e.to_string()),
            &Ok(chart)
        );
        let json = serde_json::from_str(&text).unwrap();
        let wrong: Vec<_> = SCHEMA.iter_errors(&json).map(|e| e.to_string()).collect();
        prop_assert!(wrong.is_empty(), "{:?}\n{}", wrong, text);
        let ends = text.ends_with("\n") && !text.ends_with("\n\n") && !text.contains('\r');
        prop_assert!(ends, "{}", text);
    }

    #[test]
    fn a_chart_cut_short_at_any_length_is_refused(chart in charts(), share in 0.0..1.0) {
        let text = chart::write::write(&chart);
        let end = text.floor_char_boundary(((text.len() - 2) as f64 * share) as usize);
        prop_assert!(chart::read::read(&text[..end]).is_err());
    }

    #[test]
    fn no_text_makes_the_chart_reader_panic(text in any::<String>()) {
        prop_assert!(chart::read::read(&text).is_err());
    }

    /// What is read in spite of the change is still a chart that can be written and read.
    #[test]
    fn no_change_of_a_chart_makes_its_reader_panic(
        chart in charts(),
        at in 0.0..1.0,
        gone in 0usize..9,
        instead in "[\\[\\]{},:\"0-9a-z .-]{0,4}",
    ) {
        let mut text = chart::write::write(&chart);
        let start = text.floor_char_boundary((text.len() as f64 * at) as usize);
        let end = text.floor_char_boundary((start + gone).min(text.len()));
        text.replace_range(start..end, &instead);
        if let Ok(chart) = chart::read::read(&text) {
            let again = chart::write::write(&chart);
            prop_assert_eq!(chart::read::read(&again).unwrap(), chart);
        }
    }

    #[test]
    fn a_palette_is_read_back_as_it_was_written(palette in palettes()) {
        let text = palette::write::write(&palette);
        prop_assert_eq!(
            &palette::read::read(&text, "tide").map_err(|e| e.to_string()),
            &Ok(palette),
            "{}",
            text
        );
    }

    #[test]
    fn no_text_makes_the_palette_reader_panic(
        text in any::<String>(),
        cells in "[a-c0-9,\"\r\n; é#-]{0,80}",
        gpl in "[0-9 \t\r\na-cé:#-]{0,80}",
    ) {
        let _ = palette::read::read(&text, "tide");
        let _ = palette::read::read(&format!("code,name,hex,finish,grams\n{cells}"), "tide");
        let _ = palette::read::read(&format!("GIMP Palette\n{gpl}"), "tide");
        let _ = palette::read::read(&format!("GIMP Palette\n{text}"), "tide");
    }

    #[test]
    fn no_change_of_a_palette_makes_its_reader_panic(
        palette in palettes(),
        at in 0.0..1.0,
        gone in 0usize..9,
        instead in "[,\"\r\n0-9a-f .-]{0,4}",
    ) {
        let mut text = palette::write::write(&palette);
        let start = text.floor_char_boundary((text.len() as f64 * at) as usize);
        let end = text.floor_char_boundary((start + gone).min(text.len()));
        text.replace_range(start..end, &instead);
        if let Ok(palette) = palette::read::read(&text, "tide") {
            let again = palette::write::write(&palette);
            prop_assert_eq!(palette::read::read(&again, "tide").unwrap(), palette);
        }
    }
}
