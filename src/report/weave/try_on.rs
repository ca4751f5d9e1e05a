//! When to try a ring on before it is closed, and which plain rows make it smaller or larger.

use super::WovenBand;
use crate::chart::Chart;
use crate::chart::resize::{KEPT, ResizeBy, Resizer};
use crate::lattice::{Row, Rows};
use crate::ring::Gauge;
use crate::units::grouped;
use crate::weave::Work;
use schemars::JsonSchema;
use serde::Serialize;

/// Gauges that differ by less are the same: charts record a millionth of a millimetre.
const SAME: f64 = 1e-5;

/// A ring is tried on as a strip whose ends just meet, and closed two plain rows at a time more or
/// less; of two counts that go on the snugger is the better one. Common practice, no source.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TryOnReport {
    /// The row after which to try it on first.
    pub after_row: u32,
    /// Rows that are woven by then.
    pub rows: u32,
    /// The plain rows at the back; absent where the design has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plain: Option<PlainRowsReport>,
}

/// The longest run of rows that are plain ground.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PlainRowsReport {
    /// Its first row.
    pub first_row: u32,
    /// Its last row; below the first where it runs on over the seam.
    pub last_row: u32,
    /// Two rows of it, in the order of work, to leave out or to weave once more.
    pub pair: [u32; 2],
    /// Rows of it that can be left out, an even number.
    pub spare_rows: u32,
    /// How often the design repeats; 1 if it does not.
    pub repeats: u32,
}

/// Fewest rows of a run: two to leave out, and those that stay. Fewer are a stripe of the motif.
const FEWEST: u32 = KEPT + 2;

/// A run of plain rows, counted from 0 and on over the seam.
#[derive(Debug, Clone, Copy)]
struct Run {
    first: u32,
    rows: u32,
}

impl TryOnReport {
    /// Of a ring; none for an open strip.
    pub(super) fn of(band: &WovenBand) -> Option<Self> {
        let chart = band.chart;
        let rows = Rows::closed(chart.lattice.rows()).ok()?;
        if !chart.lattice.is_closed() {
            return None;
        }
        let first = first_try(chart, rows).count();
        // Two rows are strung.
        let row = band.weave.rows.get(first.checked_sub(3)? as usize)?;
        Some(Self {
            after_row: row.row.get(),
            rows: first,
            plain: plain(chart, &band.weave.rows),
        })
    }

    /// What to do, for a ring of `band`.
    pub(super) fn words(&self, band: &WovenBand) -> Vec<String> {
        let rows = grouped(band.chart.lattice.rows() as usize);
        let woven = if self.after_row == self.rows {
            String::new()
        } else {
            format!(": {} rows are woven by then", grouped(self.rows as usize))
        };
        vec![
            format!(
                "Try the strip on after row {}{woven}. Put it round the finger without a twist, \
                 and bring the ends together. As long as there is a gap, weave two more rows and \
                 try again. The count is right where the ends just meet and the strip still goes \
                 over the knuckle. Of two counts that go on, take the smaller: it is snugger, and \
                 a band stretches with wear.",
                self.after_row
            ),
            match &self.plain {
                Some(plain) => {
                    format!("This chart has {rows} rows. {}", self.by_pairs(plain, band))
                }
                None => format!(
                    "The design has no plain rows to leave out or to weave twice. If {rows} rows \
                     do not fit, the chart has to be made again for another size."
                ),
            },
        ]
    }

    /// Which rows to leave out, and which to weave once more.
    fn by_pairs(&self, plain: &PlainRowsReport, band: &WovenBand) -> String {
        let [one, two] = plain.pair;
        let place = |row: u32| band.weave.rows.iter().position(|at| at.row.get() == row);
        let after = |row: u32| band.weave.rows.get(place(row)? + 1);
        let (leave, again) = match after(two) {
            Some(next) => (
                format!(" and go on with row {}", next.row.get()),
                format!(" before row {}", next.row.get()),
            ),
            None => Default::default(),
        };
        let mut words = plain.named(band);
        let tried = place(self.after_row);
        if place(one) <= tried {
            words += " When you try the strip on they are woven already: take the work back to \
                      where the pair begins.";
        }
        let more = match plain.spare_rows {
            2 => String::new(),
            spare => format!(
                "; then two more plain rows at a time, at most {} in all",
                grouped(spare as usize)
            ),
        };
        words += &format!(" For a smaller ring leave out rows {one} and {two}{leave}{more}.");
        words += &format!(" For a larger ring weave rows {one} and {two} once more{again}.");
        if plain.repeats > 1 {
            words += &format!(
                " The design repeats {} times, and only the repeat with these rows becomes shorter \
                 or longer.",
                plain.repeats
            );
        }
        words
    }
}

