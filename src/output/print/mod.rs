//! The printed pattern of a chart or of several, and the maker's sheet: the request checked, and
//! the document made.

mod colourways;
mod own;

use super::booklet::{
    Collection, Cover, Document, Foot, MOST_LETTERS, MakerSheet, PAPERS, Paper, Pattern, Several,
    booklet, check_size, collection, maker_sheet, missing_letters,
};
use super::pdf;
use crate::chart::{Chart, write};
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::picture::{Decoding, Pixels, decode};
use crate::quantize::swap::ways::Way;
use crate::report::kit::{InStock, KitReport};
use crate::report::order::{OrderReport, file_title};
use crate::report::weave::WeaveReport;
use crate::request::{
    KitRequest, PatternRequest, PrintRequest, Reader, UnitsRequest, WeaveRequest, given,
};
use crate::sample::downscale;
use crate::scene::clean;
use crate::units::{LengthUnits, grouped};
use crate::warning::{Warned, Warning};
use own::{Own, rendered};
use rayon::prelude::*;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::path::Path;
use std::sync::Arc;

/// Its words, each of a length that fits.
#[derive(Debug, Clone)]
pub struct Typed {
    /// What it is printed on.
    pub paper: Paper,
    /// For whom it is.
    pub reader: Reader,
    title: Option<String>,
    note: Option<String>,
    /// What stands at the foot; no version where none is given.
    foot: Foot,
}

/// What it is made of.
pub struct Matter<'a> {
    /// The charts: one, or several for one booklet.
    pub charts: Vec<Chart>,
    /// Their files.
    pub files: Vec<&'a Path>,
    /// What the maker owns, and its file.
    pub palette: Option<(&'a Path, &'a Palette)>,
    /// Colourways of the chart, where it is the only one.
    pub ways: Vec<Way>,
    /// The designer's picture for the cover; without one a ring is pictured as it will look.
    pub picture: Option<Pixels>,
}

/// Most letters of the terms of use, and of a version. Ours.
const MOST_TERMS: usize = 90;
const MOST_EDITION: usize = 20;
/// Digits of a version that is computed from the charts.
const DIGITS: usize = 6;

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

impl<'a> Matter<'a> {
    fn in_stock(&self) -> Option<InStock<'a>> {
        let palette = self.palette;
        palette.map(|(file, palette)| InStock { file, palette })
    }
}

/// A finished booklet.
pub struct Printed {
    /// The PDF.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

impl PrintRequest {
    /// The words, checked, and that every option suits the reader.
    ///
    /// # Errors
    /// If the paper is not known, a text is too long, or an option is only for another reader.
    pub fn typed(&self) -> Result<Typed> {
        let pattern = &self.pattern;
        let reader = pattern.reader.unwrap_or_default();
        match reader {
            Reader::Buyer => {
                only_for(
                    &self.amounts,
                    "a maker's sheet",
                    "add [--for] maker, or leave it out",
                )?;
                only_for(
                    &self.price,
                    "a maker's sheet",
                    "add [--for] maker, or leave it out",
                )?;
            }
            Reader::Maker => {
                only_for(&self.sizes, "a pattern", "leave it out")?;
                only_for(&self.work, "a pattern", "leave it out")?;
                only_for(&self.gauge, "a pattern", "leave it out")?;
                let own = PatternRequest {
                    note: pattern.note.clone(),
                    blank_ground: pattern.blank_ground,
                    turn_over: pattern.turn_over,
                    ..PatternRequest::default()
                };
                only_for(&own, "a pattern", "leave it out")?;
            }
        }
        let [title, by, note] = MOST_LETTERS;
        Ok(Typed {
            paper: match pattern.paper.as_deref() {
                None => PAPERS[0],
                Some(text) => Paper::parse(text).map_err(|error| error.option("--paper"))?,
            },
            reader,
            title: short(&pattern.title, "--title", "a title", title)?,
            note: short(&pattern.note, "--note", "a note", note)?,
            foot: Foot {
                by: short(&pattern.by, "--by", "a name", by)?,
                year: pattern.year.map(|year| year.0),
                terms: short(&pattern.terms, "--terms", "a text", MOST_TERMS)?,
                edition: short(&pattern.edition, "--edition", "a version", MOST_EDITION)?
                    .unwrap_or_default(),
            },
        })
    }

