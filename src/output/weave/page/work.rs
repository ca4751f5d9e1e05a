//! What the page shows, as the JSON that it carries: the words of the guide, the beads' places as the scene has them, and the steps in order.

use crate::colour::hex;
use crate::output::weave::guide::{CLOSE, Guide, Section, WEAVE_IN, guide};
use crate::output::weave::names::{described, names};
use crate::output::weave::{Keys, Run, Work, ends, runs, side, turns};
use crate::scene::bare;
use crate::units::Mm;
use crate::weave::{Hand, Pass, Start, Turn, Work as Row};
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
    #[serde(skip_serializing_if = "Vec::is_empty")]
    text: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    notes: Vec<Part>,
}

#[derive(Serialize)]
struct TurnOut {
    kind: &'static str,
    words: &'static str,
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

/// The document of this work. Colours go by their names, unless short keys are asked for: a page has room.
pub(super) fn document(work: &Work) -> Document {
    let work = &Work {
        keys: work.keys.or(Some(Keys::Names)),
        ..*work
    };
    let guide = guide(work);
    let (words, _) = names(work);
    let shades = work.chart.colours.iter().zip(work.chart.counts());
    let colour = |(name, (shade, count)): (&String, (&crate::chart::Shade, usize))| Colour {
        name: name.clone(),
        about: described(shade),
        hex: hex(shade.srgb),
        count,
    };
    Document {
        id: id(work),
        title: guide.title.clone(),
        facts: guide.facts.lines().map(String::from).collect(),
        colours: words.iter().zip(shades).map(colour).collect(),
        band: band(work),
        help: guide
            .after
            .iter()
            .filter(|one| !is_step(one))
            .map(part)
            .collect(),
        steps: steps(work, &guide, &words),
    }
}

/// The first 16 hex digits of the SHA-256 of shape, way of working and beads.
fn id(work: &Work) -> String {
    let (lattice, frame) = (&work.chart.lattice, &work.weave.frame);
    let (first, last) = work.rows.map_or((1, lattice.rows()), |(first, last)| {
        (first.get(), last.get())
    });
    let mut digest = Sha256::new();
    digest.update(format!(
        "{} {} {} {} {} {first} {last}\n",
        lattice.columns(),
        lattice.rows(),
        lattice.is_closed(),
        frame.hand() == Hand::Left,
        frame.start() == Start::Bottom,
    ));
    for colour in &work.chart.beads {
        digest.update(colour.to_le_bytes());
    }
    let bytes = digest.finalize();
    bytes[..8]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn band(work: &Work) -> Band {
    let beads = bare(work.chart);
    let lattice = &work.chart.lattice;
    let mm = |length: Mm| length.rounded();
    Band {
        width: mm(lattice.width()),
        height: mm(lattice.flat_height()),
        bead: [beads.shape.width, beads.shape.height, beads.shape.corner].map(mm),
        left: beads.placed.iter().map(|bead| mm(bead.left)).collect(),
        top: beads.placed.iter().map(|bead| mm(bead.top)).collect(),
        colour: work.chart.beads.clone(),
        row: (0..lattice.len()).map(|bead| work.row_of(bead)).collect(),
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

fn steps(work: &Work, guide: &Guide, words: &[String]) -> Vec<Step> {
    let mut steps: Vec<Step> = strung(work, guide).into_iter().collect();
    let begun = !steps.is_empty();
    let told = work.weave.rows.iter().filter(|row| work.tells(row.row));
    for (at, (row, said)) in told.zip(&guide.steps).enumerate() {
        let mut step = woven(work, words, row, said.explained.is_some());
        if begun && at == 0 {
            let first = ends::first_row(work).unwrap_or_default();
            step.text = vec![format!("{} {first}", ends::TO_AND_FRO)];
        }
        steps.push(step);
    }
    for section in guide.after.iter().filter(|section| is_step(section)) {
        steps.extend(sewn(section));
    }
    steps.push(Step {
        kind: "done",
        name: "Done".to_string(),
        ..Step::default()
    });
    steps
}

fn strung(work: &Work, guide: &Guide) -> Option<Step> {
    let told = guide.strung.as_ref()?;
    let beads = work.weave.strung.clone();
    Some(Step {
        kind: "strung",
        name: format!("Rows {}", told.rows),
        way: work.weave.passes.first().map(|pass| side(pass.forward)),
        through: vec![-1; beads.len()],
        runs: counted(&runs(work.chart, &beads)),
        beads,
        text: guide.begin.iter().cloned().collect(),
        notes: guide
            .after
            .last()
            .filter(|one| !is_step(one))
            .map(part)
            .into_iter()
            .collect(),
        ..Step::default()
    })
}

fn woven(work: &Work, words: &[String], row: &Row, first: bool) -> Step {
    Step {
        kind: "row",
        name: format!("Row {}", row.row.get()),
        way: Some(side(row.forward)),
        through: through(work, row),
        runs: counted(&runs(work.chart, &row.beads)),
        beads: row.beads.clone(),
        turn: Some(TurnOut {
            kind: match row.turn {
                Turn::Ordinary => "ordinary",
                Turn::FigureEight => "eight",
                Turn::Bridge => "bridge",
                Turn::End => "end",
            },
            words: turns::short(row.turn),
            how: turns::full(work, words, row).filter(|how| !how.is_empty()),
            first,
        }),
        ..Step::default()
    }
}

fn counted(runs: &[Run]) -> Vec<(u16, usize)> {
    runs.iter().map(|run| (run.colour, run.count)).collect()
}

/// The pass that follows each bead on the way across; those of a turn lead back.
fn through(work: &Work, row: &Row) -> Vec<i64> {
    let passes = &work.weave.passes[row.passes.clone()];
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
