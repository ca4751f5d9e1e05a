//! What the weaver asks of a finished chart: the rows, the kit, what is wrong with it; and the pass
//! list from ten thousand to a million beads.

mod common;

use common::{closed, file, harbour, mib, paired, peak_mib, seconds};
use upbead::chart::write::write;
use upbead::chart::{Chart, read::read};
use upbead::lattice::Lattice;
use upbead::output;
use upbead::pipeline::{Options, Source, make};
use upbead::quantize;
use upbead::report::weave::{WeaveReport, WovenBand};
use upbead::request::{Mirror, Start, WeaveRequest, WorkFrom};
use upbead::weave::check::check;
use upbead::weave::kit::{self, SPARE, kit};
use upbead::weave::{Frame, Item, TAIL, Thread, Weave, lengths, weave};

fn main() {
    let panel = chart(81, 240);
    verbs(&panel);
    for (columns, rows) in [(100, 200), (316, 632), (1000, 2000)] {
        growth(&closed(columns, rows));
    }
    for rows in [66, 74, 80] {
        items(&closed(9, rows));
    }
}

fn chart(columns: u32, rows: u32) -> Chart {
    let options = Options {
        lattice: closed(columns, rows),
        arrangement: Default::default(),
        ground: None,
        crisp: 0.0,
        simplify: 0.0,
        flat: false,
        mirror: Mirror::None,
        choice: quantize::Settings::default(),
        title: None,
        design: None,
        stock: None,
        length: vec![],
    };
    let source = Source::new("dusk.jpg", file("samples/harbour-dusk.jpg"));
    make(source, &harbour(), &options)
        .expect("a chart")
        .value
        .chart
}

fn work(lattice: &Lattice) -> Weave {
    let frame = Frame::new(lattice, Start::Left, WorkFrom::Bottom).expect("a frame");
    weave(lattice, frame)
}

/// Each verb's work beside reading the chart's file, which it cannot do without.
fn verbs(chart: &Chart) {
    let text = write(chart);
    let guide = || {
        let band = WovenBand::new(chart, &WeaveRequest::default(), None).expect("a weave");
        let report = WeaveReport::of(&band);
        (output::weave::text(&report), output::weave::json(&report))
    };
    let options = kit::Options {
        make: 1,
        spare: SPARE,
        thread: Thread::default(),
        tail: TAIL,
        ..kit::Options::default()
    };
    let beads = chart.beads.len();
    let read_file = || read(&text).expect("a chart");
    let report = |name: &str, (verb, reading, ratio): (f64, f64, f64)| {
        println!(
            "{name}, {beads} beads: {:.1} ms, {ratio:.2} times reading the chart's file ({:.1} ms)",
            verb * 1e3,
            reading * 1e3
        );
    };
    report("weave, text and JSON", paired(9, guide, read_file));
    report(
        "kit",
        paired(9, || kit(chart, None, options).expect("a kit"), read_file),
    );
    report(
        "check",
        paired(
            9,
            || check(chart, &Default::default()).expect("findings"),
            read_file,
        ),
    );
}

fn growth(lattice: &Lattice) {
    let beads = lattice.len() as f64;
    let plan = || work(lattice);
    let peak = peak_mib(plan);
    let time = seconds(3, plan);
    let done = plan();
    let thread = seconds(3, || lengths(lattice, &done, Thread::default(), TAIL));
    println!(
        "pass list, {beads} beads: {:.0} ms, {:.3} µs a bead, peak {}; its thread {:.0} ms",
        time * 1e3,
        time * 1e6 / beads,
        mib(peak),
        thread * 1e3
    );
}

fn items(lattice: &Lattice) {
    let lengths = lengths(lattice, &work(lattice), Thread::default(), TAIL);
    let item = |item: Item| lengths.item(item).get();
    println!(
        "thread, {} x {}: {:.0} mm: tail {:.0}, beads {:.0}, seam {:.0}, weaving in {:.0}, \
         handling {:.0}",
        lattice.columns(),
        lattice.rows(),
        lengths.total().get(),
        item(Item::Tail),
        item(Item::Path),
        item(Item::Seam),
        item(Item::ThreadEnd),
        item(Item::Handling)
    );
}
