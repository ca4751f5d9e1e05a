//! The report: what `--json` writes, and beside it what the rows say in words.

use super::names::names;
use super::try_on::TryOnReport;
use super::words::Guide;
use super::{Run, WovenBand, join, runs, turns};
use crate::colour::hex;
use crate::request::{Start, WorkFrom};
use crate::units::Mm;
use crate::weave::{FORMAT, Item, JoinPasses, Pass, Turn, VERSION, Work as Row};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// How a band is woven, as `src/weave/schema.json` describes it.
///
/// The rows are those requested; strung beads, passes, seam, thread and holes are always
/// of the whole band.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[non_exhaustive]
pub struct WeaveReport {
    /// What the document is.
    pub format: &'static str,
    /// Version of the format.
    pub version: u32,
    /// What the designer calls the chart.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Shape of the band.
    pub band: BandReport,
    /// The edge that the stopper bead is at.
    pub start: Start,
    /// The end of the chart that is woven first.
    pub from: WorkFrom,
    /// The chart's colours.
    pub colours: Vec<ColourReport>,
    /// The beads that are strung first, in the order of stringing.
    pub strung: Vec<Run>,
    /// The rows after the strung ones, in the order of work.
    pub rows: Vec<RowReport>,
    /// Every pass of the needle through a bead.
    pub passes: PassLines,
    /// The passes that close the band.
    pub seam: Vec<PassReport>,
    /// The passes that weave in the working thread.
    pub thread_end: Vec<PassReport>,
    /// The passes that weave in the tail.
    pub tail_end: Vec<PassReport>,
    /// Where new threads are joined, and the passes of both ends.
    pub joins: Vec<JoinReport>,
    /// Thread that the work takes, in millimetres.
    pub thread: ThreadReport,
    /// Passes through the beads.
    pub holes: HolesReport,
    /// When to try a ring on, and which plain rows make it smaller or larger.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub try_on: Option<TryOnReport>,
    /// What is said beside the rows.
    #[serde(skip)]
    pub guide: Guide,
}

/// Shape of the band.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BandReport {
    /// Columns across the band.
    pub columns: u32,
    /// Rows round the finger, or along a strip.
    pub rows: u32,
    /// Whether the last row zips to the first.
    pub closed: bool,
}

/// A colour of the chart.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ColourReport {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// How it looks, six hex digits.
    pub hex: String,
    /// What the rows call it: its name, or the key that stands on its beads.
    #[serde(skip)]
    pub word: String,
    /// Name, code and finish.
    #[serde(skip)]
    pub about: String,
    /// Beads of the chart that have it.
    #[serde(skip)]
    pub count: usize,
}

/// A row.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[non_exhaustive]
pub struct RowReport {
    /// The chart's row.
    pub row: u32,
    /// The direction that it is worked in.
    pub travel: Side,
    /// How many beads it has.
    pub beads: usize,
    /// Its beads in the order of picking up.
    pub pick: Vec<Run>,
    /// How it ends.
    pub turn: TurnKind,
    /// How a new thread is joined after it; empty if none is.
    #[serde(skip)]
    pub join: Vec<String>,
    /// Whether the strip is tried on after it.
    #[serde(skip)]
    pub try_on: bool,
    /// How to turn at its end, in full.
    #[serde(skip)]
    pub how: Option<String>,
    /// Whether this kind of turn comes for the first time.
    #[serde(skip)]
    pub first: bool,
}

/// The side that the needle goes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Towards lower columns.
    Left,
    /// Towards higher columns.
    Right,
}

/// How a row ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TurnKind {
    /// The needle turns round the edge and goes on.
    Turn,
    /// The last bead is locked by a figure-eight through the beadwork; odd counts, once.
    FigureEight,
    /// The last bead is locked by the edge bead before it, which is passed before and after.
    EdgeBead,
    /// The last bead catches the thread bridge below it; odd counts, every second row.
    Bridge,
    /// The work ends here.
    End,
}

/// Row, column, and direction: 1 towards higher columns, -1 towards lower ones.
pub type PassReport = (u32, u32, i8);

/// Passes, those of the strung beads first, then those of each row with its turn.
#[derive(Debug, Clone)]
pub struct PassLines(pub Vec<Vec<PassReport>>);

/// Where a new thread is joined.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct JoinReport {
    /// The row after which it begins.
    pub after_row: u32,
    /// The passes that weave in the old thread; none where there is nothing to weave into.
    pub old_end: Vec<PassReport>,
    /// The passes by which the new one comes in.
    pub new_start: Vec<PassReport>,
}

