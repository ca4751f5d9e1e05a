use super::*;
use crate::lattice::Rows;
use crate::palette::read::read;
use crate::picture::Decoding;
use crate::pipeline::{Decoded, decoded};
use crate::request::Mirror;

fn sample(name: &str, lattice: &Lattice) -> Decoded {
    let path = format!("{}/samples/{name}", env!("CARGO_MANIFEST_DIR"));
    let bytes = Arc::new(std::fs::read(path).unwrap());
    decoded(name.to_string(), bytes, lattice, &Decoding::default()).unwrap()
}

fn tones() -> Vec<Tone> {
    let path = format!("{}/palettes/tin.csv", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    read(&text, "tin").unwrap().tones()
}

fn options(lattice: Lattice, limit: Option<usize>, crisp: f64) -> Options {
    Options {
        lattice,
        arrangement: Arrangement {
            place: Place::Motif,
            position: Position::Best,
            ..Arrangement::default()
        },
        ground: None,
        crisp,
        simplify: 0.0,
        flat: false,
        mirror: Mirror::None,
        choice: quantize::Settings {
            limit,
            ..quantize::Settings::default()
        },
        design: None,
        title: None,
        stock: None,
        length: Vec::new(),
    }
}

/// The best position by measuring all, without bounds.
fn plainly(search: &Search, range: &Range) -> Placement {
    let look = |placement: Placement| (search.measured(&placement).unwrap(), placement);
    let mut candidates: Vec<Candidate> = range.coarse().into_par_iter().map(look).collect();
    ranked(&mut candidates, KEPT.0);
    let mut candidates: Vec<Candidate> = candidates
        .into_par_iter()
        .map(|candidate| {
            STEPS.into_iter().fold(candidate, |best, step| {
                let mut all = vec![best];
                all.extend(range.steps_from(&best.1, step).into_iter().map(look));
                ranked(&mut all, 1);
                all[0]
            })
        })
        .collect();
    ranked(&mut candidates, KEPT.1);
    let refined = |(_, placement)| (search.refined(&placement).unwrap(), placement);
    let mut last: Vec<Candidate> = candidates.into_par_iter().map(refined).collect();
    ranked(&mut last, 1);
    last[0].1
}

#[test]
fn the_seat_is_that_of_measuring_them_all_and_no_guess_is_beyond_its_bounds() {
    let tones = tones();
    let closed = Lattice::new(Default::default(), 9, Rows::closed(40).unwrap()).unwrap();
    let narrow = Lattice::new(Default::default(), 7, Rows::closed(36).unwrap()).unwrap();
    // An even strip has bare edges.
    let open = Lattice::new(Default::default(), 8, Rows::open(31).unwrap()).unwrap();
    for (name, lattice, limit, crisp) in [
        ("kittiwake.png", closed, Some(5), 0.0),
        ("gull-tracks.png", narrow, None, 0.6),
        ("fish-hook.png", open, Some(3), 0.0),
    ] {
        let decoded = sample(name, &lattice);
        let picture = &decoded.picture;
        let options = options(lattice, limit, crisp);
        let mut framed = options.clone();
        framed.arrangement.position = Position::At(MIDDLE);
        let framed = positioned(&decoded, &tones, &framed).unwrap();
        let search_for = search_for(picture, &tones, &options, framed).unwrap();
        let (search, range) = search_for.unwrap();
        let all = range.coarse();
        assert!(all.len() > 3, "{name}: {}", all.len());
        for placement in all {
            let (bounds, exact) = (
                search.bounded(&placement).unwrap(),
                search.measured(&placement).unwrap(),
            );
            assert!(
                bounds.at_least <= exact && exact <= bounds.at_most,
                "{name} {placement:?}: {exact} is not within {} and {}",
                bounds.at_least,
                bounds.at_most
            );
        }
        assert_eq!(
            search.best(&range).unwrap(),
            plainly(&search, &range),
            "{name}"
        );
    }
}
