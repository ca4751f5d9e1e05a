//! Thin lines of seven motifs on bands of 7 to 13 columns, traced on the lattice.
//!
//! A line is known by its course in the drawing. Laid on the band as the chart says, it runs
//! through beads; these and the beads that touch them are its corridor. The line is whole if beads
//! of its colour that touch one another, in the corridor, lead from its one end to the other. A
//! bead is of its colour if it is nearer to the ink than to what lies about it (CIEDE2000).

use crate::common::repository;
use std::collections::BTreeSet;
use std::sync::Arc;
use upbead::chart::Chart;
use upbead::colour::{ciede2000, lab, light, read_hex};
use upbead::lattice::{Column, Lattice, Rows};
use upbead::palette::read;
use upbead::picture::{Arrangement, Decoding, Place, Plan, Position, Rotation, decode, plan};
use upbead::pipeline::{Options, Source, arrangement, make};
use upbead::quantize::refine;
use upbead::request::Mirror;
use upbead::vision::band::DISTANCES;

const WIDTHS: [u32; 4] = [7, 9, 11, 13];

/// A piece of a line: points in the drawing's own units that straight pieces join.
type Course = Vec<(f64, f64)>;

struct Motif {
    file: &'static str,
    place: Place,
    ground: Option<&'static str>,
    colours: usize,
    ink: &'static str,
    about: &'static [&'static str],
    lines: Vec<Course>,
}

/// A cubic Bézier curve.
fn curve(p: [(f64, f64); 4]) -> Course {
    let at = |t: f64| {
        let u = 1.0 - t;
        let mix = |a: f64, b: f64, c: f64, d: f64| {
            u * u * u * a + 3.0 * u * u * t * b + 3.0 * u * t * t * c + t * t * t * d
        };
        (
            mix(p[0].0, p[1].0, p[2].0, p[3].0),
            mix(p[0].1, p[1].1, p[2].1, p[3].1),
        )
    };
    (0..=40).map(|step| at(f64::from(step) / 40.0)).collect()
}

fn motifs() -> Vec<Motif> {
    vec![
        anchor(),
        fish_hook(),
        kittiwake(),
        tide_line(),
        gull_tracks(),
        lighthouse(),
        lobster_pot(),
    ]
}

fn anchor() -> Motif {
    let arms = [
        curve([(16.0, 372.0), (20.0, 448.0), (92.0, 500.0), (180.0, 500.0)]),
        curve([
            (180.0, 500.0),
            (268.0, 500.0),
            (340.0, 448.0),
            (344.0, 372.0),
        ]),
    ]
    .concat();
    Motif {
        file: "anchor.png",
        place: Place::Motif,
        ground: Some("quay-58"),
        colours: 2,
        ink: "FBFAF5",
        about: &["1C3261"],
        lines: vec![
            vec![(180.0, 104.0), (180.0, 496.0)],
            vec![(86.0, 164.0), (274.0, 164.0)],
            arms,
        ],
    }
}

fn fish_hook() -> Motif {
    let bend = [
        vec![(224.0, 78.0), (224.0, 390.0)],
        curve([
            (224.0, 390.0),
            (224.0, 496.0),
            (184.0, 550.0),
            (124.0, 550.0),
        ]),
        curve([(124.0, 550.0), (60.0, 550.0), (14.0, 496.0), (14.0, 410.0)]),
        curve([(14.0, 410.0), (14.0, 368.0), (22.0, 330.0), (38.0, 296.0)]),
    ]
    .concat();
    Motif {
        file: "fish-hook.png",
        place: Place::Motif,
        ground: Some("quay-01"),
        colours: 2,
        ink: "1B1C20",
        about: &["FAFAF6"],
        lines: vec![bend, vec![(40.0, 300.0), (108.0, 368.0)]],
    }
}

fn kittiwake() -> Motif {
    Motif {
        file: "kittiwake.png",
        place: Place::Motif,
        ground: Some("shell-28"),
        colours: 5,
        ink: "1B1C20",
        about: &["72AACC", "FBFAF5"],
        lines: vec![
            vec![(187.0, 545.0), (187.0, 610.0)],
            vec![(271.0, 545.0), (271.0, 610.0)],
        ],
    }
}

fn tide_line() -> Motif {
    let foam = [
        curve([(2.0, 240.0), (50.0, 240.0), (70.0, 186.0), (120.0, 186.0)]),
        curve([
            (120.0, 186.0),
            (170.0, 186.0),
            (190.0, 240.0),
            (238.0, 240.0),
        ]),
    ]
    .concat();
    Motif {
        file: "tide-line.png",
        place: Place::Repeat(2),
        ground: None,
        colours: 5,
        ink: "FAFAF4",
        about: &["7CCBC8", "D9BC90"],
        lines: vec![foam],
    }
}

