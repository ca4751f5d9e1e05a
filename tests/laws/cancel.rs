//! Cancelled work ends at its next step, whatever the stage: a cancel that ends after so many
//! checks ends it there.
//!
//! Steps are counted, not timed: a slow machine ends them at the same places.

use std::sync::Arc;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::error::Result;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Palette;
use upbead::palette::read::read;
use upbead::picture::{Arrangement, Crop, Decoding, Place, Position};
use upbead::pipeline::{
    Cache, CompareOptions, Decoded, FromStock, Options, Outcome, Source, compare, decoded, make,
    make_decoded,
};
use upbead::quantize::{self, Dither, refine};
use upbead::request::Mirror;
use upbead::units::Mm;
use upbead::vision::band::DISTANCES;
use upbead::warning::Warned;

const COLOURS: usize = 30;
/// Each stage is ended at so many places.
const PARTS: u64 = 4;
/// Where the picture is not clear.
const INSIDE: Crop = Crop {
    x: 20,
    y: 30,
    width: 80,
    height: 140,
};

/// Colours all over, so that no two beads want the same, and nothing about them.
fn picture() -> Vec<u8> {
    let pixels = image::RgbaImage::from_fn(120, 200, |x, y| {
        let inside = (20..100).contains(&x) && (30..170).contains(&y);
        let alpha = if inside { 255 } else { 0 };
        let (r, g, b) = (x * 2, y, (x * y) % 256);
        image::Rgba([r as u8, g as u8, b as u8, alpha])
    });
    let mut png = std::io::Cursor::new(Vec::new());
    pixels.write_to(&mut png, image::ImageFormat::Png).unwrap();
    png.into_inner()
}

/// `grams` of each colour; without, enough of all.
fn palette(grams: Option<f64>) -> Palette {
    let mut text = String::from(match grams {
        Some(_) => "code,name,hex,grams\n",
        None => "code,name,hex\n",
    });
    for at in 0..COLOURS {
        let (r, g, b) = (at * 97 % 256, at * 57 % 256, at * 151 % 256);
        let grams = grams.map_or(String::new(), |grams| format!(",{grams}"));
        text += &format!("c{at},colour {at},{r:02X}{g:02X}{b:02X}{grams}\n");
    }
    read(&text, "some").unwrap()
}

fn plain() -> Options {
    Options {
        lattice: Lattice::new(Bead::default(), 9, Rows::closed(40).unwrap()).unwrap(),
        arrangement: Arrangement {
            crop: Some(INSIDE),
            ..Arrangement::default()
        },
        ground: None,
        crisp: 0.0,
        simplify: 0.0,
        flat: false,
        mirror: Mirror::None,
        choice: quantize::Settings::default(),
        title: None,
        design: None,
        stock: None,
        length: Vec::new(),
    }
}

fn motif() -> Arrangement {
    Arrangement {
        place: Place::Motif,
        position: Position::Best,
        ..Arrangement::default()
    }
}

fn picked(change: impl Fn(&mut Options)) -> Options {
    let mut options = plain();
    change(&mut options);
    options
}

fn with(
    decoded: &Arc<Decoded>,
    palette: &Palette,
    options: &Options,
    cancel: &Cancel,
) -> Result<Warned<Outcome>> {
    let mut options = options.clone();
    options.choice.cancel = cancel.clone();
    make_decoded(Arc::clone(decoded), palette, &options, &Cache::default())
}

