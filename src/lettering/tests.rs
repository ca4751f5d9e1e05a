//! Laws of the drawings and of how they are set.

use super::alphabet::{Glyph, Point};
use super::*;
use crate::bead::Bead;
use crate::lattice::{Column, Lattice, Row, Rows};
use std::collections::BTreeSet;

/// Beads by which two letters differ, however they are shifted against each other.
const APART: usize = 3;
/// Beads by which accents on one letter differ: an accent has two or three itself.
const ACCENTS_APART: usize = 2;
/// Too small to differ by three beads; they are told by their height on the line.
const POINTS: [char; 4] = ['.', ',', '-', '\''];
/// Accented capitals of languages that have all they need at each height.
const LANGUAGES: [(&str, &str); 12] = [
    ("French", "ÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸ"),
    ("German", "ÄÖÜẞ"),
    ("Spanish", "ÁÉÍÑÓÚÜ"),
    ("Portuguese", "ÁÂÃÀÇÉÊÍÓÔÕÚÜ"),
    ("Polish", "ĄĆĘŁŃÓŚŹŻ"),
    ("Czech", "ÁČĎÉĚÍŇÓŘŠŤÚŮÝŽ"),
    ("Danish, Norwegian, Swedish, Finnish", "ÆØÅÄÖ"),
    ("Icelandic", "ÁÐÉÍÓÚÝÞÆÖ"),
    ("Russian", "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ"),
    ("Ukrainian", "АБВГДЕЄЖЗИІЇЙКЛМНОПРСТУФХЦЧШЩЬЮЯ"),
    ("Bulgarian", "АБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЬЮЯ"),
    ("plain", "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789&.,-'!?+♥★ "),
];

fn alphabets() -> Vec<(String, &'static Alphabet)> {
    let along = Height::ALL.map(|height| (height.to_string(), Alphabet::along(height).unwrap()));
    let across = ("across".to_string(), Alphabet::across().unwrap());
    along.into_iter().chain([across]).collect()
}

fn ring(columns: u32, rows: u32) -> Lattice {
    Lattice::new(Bead::default(), columns, Rows::closed(rows).unwrap()).unwrap()
}

fn lettering(text: &str, height: Option<Height>, direction: Direction) -> Lettering {
    Lettering {
        text: text.to_string(),
        height,
        direction,
        repeats: 1,
        row: None,
    }
}

fn along(text: &str, height: Height, lattice: &Lattice) -> Letters {
    layout(&lettering(text, Some(height), Direction::Along), lattice).unwrap()
}

/// Fewest beads by which two drawings differ, over all shifts in the reading direction that lay
/// beads on beads.
fn difference(one: &Glyph, other: &Glyph, direction: Direction) -> usize {
    let own: BTreeSet<Point> = one.points.iter().copied().collect();
    let shifts = (-20..=20).filter_map(|by| {
        let moved: BTreeSet<Point> = match direction {
            Direction::Along => other
                .points
                .iter()
                .map(|point| point.moved(by, 0))
                .collect(),
            Direction::Across => other
                .points
                .iter()
                .map(|point| point.moved(0, by))
                .collect(),
        };
        let on_beads = moved.first()?.parity() == own.first()?.parity();
        on_beads.then(|| own.symmetric_difference(&moved).count())
    });
    shifts.min().unwrap()
}

#[test]
fn every_letter_is_told_from_every_other() {
    for (name, alphabet) in alphabets() {
        let all: Vec<char> = alphabet.characters().collect();
        assert!(all.len() > 100, "{name}: {} characters", all.len());
        let mut drawings: Vec<(char, &Glyph)> = Vec::new();
        for letter in all {
            let glyph = alphabet.glyph(letter).unwrap();
            if !drawings.iter().any(|(_, known)| *known == glyph) {
                drawings.push((letter, glyph));
            }
        }
        for (at, (one, glyph)) in drawings.iter().enumerate() {
            for (other, second) in &drawings[..at] {
                let points = POINTS.contains(one) && POINTS.contains(other);
                let least = if points { 1 } else { APART };
                let apart = difference(glyph, second, alphabet.direction);
                assert!(
                    apart >= least,
                    "{name}: {one} and {other} differ by {apart}"
                );
            }
        }
    }
}