impl PlainRowsReport {
    /// Where they are.
    fn named(&self, band: &WovenBand) -> String {
        let span = |first: u32, last: u32| match last - first {
            0 => first.to_string(),
            1 => format!("{first} and {last}"),
            _ => format!("{first} to {last}"),
        };
        let (first, last) = (self.first_row, self.last_row);
        let back = match self.repeats {
            1 => ", at the back of the ring",
            _ => "",
        };
        if first <= last {
            return format!("Rows {} are plain{back}.", span(first, last));
        }
        let rows = band.chart.lattice.rows();
        format!(
            "Rows {}, and {} after the seam, are plain{back}.",
            span(first, rows),
            span(1, last)
        )
    }
}

/// The row count at which to try on first: the weaver's own gauge where the chart was made with
/// one, or else an average hand's.
fn first_try(chart: &Chart, rows: Rows) -> Rows {
    let assumed = Gauge::assumed(chart.lattice.bead());
    let spacing = chart.made.option("pitch_mm");
    let spacing = spacing.and_then(|text| text.parse::<f64>().ok());
    let measured = spacing.is_some_and(|mm| (mm - assumed.spacing().get()).abs() > SAME);
    match Rows::closed(rows.count() - 2) {
        Ok(before) if measured => before,
        _ => assumed.first_try(rows),
    }
}

/// The longest run of rows of the ground, with the pair in it that is woven last. Two rows that
/// alternate all round the ring count as plain too.
fn plain(chart: &Chart, work: &[Work]) -> Option<PlainRowsReport> {
    let rows = chart.lattice.rows();
    let resizer = Resizer::new(chart).ok()?;
    let best = runs(chart, &resizer)
        .into_iter()
        .filter(|run| run.rows >= FEWEST)
        .filter_map(|run| Some((run, last_pair(run, rows, work)?)))
        .max_by_key(|(run, at)| (run.rows, *at));
    let (run, at) = best?;
    let whole = run.rows == rows;
    Some(PlainRowsReport {
        first_row: run.first + 1,
        last_row: (run.first + run.rows - 1) % rows + 1,
        pair: [work[at].row.get(), work[at + 1].row.get()],
        spare_rows: (run.rows - KEPT) / 2 * 2,
        repeats: if whole { 1 } else { resizer.repeats() },
    })
}

/// Where in the order of work the last two rows of a run are.
fn last_pair(run: Run, rows: u32, work: &[Work]) -> Option<usize> {
    let is_in = |row: Row| (row.get() - 1 + rows - run.first) % rows < run.rows;
    work.windows(2)
        .rposition(|pair| pair.iter().all(|work| is_in(work.row)))
}

/// The colour that other sizes add and remove; in a design of repeats whose ground is not known,
/// the one that most beads have.
fn ground(chart: &Chart, resizer: &Resizer) -> Option<usize> {
    match resizer.by() {
        ResizeBy::Stretches(_) => resizer.plain_colour().map(usize::from),
        ResizeBy::Repeats => resizer.ground().is_none().then(|| chart.most_frequent()),
    }
}

/// All runs of plain rows.
fn runs(chart: &Chart, resizer: &Resizer) -> Vec<Run> {
    let rows = chart.lattice.rows();
    let row = |at: u32| chart.row(Row::new(at % rows + 1));
    let ground = ground(chart, resizer);
    let is_plain = |at: u32| {
        row(at)
            .iter()
            .all(|&bead| Some(usize::from(bead)) == ground)
    };
    if (0..rows).all(|at| row(at) == row(at + 2)) {
        return vec![Run { first: 0, rows }];
    }
    let starts = (0..rows).filter(|&at| is_plain(at) && !is_plain(at + rows - 1));
    let run = |first: u32| Run {
        first,
        rows: (first..first + rows).take_while(|&at| is_plain(at)).count() as u32,
    };
    starts.map(run).collect()
}
