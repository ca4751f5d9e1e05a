//! A chart of layers: those of a design file, or those that options add to a picture.

use super::super::beside::Beside;
use super::outputs::Job;
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::files::{self, Inputs};
use crate::palette::{Palette, read};
use crate::pipeline::{Charted, Layered, Source, chart_layers};
use crate::request::ChartRequest;
use crate::request::design::{Design, LayersRequest, name_of};
use std::path::{Path, PathBuf};

/// Layers, and the files of their pictures by the names that the design has for them.
pub(super) struct Layers {
    design: Design,
    files: Vec<(String, PathBuf)>,
    request: ChartRequest,
}

/// The layers that a file or the options say; none for a picture alone.
///
/// # Errors
/// If the file is a palette, or JSON and no design, layers are added to a design, two pictures
/// have one name, or a picture would be written over.
pub(super) fn of(
    job: &Job,
    bytes: &[u8],
    layers: &LayersRequest,
    request: &ChartRequest,
) -> Result<Option<Layers>> {
    let in_file = |error: Error| error.file(&job.picture);
    if is_palette(bytes) {
        return Err(in_file(
            Error::new("this is a palette, not a picture or a design")
                .hint("name it with [--palette]"),
        ));
    }
    let found = match Design::of_bytes(bytes).map_err(in_file)? {
        Some(design) => Some(of_file(job, design, layers, request)?),
        None => of_options(job, layers, request)?,
    };
    if let Some(layers) = &found {
        let read = Inputs::new(layers.files.iter().map(|(_, path)| path.as_path()));
        for (target, option) in job.targets().zip(["-o", "--preview"]) {
            read.check_apart(target, option)?;
        }
    }
    Ok(found)
}

/// Whether it is the text of a palette.
fn is_palette(bytes: &[u8]) -> bool {
    let is_markup = bytes.trim_ascii_start().starts_with(b"<");
    let text = std::str::from_utf8(bytes).ok().filter(|_| !is_markup);
    text.is_some_and(|text| read::read(text, "").is_ok())
}

fn of_file(
    job: &Job,
    design: Design,
    layers: &LayersRequest,
    request: &ChartRequest,
) -> Result<Layers> {
    if let Some(option) = layers.given() {
        return Err(Error::usage("a design file has its own layers")
            .option(option)
            .hint("add it to the file as a layer"));
    }
    let beside = Beside(&job.picture);
    let file = |name: &str| (name.to_string(), beside.path(name));
    Ok(Layers {
        files: design.art().map(|art| file(&art.file)).collect(),
        design,
        request: request.clone(),
    })
}

fn of_options(job: &Job, layers: &LayersRequest, request: &ChartRequest) -> Result<Option<Layers>> {
    let Some((design, request)) = layers.design(&job.name(), request)? else {
        return Ok(None);
    };
    let mut files = vec![(job.name(), job.picture.clone())];
    for path in layers.files() {
        let name = name_of(path);
        let same = |known: &&(String, PathBuf)| known.0 == name && known.1 != path;
        if let Some((_, other)) = files.iter().find(same) {
            let what = format!(
                "'{}' and '{}' have one name, by which the chart would know both",
                other.display(),
                path.display()
            );
            return Err(Error::usage(what).hint("give one of them another name"));
        }
        files.push((name, path.to_path_buf()));
    }
    Ok(Some(Layers {
        design,
        files,
        request,
    }))
}

impl Layers {
    /// The chart; `bytes` are those of the job's own file.
    pub(super) fn chart(&self, job: &Job, bytes: &[u8], palette: &Palette) -> Result<Charted> {
        let load = |name: &str| self.load(name, job, bytes);
        let layered = Layered::new(&self.design, job.name(), bytes, &load);
        chart_layers(&layered, palette, &self.request, Cancel::default())
    }

    fn load(&self, name: &str, job: &Job, bytes: &[u8]) -> Result<Source> {
        let file = self.files.iter().find(|(known, _)| known == name);
        let path = file.map_or(Path::new(name), |(_, path)| path);
        let bytes = if path == job.picture {
            bytes.to_vec()
        } else {
            files::read(path)?
        };
        Ok(super::super::source(name, bytes))
    }
}
