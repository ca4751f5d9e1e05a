//! How much nearer to the picture the band optimised whole is, and what it costs: geometric means
//! of ratios over pictures and palettes.
//!
//! `cargo bench --bench refine -- [FOLDER] [CALM] [SIZES] [MOST]`, with so many of the three sizes,
//! and so many pictures at the second and half of them at the third, takes the opaque pictures of
//! FOLDER, and beside them the charts that `general_tool.py` made there; without it our own samples
//! and the tests' photographs. Errors are mean CIEDE2000 after S-CIELAB's filters.

mod common;

use common::{closed, file};
use std::path::{Path, PathBuf};
use std::time::Instant;
use upbead::chart::Chart;
use upbead::colour::Srgb8;
use upbead::palette::{Palette, read};
use upbead::picture::Arrangement;
use upbead::pipeline::{CompareOptions, Options, Source, compare, make};
use upbead::quantize::{self, Dither, measure::Measure, refine};
use upbead::request::Mirror;
use upbead::vision::band::{DISTANCES, ViewDifference};

const SIZES: [(u32, u32); 3] = [(9, 74), (21, 140), (81, 240)];
const PALETTES: [&str; 3] = ["tin", "shelf", "harbour"];

/// The ways that are compared.
#[derive(Default)]
struct Ratios {
    /// By distance; then against nearest, diffusion, the general tool, and the better of the first
    /// and last.
    of: [[Vec<f64>; 4]; 3],
    stray: Vec<f64>,
    changes: Vec<f64>,
}

fn main() {
    let mut arguments = std::env::args().skip(1).filter(|word| word != "--bench");
    let folder = arguments.next().map(PathBuf::from);
    let calm = arguments
        .next()
        .map_or(0.0, |word| word.parse().expect("a calm"));
    let sizes = arguments
        .next()
        .map_or(SIZES.len(), |word| word.parse().expect("a count of sizes"));
    let most: usize = arguments.next().map_or(usize::MAX, |word| {
        word.parse().expect("a count of pictures")
    });
    let pictures = pictures(folder.as_deref());
    println!("{} pictures, calm {calm}", pictures.len());
    for limit in [None, Some(8)] {
        for seen in [&DISTANCES[1..2], &DISTANCES[..1], &DISTANCES[..]] {
            let fine = refine::Goal {
                distances: seen.to_vec(),
                calm,
            };
            let words = match limit {
                None => "no limit".to_string(),
                Some(limit) => format!("at most {limit} colours"),
            };
            let words = format!(
                "refined for {} distances from {}, {words}",
                seen.len(),
                seen[0]
            );
            let mut whole = Ratios::default();
            for (at, (columns, rows)) in SIZES.into_iter().enumerate().take(sizes) {
                let most = [usize::MAX, most, most.div_ceil(2)][at];
                let mut ratios = Ratios::default();
                let mut slowest = 0f64;
                for name in PALETTES {
                    let palette = palette(name);
                    let mut own = Ratios::default();
                    for path in pictures.iter().take(most) {
                        let case = Case {
                            path,
                            palette: &palette,
                            columns,
                            rows,
                            limit,
                        };
                        let both = &mut [&mut own, &mut ratios, &mut whole];
                        slowest = slowest.max(case.run(&fine, folder.as_deref(), both));
                    }
                    let of_nearest = own.of.each_ref().map(|of| geometric(&of[0]));
                    println!("  {name}: of nearest {}", of_nearest.join(", "));
                }
                tell(&format!("{columns} x {rows}, {words}"), &ratios);
                println!("  refining took {:.2} s at most", slowest);
            }
            tell(&format!("all sizes, {words}"), &whole);
        }
    }
    if sizes == SIZES.len() {
        growth();
    }
}

struct Case<'a> {
    path: &'a Path,
    palette: &'a Palette,
    columns: u32,
    rows: u32,
    limit: Option<usize>,
}