#[test]
fn letters_of_different_sounds_share_a_drawing_only_where_they_look_alike() {
    for (_, alphabet) in alphabets() {
        for alike in ["AАΑ", "BВΒ", "HНΗ", "PРΡ", "ΠП", "3З"] {
            let drawn: Vec<_> = alike.chars().map(|one| alphabet.glyph(one)).collect();
            assert!(
                drawn[0].is_some() && drawn.iter().all(|one| one == &drawn[0]),
                "{alike}"
            );
        }
    }
}

#[test]
fn each_language_has_its_capitals_at_each_height() {
    let wide = ring(15, 2000);
    for (language, letters) in LANGUAGES {
        for height in Height::ALL {
            layout(&lettering(letters, Some(height), Direction::Along), &wide)
                .unwrap_or_else(|error| panic!("{language} at {height}: {error}"));
        }
        layout(&lettering(letters, None, Direction::Across), &wide)
            .unwrap_or_else(|error| panic!("{language} across: {error}"));
    }
}

/// Accents that a language sets on one letter or another.
const TOGETHER: [(&str, &str); 6] = [
    ("French", "\u{301}\u{300}\u{302}\u{308}\u{327}"),
    ("Portuguese", "\u{301}\u{300}\u{302}\u{303}\u{327}"),
    ("Polish", "\u{301}\u{307}\u{328}"),
    ("Czech", "\u{301}\u{30C}\u{30A}"),
    ("Hungarian", "\u{301}\u{308}\u{30B}"),
    ("Turkish", "\u{306}\u{307}\u{308}\u{327}"),
];

#[test]
fn accents_of_a_language_are_told_apart() {
    let own = |(name, alphabet): (String, &'static Alphabet)| {
        for (language, marks) in TOGETHER {
            for letter in ['A', 'E', 'I', 'O', 'U', 'C'] {
                let base = alphabet.glyph(letter).unwrap();
                let with = |mark| alphabet.accented(base, mark).unwrap();
                let mut forms = vec![(' ', base.clone())];
                forms.extend(marks.chars().map(|mark| (mark, with(mark))));
                for (at, (one, form)) in forms.iter().enumerate() {
                    for (other, second) in &forms[..at] {
                        let apart = difference(form, second, alphabet.direction);
                        let what = format!("{name}, {language}: {letter}{one} and {letter}{other}");
                        assert!(apart >= ACCENTS_APART, "{what} differ by {apart}");
                    }
                }
            }
        }
    };
    alphabets().into_iter().for_each(own);
}

#[test]
fn accents_never_touch_the_next_letter() {
    let band = ring(15, 2000);
    for height in Height::ALL {
        for pair in ["ÓÔ", "ÑÃ", "ÏÍ", "ĄJ", "LÉ"] {
            let both = along(pair, height, &band).ink.len();
            let alone = pair
                .chars()
                .map(|one| along(&one.to_string(), height, &band).ink.len());
            assert_eq!(both, alone.sum::<usize>(), "{pair}");
        }
    }
}

#[test]
fn every_bead_of_a_text_is_a_bead_of_the_band() {
    for text in ["ANNA", "KITTIWAKE", "ÅSE & ŁUCJA 1926", "♥"] {
        for (height, direction) in [
            (Some(Height::Five), Direction::Along),
            (Some(Height::Seven), Direction::Along),
            (None, Direction::Across),
        ] {
            let counts: BTreeSet<usize> = (11..=16)
                .flat_map(|columns| [300, 302, 304].map(|rows| ring(columns, rows)))
                .map(|band| {
                    let letters = layout(&lettering(text, height, direction), &band).unwrap();
                    letters.ink.len()
                })
                .collect();
            assert_eq!(counts.len(), 1, "{text} {direction}: {counts:?}");
        }
    }
}

