//! The printed pattern of a chart: the request checked, and the booklet made.

use super::booklet::{
    Cover, MOST_LETTERS, PAPERS, Paper, Pattern, booklet, check_size, missing_letters,
};
use super::pdf;
use super::ring_picture::cover_picture;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::picture::{Decoding, Pixels, decode};
use crate::report::hands::HandsReport;
use crate::report::kit::{InStock, KitReport};
use crate::report::resize::{ResizeReport, Resized};
use crate::report::weave::{TurnedOver, WeaveReport, WovenBand};
use crate::request::{PrintRequest, ResizeRequest, UnitsRequest, WeaveRequest};
use crate::ring::{Closed, Gauge};
use crate::sample::downscale;
use crate::scene::{bead_keys, clean, keys};
use crate::warning::{Warned, Warning};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Its words, each of a length that fits.
pub struct Typed {
    /// What it is printed on.
    pub paper: Paper,
    title: Option<String>,
    by: Option<String>,
    note: Option<String>,
}

/// What it is made of.
pub struct Matter<'a> {
    /// The chart.
    pub chart: Chart,
    /// Its file.
    pub file: &'a Path,
    /// What the reader owns, and its file.
    pub palette: Option<(&'a Path, &'a Palette)>,
    /// The designer's picture for the cover; without one a ring is pictured as it will look.
    pub picture: Option<Pixels>,
}

/// Most pixels along the longer side of a cover's picture: 300 dots per inch at the size that it is
/// printed. Ours.
const SHARP: u32 = 900;

/// A picture for the cover, made small.
///
/// # Errors
/// If it cannot be read.
pub fn cover(bytes: Arc<Vec<u8>>, chart: &Chart, decoding: &Decoding) -> Result<Warned<Pixels>> {
    let picture = decode(bytes, &chart.lattice, decoding)?;
    Ok(Warned {
        value: downscale(&picture, SHARP)?,
        warnings: picture.notes,
    })
}

/// A finished booklet.
pub struct Printed {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// The ring that a closed band makes.
fn ring(chart: &Chart, gauge: &Gauge) -> Option<Closed> {
    let rows = crate::lattice::Rows::closed(chart.lattice.rows()).ok();
    rows.filter(|_| chart.lattice.is_closed())
        .map(|rows| gauge.closed(rows))
}

/// The sizes of the table, and those that are left out.
struct Sizes {
    report: ResizeReport,
    left_out: Vec<Warning>,
}

impl PrintRequest {
    /// The words, checked.
    ///
    /// # Errors
    /// If the paper is not known, or a text is too long.
    pub fn typed(&self) -> Result<Typed> {
        let short = |text: Option<&str>, option: &str, what: &str, most: usize| {
            let Some(text) = text.map(clean).filter(|text| !text.is_empty()) else {
                return Ok(None);
            };
            let letters = text.chars().count();
            if letters <= most {
                Ok(Some(text))
            } else {
                Err(
                    Error::usage(format!("{what} of {letters} letters is too long"))
                        .option(option)
                        .hint(format!("keep to {most}")),
                )
            }
        };
        let [title, by, note] = MOST_LETTERS;
        Ok(Typed {
            paper: match self.pattern.paper.as_deref() {
                None => PAPERS[0],
                Some(text) => Paper::parse(text).map_err(|error| error.option("--paper"))?,
            },
            title: short(self.pattern.title.as_deref(), "--title", "a title", title)?,
            by: short(self.pattern.by.as_deref(), "--by", "a name", by)?,
            note: short(self.pattern.note.as_deref(), "--note", "a note", note)?,
        })
    }