    /// The booklet of a chart or of several, or the maker's sheet.
    ///
    /// # Errors
    /// If the gauge or sizes cannot be read, the palette lacks colours, a chart is too large, or
    /// there are colourways of several charts.
    pub fn printed(&self, mut typed: Typed, mut matter: Matter) -> Result<Warned<Printed>> {
        for (chart, file) in matter.charts.iter().zip(&matter.files) {
            check_size(chart).map_err(|error| error.file(file))?;
        }
        if typed.foot.edition.is_empty() {
            let ways = colourways::charts(&matter.ways, &matter.charts[0]);
            typed.foot.edition = edition(matter.charts.iter().chain(&ways));
        }
        let one = matter.charts.len() == 1;
        for (chart, file) in matter.charts.iter_mut().zip(&matter.files) {
            let given = typed.title.clone().filter(|_| one);
            chart.title = Some(given.unwrap_or_else(|| name(file, chart)));
        }
        if typed.reader == Reader::Maker {
            return self.sheet(&typed, &matter);
        }
        if one {
            return self.pattern(&typed, &matter);
        }
        self.collection(&typed, &matter)
    }

    /// The kit's part of the options.
    fn kit(&self, typed: &Typed) -> KitRequest {
        let mut kit = KitRequest::from(self.thread);
        kit.amounts = self.amounts.clone();
        kit.price = self.price.clone();
        kit.units.units = Some(self.units(typed));
        kit
    }

    fn units(&self, typed: &Typed) -> LengthUnits {
        self.units.units.unwrap_or(typed.paper.units)
    }

    fn sheet(&self, typed: &Typed, matter: &Matter) -> Result<Warned<Printed>> {
        let ways = titled_ways(matter);
        let (charts, files, several) = if ways.is_empty() {
            (&matter.charts, matter.files.clone(), Several::Designs)
        } else {
            let files = vec![matter.files[0]; ways.len()];
            (&ways, files, Several::Colourways)
        };
        let (kit, stock) = (self.kit(typed), matter.in_stock());
        let order = OrderReport::new(&kit, charts, &files, stock, Reader::Maker)?;
        let sheet = MakerSheet {
            order: &order,
            charts,
            several,
            title: &title(typed, &matter.charts),
            paper: typed.paper,
            foot: &typed.foot,
        };
        let merged = colourways::merged(&matter.ways, &matter.charts[0]);
        written(&maker_sheet(&sheet), merged)
    }

    fn pattern(&self, typed: &Typed, matter: &Matter) -> Result<Warned<Printed>> {
        let (chart, file) = (&matter.charts[0], matter.files[0]);
        let (request, ways) = (self.kit(typed), &matter.ways);
        let mut stock = matter.in_stock();
        if !ways.is_empty() {
            // The palette is where the colours of the ways come from, and need not have all others.
            stock = colourways::known(stock, chart);
        }
        let kit = KitReport::for_buyer(&request, chart, stock)?;
        let mut weaving = self.weaving(typed);
        weaving.work = colourways::by_keys(weaving.work, ways);
        let mut own = Own::new(self, &weaving, chart, file)?;
        own.ways = colourways::for_buyer(ways, chart, &own.keys, &request, matter.in_stock())?;
        own.warnings.extend(colourways::merged(ways, chart));
        own.note = typed.note.clone().or(own.note);
        own.picture = match &matter.picture {
            Some(picture) => Some(Cover::Finished(picture.clone())),
            None => rendered(chart, 1)?,
        };
        let work = WeaveReport::of(&own.band);
        let document = booklet(&own.pattern(typed, &kit, &work));
        written(&document.map_err(|error| error.file(file))?, own.warnings)
    }