#[test]
fn texts_are_centred_within_a_bead() {
    for text in ["I", "ANNA", "TIDE", "LOVE ♥"] {
        for (columns, rows) in [(9, 74), (9, 76), (11, 80), (10, 72)] {
            let band = ring(columns, rows);
            let letters = along(text, Height::Five, &band);
            let inked = letters.ink.iter().map(|&bead| band.position(bead));
            let at: Vec<u32> = inked.clone().map(|(row, _)| row.get()).collect();
            let middle = f64::from(at.iter().min().unwrap() + at.iter().max().unwrap()) / 2.0;
            let front = f64::from(rows) / 2.0;
            assert!(
                (middle - front).abs() <= 1.0,
                "{text} in {rows} rows: row {middle}"
            );
            let across: Vec<u32> = inked.map(|(_, column)| column.get()).collect();
            let sum = across.iter().min().unwrap() + across.iter().max().unwrap();
            assert!(
                sum.abs_diff(columns + 1) <= 1,
                "{text} in {columns} columns"
            );
        }
    }
}

/// Whether a band shows ink there.
fn is_inked(letters: &Letters, band: &Lattice, row: i64, column: i64) -> bool {
    band.at(row, column)
        .is_some_and(|bead| letters.ink.contains(&bead))
}

#[test]
fn letters_are_never_mirrored() {
    // An L has its stem where the text begins and its foot at the bottom of the letter.
    let band = ring(9, 74);
    let letters = along("L", Height::Seven, &band);
    let places = letters.ink.iter().map(|&bead| band.position(bead));
    let first = places.clone().map(|(row, _)| row.get()).min().unwrap();
    let stem = places
        .clone()
        .filter(|(row, _)| row.get() <= first + 1)
        .count();
    assert_eq!(stem, 7, "the stem is where the rows begin");
    let foot = places
        .filter(|(_, column)| *column == Column::new(8))
        .count();
    assert_eq!(foot, 4, "the foot is at the right of the chart");
    // Across the band row 1 is at the bottom, and column 1 at the left.
    let letters = layout(&lettering("L", None, Direction::Across), &band).unwrap();
    let places: Vec<(Row, Column)> = letters
        .ink
        .iter()
        .map(|&bead| band.position(bead))
        .collect();
    let left = places.iter().map(|(_, column)| column.get()).min().unwrap();
    let bottom = places.iter().map(|(row, _)| row.get()).min().unwrap();
    let stem = places
        .iter()
        .filter(|(_, column)| column.get() == left)
        .count();
    assert_eq!(stem, 5);
    let foot = i64::from(left) + 4;
    assert!(is_inked(&letters, &band, i64::from(bottom), foot));
}

#[test]
fn the_first_letter_across_the_band_is_the_uppermost() {
    let band = ring(9, 74);
    let both = layout(&lettering("IT", None, Direction::Across), &band).unwrap();
    let rows = both.ink.iter().map(|&bead| band.position(bead));
    let widest = rows
        .clone()
        .filter(|(_, column)| column.get() == 3)
        .map(|(row, _)| row.get());
    let narrow = rows.map(|(row, _)| row.get()).max().unwrap();
    assert!(widest.max().unwrap() < narrow, "the T is below the I");
}

#[test]
fn slanting_pairs_stand_closer_than_straight_ones() {
    let band = ring(9, 400);
    let width = |text: &str, height| i64::from(along(text, height, &band).rows);
    for height in Height::ALL {
        for pair in ["AV", "LT", "TA", "AT", "LV"] {
            let letters = pair.chars().map(|one| width(&one.to_string(), height));
            let alone: i64 = letters.sum();
            let straight = width("HH", height) - 2 * width("H", height);
            assert!(width(pair, height) - alone < straight, "{pair} at {height}");
        }
    }
}

#[test]
fn what_is_typed_is_set_in_composed_capitals() {
    let band = ring(11, 400);
    let set = |text: &str| along(text, Height::Five, &band);
    for (typed, capitals) in [
        ("anna", "ANNA"),
        ("rene\u{301}e", "RENÉE"),
        ("straße", "STRAẞE"),
        ("  Odense ", "ODENSE"),
        ("o\u{2019}hara", "O'HARA"),
        ("\u{fb01}sh", "FISH"),
        ("♥\u{fe0f}", "♥"),
        ("щука", "ЩУКА"),
        ("ωψ", "ΩΨ"),
    ] {
        assert_eq!(set(typed), set(capitals), "{typed}");
    }
}

