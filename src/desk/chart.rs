//! A chart of a kept picture, or a plain band: what `upbead chart` makes, byte for byte.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Asked;
use super::latest::Lane;
use super::limits::SMALL;
use super::palettes::Drawer;
use super::pictures::Picture;
use super::typed::{Behind, Word, checked, word};
use crate::cancel::Cancel;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::output::made::{self, Told};
use crate::pipeline::{Outcome, make_decoded, plain};
use crate::report::{Band, Design, DitherWord, FitWord, Measured, MirrorWord, PreferWord, Shape};
use crate::warning::{Warned, Warning};
use axum::extract::{Request, State};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;
use std::sync::Arc;

/// The command line's options by their long names; each that is not known here is refused.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wish {
    picture: Option<String>,
    palette: Which,
    bead: Option<Word>,
    columns: Option<u32>,
    rows: Option<u32>,
    size: Option<Word>,
    #[serde(default)]
    open: bool,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
    place: Option<String>,
    repeats: Option<u32>,
    seat: Option<String>,
    turn: Option<Word>,
    crop: Option<[u32; 4]>,
    fit: Option<FitWord>,
    margin: Option<u32>,
    ground: Option<String>,
    colours: Option<usize>,
    keep: Option<Vec<String>>,
    without: Option<Vec<String>>,
    dither: Option<DitherWord>,
    strength: Option<f64>,
    #[serde(default)]
    from_stock: bool,
    make: Option<Word>,
    spare: Option<Word>,
    #[serde(default)]
    refine: bool,
    seen: Option<Word>,
    calm: Option<f64>,
    crisp: Option<f64>,
    mirror: Option<Mirror>,
    title: Option<String>,
    /// What the chart's file is called, for `document`.
    name: Option<String>,
}

/// A palette by its id.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Which {
    /// As the desk gave it.
    pub id: String,
}

/// One word, or a list of axes.
#[derive(Deserialize)]
#[serde(untagged)]
enum Mirror {
    One(MirrorWord),
    Several(Vec<MirrorWord>),
}

/// `POST chart?lane=L&n=K`.
pub async fn chart(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let wish: Asked<Wish> = desk.room.json(request, SMALL).await?;
    let ticket = ticket?;
    checked(&wish.value.name)?;
    let drawer = desk.palettes.get(&wish.value.palette.id)?;
    let picture = match &wish.value.picture {
        None => None,
        Some(id) => Some((id.clone(), desk.pictures.get(id)?)),
    };
    let (n, cancel) = (ticket.n(), ticket.cancel());
    let worker = Arc::clone(&desk);
    let told = desk
        .workers
        .run(ticket, move || {
            wish.value.charted(&worker, picture, &drawer, (n, cancel))
        })
        .await?;
    Ok(bytes("application/json", told))
}

#[derive(Serialize)]
struct Charted<'a> {
    n: Option<u64>,
    text: &'a str,
    notes: Vec<String>,
    summary: serde_json::Value,
    /// What `--json` prints.
    document: String,
}

impl Wish {
    fn charted(
        &self,
        desk: &Desk,
        picture: Option<(String, Arc<Picture>)>,
        drawer: &Drawer,
        (n, cancel): (Option<u64>, Cancel),
    ) -> Result<Vec<u8>> {
        let shape = self.band().shape()?;
        let made = match &picture {
            Some((id, picture)) => self.of_picture(desk, (id, picture), drawer, &shape, cancel)?,
            None => self.of_nothing(drawer, &shape)?,
        };
        let text = write(&made.value.chart);
        let told = Told {
            picture: PathBuf::from(picture.as_ref().map_or("", |(_, picture)| &picture.name)),
            chart: self.name.as_ref().map(PathBuf::from),
            preview: None,
            outcome: made.value,
            ring: shape.ring,
            band_notes: shape.notes,
            notes: made.notes,
        };
        let summary = made::json(&told, &drawer.palette);
        as_json(&Charted {
            n,
            text: &text,
            notes: told
                .band_notes
                .iter()
                .chain(&told.notes)
                .map(Warning::to_string)
                .collect(),
            document: made::document(&summary),
            summary,
        })
    }

