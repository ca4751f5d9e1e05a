//! Several ways to chart a picture: each chart, what differs in it, and the command that makes it.

use super::WarningReport;
use super::chart::{AboutBand, ChartReport, Files};
use crate::error::Result;
use crate::palette::Palette;
use crate::pipeline::{FEWEST, Proposal, Way};
use crate::request::{ChartRequest, given};
use crate::warning::Warning;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use std::path::Path;

/// What `upbead propose` prints.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ProposeReport {
    /// The picture's file.
    pub picture: String,
    /// The file that shows them.
    pub sheet: Option<String>,
    /// The ways, the chart as read first.
    pub proposals: Vec<ProposalReport>,
    /// Whether there are fewer than four, because other ways hardly differ or cannot be made.
    pub few: bool,
}

/// One way, and its chart.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ProposalReport {
    /// Its number, from 1.
    pub number: usize,
    /// What differs, as one word, such as `as_read`, `ground`, `colours` or `closer`.
    pub way: String,
    /// What it is called.
    pub name: String,
    /// What differs, in a sentence.
    pub description: String,
    /// The command that makes its chart.
    pub command: String,
    /// The same in parts that stay together: each option with its value.
    #[serde(skip)]
    pub words: Vec<String>,
    /// Its chart, as `upbead chart` reports it.
    pub summary: ChartReport,
}

/// Where proposals came from and went to.
#[derive(Debug, Clone, Copy)]
pub struct ProposalFiles<'a> {
    /// The picture.
    pub picture: &'a Path,
    /// The palette.
    pub palette: &'a Path,
    /// The picture of the proposals.
    pub sheet: Option<&'a Path>,
    /// The gauge's file, where one is named.
    pub gauge: Option<&'a Path>,
}

impl ProposeReport {
    /// Of charts in the colours of `palette`.
    ///
    /// # Errors
    /// None that can be met: options can be written.
    pub fn new(files: ProposalFiles, proposals: &[Proposal], palette: &Palette) -> Result<Self> {
        let all = proposals.iter().enumerate();
        let reports = all.map(|(at, one)| ProposalReport::new(files, at + 1, one, palette));
        Ok(Self {
            picture: files.picture.to_string_lossy().into(),
            sheet: files.sheet.map(|path| path.to_string_lossy().into()),
            proposals: reports.collect::<Result<_>>()?,
            few: proposals.len() < FEWEST,
        })
    }
}

impl ProposalReport {
    fn new(
        files: ProposalFiles,
        number: usize,
        proposal: &Proposal,
        palette: &Palette,
    ) -> Result<Self> {
        let words = command(files, &proposal.request, number)?;
        let made = &proposal.charted.made;
        let shape = &proposal.charted.shape;
        let band = AboutBand {
            ring: shape.ring.as_ref(),
            warnings: &shape.warnings,
        };
        let of_chart = Files {
            picture: files.picture.to_path_buf(),
            ..Files::default()
        };
        Ok(Self {
            number,
            way: way(&proposal.way)?,
            name: proposal.way.name(),
            description: proposal.way.description(),
            command: words.join(" "),
            words,
            summary: ChartReport::new(&of_chart, made, band, palette),
        })
    }

    /// What there is to say about the chart; how the picture was read is told with the first, and
    /// the ground with the colours.
    pub fn remarks(&self) -> impl Iterator<Item = &WarningReport> {
        let own = self.summary.warnings.iter().skip(self.summary.about_band);
        own.filter(|one| match one.warning() {
            Warning::ReadAs { .. } => self.number == 1,
            Warning::GroundChosen { .. } => false,
            _ => true,
        })
    }
}

/// The name of a way in JSON.
fn way(way: &Way) -> Result<String> {
    let name = given(way)?.remove("way");
    Ok(name
        .and_then(|name| name.as_str().map(str::to_string))
        .unwrap_or_default())
}

/// The command that makes a chart of a request: each option with its value.
fn command(files: ProposalFiles, request: &ChartRequest, number: usize) -> Result<Vec<String>> {
    let word = |path: &Path| quoted(&path.to_string_lossy());
    let mut words = vec![
        "upbead chart".to_string(),
        word(files.picture),
        format!("--palette {}", word(files.palette)),
    ];
    let groups = [
        given(&request.ring)?,
        given(&request.band)?,
        given(&request.bead)?,
        given(&request.gauge)?,
        given(&request.picture)?,
        given(&request.colours)?,
        given(&request.view)?,
        given(&request.calm)?,
    ];
    for (name, value) in groups.into_iter().flatten() {
        let name = name.replace('_', "-");
        words.push(match value {
            Value::Bool(_) => format!("--{name}"),
            Value::String(text) => format!("--{name} {}", quoted(&text)),
            other => format!("--{name} {other}"),
        });
    }
    words.extend(files.gauge.map(|path| format!("--gauge {}", word(path))));
    words.push(format!("-o {}", quoted(&chart_name(files.picture, number))));
    Ok(words)
}

/// The file of a proposal's chart: the picture's name and the number.
fn chart_name(picture: &Path, number: usize) -> String {
    let stem = picture.file_stem().filter(|stem| *stem != "-");
    let stem = stem.map_or("band".into(), |stem| stem.to_string_lossy());
    format!("{stem}-{number}.json")
}

/// A word as a shell takes it: in single quotes where it has more than letters, figures and the
/// marks of paths and options.
fn quoted(word: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "-_./:=,+%@".contains(letter);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_string();
    }
    format!("'{}'", word.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_quoted_where_a_shell_would_split_them() {
        for (word, wanted) in [
            ("samples/fox.png", "samples/fox.png"),
            ("my fox.png", "'my fox.png'"),
            ("gull's.png", r"'gull'\''s.png'"),
            ("", "''"),
            ("$HOME", "'$HOME'"),
        ] {
            assert_eq!(quoted(word), wanted);
        }
    }
}