fn gull_tracks() -> Motif {
    let print = |x: f64, y: f64| {
        [
            vec![(x, y), (x, y - 140.0)],
            vec![(x, y - 18.0), (x - 62.0, y - 106.0)],
            vec![(x, y - 18.0), (x + 62.0, y - 106.0)],
        ]
    };
    Motif {
        file: "gull-tracks.png",
        place: Place::Motif,
        ground: None,
        colours: 2,
        ink: "4A4038",
        about: &["D9BC90"],
        lines: [print(92.0, 640.0), print(208.0, 420.0), print(92.0, 200.0)].concat(),
    }
}

fn lighthouse() -> Motif {
    Motif {
        file: "lighthouse.png",
        place: Place::Motif,
        ground: Some("shell-28"),
        colours: 6,
        ink: "1D2A3F",
        about: &["72AACC", "F7F4EA"],
        lines: vec![vec![(34.0, 173.0), (166.0, 173.0)]],
    }
}

fn lobster_pot() -> Motif {
    Motif {
        file: "lobster-pot.png",
        place: Place::Motif,
        ground: None,
        colours: 2,
        ink: "22303C",
        about: &["FFFFFF"],
        lines: vec![
            vec![(56.0, 540.0), (56.0, 412.0)],
            vec![(150.0, 306.0), (334.0, 306.0)],
            vec![(426.0, 412.0), (426.0, 540.0)],
        ],
    }
}

fn charted(motif: &Motif, columns: u32, crisp: f64, position: Position, refined: bool) -> Chart {
    let text = std::fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    let palette = read::read(&text, "tin").unwrap();
    let find = |code: &str| palette.find(code).unwrap();
    let rows = Rows::closed(50).unwrap();
    let options = Options {
        lattice: Lattice::new(Default::default(), columns, rows).unwrap(),
        arrangement: Arrangement {
            place: motif.place,
            rotation: Rotation::Quarters(0),
            position,
            ..Arrangement::default()
        },
        ground: motif.ground.map(find),
        crisp,
        simplify: 0.0,
        flat: false,
        mirror: Mirror::None,
        choice: upbead::quantize::Settings {
            limit: Some(motif.colours),
            refine: refined.then(|| refine::Goal {
                distances: DISTANCES.to_vec(),
                calm: 0.0,
            }),
            ..Default::default()
        },
        title: None,
        design: None,
        stock: None,
        length: vec![],
    };
    let source = Source::new(
        motif.file,
        std::fs::read(repository("samples").join(motif.file)).unwrap(),
    );
    make(source, &palette, &options).unwrap().value.chart
}

/// Where the chart says that its picture lies.
fn laid(motif: &Motif, chart: &Chart) -> Plan {
    let bytes = std::fs::read(repository("samples").join(motif.file)).unwrap();
    let picture = decode(Arc::new(bytes), &chart.lattice, &Decoding::default()).unwrap();
    let how = arrangement(chart).unwrap();
    plan(picture.upright(), picture.orientation, &chart.lattice, &how).unwrap()
}

/// The beads that a course runs through, in its order, and the width of the band's corridor about
/// it.
fn beads_along(course: &Course, plan: &Plan, lattice: &Lattice) -> Vec<usize> {
    let (x, y) = (&plan.tiles[0].map.x, &plan.tiles[0].map.y);
    assert!(!x.along_y && y.along_y, "the test's pictures stand upright");
    let bead = lattice.bead();
    let mut beads: Vec<usize> = Vec::new();
    for ends in course.windows(2) {
        for step in 0..=40 {
            let t = f64::from(step) / 40.0;
            let mix = |one: f64, two: f64| one + (two - one) * t;
            let (across, up) = (
                (mix(ends[0].0, ends[1].0) - x.offset) / x.scale,
                (mix(ends[0].1, ends[1].1) - y.offset) / y.scale,
            );
            let column = (across / bead.length.get()).floor() as u32 + 1;
            let half = (up / (bead.diameter.get() / 2.0)).floor() as i64;
            let half = half.rem_euclid(i64::from(lattice.half_rows())) as u32;
            let column = Column::new(column.clamp(1, lattice.columns()));
            let own = lattice.covering(half, column).unwrap();
            if beads.last() != Some(&own) {
                beads.push(own);
            }
        }
    }
    beads
}