impl Case<'_> {
    fn source(&self) -> Source {
        Source::new(
            self.path.display().to_string(),
            std::fs::read(self.path).expect("a picture"),
        )
    }

    fn options(&self, dither: Dither, fine: Option<refine::Goal>) -> Options {
        Options {
            lattice: closed(self.columns, self.rows),
            arrangement: Arrangement::default(),
            ground: None,
            crisp: 0.0,
            simplify: 0.0,
            flat: false,
            mirror: Mirror::None,
            choice: quantize::Settings {
                limit: self.limit,
                dither,
                refine: fine,
                ..Default::default()
            },
            title: None,
            design: None,
            stock: None,
            length: vec![],
        }
    }

    fn made(&self, dither: Dither, fine: Option<refine::Goal>) -> Chart {
        let options = self.options(dither, fine);
        make(self.source(), self.palette, &options)
            .expect("a chart")
            .value
            .chart
    }

    fn measured(&self, chart: &Chart) -> Measure {
        let measured = compare(
            self.source(),
            chart,
            &CompareOptions {
                arrangement: Arrangement::default(),
                ground: None,
                crisp: 0.0,
            },
            &DISTANCES,
        );
        measured.expect("figures").value.measure
    }

    /// Adds the ratios, and says how many seconds refining took.
    fn run(&self, fine: &refine::Goal, folder: Option<&Path>, ratios: &mut [&mut Ratios]) -> f64 {
        let nearest = self.made(Dither::None, None);
        let diffuse = self.made(Dither::Diffuse(0.5), None);
        let start = Instant::now();
        let refined = self.made(Dither::None, Some(fine.clone()));
        let time = start.elapsed().as_secs_f64();
        let tool = folder.and_then(|folder| self.tool(folder, &nearest));
        let own = self.measured(&refined);
        let others = [Some(&nearest), Some(&diffuse), tool.as_ref()]
            .map(|chart| chart.map(|chart| self.measured(chart)));
        if fine.calm == 0.0 {
            let counts = |apart: &&ViewDifference| fine.distances.contains(&apart.distance);
            let sum = |measure: &Measure| {
                measure
                    .views
                    .iter()
                    .filter(counts)
                    .map(|apart| apart.mean)
                    .sum::<f64>()
            };
            for other in others[..2].iter().flatten() {
                assert!(
                    sum(&own) <= sum(other) * (1.0 + 1e-9),
                    "worse: {}",
                    self.path.display()
                );
            }
        }
        for ratios in ratios {
            for at in 0..3 {
                let error = |measure: &Measure| measure.views[at].mean;
                let ratio =
                    |other: &Option<Measure>| other.as_ref().map(|m| error(&own) / error(m));
                for (list, other) in ratios.of[at].iter_mut().zip(&others) {
                    list.extend(ratio(other));
                }
                if let (Some(a), Some(c)) = (ratio(&others[0]), ratio(&others[2])) {
                    ratios.of[at][3].push(a.max(c));
                }
            }
            if let Some(nearest) = &others[0] {
                ratios
                    .stray
                    .push((own.stray as f64 + 1.0) / (nearest.stray as f64 + 1.0));
                ratios
                    .changes
                    .push(own.changes as f64 / nearest.changes.max(1) as f64);
            }
        }
        time
    }

    /// The general tool's picture, a pixel a column and half row, as a chart.
    fn tool(&self, folder: &Path, like: &Chart) -> Option<Chart> {
        let stem = self.path.file_stem()?.to_string_lossy();
        let name = format!(
            "tool/{stem}-{}x{}-{}-{}.png",
            self.columns,
            self.rows,
            self.palette.name,
            self.limit.unwrap_or(0)
        );
        let picture = image::open(folder.join(name)).ok()?.to_rgb8();
        let mut chart = like.clone();
        chart.colours = self
            .palette
            .colours()
            .iter()
            .map(|colour| upbead::chart::Shade {
                code: colour.code.clone(),
                name: colour.name.clone(),
                srgb: colour.srgb,
                finish: None,
            })
            .collect();
        for bead in 0..chart.lattice.len() {
            let (row, column) = chart.lattice.position(bead);
            let pixel = picture.get_pixel(column.get() - 1, self.rows - row.get());
            let srgb = Srgb8::new(pixel[0], pixel[1], pixel[2]);
            let place = chart.colours.iter().position(|shade| shade.srgb == srgb);
            chart.beads[bead] = place.expect("a colour of the palette") as u16;
        }
        Some(chart)
    }
}

fn pictures(folder: Option<&Path>) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let Some(folder) = folder else {
        return common::PICTURES
            .iter()
            .map(|name| root.join(name))
            .collect();
    };
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|ending| ending == "png" || ending == "jpg")
        })
        .filter(|path| {
            // A motif needs a ground, which the general tool does not know.
            let picture = image::open(path).expect("a picture").to_rgba8();
            picture.pixels().all(|pixel| pixel[3] == 255)
        })
        .collect();
    found.sort();
    found
}

fn palette(name: &str) -> Palette {
    let text = String::from_utf8(file(&format!("palettes/{name}.csv"))).expect("text");
    read::read(&text, name).expect("a palette")
}

fn tell(what: &str, ratios: &Ratios) {
    println!("{what}");
    for (distance, of) in DISTANCES.iter().zip(&ratios.of) {
        let told: Vec<String> = of.iter().map(|list| geometric(list)).collect();
        println!(
            "  {distance}: of nearest {}, of diffusion {}, of the general tool {}, of the better \
             of nearest and tool {}",
            told[0], told[1], told[2], told[3]
        );
    }
    println!(
        "  beads alone {} of nearest's, colour changes {}",
        geometric(&ratios.stray),
        geometric(&ratios.changes)
    );
}

fn geometric(list: &[f64]) -> String {
    if list.is_empty() {
        "-".to_string()
    } else {
        let mean = list.iter().map(|&ratio| libm::log(ratio)).sum::<f64>() / list.len() as f64;
        format!("{:.3}", libm::exp(mean))
    }
}

/// Time by size, with 48 colours.
fn growth() {
    let palette = palette("shelf");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/harbour-dusk.jpg");
    for (columns, rows) in [(9, 74), (81, 240), (200, 400), (400, 500)] {
        let case = Case {
            path: &path,
            palette: &palette,
            columns,
            rows,
            limit: None,
        };
        let time = |fine: Option<refine::Goal>| {
            let start = Instant::now();
            case.made(Dither::None, fine);
            start.elapsed().as_secs_f64()
        };
        let plain = time(None);
        let refined = time(Some(refine::Goal {
            distances: DISTANCES.to_vec(),
            calm: 0.0,
        }));
        let calmed = time(Some(refine::Goal {
            distances: DISTANCES.to_vec(),
            calm: 0.5,
        }));
        let beads = case.options(Dither::None, None).lattice.len();
        println!(
            "{columns} x {rows}, {beads} beads: nearest {:.3} s, refined {:.3} s ({:.0} µs a \
             bead), refined and calmed {:.3} s",
            plain,
            refined,
            refined * 1e6 / beads as f64,
            calmed
        );
    }
}