/// The complaint about a text.
fn refused(lettering: Lettering, band: &Lattice) -> String {
    layout(&lettering, band).unwrap_err().to_string()
}

#[test]
fn a_letter_that_is_not_drawn_is_named_with_its_place() {
    let band = ring(9, 74);
    assert_eq!(
        refused(lettering("AN@A", None, Direction::Along), &band),
        "there is no '@' to set here: character 3 of 'AN@A'\n\
         hint: there are A to Z, 0 to 9, & . , - ' ! ? + ♥ ★, and accented Latin, Greek and \
         Cyrillic capitals"
    );
    assert_eq!(
        refused(lettering("Λ", Some(Height::Five), Direction::Along), &band),
        "there is no 'Λ' to set here: character 1 of 'Λ'\n\
         hint: letters along the band have it at a height of 7 or 9"
    );
    assert_eq!(
        refused(lettering(" ", None, Direction::Along), &band),
        "there are no letters to set\nhint: write a name or a word"
    );
    assert!(refused(lettering(&"A".repeat(201), None, Direction::Along), &band).contains("201"));
}

#[test]
fn a_text_that_does_not_fit_names_what_does() {
    for (text, height, repeats, rows, said) in [
        (
            "MARGARET",
            Some(Height::Seven),
            1,
            90,
            "'MARGARET' at a height of 7 is 91 rows long, with 6 clear rows behind it, and the \
             band has 90\nhint: use a height of 5 or a band of 98 rows or more",
        ),
        (
            "É",
            Some(Height::Nine),
            1,
            74,
            "'É' at a height of 9 takes 12 columns with what stands above and below the capitals, \
             and the band has 9\nhint: use a height of 5, letters across the band or a band of 12 \
             columns",
        ),
        (
            "IDA",
            Some(Height::Five),
            3,
            74,
            "'IDA' at a height of 5 is 25 rows long, 3 times, with 6 clear rows behind it, and \
             the band has 74\nhint: use 2 repeats or a band of 94 rows or more",
        ),
    ] {
        let own = Lettering {
            repeats,
            ..lettering(text, height, Direction::Along)
        };
        assert_eq!(refused(own, &ring(9, rows)), said);
    }
}

#[test]
fn repeats_are_spread_evenly_or_as_nearly_as_beads_allow() {
    for (rows, repeats, steps) in [(96, 3, (32, 32)), (90, 3, (30, 30)), (92, 3, (30, 32))] {
        let own = Lettering {
            repeats,
            ..lettering("AL", Some(Height::Five), Direction::Along)
        };
        let letters = layout(&own, &ring(9, rows)).unwrap();
        assert_eq!(letters.steps, Some(steps), "{rows} rows");
        let once = layout(&Lettering { repeats: 1, ..own }, &ring(9, rows)).unwrap();
        assert_eq!(letters.ink.len(), repeats as usize * once.ink.len());
    }
}

#[test]
fn without_a_height_letters_are_the_largest_that_fit() {
    let taken = |text: &str, columns: u32, rows: u32| {
        let own = lettering(text, None, Direction::Along);
        layout(&own, &ring(columns, rows)).unwrap().height
    };
    assert_eq!(taken("IDA", 11, 90), Some(Height::Nine));
    assert_eq!(taken("IDA", 9, 90), Some(Height::Seven));
    assert_eq!(taken("ANNALISE", 9, 86), Some(Height::Five));
    assert_eq!(taken("ANNA", 5, 74), Some(Height::Five));
}

#[test]
fn drawings_with_a_mistake_are_refused() {
    for (art, said) in [
        ("= A\n## #\n", "is not made of"),
        ("= A\n##\n##\n", "do not lie on one lattice"),
        ("= A\n##\n\n= A\n##\n", "drawn twice"),
        ("= A\n", "do not lie on one lattice"),
        ("^ accent\n##\n", "names no accent"),
    ] {
        let error = Alphabet::read(art, Direction::Along, 5)
            .unwrap_err()
            .to_string();
        assert!(error.contains(said), "{art:?}: {error}");
    }
}
