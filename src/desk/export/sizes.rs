//! A graded set in one zip: the charts that `upbead grade` writes, and its table.

use super::order::Order;
use crate::chart::resize::{Grading, Planned, plan};
use crate::chart::write;
use crate::desk::fields::TextOrNumber;
use crate::error::{Error, Result};
use crate::output::resize::{Answer, Sized, about_gauge, json, set, text};
use crate::report::{Measured, PreferWord, step};
use crate::ring::series;
use crate::warning::Warning;
use serde::Deserialize;
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// The options that a set takes.
pub const OPTIONS: &[&str] = &["sizes", "step", "nearest", "swatch", "fits", "prefer"];

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SizesOptions {
    sizes: String,
    step: Option<TextOrNumber>,
    #[serde(default)]
    nearest: bool,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

/// The set as a zip.
///
/// # Errors
/// As `upbead grade`; a size that would break a repeat is an error here too, since a zip has no
/// place for a message.
pub fn zipped(order: &Order) -> Result<Vec<u8>> {
    let series = Series::of(order)?;
    if let Some(error) = series
        .planned
        .iter()
        .find_map(|planned| planned.left_out(&series.grading))
    {
        return Err(error.file(Path::new(order.name)));
    }
    let sized = series.sized()?;
    let table = text(&series.answer(&sized, &[]));
    let charts = sized.iter().map(|size| {
        let name = size.file.to_string_lossy().into_owned();
        (name, write::write(&size.chart))
    });
    packed(charts.chain([(format!("{}-sizes.txt", order.stem()), table)]))
}

/// The table as `upbead grade --json` prints it; the files that it names lie in the zip.
///
/// # Errors
/// As `upbead grade`.
pub fn table(order: &Order) -> Result<Vec<u8>> {
    let series = Series::of(order)?;
    let sized = series.sized()?;
    let left_out = series.planned.iter().filter(|one| one.taken.is_none());
    let left_out: Vec<Planned> = left_out.cloned().collect();
    Ok(json(&series.answer(&sized, &left_out)).into_bytes())
}

/// What becomes of a chart in other sizes.
struct Series<'a> {
    order: &'a Order<'a>,
    grading: Grading<'a>,
    planned: Vec<Planned>,
    notes: Vec<Warning>,
}

impl<'a> Series<'a> {
    fn of(order: &'a Order<'a>) -> Result<Self> {
        let given: SizesOptions = order.options()?;
        let in_chart = |error: Error| error.file(Path::new(order.name));
        let sizes = series(&given.sizes, step(given.step.as_deref())?)
            .map_err(|error| error.option("--sizes"))?;
        let measured = Measured {
            swatch: given.swatch.as_deref(),
            fits: given.fits.as_deref(),
            gauge: None,
            prefer: given.prefer.unwrap_or_default(),
        };
        let gauge = measured.resolve(order.chart.lattice.bead())?;
        let grading = Grading::new(order.chart).map_err(in_chart)?;
        let prefer = measured.prefer.into();
        let planned =
            plan(&grading, &sizes, &gauge.value, prefer, given.nearest).map_err(in_chart)?;
        Ok(Self {
            order,
            grading,
            planned,
            notes: about_gauge(gauge.notes, &gauge.value, order.chart),
        })
    }

    fn sized(&self) -> Result<Vec<Sized>> {
        let stem = self.order.stem();
        set(&self.grading, &self.planned, |size| {
            PathBuf::from(format!("{stem}-{size}.json"))
        })
    }

    fn answer<'b>(&'b self, sizes: &'b [Sized], left_out: &'b [Planned]) -> Answer<'b> {
        Answer {
            file: Path::new(self.order.name),
            chart: self.order.chart,
            grading: &self.grading,
            sizes,
            left_out,
            notes: &self.notes,
        }
    }
}

/// Files in that order; dates are fixed, so that the same set gives the same bytes.
fn packed(files: impl Iterator<Item = (String, String)>) -> Result<Vec<u8>> {
    let failed = |e: zip::result::ZipError| Error::new("the sizes could not be packed").because(e);
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in files {
        zip.start_file(name, options).map_err(failed)?;
        zip.write_all(text.as_bytes())
            .map_err(|e| failed(zip::result::ZipError::Io(e)))?;
    }
    Ok(zip.finish().map_err(failed)?.into_inner())
}
