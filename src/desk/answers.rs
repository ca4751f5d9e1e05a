//! What the desk answers, as one type: its schema is that of `upbead schema --of desk`, of which
//! the types of the page's scripts are made.

use super::chart::ChartAnswer;
use super::facts::FactsAnswer;
use super::follow::FollowAnswer;
use super::gauge::GaugeAnswer;
use super::palettes::PaletteAnswer;
use super::photo::PhotoAnswer;
use super::pictures::PictureAnswer;
use super::propose::ProposeAnswer;
use super::read::ReadAnswer;
use super::resize::ResizeAnswer;
use super::response::RefusalAnswer;
use super::start::StartAnswer;
use super::swap::SwapAnswer;
use crate::report::compare::CompareReport;
use crate::report::fit::FitReport;
use crate::report::gauge::GaugeReport;
use crate::report::palette::PaletteReport;
use schemars::JsonSchema;

/// What the desk answers as JSON, by the route that was asked.
#[derive(JsonSchema)]
#[schemars(deny_unknown_fields)]
// Read by `JsonSchema` alone: each answer is written by the file of its route.
#[allow(dead_code)]
pub struct Answers {
    begin: StartAnswer,
    picture: PictureAnswer<'static>,
    palette: PaletteAnswer,
    alike: PaletteReport,
    photo: PhotoAnswer,
    chart: ChartAnswer,
    propose: ProposeAnswer,
    refine: ChartAnswer,
    resize: ResizeAnswer,
    swap: SwapAnswer,
    compare: CompareReport,
    fit: FitReport,
    gauge: GaugeAnswer,
    remember: GaugeReport,
    read: ReadAnswer,
    facts: FactsAnswer,
    follow: FollowAnswer,
    /// What any route answers when the request does not succeed.
    refused: RefusalAnswer,
}