    fn collection(&self, typed: &Typed, matter: &Matter) -> Result<Warned<Printed>> {
        let (charts, files) = (&matter.charts, &matter.files);
        let in_stock = matter.in_stock();
        let order = OrderReport::new(&self.kit(typed), charts, files, in_stock, Reader::Buyer)?;
        let weaving = self.weaving(typed);
        let all: Vec<Own> = charts
            .par_iter()
            .zip(files)
            .map(|(chart, file)| {
                let mut own = Own::new(self, &weaving, chart, file)?;
                own.picture = rendered(chart, charts.len())?;
                Ok(own)
            })
            .collect::<Result<_>>()?;
        let works: Vec<WeaveReport> = all.iter().map(|own| WeaveReport::of(&own.band)).collect();
        let parts = all.iter().zip(&works).zip(&order.designs);
        let patterns = parts.map(|((own, work), design)| own.pattern(typed, &design.kit, work));
        let document = collection(&Collection {
            patterns: &patterns.collect::<Vec<Pattern>>(),
            order: &order,
            title: &title(typed, charts),
            note: typed.note.as_deref(),
            picture: matter.picture.as_ref(),
            paper: typed.paper,
            foot: &typed.foot,
        })?;
        let mut warnings: Vec<Warning> = Vec::new();
        for warning in all.into_iter().flat_map(|own| own.warnings) {
            if !warnings.contains(&warning) {
                warnings.push(warning);
            }
        }
        written(&document, warnings)
    }

    fn weaving(&self, typed: &Typed) -> WeaveRequest {
        let units = Some(self.units(typed));
        WeaveRequest {
            work: self.work,
            thread: self.thread,
            units: UnitsRequest { units },
            ..WeaveRequest::default()
        }
    }
}

/// The design in each of its colourways, with the way's name as title.
fn titled_ways(matter: &Matter) -> Vec<Chart> {
    let mut ways = colourways::charts(&matter.ways, &matter.charts[0]);
    for (chart, way) in ways.iter_mut().zip(&matter.ways) {
        chart.title = Some(clean(&way.name));
    }
    ways
}

/// A document as bytes, with what was noticed.
///
/// # Errors
/// If it cannot be written; a fault of the program.
fn written(document: &Document, mut warnings: Vec<Warning>) -> Result<Warned<Printed>> {
    warnings.extend(missing_letters(document));
    Ok(Warned {
        value: Printed {
            bytes: pdf(document)?,
            pages: document.pages.len(),
        },
        warnings,
    })
}

/// A text of the request, cleaned; none if it is empty.
///
/// # Errors
/// If it is too long.
fn short(text: &Option<String>, option: &str, what: &str, most: usize) -> Result<Option<String>> {
    let Some(text) = text.as_deref().map(clean).filter(|text| !text.is_empty()) else {
        return Ok(None);
    };
    let letters = text.chars().count();
    if letters <= most {
        return Ok(Some(text));
    }
    Err(
        Error::usage(format!("{what} of {letters} letters is too long"))
            .option(option)
            .hint(format!("keep to {most}")),
    )
}

/// Refuses the options of a group that mean nothing for this reader.
fn only_for(group: &impl Serialize, what: &str, hint: &str) -> Result<()> {
    match given(group)?.keys().next() {
        Some(option) => Err(Error::usage(format!("this is only for {what}"))
            .option(option)
            .hint(hint)),
        None => Ok(()),
    }
}

/// A version that differs wherever the charts do: the first digits of their SHA-256.
fn edition<'a>(charts: impl Iterator<Item = &'a Chart>) -> String {
    let mut digest = Sha256::new();
    for chart in charts {
        digest.update(write::write(chart));
    }
    let digits: String = digest
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    digits[..DIGITS].to_string()
}

/// What a document of these charts is called.
fn title(typed: &Typed, charts: &[Chart]) -> String {
    let own = match charts {
        [one] => one.title.clone(),
        _ => None,
    };
    let given = typed.title.clone().or(own);
    given.unwrap_or_else(|| format!("{} patterns", grouped(charts.len())))
}

/// The chart's own title, cut where it is too long for a cover, or its file's name.
fn name(file: &Path, chart: &Chart) -> String {
    let own = chart.title.as_deref().map(clean);
    let named = own.filter(|title| !title.is_empty());
    let title = named.unwrap_or_else(|| clean(&file_title(file)));
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