/// Thread that the work takes, in millimetres.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ThreadReport {
    /// Left at the stopper bead, to be woven in later.
    pub tail_mm: Mm,
    /// Through the beads of all rows, gaps and turns included.
    pub path_mm: Mm,
    /// Closing the band.
    pub seam_mm: Mm,
    /// Weaving in the working thread.
    pub thread_end_mm: Mm,
    /// Tails, allowances and woven-in ends of threads that are joined within the work.
    pub joins_mm: Mm,
    /// Working allowance.
    pub handling_mm: Mm,
    /// All of it.
    pub total_mm: Mm,
}

/// Passes through the beads.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct HolesReport {
    /// Passes through the fullest one.
    pub most: u16,
    /// Passes on average, to a thousandth.
    pub mean: f64,
    /// How many beads are passed so often.
    pub passes: BTreeMap<u16, usize>,
}

impl WeaveReport {
    /// What there is to say of a band and how it is woven.
    pub fn of(band: &WovenBand) -> Self {
        let names = names(band);
        let (lattice, weave) = (&band.chart.lattice, &band.weave);
        let try_on = TryOnReport::of(band);
        Self {
            format: FORMAT,
            version: VERSION,
            title: band.chart.title.clone(),
            band: BandReport {
                columns: lattice.columns(),
                rows: lattice.rows(),
                closed: lattice.is_closed(),
            },
            start: weave.frame.start(),
            from: weave.frame.work_from(),
            colours: colours(band, &names.words),
            strung: runs(band.chart, &weave.strung),
            rows: rows(band, &names.words, try_on.as_ref()),
            passes: pass_lines(band),
            seam: passes(band, &weave.seam),
            thread_end: passes(band, &weave.thread_end),
            tail_end: passes(band, &weave.tail_end),
            joins: joins(band),
            thread: ThreadReport::of(band),
            holes: HolesReport::of(band),
            guide: Guide::of(band, names.key, try_on.as_ref()).in_units(band.units),
            try_on,
        }
    }

    /// `4 garnet` for each run of beads.
    pub fn said(&self, runs: &[Run]) -> Vec<String> {
        let said = |run: &Run| {
            let colour = &self.colours[usize::from(run.colour)];
            format!("{} {}", run.count, colour.word)
        };
        runs.iter().map(said).collect()
    }

    /// How many beads are strung first.
    pub fn strung_beads(&self) -> usize {
        self.strung.iter().map(|run| run.count).sum()
    }
}

impl RowReport {
    /// The few words that stand at its end: the turn, and whether the strip is tried on and a new
    /// thread follows.
    pub fn ends(&self) -> String {
        let try_on = if self.try_on { "; try on" } else { "" };
        let join = if self.join.is_empty() {
            ""
        } else {
            "; new thread"
        };
        format!("{}{try_on}{join}", self.turn.label())
    }

    /// How to turn, where this kind of turn comes for the first time.
    pub fn explained(&self) -> Option<&str> {
        self.how.as_deref().filter(|_| self.first)
    }
}

impl Side {
    /// The side that a pass goes to.
    pub fn of(forward: bool) -> Self {
        if forward { Self::Right } else { Self::Left }
    }

    /// `left` or `right`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// `←` or `→`.
    pub fn arrow(self) -> char {
        match self {
            Self::Left => '←',
            Self::Right => '→',
        }
    }
}

impl TurnKind {
    fn of(turn: Turn) -> Self {
        match turn {
            Turn::Ordinary => Self::Turn,
            Turn::FigureEight => Self::FigureEight,
            Turn::EdgeBead => Self::EdgeBead,
            Turn::Bridge => Self::Bridge,
            Turn::End => Self::End,
        }
    }

    /// As JSON has it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Turn => "turn",
            Self::FigureEight => "figure-eight",
            Self::EdgeBead => "edge-bead",
            Self::Bridge => "bridge",
            Self::End => "end",
        }
    }

    /// The few words that stand at the end of a row.
    pub fn label(self) -> &'static str {
        match self {
            Self::Bridge => "odd-count turn",
            Self::EdgeBead => "edge-bead turn",
            other => other.name(),
        }
    }
}

impl Serialize for PassLines {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().flatten())
    }
}

impl JsonSchema for PassLines {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "PassLines".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<PassReport>::json_schema(generator)
    }
}

fn colours(band: &WovenBand, words: &[String]) -> Vec<ColourReport> {
    let shades = band.chart.colours.iter().zip(band.chart.counts());
    let all = words.iter().zip(shades);
    all.map(|(word, (shade, count))| ColourReport {
        code: shade.code.clone(),
        name: shade.name.clone(),
        hex: hex(shade.srgb),
        word: word.clone(),
        about: super::names::described(shade),
        count,
    })
    .collect()
}

