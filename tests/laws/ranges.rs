//! Values out of range are refused by the library itself, with the option named, and never panic.

use std::sync::Arc;
use upbead::bead::Bead;
use upbead::chart::Chart;
use upbead::error::Error;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Palette;
use upbead::palette::read::read;
use upbead::picture::{Arrangement, Decoding};
use upbead::pipeline::{
    Cache, CompareOptions, Decoded, Options, Previous, Source, compare, decoded, make,
    make_decoded, recorded, remake,
};
use upbead::quantize::groups::Groups;
use upbead::quantize::refine::refine;
use upbead::quantize::{self, Dither, Problem};
use upbead::request::Mirror;
use upbead::units::Mm;
use upbead::vision::band::{Mosaic, TILES};

fn bytes() -> Vec<u8> {
    let pixels = image::RgbImage::from_fn(20, 40, |x, y| {
        image::Rgb([(x * 12) as u8, (y * 6) as u8, ((x * y) % 256) as u8])
    });
    let mut png = std::io::Cursor::new(Vec::new());
    pixels.write_to(&mut png, image::ImageFormat::Png).unwrap();
    png.into_inner()
}

fn source() -> Source {
    Source::new("drawn.png", bytes())
}

fn palette() -> Palette {
    let text = "code,name,hex\na,white,FAFAF6\nb,navy,1C3261\nc,red,CD2626\nd,moss,497427\n";
    read(text, "four").unwrap()
}

fn lattice() -> Lattice {
    Lattice::new(Bead::default(), 5, Rows::closed(12).unwrap()).unwrap()
}

