//! Where each picture's chart and drawing go.

use crate::error::{Error, Result};
use crate::faces::Kind;
use crate::files::{self, Replace, Target};
use std::path::{Path, PathBuf};

/// One picture and what becomes of it.
pub(super) struct Job {
    /// The picture; `-` is standard input.
    pub(super) picture: PathBuf,
    /// Where the chart goes.
    pub(super) chart: Target,
    /// Where its drawing goes, and of what kind.
    pub(super) preview: Option<(Target, Kind)>,
}

impl Job {
    /// The picture's name without its folder.
    pub(super) fn name(&self) -> String {
        match self.picture.to_str() {
            Some("-") => "standard input".to_string(),
            _ => name_of(&self.picture),
        }
    }

    /// Whether the chart goes to standard output.
    pub(super) fn prints_chart(&self) -> bool {
        self.chart == Target::Stdout
    }

    /// Makes sure that all of it may be written.
    pub(super) fn check(&self, replace: Replace) -> Result<()> {
        files::check(&self.chart, replace)?;
        match &self.preview {
            Some((target, _)) => files::check(target, replace),
            None => Ok(()),
        }
    }
}

fn name_of(path: &Path) -> String {
    path.file_name()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned()
}

/// One job a picture.
///
/// # Errors
/// If several pictures would share a file, or the drawing's kind is not known.
pub(super) fn jobs(
    pictures: &[PathBuf],
    output: Option<&Path>,
    preview: Option<&Path>,
) -> Result<Vec<Job>> {
    let one = pictures.len() == 1;
    let jobs: Vec<Job> = pictures
        .iter()
        .map(|picture| {
            let chart = chart(picture, output, one)?;
            let preview = preview.map(|wish| drawing(wish, &chart, one)).transpose()?;
            Ok(Job {
                picture: picture.clone(),
                chart,
                preview,
            })
        })
        .collect::<Result<_>>()?;
    let mut seen = std::collections::BTreeSet::new();
    let targets = jobs.iter().flat_map(|job| {
        [
            Some(&job.chart),
            job.preview.as_ref().map(|(target, _)| target),
        ]
    });
    for path in targets.flatten().filter_map(Target::path) {
        if !seen.insert(path) {
            return Err(
                Error::usage(format!("two outputs would be called '{}'", path.display()))
                    .option("-o")
                    .hint("chart pictures of the same name one by one"),
            );
        }
    }
    Ok(jobs)
}

fn chart(picture: &Path, output: Option<&Path>, one: bool) -> Result<Target> {
    let from_stdin = picture == Path::new("-");
    let own = || {
        let stem = match from_stdin {
            true => std::ffi::OsStr::new("band"),
            false => picture.file_stem().unwrap_or(picture.as_os_str()),
        };
        let mut name = stem.to_os_string();
        name.push(".json");
        name
    };
    match output {
        None if from_stdin => Ok(Target::Stdout),
        None => Ok(Target::File(own().into())),
        Some(folder) if folder.is_dir() => Ok(Target::File(folder.join(own()))),
        Some(file) if one => Ok(Target::new(file)),
        Some(other) => Err(Error::usage(format!(
            "'{}' is not a folder, and there are several pictures",
            other.display()
        ))
        .option("-o")
        .hint("name a folder that exists")),
    }
}

fn drawing(wish: &Path, chart: &Target, one: bool) -> Result<(Target, Kind)> {
    let word = wish.to_str().map(str::to_ascii_lowercase);
    let kind = match word.as_deref() {
        Some("png") => Some((Kind::Png, "png")),
        Some("svg") => Some((Kind::Svg, "svg")),
        _ => None,
    };
    if let Some((kind, ending)) = kind {
        let Some(path) = chart.path() else {
            return Err(
                Error::usage("there is no chart file to put the picture beside")
                    .option("--preview")
                    .hint("give the picture a name, or the chart one with -o"),
            );
        };
        return Ok((Target::File(path.with_extension(ending)), kind));
    }
    if !one {
        return Err(Error::usage("one drawing cannot hold several charts")
            .option("--preview")
            .hint("write --preview png or --preview svg, for one beside each chart"));
    }
    let kind = Kind::of(wish).map_err(|error| error.option("--preview"))?;
    let target = Target::new(wish);
    if target == Target::Stdout && *chart == Target::Stdout {
        return Err(
            Error::usage("the chart and its picture cannot both go to standard output")
                .option("--preview")
                .hint("give one of them a name"),
        );
    }
    Ok((target, kind))
}
