//! What is remembered from one chart to the next changes none, and a cancelled chart is not made.

use proptest::prelude::*;
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Palette;
use upbead::palette::read::read;
use upbead::picture::{Arrangement, Decoding, Place, Position};
use upbead::pipeline::{Cache, Decoded, Options, decoded, make_decoded};
use upbead::quantize::{self, Dither, refine};
use upbead::request::Mirror;
use upbead::units::Mm;

fn picture(shift: u32, clear: bool, lattice: &Lattice) -> Arc<Decoded> {
    let pixels = image::RgbaImage::from_fn(24, 60, |x, y| {
        let (r, g, b) = (x * 9 + shift * 40, y * 4, (x * y + shift * 90) % 256);
        let alpha = if clear && (x + y) % 7 == 0 { 0 } else { 255 };
        image::Rgba([r as u8, g as u8, b as u8, alpha])
    });
    let mut png = std::io::Cursor::new(Vec::new());
    pixels.write_to(&mut png, image::ImageFormat::Png).unwrap();
    let bytes = Arc::new(png.into_inner());
    Arc::new(decoded("made.png".to_string(), bytes, lattice, &Decoding::default()).unwrap())
}

fn palette(fewer: bool) -> Palette {
    let text = "code,name,hex\n\
        a,white,FAFAF6\n\
        b,navy,1C3261\n\
        c,red,CD2626\n\
        d,moss,497427\n\
        e,sand,D7BC92\n\
        f,teal,2D847B\n";
    let end = if fewer {
        text.rfind("f,").unwrap()
    } else {
        text.len()
    };
    read(&text[..end], "some").unwrap()
}

#[derive(Debug, Clone)]
struct Wish {
    picture: (u32, bool),
    fewer: bool,
    options: Options,
}

fn any_wish() -> impl Strategy<Value = Wish> {
    (
        (0..2u32, any::<bool>(), any::<bool>(), 0..3usize),
        (
            2..5usize,
            0..3usize,
            any::<bool>(),
            any::<bool>(),
            0..2usize,
            any::<bool>(),
        ),
    )
        .prop_map(
            |((shift, clear, fewer, place), (limit, dither, mirror, keep, fine, seat))| {
                let lattice = Lattice::new(Bead::default(), 5, Rows::closed(12).unwrap()).unwrap();
                Wish {
                    picture: (shift, clear),
                    fewer,
                    options: Options {
                        lattice,
                        arrangement: Arrangement {
                            place: [Place::Round, Place::Motif, Place::Repeat(2)][place],
                            position: if seat {
                                Position::Best
                            } else {
                                Position::Middle
                            },
                            ..Arrangement::default()
                        },
                        ground: None,
                        mirror: if mirror {
                            Mirror::Columns
                        } else {
                            Mirror::None
                        },
                        crisp: if keep { 0.6 } else { 0.0 },
                        simplify: 0.0,
                        flat: false,
                        choice: quantize::Settings {
                            limit: Some(limit),
                            keep: if keep { vec![2] } else { vec![] },
                            dither: [Dither::None, Dither::Diffuse(0.5), Dither::Mask(0.7)][dither],
                            refine: (fine == 1).then(|| refine::Goal {
                                distances: vec![Mm::new(700.0)],
                                calm: 0.2,
                            }),
                            ..quantize::Settings::default()
                        },
                        title: None,
                        design: None,
                        stock: None,
                        length: vec![],
                    },
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn charts_made_with_the_cache_equal_those_made_without(
        wishes in prop::collection::vec(any_wish(), 1..8),
    ) {
        let memory = Cache::default();
        for wish in &wishes {
            let decoded = picture(wish.picture.0, wish.picture.1, &wish.options.lattice);
            let palette = palette(wish.fewer);
            let with =
                make_decoded(Arc::clone(&decoded), &palette, &wish.options, &memory).unwrap();
            let without =
                make_decoded(decoded, &palette, &wish.options, &Cache::default()).unwrap();
            prop_assert_eq!((with.value, with.warnings), (without.value, without.warnings));
        }
    }

    #[test]
    fn a_cancelled_chart_is_whole_or_an_error(wish in any_wish(), after in 0..3000u64) {
        let decoded = picture(wish.picture.0, wish.picture.1, &wish.options.lattice);
        let palette = palette(wish.fewer);
        let whole = make_decoded(
            Arc::clone(&decoded),
            &palette,
            &wish.options,
            &Cache::default(),
        )
        .unwrap();
        let memory = Cache::default();
        let mut options = wish.options.clone();
        let cancel = Cancel::default();
        options.choice.cancel = cancel.clone();
        let begun = std::thread::spawn(move || {
            std::thread::sleep(std::time::Duration::from_micros(after));
            cancel.end();
        });
        let broken = make_decoded(Arc::clone(&decoded), &palette, &options, &memory);
        begun.join().unwrap();
        if let Ok(made) = broken {
            prop_assert_eq!((&made.value, &made.warnings), (&whole.value, &whole.warnings));
        }
        prop_assert!(make_decoded(Arc::clone(&decoded), &palette, &options, &memory).is_err());
        // What the broken work left behind serves the next.
        let again = make_decoded(decoded, &palette, &wish.options, &memory).unwrap();
        prop_assert_eq!((again.value, again.warnings), (whole.value, whole.warnings));
    }
}
