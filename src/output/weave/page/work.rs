//! What the page shows, as the JSON that it carries: the words of the report, the beads' places as
//! the scene has them, and the steps in order.

use super::drawings::{self, Picture};
use crate::report::weave::{
    CLOSE, ColourReport, FLIPPED, JOIN, RowReport, RowsLine, Run, Section, Side, TRY_ON, TurnKind,
    TurnedOver, WEAVE_IN, WeaveReport, WovenBand,
};
use crate::request::{Start, WorkFrom};
use crate::scene::beads_only;
use crate::units::Mm;
use crate::weave::{JoinPasses, Pass, Work as Row};
use serde::Serialize;
use sha2::{Digest, Sha256};

/// All that the page knows.
#[derive(Serialize)]
pub(super) struct Document {
    /// Names the chart and the way it is woven; the place is kept under it.
    id: String,
    pub(super) title: String,
    facts: Vec<String>,
    colours: Vec<Colour>,
    band: Band,
    steps: Vec<Step>,
    help: Vec<Part>,
    #[serde(skip_serializing_if = "Option::is_none")]
    turning: Option<Turning>,
}

/// What is said to those who turn the work over after each row, and to the others.
#[derive(Serialize)]
struct Turning {
    /// The direction of every row when the work is turned over.
    way: &'static str,
    /// How to read the arrows when the work keeps lying the same way, and when it is turned over.
    same: String,
    over: String,
    /// What sides mean in other words when the work is turned over.
    sides: String,
}

#[derive(Serialize)]
struct Colour {
    /// What the rows say.
    name: String,
    /// Name, code and finish.
    about: String,
    hex: String,
    count: usize,
}

/// Where the beads lie, in millimetres from the band's upper left corner; beads in lattice order.
#[derive(Serialize)]
struct Band {
    width: f64,
    height: f64,
    /// Width, height and corner of a bead.
    bead: [f64; 3],
    left: Vec<f64>,
    top: Vec<f64>,
    colour: Vec<u16>,
    /// The chart's row of each bead.
    row: Vec<u32>,
}

/// One step of the work.
#[derive(Serialize, Default)]
struct Step {
    kind: &'static str,
    name: String,
    /// `1 of 3`, where steps share a name.
    #[serde(skip_serializing_if = "Option::is_none")]
    part: Option<String>,
    /// `right` or `left`, where beads are picked up.
    #[serde(skip_serializing_if = "Option::is_none")]
    way: Option<&'static str>,
    /// In the order of picking up.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    beads: Vec<usize>,
    /// The bead that the needle goes through after each of them; -1 where a turn follows.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    through: Vec<i64>,
    /// Colour and count.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    runs: Vec<(u16, usize)>,
    #[serde(skip_serializing_if = "Option::is_none")]
    turn: Option<TurnOut>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawing: Option<Picture>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    text: Vec<String>,
    /// Whether it says how to read the arrows.
    #[serde(skip_serializing_if = "is_false")]
    reading: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    notes: Vec<Part>,
}

#[derive(Serialize)]
struct TurnOut {
    kind: &'static str,
    words: String,
    /// In full.
    #[serde(skip_serializing_if = "Option::is_none")]
    how: Option<String>,
    /// Whether it comes for the first time.
    first: bool,
}

#[derive(Serialize, Clone)]
struct Part {
    heading: &'static str,
    paragraphs: Vec<String>,
}

fn is_false(value: &bool) -> bool {
    !value
}

/// The document of this band.
pub(super) fn document(band: &WovenBand, report: &WeaveReport) -> Document {
    let colour = |colour: &ColourReport| Colour {
        name: colour.word.clone(),
        about: colour.about.clone(),
        hex: colour.hex.clone(),
        count: colour.count,
    };
    let guide = &report.guide;
    Document {
        id: id(band, report),
        title: guide.title.clone(),
        facts: guide.facts.lines().map(String::from).collect(),
        colours: report.colours.iter().map(colour).collect(),
        band: places(band),
        help: guide
            .after
            .iter()
            .filter(|one| !is_step(one))
            .map(part)
            .collect(),
        steps: steps(band, report),
        turning: turning(band),
    }
}

fn turning(band: &WovenBand) -> Option<Turning> {
    let turned_over = TurnedOver::of(band)?;
    Some(Turning {
        way: turned_over.to.word(),
        same: format!("{FLIPPED} Under More you can choose arrows for that."),
        over: turned_over.words(),
        sides: format!(
            "Left and right in these words are for the work as it lies in row {}.",
            turned_over.row
        ),
    })
}

