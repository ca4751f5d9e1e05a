//! The layers that a chart is made of, as other sizes have them: borders give whole repeats, motifs
//! stay whole, and the record says where they are then.

use crate::chart::Chart;
use crate::error::Result;
use crate::lattice::{Column, Row};
use crate::picture::Place;
use crate::request::design::{self, Art, At, Border, Design, Edges, Layer, Motif, Placed};

/// What the layers of a chart say of its rows.
#[derive(Debug)]
pub(super) struct Layers {
    design: Design,
    /// The rows that all borders and repeats need together; 2 without any.
    pub(super) unit: u32,
    /// Whether a motif is on a row, row by row.
    pub(super) motif: Vec<bool>,
    rows: u32,
}

impl Layers {
    /// Of the chart's record; none if it is of a single picture, or if one goes all round.
    ///
    /// # Errors
    /// If the record cannot be read.
    pub(super) fn of(chart: &Chart) -> Result<Option<Self>> {
        let Some(text) = chart.made.option(design::RECORDED) else {
            return Ok(None);
        };
        let design = Design::read(text)?;
        let rows = chart.lattice.rows();
        let mut unit = 2;
        let mut motif = vec![false; rows as usize];
        let plain = plain_rows(chart, &design);
        for art in design.art() {
            match (art.placed, repeats(art)) {
                (Placed::Motif(own), _) => mark(&mut motif, &own, &plain),
                (_, Some(repeats)) if repeats > 0 => unit = least_common(unit, rows / repeats),
                _ => return Ok(None),
            }
        }
        let divides = unit > 0 && rows.is_multiple_of(unit);
        Ok(divides.then_some(Self {
            design,
            unit,
            motif,
            rows,
        }))
    }

    /// The layers of the band whose rows are these of the chart's, in this order.
    pub(super) fn resized(&self, order: &[Row]) -> Design {
        let rows = order.len() as u32;
        let mut design = self.design.clone();
        for layer in &mut design.layers {
            let Layer::Art(art) = layer else {
                continue;
            };
            let repeats =
                |own: u32| (u64::from(own) * u64::from(rows) / u64::from(self.rows)) as u32;
            match (&mut art.placed, art.picture.place) {
                (Placed::Border(border), _) => border.repeats = border.repeats.map(repeats),
                (Placed::Motif(motif), _) => motif.at = self.moved(motif, order),
                (Placed::Band, Some(Place::Repeat(own))) => {
                    art.picture.place = Some(Place::Repeat(repeats(own)));
                }
                (Placed::Band, _) => {}
            }
        }
        design
    }

    /// Where the middle of a motif is in another size.
    fn moved(&self, motif: &Motif, order: &[Row]) -> At {
        let own = middle(motif.at, self.rows);
        let rows = order.len() as u32;
        let found = order.iter().position(|row| row.get() == own);
        match found.map(|at| at as u32 + 1) {
            None => motif.at,
            Some(row) if row == rows => At::Back,
            Some(row) if row == rows.div_ceil(2) => At::Front,
            Some(row) => At::Row(row),
        }
    }
}

/// Repeats along the band of a picture that has them.
fn repeats(art: &Art) -> Option<u32> {
    match (art.placed, art.picture.place) {
        (Placed::Border(border), _) => border.repeats,
        (Placed::Band, Some(Place::Repeat(repeats))) => Some(repeats),
        _ => None,
    }
}

/// The row of a motif's middle.
fn middle(at: At, rows: u32) -> u32 {
    match at {
        At::Front => rows.div_ceil(2),
        At::Back => rows,
        At::Row(row) => row,
    }
}

/// Marks the rows of a motif, from the first that is not plain to the last.
fn mark(rows: &mut [bool], motif: &Motif, plain: &[bool]) {
    let count = rows.len();
    let half = (motif.rows.unwrap_or(0) as usize / 2 + 1).min(count / 2);
    let first = middle(motif.at, count as u32) as usize + count - 1 - half;
    let place = |at: usize| (first + at) % count;
    let around = 0..(2 * half + 1).min(count);
    let own: Vec<usize> = around.filter(|&at| !plain[place(at)]).collect();
    if let (Some(&start), Some(&end)) = (own.first(), own.last()) {
        for at in start..=end {
            rows[place(at)] = true;
        }
    }
}

/// The rows that show only the ground between the borders; none where the ground is not known.
fn plain_rows(chart: &Chart, design: &Design) -> Vec<bool> {
    let columns = chart.lattice.columns();
    let [mut left, mut right] = [0, 0];
    for art in design.art() {
        if let Placed::Border(Border { columns, edges, .. }) = art.placed {
            let margin = art.picture.margin.map_or(0, |count| count.0);
            let own = margin.saturating_add(columns.unwrap_or(0));
            left = left.max(if edges == Edges::Right { 0 } else { own });
            right = right.max(if edges == Edges::Left { 0 } else { own });
        }
    }
    let ground = chart.recorded_ground();
    let between = left.saturating_add(1)..=columns.saturating_sub(right);
    let is_plain = |row: Row| {
        let mut beads = chart.lattice.columns_of(row).zip(chart.row(row));
        let is_ground = |(column, bead): (Column, &u16)| {
            !between.contains(&column.get()) || Some(*bead) == ground
        };
        ground.is_some() && beads.all(is_ground)
    };
    chart.lattice.all_rows().map(is_plain).collect()
}

fn least_common(one: u32, other: u32) -> u32 {
    let (mut large, mut small) = (one.max(other), one.min(other));
    while small > 0 {
        (large, small) = (small, large % small);
    }
    one / large.max(1) * other
}
