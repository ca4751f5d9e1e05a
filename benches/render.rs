//! The ring's picture, its loop and the band from afar: time on all cores, and against one thread.

mod common;

use common::{closed, harbour, paired, seconds};
use upbead::cancel::Cancel;
use upbead::chart::{Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::output::ring_picture::{LoopFormat, animate, encode_loop};
use upbead::output::{png, seen};
use upbead::render::{Pose, RingScene, render_ring};
use upbead::scene::{FlatOptions, VIEWING_DISTANCES, ViewingOptions, draw_from_distances, flat};

/// Twelve colours of the shipped palette, one finish after the other, in slanted stripes.
fn striped(columns: u32, rows: u32) -> Chart {
    let lattice = closed(columns, rows);
    let shade = |colour: &upbead::palette::Colour| Shade {
        code: colour.code.clone(),
        name: colour.name.clone(),
        srgb: colour.srgb,
        finish: colour.finish,
    };
    let colours = harbour().colours().iter().step_by(20).map(shade).collect();
    let stripe = |at: usize| {
        let (row, column) = lattice.position(at);
        ((row.get() + column.get()) / 4 % 12) as u16
    };
    Chart {
        lattice,
        colours,
        beads: (0..lattice.len()).map(stripe).collect(),
        made: Made::default(),
        title: None,
        notes: None,
    }
}

fn main() {
    let chart = striped(9, 74);
    let white = Some(Srgb8::new(255, 255, 255));
    let alone = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a thread");
    let ms = |seconds: f64| seconds * 1e3;
    for side in [480, 1024, 1200] {
        let render = || render_ring(&chart, &Pose::default(), side, white).expect("a ring");
        let (all, one, ratio) = paired(5, render, || alone.install(render));
        println!(
            "ring, {side} px: {:.0} ms, one thread {:.0} ms, ratio {ratio:.2}",
            ms(all),
            ms(one)
        );
    }
    let frames = || {
        let scene = RingScene::new(&chart, &Pose::default(), white).expect("a ring");
        animate(48, |at| scene.render(f64::from(at) * 7.5, 480))
    };
    println!(
        "48 frames of 480 px in one palette: {:.0} ms",
        ms(seconds(3, frames))
    );
    let animation = frames();
    for (name, format) in [("apng", LoopFormat::Png), ("gif", LoopFormat::Gif)] {
        let write = || encode_loop(&animation, format, 11811).expect("a file");
        let kb = write().len() / 1000;
        println!("  as {name}: {:.0} ms, {kb} kB", ms(seconds(3, write)));
    }
    let far = ViewingOptions {
        distances: VIEWING_DISTANCES.to_vec(),
        times: 1.0,
        backdrop: Srgb8::new(255, 255, 255),
        bare: false,
    };
    let from_afar = || {
        let (words, panels) = draw_from_distances(&chart, &far);
        seen(&words, &panels, 1.0, None, &Cancel::default()).expect("a picture")
    };
    let (all, one, ratio) = paired(5, from_afar, || alone.install(from_afar));
    println!(
        "from three distances: {:.0} ms, one thread {:.0} ms, ratio {ratio:.2}",
        ms(all),
        ms(one)
    );
    let beads = |beads| {
        let options = FlatOptions {
            beads,
            ..FlatOptions::default()
        };
        let scene = flat(&chart, &options);
        move || png(&scene, None).expect("a picture")
    };
    let (lit, plain, ratio) = paired(5, beads(true), beads(false));
    println!(
        "flat chart as beads: {:.0} ms, flat beads {:.0} ms, ratio {ratio:.2}",
        ms(lit),
        ms(plain)
    );
}
