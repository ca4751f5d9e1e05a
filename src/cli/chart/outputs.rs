//! Where each picture's chart and drawing go.

use super::Args;
use crate::error::{Error, Result};
use crate::files::{self, Inputs, Replace, Target};
use crate::output::Kind;
use std::path::{Path, PathBuf};

/// One picture and what becomes of it.
pub(super) struct Job {
    /// The picture; `-` is standard input, and an empty name no picture at all.
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

    /// Whether it is a band without a picture.
    pub(super) fn is_plain(&self) -> bool {
        self.picture.as_os_str().is_empty()
    }

    /// Whether the chart or its drawing goes to standard output.
    pub(super) fn prints(&self) -> bool {
        self.targets().any(|target| *target == Target::Stdout)
    }

    pub(super) fn targets(&self) -> impl Iterator<Item = &Target> {
        let drawing = self.preview.as_ref().map(|(target, _)| target);
        std::iter::once(&self.chart).chain(drawing)
    }

    /// Makes sure that all of it may be written.
    pub(super) fn check(&self, replace: Replace) -> Result<()> {
        self.targets()
            .try_for_each(|target| files::check(target, replace))
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
/// If outputs would share a file or replace an input, standard input is named twice, or the
/// drawing's kind is not known.
pub(super) fn jobs(args: &Args) -> Result<Vec<Job>> {
    let none = [PathBuf::new()];
    let pictures = if args.request.design.plain {
        &none[..]
    } else {
        &args.pictures
    };
    let (output, preview) = (args.output.as_deref(), args.preview.as_deref());
    let from_stdin = inputs(args).filter(|path| *path == Path::new("-")).count();
    if from_stdin > 1 {
        return Err(
            Error::usage("standard input can be read only once").hint("name files for the others")
        );
    }
    let one = pictures.len() == 1;
    let jobs: Vec<Job> = pictures
        .iter()
        .map(|picture| {
            let named = if args.request.design.plain {
                Path::new("band")
            } else {
                picture
            };
            let chart = chart(named, output, one)?;
            let preview = preview.map(|wish| drawing(wish, &chart, one)).transpose()?;
            Ok(Job {
                picture: picture.clone(),
                chart,
                preview,
            })
        })
        .collect::<Result<_>>()?;
    apart(args, &jobs)?;
    jobs.iter().try_for_each(named_as_chart)?;
    Ok(jobs)
}

fn inputs(args: &Args) -> impl Iterator<Item = &Path> {
    let own = args.pictures.iter().chain([&args.palette]);
    own.map(PathBuf::as_path).chain(args.layers.files())
}

/// Makes sure that no file is written twice, and that no picture or palette is written over.
fn apart(args: &Args, jobs: &[Job]) -> Result<()> {
    let gauge = args.request.gauge.file_read();
    let read = Inputs::new(inputs(args).chain(gauge.as_deref()));
    let mut written = std::collections::BTreeSet::new();
    for job in jobs {
        for (target, option) in job.targets().zip(["-o", "--preview"]) {
            read.check_apart(target, option).map_err(|error| {
                error.hint("choose another name, or name another folder with [--output]")
            })?;
            let Some(path) = target.path() else { continue };
            if files::is_device(path) || written.insert(files::place(path)) {
                continue;
            }
            let hint = match args.pictures.len() {
                1 => "give the chart and its drawing different names",
                _ => "chart pictures of the same name one by one",
            };
            return Err(
                Error::usage(format!("two outputs would be called '{}'", path.display()))
                    .option(option)
                    .hint(hint),
            );
        }
    }
    Ok(())
}

/// A chart under a picture's name would puzzle whoever opens it.
fn named_as_chart(job: &Job) -> Result<()> {
    match job.chart.path().filter(|path| Kind::of(path).is_ok()) {
        None => Ok(()),
        Some(path) => Err(Error::usage(format!(
            "'{}' would be a picture, and a chart is JSON",
            path.display()
        ))
        .option("-o")
        .hint("end its name in .json; [--preview] names its drawing")),
    }
}

fn chart(picture: &Path, output: Option<&Path>, one: bool) -> Result<Target> {
    let from_stdin = picture == Path::new("-");
    let own = || {
        let stem = if from_stdin {
            std::ffi::OsStr::new("band")
        } else {
            picture.file_stem().unwrap_or(picture.as_os_str())
        };
        let mut name = stem.to_os_string();
        // A design file stays as it is.
        let is_design = picture.extension().is_some_and(|ending| ending == "json");
        name.push(if is_design { "-chart.json" } else { ".json" });
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
                Error::usage("there is no chart file to put the drawing beside")
                    .option("--preview")
                    .hint("give the drawing a name, or the chart one with [--output]"),
            );
        };
        return Ok((Target::File(path.with_extension(ending)), kind));
    }
    if !one {
        return Err(Error::usage("one drawing cannot hold several charts")
            .option("--preview")
            .hint("write [--preview png] or [--preview svg], for one beside each chart"));
    }
    let kind = Kind::of(wish).map_err(|error| error.option("--preview"))?;
    let target = Target::new(wish);
    if target == Target::Stdout && *chart == Target::Stdout {
        return Err(
            Error::usage("the chart and its drawing cannot both go to standard output")
                .option("--preview")
                .hint("give one of them a name"),
        );
    }
    Ok((target, kind))
}