/// A stage, how a chart goes through it, from how few grams, and how many looks it takes at least.
type Stage = (&'static str, Options, Option<f64>, usize);

fn stages() -> Vec<Stage> {
    let beads = plain().lattice.len();
    [
        stages_without_stock(beads),
        stages_from_stock(beads),
        stages_of_refining(beads),
    ]
    .concat()
}

fn stages_without_stock(beads: usize) -> Vec<Stage> {
    vec![
        ("sampling and the nearest colours", plain(), None, beads),
        ("crisp", picked(|o| o.crisp = 1.0), None, 3 * beads),
        (
            "the limit",
            picked(|o| o.choice.limit = Some(6)),
            None,
            beads + 10 * COLOURS,
        ),
        (
            "diffusion",
            picked(|o| o.choice.dither = Dither::Diffuse(1.0)),
            None,
            2 * plain().lattice.rows() as usize,
        ),
        (
            "the mask",
            picked(|o| o.choice.dither = Dither::Mask(1.0)),
            None,
            2 * beads,
        ),
        (
            "the position",
            picked(|o| o.arrangement = motif()),
            None,
            20 * beads,
        ),
    ]
}

fn stages_from_stock(beads: usize) -> Vec<Stage> {
    let few = Some(FromStock {
        bands: 1,
        spare: 0.0,
    });
    vec![
        ("stock", picked(|o| o.stock = few), Some(0.05), 2 * beads),
        (
            "stock under a limit",
            picked(|o| {
                o.stock = few;
                o.choice.limit = Some(12);
            }),
            Some(0.1),
            3 * beads,
        ),
        (
            "stock of whole groups",
            picked(|o| {
                o.stock = few;
                o.mirror = Mirror::Columns;
            }),
            Some(0.05),
            beads,
        ),
    ]
}

fn stages_of_refining(beads: usize) -> Vec<Stage> {
    let fine = |calm: f64, seen: &[f64]| {
        Some(refine::Goal {
            distances: seen.iter().map(|&distance| Mm::new(distance)).collect(),
            calm,
        })
    };
    vec![
        (
            "calm alone",
            picked(|o| o.choice.refine = fine(0.5, &[])),
            None,
            2 * beads,
        ),
        (
            "refining",
            picked(|o| o.choice.refine = fine(0.3, &[700.0])),
            None,
            6 * beads,
        ),
        (
            "refining under a limit",
            picked(|o| {
                o.choice.refine = fine(0.0, &[700.0]);
                o.choice.limit = Some(5);
            }),
            None,
            8 * beads,
        ),
    ]
}

#[test]
fn every_stage_checks_at_its_steps_and_ends_where_it_is_cancelled() {
    let decoded = decoded(
        "made.png".to_string(),
        Arc::new(picture()),
        &plain().lattice,
        &Decoding::default(),
    );
    let decoded = Arc::new(decoded.unwrap());
    let mut faults = Vec::new();
    for (stage, options, grams, least) in stages() {
        let palette = palette(grams);
        let counted = Cancel::of_looks(u64::MAX);
        let whole = with(&decoded, &palette, &options, &counted).expect(stage);
        let all = counted.looks();
        if all < least as u64 {
            faults.push(format!("{stage}: {all} looks, not {least}"));
        }
        for part in 0..PARTS {
            let most = all * part / PARTS;
            let cancel = Cancel::of_looks(most);
            let error = with(&decoded, &palette, &options, &cancel).unwrap_err();
            assert_eq!(error.to_string(), "the work was cancelled", "{stage}");
            // What is left of one step over all beads, of the few that run side by side, and no
            // step after it.
            let after = cancel.looks() - most;
            let step = 4 * (options.lattice.len() + COLOURS) as u64;
            if after > step {
                faults.push(format!("{stage}: {after} looks after {most} of {all}"));
            }
        }
        let cancel = Cancel::of_looks(all);
        let again = with(&decoded, &palette, &options, &cancel).unwrap();
        assert_eq!(
            (again.value, again.warnings),
            (whole.value, whole.warnings),
            "{stage}"
        );
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

/// Before and after a decoder, and while it reads the file.
#[test]
fn decoding_ends_wherever_it_looks() {
    let svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><path d=\"M0 \
        0h9v9z\"/></svg>";
    for bytes in [picture(), svg.as_bytes().to_vec()] {
        let decode = |cancel: &Cancel| {
            let (bytes, decoding) = (Arc::new(bytes.clone()), Decoding::from(cancel));
            decoded("a".to_string(), bytes, &plain().lattice, &decoding)
        };
        let counted = Cancel::of_looks(u64::MAX);
        decode(&counted).unwrap();
        let all = counted.looks();
        assert!(all >= 3, "{all} looks");
        for looks in 0..=all {
            let made = decode(&Cancel::of_looks(looks));
            assert_eq!(made.is_ok(), looks == all, "{looks} of {all} looks");
        }
    }
    let source = Source::new("made.png", picture());
    let mut options = plain();
    options.choice.cancel = Cancel::of_looks(0);
    assert!(make(source, &palette(None), &options).is_err());
}

/// Each distance from which a chart and its motif are measured is a step.
#[test]
fn figures_end_wherever_they_look() {
    let mut options = plain();
    options.ground = Some(0);
    let made = make(Source::new("made.png", picture()), &palette(None), &options);
    let chart = made.unwrap().value.chart;
    let compared = CompareOptions {
        arrangement: options.arrangement,
        ground: None,
        crisp: 0.0,
    };
    let figures = |cancel: &Cancel, distances: &[Mm]| {
        let source = Source::new("made.png", picture());
        compare(
            source.decoded_by(Decoding::from(cancel)),
            &chart,
            &compared,
            distances,
        )
    };
    let looks = |distances: &[Mm]| {
        let counted = Cancel::of_looks(u64::MAX);
        figures(&counted, distances).unwrap();
        counted.looks()
    };
    let (one, two) = (looks(&DISTANCES[..1]), looks(&DISTANCES[..2]));
    assert!(two >= one + 2, "{one} and {two} looks");
    for looks in (0..=two).step_by(7).chain(two - 5..=two) {
        let made = figures(&Cancel::of_looks(looks), &DISTANCES[..2]);
        assert_eq!(made.is_ok(), looks == two, "{looks} of {two} looks");
    }
}

#[test]
fn a_position_that_is_known_is_not_searched_for_again() {
    let lattice = plain().lattice;
    let bytes = Arc::new(picture());
    let decoded = decoded(
        "made.png".to_string(),
        bytes,
        &lattice,
        &Decoding::default(),
    );
    let decoded = Arc::new(decoded.unwrap());
    let palette = palette(Some(5.0));
    let memory = Cache::default();
    let looks = |change: &dyn Fn(&mut Options)| {
        let mut options = picked(change);
        let margin = options.arrangement.margin;
        options.arrangement = Arrangement { margin, ..motif() };
        let cancel = Cancel::of_looks(u64::MAX);
        options.choice.cancel = cancel.clone();
        make_decoded(Arc::clone(&decoded), &palette, &options, &memory).unwrap();
        cancel.looks()
    };
    let first = looks(&|_| {});
    let alike: [&dyn Fn(&mut Options); 5] = [
        &|_| {},
        &|o| o.title = Some("Gull".to_string()),
        &|o| o.choice.dither = Dither::Diffuse(0.3),
        &|o| {
            o.stock = Some(FromStock {
                bands: 1,
                spare: 0.0,
            });
        },
        &|o| o.length = vec![("size".to_string(), "us7".to_string())],
    ];
    for change in alike {
        let again = looks(change);
        assert!(again < first / 10, "{again} looks of {first}");
    }
    let others: [&dyn Fn(&mut Options); 7] = [
        &|o| o.crisp = 0.6,
        &|o| o.ground = Some(3),
        &|o| o.choice.limit = Some(5),
        &|o| o.choice.without = vec![2],
        &|o| o.arrangement.margin = 1,
        &|o| o.mirror = Mirror::Columns,
        &|o| {
            o.choice.refine = Some(refine::Goal {
                distances: vec![Mm::new(300.0)],
                calm: 0.0,
            });
        },
    ];
    for (at, change) in others.into_iter().enumerate() {
        let new = looks(change);
        assert!(new > first / 10, "{at}: {new} looks of {first}");
        let again = looks(change);
        assert!(again < new / 2, "{at}: {again} looks of {new}");
    }
}
