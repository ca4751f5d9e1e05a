use super::*;
use crate::lattice::Rows;
use crate::palette::read::read;
use crate::pipeline::{Decoded, decoded};

fn sample(name: &str, lattice: &Lattice) -> Decoded {
    let path = format!("{}/samples/{name}", env!("CARGO_MANIFEST_DIR"));
    let bytes = Arc::new(std::fs::read(path).unwrap());
    decoded(name.to_string(), bytes, lattice, &Cancel::default()).unwrap()
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
            seat: Seat::Best,
            ..Arrangement::default()
        },
        ground: None,
        crisp,
        mirror: Vec::new(),
        choice: quantize::Options {
            limit,
            ..quantize::Options::default()
        },
        title: None,
        stock: None,
        length: Vec::new(),
    }
}

/// Every seat measured, none guessed.
fn plainly(search: &Search, room: &Room) -> Spot {
    let look = |spot: Spot| (search.quickly(&spot).unwrap(), spot);
    let mut seats: Vec<Measured> = room.coarse().into_par_iter().map(look).collect();
    ranked(&mut seats, KEPT.0);
    let mut seats: Vec<Measured> = seats
        .into_par_iter()
        .map(|seat| {
            STEPS.into_iter().fold(seat, |best, step| {
                let mut all = vec![best];
                all.extend(room.beside(&best.1, step).into_iter().map(look));
                ranked(&mut all, 1);
                all[0]
            })
        })
        .collect();
    ranked(&mut seats, KEPT.1);
    let refined = |(_, spot)| (search.refined(&spot).unwrap(), spot);
    let mut last: Vec<Measured> = seats.into_par_iter().map(refined).collect();
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
        let picture = sample(name, &lattice).picture;
        let options = options(lattice, limit, crisp);
        let mut framed = options.clone();
        framed.arrangement.seat = Seat::At(MIDDLE);
        let framed = seated(&picture, &tones, &framed).unwrap();
        let sought = sought(&picture, &tones, &options, framed).unwrap();
        let (search, room) = sought.unwrap();
        let all = room.coarse();
        assert!(all.len() > 3, "{name}: {}", all.len());
        for spot in all {
            let (guess, exact) = (
                search.guessed(&spot).unwrap(),
                search.quickly(&spot).unwrap(),
            );
            assert!(
                guess.at_least <= exact && exact <= guess.at_most,
                "{name} {spot:?}: {exact} is not within {} and {}",
                guess.at_least,
                guess.at_most
            );
        }
        assert_eq!(
            search.best(&room).unwrap(),
            plainly(&search, &room),
            "{name}"
        );
    }
}
