//! A design in other sizes as one zip: the charts that `upbead resize` writes, and its table.

use super::order::Order;
use crate::chart::write;
use crate::error::{Error, Result};
use crate::output::json::document;
use crate::output::resize::text;
use crate::report::resize::Resized;
use crate::request::ResizeRequest;
use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// The options that a set takes.
pub const OPTIONS: &[&str] = &["sizes", "step", "nearest", "swatch", "fits", "prefer"];

/// What the command line calls by a flag, as the page calls it.
const FIELDS: [(&str, &str); 3] = [
    ("--swatch ROWS=MM", "“Swatch” under “Your gauge”"),
    (
        "--prefer larger",
        "“Of two row counts, use” to “the larger”",
    ),
    (
        "--nearest",
        "“where a size would break a repeat, use the nearest row count”",
    ),
];

/// The set as a zip.
///
/// # Errors
/// As `upbead resize`; a size that is left out is one only where there is no other, since the table
/// in the zip names it.
pub fn zipped(order: &Order) -> Result<Vec<u8>> {
    let resized = resized(order)?;
    if let (true, Some(error)) = (
        resized.charts.is_empty(),
        resized.left_out.into_iter().next(),
    ) {
        return Err(error);
    }
    let table = FIELDS
        .iter()
        .fold(text(&resized.report), |text, (flag, field)| {
            text.replace(flag, field)
        });
    let sizes = resized.report.sizes.iter().zip(&resized.charts);
    let charts = sizes.map(|(size, chart)| {
        let name = size.file.to_string_lossy().into_owned();
        (name, write::write(chart))
    });
    packed(charts.chain([(format!("{}-sizes.txt", order.stem()), table)]))
}

/// The table as `upbead resize --json` prints it; the files that it names are in the zip.
///
/// # Errors
/// As `upbead resize`.
pub fn table(order: &Order) -> Result<Vec<u8>> {
    document(&resized(order)?.report).map(String::into_bytes)
}

fn resized(order: &Order) -> Result<Resized> {
    let request = ResizeRequest::named(order.options.clone())?;
    let stem = order.stem();
    Resized::new(&request, order.chart, Path::new(order.name), |size| {
        PathBuf::from(format!("{stem}-{size}.json"))
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A word in quotes that the page does not show would be looked for in vain.
    #[test]
    fn the_table_names_fields_that_the_page_has() {
        let page = include_str!("../page/index.html").to_owned()
            + include_str!("../page/source-panel.html");
        let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
        for (_, said) in FIELDS {
            for quoted in said.split('“').skip(1) {
                let label = quoted.split_once('”').unwrap().0;
                assert!(page.contains(&format!("{label}<")), "{label}");
            }
        }
    }
}
