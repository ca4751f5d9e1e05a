//! What is written is read back the same, and no text makes a reader panic.

use proptest::collection::{hash_map, vec};
use proptest::option;
use proptest::prelude::*;
use std::sync::LazyLock;
use upbead::bead::Bead;
use upbead::chart::{self, Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::drawer::Finish;
use upbead::lattice::{Lattice, Rows};
use upbead::units::Mm;

static SCHEMA: LazyLock<jsonschema::Validator> = LazyLock::new(|| {
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
        let rows = match closed {
            true => Rows::closed(2 * count + 4),
            false => Rows::open(count + 1),
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

proptest! {
    #[test]
    fn a_chart_is_read_back_as_it_was_written(chart in charts()) {
        let text = chart::write::write(&chart);
        prop_assert_eq!(&chart::read::read(&text).map_err(|e| e.to_string()), &Ok(chart));
        let json = serde_json::from_str(&text).unwrap();
        let wrong: Vec<_> = SCHEMA.iter_errors(&json).map(|e| e.to_string()).collect();
        prop_assert!(wrong.is_empty(), "{:?}\n{}", wrong, text);
        let ends = text.ends_with("\n") && !text.ends_with("\n\n") && !text.contains('\r');
        prop_assert!(ends, "{}", text);
    }

    #[test]
    fn a_chart_that_was_cut_short_is_refused(chart in charts(), share in 0.0..1.0) {
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
        chart in charts(), at in 0.0..1.0, gone in 0usize..9, instead in "[\\[\\]{},:\"0-9a-z .-]{0,4}",
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
}