/// Whether a line is whole, and how many of its corridor's beads are of its colour.
fn whole(motif: &Motif, chart: &Chart, course: &Course, plan: &Plan) -> (bool, f64) {
    let lattice = &chart.lattice;
    let hex = |hex: &str| lab(light(read_hex(hex).unwrap()));
    let ink = hex(motif.ink);
    let of_ink: Vec<bool> = chart
        .colours
        .iter()
        .map(|shade| {
            let own = lab(light(shade.srgb));
            let about = motif.about.iter().map(|about| ciede2000(own, hex(about)));
            ciede2000(own, ink) < about.fold(f64::INFINITY, f64::min)
        })
        .collect();
    let inked = |bead: usize| of_ink[usize::from(chart.beads[bead])];
    let run = beads_along(course, plan, lattice);
    let about = |bead: usize| {
        let near = lattice.neighbours(bead).map(|near| near.index);
        near.chain([bead]).collect::<Vec<usize>>()
    };
    let corridor: BTreeSet<usize> = run.iter().flat_map(|&bead| about(bead)).collect();
    let share = corridor.iter().filter(|&&bead| inked(bead)).count() as f64 / corridor.len() as f64;
    let ends = [run[0], run[run.len() - 1]].map(|end| {
        let inked = about(end).into_iter().filter(|&bead| inked(bead));
        inked.collect::<BTreeSet<usize>>()
    });
    let mut reached = ends[0].clone();
    let mut left: Vec<usize> = reached.iter().copied().collect();
    while let Some(bead) = left.pop() {
        for near in about(bead) {
            if corridor.contains(&near) && inked(near) && reached.insert(near) {
                left.push(near);
            }
        }
    }
    (reached.intersection(&ends[1]).next().is_some(), share)
}

/// How many lines of a motif are broken, of how many, and the mean share of ink in the corridors.
fn broken(motif: &Motif, chart: &Chart) -> (usize, f64) {
    let plan = laid(motif, chart);
    let lines = motif
        .lines
        .iter()
        .map(|line| whole(motif, chart, line, &plan));
    let told: Vec<(bool, f64)> = lines.collect();
    let share = told.iter().map(|line| line.1).sum::<f64>() / told.len() as f64;
    (told.iter().filter(|line| !line.0).count(), share)
}

/// Lines that may break. The rails of the pot are a third of a bead thick and nearer to its netting
/// than two beads; of nine toes of the gull one slips between two columns at 11.
fn may_break(motif: &Motif, columns: u32) -> usize {
    match (motif.file, columns) {
        ("lobster-pot.png", _) => motif.lines.len(),
        ("gull-tracks.png", 11) => 1,
        _ => 0,
    }
}

#[test]
fn lines_of_one_bead_stay_whole_where_the_picture_is_crisp_and_break_where_it_is_not() {
    let (mut told, mut broken_crisp, mut broken_plain) = (Vec::new(), Vec::new(), 0);
    let mut charts = 0;
    for motif in motifs() {
        for columns in WIDTHS {
            let crisp = charted(&motif, columns, 1.0, Position::Best, false);
            let seat = arrangement(&crisp).unwrap();
            // In the same seat, so that crispness alone tells.
            let seat = Position::At(match seat.position {
                Position::At(spot) => spot,
                _ => upbead::picture::Placement {
                    scale: 1.0,
                    across: upbead::units::Mm::new(0.0),
                    along: upbead::units::Mm::new(0.0),
                },
            });
            let plain = charted(&motif, columns, 0.0, seat, false);
            let ((with, share), (without, _)) = (broken(&motif, &crisp), broken(&motif, &plain));
            told.push(format!(
                "{} {columns}: {with} broken crisp, {without} plain, of {}; ink {share:.2}",
                motif.file,
                motif.lines.len()
            ));
            charts += 1;
            broken_plain += usize::from(without > 0);
            // A corridor full of ink would be a blot, and no line.
            if with > may_break(&motif, columns) || share > 0.75 {
                broken_crisp.push(format!("{} {columns}", motif.file));
            }
        }
    }
    let told = told.join("\n");
    println!("{told}");
    assert_eq!(charts, 28);
    assert!(broken_crisp.is_empty(), "{broken_crisp:?}\n{told}");
    assert!(
        broken_plain >= 8,
        "{broken_plain} charts have a broken line\n{told}"
    );
}

#[test]
fn refining_does_not_break_what_is_crisp() {
    for motif in motifs().iter().take(2) {
        let chart = charted(motif, 9, 1.0, Position::Best, true);
        assert_eq!(broken(motif, &chart).0, 0, "{}", motif.file);
    }
}
