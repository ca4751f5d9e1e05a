//! The spots of pictures all round and of motifs.

use super::spot::{Lies, Spot};
use super::{Painter, border};
use crate::artwork::Artwork;
use crate::error::{Error, Result};
use crate::lattice::{COLUMNS, FEWEST_OPEN, Lattice, Rows};
use crate::picture::{Crop, Place, Rotation, Scaling};
use crate::pipeline::reading;
use crate::request::design::{Art, At, Motif, Placed};
use crate::request::{ChartRequest, Matching, PictureRequest};
use std::ops::Range;
use std::sync::Arc;

/// Rows beyond either end of a motif, for it to be moved by less than a bead.
const AROUND: u32 = 2;

/// A motif's picture and its place.
struct Wanted<'a> {
    art: &'a Art,
    artwork: &'a Arc<Artwork>,
    motif: Motif,
    picture: PictureRequest,
    /// Whether it is made smaller where it has more rows than the band.
    may_shrink: bool,
}

impl Painter<'_> {
    pub(super) fn spot(&self, art: &Art, artwork: &Arc<Artwork>) -> Result<Spot> {
        match art.placed {
            Placed::Band => self.on_band(art, artwork),
            Placed::Border(own) => border::spot(art, own, artwork, self.lattice()),
            Placed::Motif(motif) => self.motif(&Wanted {
                art,
                artwork,
                motif,
                picture: art.picture.clone(),
                may_shrink: false,
            }),
        }
    }

    /// All round, in repeats or as a motif at the front: as the picture asks.
    fn on_band(&self, art: &Art, artwork: &Arc<Artwork>) -> Result<Spot> {
        let lattice = *self.lattice();
        let chosen = read(artwork, &art.picture, &lattice);
        let picture = art.picture.or(&chosen.picture);
        if picture.place == Some(Place::Motif) {
            return self.motif(&Wanted {
                art,
                artwork,
                motif: Motif::default(),
                picture: art.picture.clone(),
                may_shrink: true,
            });
        }
        let margin = picture.margin.map_or(0, |count| count.0);
        let arrangement = picture.arrangement()?;
        arrangement.check(&lattice)?;
        Ok(Spot {
            lattice,
            columns: margin..lattice.columns() - margin,
            arrangement,
            mirror: chosen.colours.mirror.unwrap_or_default(),
            is_flat: chosen.colours.matching == Some(Matching::Flat),
            lies: Lies::Whole {
                left: true,
                right: false,
            },
            placed: Placed::Band,
        })
    }

    fn motif(&self, wanted: &Wanted) -> Result<Spot> {
        let columns = self.motif_columns(wanted)?;
        let width = columns.len() as u32;
        let strip = self.strip(width)?;
        let picture = PictureRequest {
            place: Some(Place::Motif),
            ..wanted.picture.clone()
        };
        let picture = picture.or(&read(wanted.artwork, &picture, &strip).picture);
        let part = picture.frame.unwrap_or(wanted.artwork.frame);
        let length = Length {
            part,
            rotate: picture.rotate,
        };
        let needed = length.rows(&strip);
        let rows = self.motif_rows(wanted, &length, width, needed)?;
        let (lattice, lies) = self.aligned(wanted, rows, needed, &columns)?;
        let chosen = read(wanted.artwork, &picture, &lattice);
        let mut arrangement = picture.arrangement()?;
        arrangement.scaling = Some(Scaling::Contain);
        Ok(Spot {
            lattice,
            columns: 0..width,
            arrangement,
            mirror: chosen.colours.mirror.unwrap_or_default(),
            is_flat: chosen.colours.matching == Some(Matching::Flat),
            lies,
            placed: Placed::Motif(Motif {
                columns: Some(width),
                rows: Some(rows),
                ..wanted.motif
            }),
        })
    }

    /// A band as long as the whole one, of some of its columns.
    fn strip(&self, columns: u32) -> Result<Lattice> {
        let band = self.lattice();
        let rows = if band.is_closed() {
            Rows::closed(band.rows())?
        } else {
            Rows::open(band.rows())?
        };
        Lattice::new(band.bead(), columns, rows)
    }

    /// The columns for a motif, counted from 0: those that the borders leave, or so many in the
    /// middle of these, or where they are not enough in the middle of the band.
    fn motif_columns(&self, wanted: &Wanted) -> Result<Range<u32>> {
        let all = self.lattice().columns();
        let [left, right] = border::taken(self.layered.design, all);
        let free = all.saturating_sub(left + right);
        let label = wanted.art.label();
        let columns = wanted.motif.columns.unwrap_or(free);
        if columns < COLUMNS.0 || columns > all {
            let what = match wanted.motif.columns {
                Some(_) => format!("the {label} cannot have {columns} columns of {all}"),
                None => format!("the borders leave {free} of {all} columns for the {label}"),
            };
            let least = COLUMNS.0;
            return Err(Error::new(what).hint(format!(
                "a motif has from {least} to {all} columns: say how many in 'columns', make the \
                 borders narrower, or the band wider with [--columns {}]",
                all + least.saturating_sub(free)
            )));
        }
        let start = if columns <= free {
            left + (free - columns) / 2
        } else {
            (all - columns) / 2
        };
        Ok(start..start + columns)
    }

    /// The rows that a motif has.
    fn motif_rows(&self, wanted: &Wanted, length: &Length, width: u32, needed: u32) -> Result<u32> {
        let band = self.lattice().rows();
        let rows = wanted.motif.rows.unwrap_or(needed);
        if rows <= band || wanted.may_shrink {
            return Ok(rows.min(band));
        }
        let label = wanted.art.label();
        if wanted.motif.rows.is_some() {
            let what = format!("the {label} cannot have {rows} rows of {band}");
            return Err(Error::new(what).hint(format!("give it at most {band} in 'rows'")));
        }
        let fits = |columns: &u32| {
            let strip = self.strip(*columns);
            strip.is_ok_and(|strip| length.rows(&strip) <= band)
        };
        let narrower = (COLUMNS.0..width).rev().find(fits);
        let narrower = narrower.map_or(String::new(), |columns| {
            format!("give it at most {columns} columns, or ")
        });
        Err(Error::new(format!(
            "the {label} has {needed} rows where it is {width} columns wide, and the band has \
             {band}"
        ))
        .hint(format!(
            "{narrower}fewer 'rows', which make it smaller, or a band of {needed} rows"
        )))
    }

    /// A lattice for a motif of so many rows, whose middle row lies on that of its place, bead on
    /// bead: with some rows around it, unless it is made smaller to have no more.
    fn aligned(
        &self,
        wanted: &Wanted,
        rows: u32,
        needed: u32,
        columns: &Range<u32>,
    ) -> Result<(Lattice, Lies)> {
        let band = self.lattice();
        let middle = i64::from(self.middle_row(wanted)?);
        let offset = i64::from(columns.start);
        let lies = |count: &u32| Lies::Moved {
            rows: middle - i64::from(count.div_ceil(2)),
            columns: offset,
        };
        let is_aligned = |count: &u32| {
            count % 2 == 1 && Lattice::is_bead_step(middle - i64::from(count.div_ceil(2)), offset)
        };
        let count = if needed > rows {
            (1..=rows).rev().find(is_aligned)
        } else {
            (rows + 2 * AROUND..).find(is_aligned)
        };
        let count = count.unwrap_or(1).max(FEWEST_OPEN);
        let lattice = Lattice::new(band.bead(), columns.len() as u32, Rows::open(count)?)?;
        Ok((lattice, lies(&count)))
    }

    /// The row of the band that a motif's middle is on.
    fn middle_row(&self, wanted: &Wanted) -> Result<u32> {
        let band = self.lattice();
        let rows = band.rows();
        match wanted.motif.at {
            At::Front => Ok(rows.div_ceil(2)),
            At::Back if band.is_closed() => Ok(rows),
            At::Back => Err(Error::new(format!(
                "the {} is at the back, and an open strip has no seam",
                wanted.art.label()
            ))
            .hint("give the row of its middle in 'at', or leave out [--open]")),
            At::Row(row) if row <= rows => Ok(row),
            At::Row(row) => Err(Error::new(format!(
                "the {} is at row {row}, and the band has {rows}",
                wanted.art.label()
            ))
            .hint(format!("give a row from 1 to {rows}"))),
        }
    }
}

/// What decides how long a motif is.
struct Length {
    part: Crop,
    rotate: Option<Rotation>,
}

impl Length {
    /// The rows that it has across all columns of a strip.
    fn rows(&self, strip: &Lattice) -> u32 {
        let (width, height) = (f64::from(self.part.width), f64::from(self.part.height));
        let aspect = match self.rotate {
            Some(Rotation::Quarters(quarters)) if quarters % 2 == 1 => width / height,
            _ => height / width,
        };
        let half = strip.bead().diameter.get() / 2.0;
        (strip.width().get() * aspect / half).ceil() as u32
    }
}

/// What the artwork asks for where `picture` leaves it open.
fn read(artwork: &Arc<Artwork>, picture: &PictureRequest, lattice: &Lattice) -> ChartRequest {
    let request = ChartRequest {
        picture: picture.clone(),
        ..ChartRequest::default()
    };
    reading::read(artwork, &request, lattice, &[]).chosen
}