    fn band(&self) -> Band<'_> {
        Band {
            bead: word(&self.bead).unwrap_or("11"),
            columns: self.columns.unwrap_or(9),
            size: word(&self.size),
            rows: self.rows,
            open: self.open,
            measured: Measured {
                swatch: self.swatch.as_deref(),
                fits: self.fits.as_deref(),
                gauge: None,
                prefer: self.prefer.unwrap_or_default(),
            },
        }
    }

    fn of_picture(
        &self,
        desk: &Desk,
        (id, picture): (&str, &Picture),
        drawer: &Drawer,
        shape: &Shape,
        cancel: Cancel,
    ) -> Result<Warned<Outcome>> {
        let place = self.place()?;
        // What can be refused without the pixels is refused before they are decoded.
        let mut design = self.design(&place);
        design.options(shape, &drawer.palette)?;
        let decoded = desk.pixels(id, picture, &shape.lattice, &cancel)?;
        let crop = self
            .crop
            .map(|crop| on_pixels(crop, picture.size, decoded.picture.upright()));
        design.crop = crop.as_deref();
        let mut options = design.options(shape, &drawer.palette)?;
        options.choice.cancel = cancel;
        make_decoded(decoded, &drawer.palette, &options, &desk.memory)
            .map_err(|error| error.file(std::path::Path::new(&picture.name)))
    }

    /// Options that speak of a picture cannot be meant without one.
    fn of_nothing(&self, drawer: &Drawer, shape: &Shape) -> Result<Warned<Outcome>> {
        let of_pictures = [
            ("--place", self.place.is_some() || self.repeats.is_some()),
            ("--seat", self.seat.is_some()),
            ("--turn", self.turn.is_some()),
            ("--crop", self.crop.is_some()),
            ("--fit", self.fit.is_some()),
            ("--margin", self.margin.is_some()),
            ("--colours", self.colours.is_some()),
            ("--keep", self.keep.is_some()),
            ("--without", self.without.is_some()),
            ("--dither", self.dither.is_some()),
            ("--strength", self.strength.is_some()),
            ("--from-stock", self.from_stock),
            ("--make", self.make.is_some()),
            ("--spare", self.spare.is_some()),
            ("--refine", self.refine),
            ("--seen", self.seen.is_some()),
            ("--calm", self.calm.is_some()),
            ("--crisp", self.crisp.is_some()),
            ("--mirror", self.mirror.is_some()),
        ];
        if let Some((option, _)) = of_pictures.iter().find(|(_, given)| *given) {
            return Err(Error::usage("a plain band has no picture to do this with")
                .option(option)
                .hint("leave it out, or choose a picture"));
        }
        let design = Design {
            ground: self.ground.as_deref(),
            title: self.title.as_deref(),
            ..Design::default()
        };
        Ok(plain(
            &drawer.palette,
            &design.options(shape, &drawer.palette)?,
        ))
    }

    /// `repeat` takes its number from `repeats`.
    fn place(&self) -> Result<String> {
        match (self.place.as_deref(), self.repeats) {
            (place, None) => Ok(place.unwrap_or("round").to_string()),
            (None | Some("repeat"), Some(count)) => Ok(format!("repeat:{count}")),
            (Some(place), Some(_)) => Err(Error::usage(format!("'{place}' is not repeated"))
                .option("--place")
                .hint("write repeat, or leave out the number of repeats")),
        }
    }

    fn design<'a>(&'a self, place: &'a str) -> Design<'a> {
        Design {
            place,
            seat: self.seat.as_deref(),
            turn: word(&self.turn).unwrap_or("auto"),
            crop: None,
            fit: self.fit,
            margin: self.margin.unwrap_or(0),
            ground: self.ground.as_deref(),
            colours: self.colours,
            keep: self.keep.as_deref().unwrap_or_default(),
            without: self.without.as_deref().unwrap_or_default(),
            dither: self.dither.unwrap_or_default(),
            strength: self.strength,
            from_stock: self.from_stock,
            make: word(&self.make),
            spare: word(&self.spare),
            refine: self.refine,
            seen: word(&self.seen),
            calm: self.calm,
            crisp: self.crisp,
            mirror: self.mirror.as_ref().and_then(Mirror::word),
            title: self.title.as_deref(),
        }
    }
}

impl Mirror {
    fn word(&self) -> Option<MirrorWord> {
        let several = match self {
            Self::One(word) => return Some(*word),
            Self::Several(words) => words,
        };
        let has = |axis| several.contains(&axis) || several.contains(&MirrorWord::Both);
        match (has(MirrorWord::Columns), has(MirrorWord::Rows)) {
            (true, true) => Some(MirrorWord::Both),
            (true, false) => Some(MirrorWord::Columns),
            (false, true) => Some(MirrorWord::Rows),
            (false, false) => None,
        }
    }
}

/// A part of the picture as the page was told its size, in the pixels that are there: a drawing has as many as the band asks for.
pub fn on_pixels([x, y, width, height]: [u32; 4], told: (u32, u32), there: (u32, u32)) -> String {
    if told == there {
        return format!("{x},{y},{width},{height}");
    }
    let scaled = |at: u64, told: u32, there: u32| {
        (at * u64::from(there) + u64::from(told) / 2) / u64::from(told.max(1))
    };
    let span = |from: u32, length: u32, told: u32, there: u32| {
        let start = scaled(u64::from(from), told, there);
        let end = scaled(u64::from(from) + u64::from(length), told, there);
        // A part that had an area keeps one.
        (start, (end - start).max(u64::from(length > 0)))
    };
    let (left, across) = span(x, width, told.0, there.0);
    let (top, down) = span(y, height, told.1, there.1);
    format!("{left},{top},{across},{down}")
}

#[cfg(test)]
mod tests {
    use super::on_pixels;

    #[test]
    fn parts_of_a_drawing_follow_its_fineness() {
        assert_eq!(
            on_pixels([10, 20, 30, 40], (100, 200), (100, 200)),
            "10,20,30,40"
        );
        assert_eq!(
            on_pixels([10, 20, 30, 40], (100, 200), (200, 400)),
            "20,40,60,80"
        );
        assert_eq!(
            on_pixels([99, 199, 1, 1], (100, 200), (50, 100)),
            "50,100,1,1"
        );
        assert_eq!(
            on_pixels([0, 0, 100, 200], (100, 200), (33, 67)),
            "0,0,33,67"
        );
        assert_eq!(on_pixels([0, 0, 0, 200], (100, 200), (33, 67)), "0,0,0,67");
    }
}