    /// The booklet of a chart.
    ///
    /// # Errors
    /// If the gauge or sizes cannot be read, the palette lacks colours, or the chart is too large.
    pub fn printed(&self, typed: Typed, matter: Matter) -> Result<Warned<Printed>> {
        let Matter {
            mut chart,
            file,
            palette,
            picture,
        } = matter;
        check_size(&chart).map_err(|error| error.file(file))?;
        let units = self.units.units.unwrap_or(typed.paper.units);
        chart.title = Some(typed.title.unwrap_or_else(|| name(file, &chart)));
        let gauge = self.gauge.resolve(chart.lattice.bead())?;
        let work = WeaveRequest {
            work: self.work,
            thread: self.thread,
            units: UnitsRequest { units: Some(units) },
            ..WeaveRequest::default()
        };
        let band = WovenBand::new(&chart, &work, None)?;
        let in_stock = palette.map(|(file, palette)| InStock { file, palette });
        let kit = KitReport::new(&self.thread.into(), &chart, in_stock)?;
        let sizes = self.sizes(file, &chart)?;
        let note = typed.note.or_else(|| chart.notes.as_deref().map(clean));
        let ring = ring(&chart, &gauge.value);
        let pattern = Pattern {
            band: &band,
            work: &WeaveReport::of(&band),
            kit: &kit,
            hands: ring
                .as_ref()
                .map(|ring| HandsReport::of(&chart, ring, self.gauge.prefer())),
            ring,
            sizes: sizes.as_ref().map(|sizes| &sizes.report),
            paper: typed.paper,
            by: typed.by.as_deref(),
            note: note.as_deref(),
            picture: pictured(picture, &chart)?,
            keys: &keys(&chart),
            bead_keys: &bead_keys(&chart, self.pattern.blank_ground),
            turned_over: TurnedOver::of(&band).filter(|_| self.pattern.turn_over),
            forward: &band.weave.directions(chart.lattice.rows()),
            accent: Pattern::accent(&chart),
        };
        let document = booklet(&pattern).map_err(|error| error.file(file))?;
        let bytes = pdf(&document)?;
        let mut warnings = gauge.warnings;
        if gauge.value.is_assumed() && chart.lattice.is_closed() {
            let rows = chart.lattice.rows();
            warnings.push(Warning::NoGauge {
                rows: (rows, rows),
                spacing: gauge.value.spacing(),
            });
        }
        warnings.extend(sizes.map(|sizes| sizes.left_out).unwrap_or_default());
        warnings.extend(missing_letters(&document));
        Ok(Warned {
            value: Printed {
                bytes,
                pages: document.pages.len(),
            },
            warnings,
        })
    }

    fn sizes(&self, file: &Path, chart: &Chart) -> Result<Option<Sizes>> {
        if self.sizes.given()?.is_none() {
            return Ok(None);
        }
        let request = ResizeRequest {
            sizes: self.sizes.clone(),
            gauge: self.gauge.clone(),
        };
        let resized = Resized::new(&request, chart, file, |_| PathBuf::new())?;
        if resized.charts.is_empty() {
            return Err(Error::new("the design can have none of these sizes")
                .option("sizes")
                .hint("[upbead resize] says which row counts work"));
        }
        let left_out = resized.left_out.iter().map(|error| Warning::SizeLeftOut {
            reason: error.what().to_string(),
        });
        Ok(Some(Sizes {
            left_out: left_out.collect(),
            report: resized.report,
        }))
    }
}

/// The designer's picture, or that of the ring.
fn pictured(own: Option<Pixels>, chart: &Chart) -> Result<Option<Cover>> {
    match own {
        Some(pixels) => Ok(Some(Cover::Finished(pixels))),
        None if chart.lattice.is_closed() => Ok(Some(Cover::Reckoned(cover_picture(chart)?))),
        None => Ok(None),
    }
}

/// The chart's own title, cut where it is too long for a cover, or its file's name.
fn name(file: &Path, chart: &Chart) -> String {
    let own = chart.title.as_deref().map(clean);
    let of_file = || {
        let name = file.file_stem()?.to_str()?;
        (name != "-").then(|| titled(&clean(name)))
    };
    let named = own.filter(|title| !title.is_empty()).or_else(of_file);
    let title = named.unwrap_or_else(|| "Peyote band".to_string());
    if title.chars().count() > MOST_LETTERS[0] {
        title
            .chars()
            .take(MOST_LETTERS[0] - 1)
            .chain(['…'])
            .collect()
    } else {
        title
    }
}

/// A file's name as a title: `harbour-dusk` is Harbour dusk.
fn titled(name: &str) -> String {
    let words = clean(&name.replace(['-', '_'], " "));
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}
