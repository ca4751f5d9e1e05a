//! The gauge's options as text, for verbs that do not have a request yet.

use crate::bead::Bead;
use crate::error::Result;
use crate::request::GaugeRequest;
use crate::ring::Gauge;
pub use crate::ring::Prefer as PreferWord;
use crate::warning::Warned;
use std::path::Path;

/// The gauge's options as text.
#[derive(Debug, Clone, Copy, Default)]
pub struct Measured<'a> {
    /// `--swatch`: `ROWS=MM`.
    pub swatch: Option<&'a str>,
    /// `--fits`: `ROWS=SIZE`.
    pub fits: Option<&'a str>,
    /// `--gauge`: a file with gauges, in place of the user's own.
    pub gauge: Option<&'a Path>,
    /// `--prefer`.
    pub prefer: PreferWord,
}

impl Measured<'_> {
    /// The request.
    ///
    /// # Errors
    /// If the swatch, or the band that fits, cannot be read.
    pub fn request(&self) -> Result<GaugeRequest> {
        let swatch = self.swatch.map(str::parse).transpose();
        let fits = self.fits.map(str::parse).transpose();
        Ok(GaugeRequest {
            swatch: swatch.map_err(|error| super::of_option(error, "swatch"))?,
            fits: fits.map_err(|error| super::of_option(error, "fits"))?,
            gauge: self.gauge.map(Path::to_path_buf),
            prefer: Some(self.prefer),
        })
    }

    /// As [`GaugeRequest::resolve`].
    ///
    /// # Errors
    /// As there, and as [`Measured::request`].
    pub fn resolve(&self, bead: Bead) -> Result<Warned<Gauge>> {
        self.request()?.resolve(bead)
    }
}