fn options() -> Options {
    Options {
        lattice: lattice(),
        arrangement: Arrangement::default(),
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

fn fine(seen: &[f64], calm: f64) -> Option<quantize::refine::Goal> {
    Some(quantize::refine::Goal {
        distances: seen.iter().copied().map(Mm::new).collect(),
        calm,
    })
}

/// Options of the choice of colours with one value out of range, and the option to blame.
fn wrong_choices() -> Vec<(&'static str, quantize::Settings)> {
    let with = |change: &dyn Fn(&mut quantize::Settings)| {
        let mut choice = quantize::Settings::default();
        change(&mut choice);
        choice
    };
    let mut wrong = vec![("colours", with(&|choice| choice.limit = Some(0)))];
    for strength in [-0.1, 1.1, 40.0, f64::NAN, f64::INFINITY] {
        for dither in [Dither::Diffuse(strength), Dither::Mask(strength)] {
            wrong.push(("strength", with(&|choice| choice.dither = dither)));
        }
    }
    for calm in [7.0, -3.0, f64::NAN] {
        wrong.push(("calm", with(&|choice| choice.refine = fine(&[], calm))));
    }
    for seen in [&[0.0][..], &[700.0, -1.0], &[f64::NAN], &[1e9], &[300.0; 9]] {
        wrong.push(("distances", with(&|choice| choice.refine = fine(seen, 0.0))));
    }
    wrong
}

fn blames<T>(result: Result<T, Error>, option: &str, case: &str) {
    let error = result.err().unwrap_or_else(|| panic!("accepted: {case}"));
    assert_eq!(error.place().option.as_deref(), Some(option), "{case}");
}

fn drawn() -> (Chart, Arc<Decoded>) {
    let decoded = decoded(
        "drawn.png".to_string(),
        Arc::new(bytes()),
        &lattice(),
        &Decoding::default(),
    );
    let chart = make(source(), &palette(), &options()).unwrap().value.chart;
    (chart, Arc::new(decoded.unwrap()))
}

#[test]
fn a_value_out_of_range_is_refused_before_a_chart_is_made() {
    let (chart, decoded) = drawn();
    let mut wrong: Vec<(&str, Options)> = wrong_choices()
        .into_iter()
        .map(|(option, choice)| {
            let options = Options {
                choice,
                ..options()
            };
            (option, options)
        })
        .collect();
    for crisp in [-0.5, 1.5, f64::NAN] {
        wrong.push(("crisp", Options { crisp, ..options() }));
    }
    wrong.push((
        "ground",
        Options {
            ground: Some(4),
            ..options()
        },
    ));
    for (option, options) in wrong {
        let case = format!("{options:?}");
        blames(make(source(), &palette(), &options), option, &case);
        let memory = Cache::default();
        let decoded = Arc::clone(&decoded);
        let again = make_decoded(decoded, &palette(), &options, &memory);
        blames(again, option, &case);
        let again = Previous {
            chart: &chart,
            pinned: Vec::new(),
        };
        blames(
            remake(source(), &palette(), &options, &again),
            option,
            &case,
        );
    }
}

/// Where colours are chosen without a picture file, the same values are refused.
#[test]
fn a_value_out_of_range_is_refused_where_colours_are_chosen() {
    let lattice = lattice();
    let tiles = Mosaic::across(&lattice) * lattice.half_rows() as usize * TILES;
    let picture = Mosaic {
        lattice,
        light: vec![upbead::colour::Light::new(0.2, 0.4, 0.6); tiles],
    };
    let light = picture.of_beads();
    let settled = vec![None; lattice.len()];
    let together = Groups::alone(lattice.len());
    let wanted = Problem {
        lattice: &lattice,
        light: &light,
        fixed: &settled,
        groups: &together,
    };
    let tones = palette().tones();
    for (option, choice) in wrong_choices() {
        let case = format!("{choice:?}");
        blames(quantize::quantize(&wanted, &tones, &choice), option, &case);
        let fine = choice.refine.clone().unwrap_or_default();
        let refined = refine(&wanted, &tones, &picture, None, &choice, &fine);
        blames(refined, option, &case);
    }
    for keep in [vec![4], vec![0, 99]] {
        let choice = quantize::Settings {
            limit: Some(2),
            keep,
            ..quantize::Settings::default()
        };
        assert!(quantize::quantize(&wanted, &tones, &choice).is_err());
    }
}

/// What a chart's file says of its own making is checked as what is asked for now.
#[test]
fn a_chart_that_names_a_value_out_of_range_is_not_made_again() {
    let (chart, _) = drawn();
    for (name, value) in [
        ("colours", "0"),
        ("calm", "7"),
        ("calm", "-3"),
        ("calm", "NaN"),
        ("seen", "0"),
        ("crisp", "2"),
    ] {
        let mut chart = chart.clone();
        chart
            .made
            .options
            .push((name.to_string(), value.to_string()));
        let again = |options: Options| {
            let again = Previous {
                chart: &chart,
                pinned: Vec::new(),
            };
            remake(source(), &palette(), &options, &again)
        };
        let made = recorded(&chart, &palette()).and_then(again);
        assert!(made.is_err(), "accepted: {name} {value}");
    }
    let mut dithered = chart.clone();
    let dither = [("dither", "diffuse"), ("strength", "40")];
    let dither = dither.map(|(name, value)| (name.to_string(), value.to_string()));
    dithered.made.options.extend(dither);
    let made = recorded(&dithered, &palette()).and_then(|options| {
        let again = Previous {
            chart: &dithered,
            pinned: Vec::new(),
        };
        remake(source(), &palette(), &options, &again)
    });
    assert!(made.is_err(), "accepted: strength 40");
}

#[test]
fn a_pinned_bead_or_a_chart_of_another_band_is_refused() {
    let (chart, _) = drawn();
    let outside = Previous {
        chart: &chart,
        pinned: vec![chart.lattice.len()],
    };
    blames(
        remake(source(), &palette(), &options(), &outside),
        "pin",
        "a bead beyond the last",
    );
    let longer = Options {
        lattice: Lattice::new(Bead::default(), 5, Rows::closed(14).unwrap()).unwrap(),
        ..options()
    };
    let again = Previous {
        chart: &chart,
        pinned: Vec::new(),
    };
    assert!(remake(source(), &palette(), &longer, &again).is_err());
}

#[test]
fn a_comparison_out_of_range_is_refused() {
    let (chart, _) = drawn();
    let beside = |crisp| CompareOptions {
        arrangement: Arrangement::default(),
        ground: None,
        crisp,
    };
    for crisp in [-1.0, 1.2, f64::NAN] {
        let compared = compare(source(), &chart, &beside(crisp), &[Mm::new(700.0)]);
        blames(compared, "crisp", &format!("{crisp}"));
    }
    for distance in [0.0, -700.0, f64::NAN, 1e6] {
        let compared = compare(source(), &chart, &beside(0.0), &[Mm::new(distance)]);
        blames(compared, "distances", &format!("{distance}"));
    }
}