fn rows(band: &WovenBand, words: &[String], try_on: Option<&TryOnReport>) -> Vec<RowReport> {
    let mut known: Vec<Turn> = Vec::new();
    let joins = band.joins();
    let written = band.weave.rows.iter().filter(|row| band.has_row(row.row));
    let row = |row: &Row| {
        let first = !known.contains(&row.turn);
        if first {
            known.push(row.turn);
        }
        RowReport {
            row: row.row.get(),
            travel: Side::of(row.forward),
            beads: row.beads.len(),
            pick: runs(band.chart, &row.beads),
            turn: TurnKind::of(row.turn),
            join: joins
                .iter()
                .filter(|(after, _)| band.weave.rows[*after].row == row.row)
                .map(|(after, passes)| join_words(band, *after, passes.as_ref()))
                .collect(),
            try_on: try_on.is_some_and(|try_on| try_on.after_row == row.row.get()),
            how: turns::full(band, words, row),
            first,
        }
    };
    written.map(row).collect()
}

fn join_words(band: &WovenBand, after: usize, passes: Option<&JoinPasses>) -> String {
    match passes {
        Some(passes) => join::join(band, after, passes),
        None => "Begin a new piece of thread here.".to_string(),
    }
}

/// The passes of the strung beads, then of each row.
fn pass_lines(band: &WovenBand) -> PassLines {
    let weave = &band.weave;
    let strung = 0..weave.strung.len();
    let lines = std::iter::once(strung).chain(weave.rows.iter().map(|row| row.passes.clone()));
    PassLines(
        lines
            .map(|line| passes(band, &weave.passes[line]))
            .collect(),
    )
}

fn passes(band: &WovenBand, passes: &[Pass]) -> Vec<PassReport> {
    let pass = |pass: &Pass| {
        let (row, column) = band.place(pass);
        (row.get(), column.get(), if pass.forward { 1 } else { -1 })
    };
    passes.iter().map(pass).collect()
}

fn joins(band: &WovenBand) -> Vec<JoinReport> {
    let ends = |ends: Option<&Vec<Pass>>| passes(band, ends.map_or(&[], Vec::as_slice));
    let joins = band.joins().into_iter();
    let join = |(after, join): (usize, Option<JoinPasses>)| JoinReport {
        after_row: band.weave.rows[after].row.get(),
        old_end: ends(join.as_ref().map(|join| &join.old_end)),
        new_start: ends(join.as_ref().map(|join| &join.new_start)),
    };
    joins.map(join).collect()
}

impl ThreadReport {
    fn of(band: &WovenBand) -> Self {
        let item = |item| band.lengths.item(item);
        Self {
            tail_mm: item(Item::Tail),
            path_mm: item(Item::Path),
            seam_mm: item(Item::Seam),
            thread_end_mm: item(Item::ThreadEnd),
            joins_mm: item(Item::Joins),
            handling_mm: item(Item::Handling),
            total_mm: band.lengths.total(),
        }
    }
}

impl HolesReport {
    fn of(band: &WovenBand) -> Self {
        let holes = band.holes();
        let mut beads: BTreeMap<u16, usize> = BTreeMap::new();
        for &passes in &holes {
            *beads.entry(passes).or_default() += 1;
        }
        let all: usize = holes.iter().map(|&passes| usize::from(passes)).sum();
        let mean = all as f64 / holes.len() as f64;
        Self {
            most: beads.keys().next_back().copied().unwrap_or(0),
            mean: (mean * 1000.0).round() / 1000.0,
            passes: beads,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;
    use std::collections::BTreeSet;

    /// The names of all fields that a schema has, wherever they stand.
    fn fields(schema: &Value, found: &mut BTreeSet<String>) {
        match schema {
            Value::Object(all) => {
                if let Some(Value::Object(own)) = all.get("properties") {
                    found.extend(own.keys().cloned());
                }
                all.values().for_each(|value| fields(value, found));
            }
            Value::Array(items) => items.iter().for_each(|value| fields(value, found)),
            _ => {}
        }
    }

    #[test]
    fn the_schema_describes_the_fields_of_the_report() {
        let written: Value = serde_json::from_str(crate::weave::SCHEMA).unwrap();
        let derived = serde_json::to_value(schemars::schema_for!(WeaveReport)).unwrap();
        let [mut one, mut other] = [BTreeSet::new(), BTreeSet::new()];
        fields(&written, &mut one);
        fields(&derived, &mut other);
        assert_eq!(one, other);
        let sorted = |schema: &Value| {
            let required = schema["required"].as_array().unwrap();
            let names = required
                .iter()
                .map(|name| name.as_str().unwrap().to_string());
            names.collect::<BTreeSet<String>>()
        };
        assert_eq!(sorted(&written), sorted(&derived));
    }
}