/// The first 16 hex digits of the SHA-256 of shape, way of working and beads.
fn id(band: &WovenBand, report: &WeaveReport) -> String {
    let lattice = &band.chart.lattice;
    let (first, last) = band.rows.map_or((1, lattice.rows()), |(first, last)| {
        (first.get(), last.get())
    });
    let mut digest = Sha256::new();
    digest.update(format!(
        "{} {} {} {} {} {first} {last}\n",
        lattice.columns(),
        lattice.rows(),
        lattice.is_closed(),
        report.start == Start::Left,
        report.from == WorkFrom::Bottom,
    ));
    for colour in &band.chart.beads {
        digest.update(colour.to_le_bytes());
    }
    let bytes = digest.finalize();
    bytes[..8]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn places(band: &WovenBand) -> Band {
    let beads = beads_only(band.chart);
    let lattice = &band.chart.lattice;
    let mm = |length: Mm| length.rounded();
    Band {
        width: mm(lattice.width()),
        height: mm(lattice.flat_height()),
        bead: [beads.shape.width, beads.shape.height, beads.shape.corner].map(mm),
        left: beads.placed.iter().map(|bead| mm(bead.left)).collect(),
        top: beads.placed.iter().map(|bead| mm(bead.top)).collect(),
        colour: band.chart.beads.clone(),
        row: (0..lattice.len()).map(|bead| band.row_of(bead)).collect(),
    }
}

fn is_step(section: &Section) -> bool {
    [CLOSE, WEAVE_IN].contains(&section.heading)
}

fn part(section: &Section) -> Part {
    Part {
        heading: section.heading,
        paragraphs: section.paragraphs.clone(),
    }
}

fn steps(band: &WovenBand, report: &WeaveReport) -> Vec<Step> {
    let mut steps: Vec<Step> = strung(band, report).into_iter().collect();
    let begin = report.guide.begin.as_ref();
    let mut weaving = begin.map_or(Vec::new(), |begin| begin.weaving.clone());
    let mut repeated: Vec<(u32, String)> = report.lines().iter().filter_map(alike).collect();
    repeated.reverse();
    let joins = band.joins();
    let woven_rows = band.weave.rows.iter().filter(|row| band.has_row(row.row));
    for (row, said) in woven_rows.zip(&report.rows) {
        let mut step = woven(band, row, said);
        if !weaving.is_empty() {
            step.drawing = drawings::strung_line(band);
            step.reading = true;
        }
        step.text.append(&mut weaving);
        step.text.extend(
            repeated
                .pop_if(|(first, _)| *first == said.row)
                .map(|(_, words)| words),
        );
        steps.push(step);
        if said.try_on {
            steps.push(Step {
                kind: "sewn",
                name: TRY_ON.to_string(),
                text: report.guide.try_on.clone(),
                ..Step::default()
            });
        }
        if !said.join.is_empty() {
            let here =
                |(after, _): &(usize, Option<JoinPasses>)| band.weave.rows[*after].row == row.row;
            let passes = joins.iter().find(|join| here(join));
            let passes = passes.and_then(|(_, passes)| passes.as_ref());
            steps.push(Step {
                kind: "sewn",
                name: JOIN.to_string(),
                drawing: passes.map(|passes| drawings::join(band, passes)),
                text: said.join.clone(),
                ..Step::default()
            });
        }
    }
    let after = &report.guide.after;
    for section in after.iter().filter(|section| is_step(section)) {
        steps.extend(sewn(section));
    }
    steps.push(Step {
        kind: "done",
        name: "Done".to_string(),
        ..Step::default()
    });
    steps
}

/// The first of rows that are alike, and what is said there.
fn alike(line: &RowsLine) -> Option<(u32, String)> {
    let RowsLine::Repeated(repeated) = line else {
        return None;
    };
    let rows = repeated.rows();
    let words = format!(
        "Rows {rows} are the same two rows, {} times.",
        repeated.times
    );
    Some((repeated.pair[0].row, words))
}

fn strung(band: &WovenBand, report: &WeaveReport) -> Option<Step> {
    let begin = report.guide.begin.as_ref()?;
    let beads = band.weave.strung.clone();
    let cautions = report.guide.after.last().filter(|one| !is_step(one));
    Some(Step {
        kind: "strung",
        name: format!("Rows {}", begin.rows),
        way: band.weave.passes.first().map(|pass| side(pass.forward)),
        through: vec![-1; beads.len()],
        runs: counted(&report.strung),
        beads,
        text: vec![begin.words.clone()],
        notes: cautions.map(part).into_iter().collect(),
        ..Step::default()
    })
}

fn side(forward: bool) -> &'static str {
    Side::of(forward).word()
}

fn woven(band: &WovenBand, row: &Row, said: &RowReport) -> Step {
    Step {
        kind: "row",
        name: format!("Row {}", said.row),
        way: Some(said.travel.word()),
        through: through(band, row),
        runs: counted(&said.pick),
        beads: row.beads.clone(),
        turn: Some(TurnOut {
            kind: match said.turn {
                TurnKind::Turn => "ordinary",
                TurnKind::FigureEight => "eight",
                TurnKind::EdgeBead => "edge",
                TurnKind::Bridge => "bridge",
                TurnKind::End => "end",
            },
            words: said.ends(),
            how: said.how.clone(),
            first: said.explained().is_some(),
        }),
        ..Step::default()
    }
}

fn counted(runs: &[Run]) -> Vec<(u16, usize)> {
    runs.iter().map(|run| (run.colour, run.count)).collect()
}

/// The pass that follows each bead on the way across; those of a turn lead back.
fn through(band: &WovenBand, row: &Row) -> Vec<i64> {
    let passes = &band.weave.passes[row.passes.clone()];
    let on = |pass: &&Pass| !pass.picked && !pass.caught && pass.forward == row.forward;
    let picked = passes.iter().enumerate().filter(|(_, pass)| pass.picked);
    picked
        .map(|(at, _)| passes.get(at + 1).filter(on))
        .map(|pass| pass.map_or(-1, |pass| pass.bead as i64))
        .collect()
}

/// Closing goes paragraph by paragraph; the ends are woven in with all of it in view.
fn sewn(section: &Section) -> Vec<Step> {
    let step = |text: Vec<String>, part: Option<String>| Step {
        kind: "sewn",
        name: section.heading.to_string(),
        part,
        text,
        ..Step::default()
    };
    if section.heading != CLOSE {
        return vec![step(section.paragraphs.clone(), None)];
    }
    let many = section.paragraphs.len();
    let numbered = section.paragraphs.iter().enumerate();
    numbered
        .map(|(at, words)| step(vec![words.clone()], Some(format!("{} of {many}", at + 1))))
        .collect()
}
