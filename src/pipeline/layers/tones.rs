//! What layers of continuous tone decide for the band, where the request leaves it open: as a
//! picture of continuous tone does that is charted alone.

use crate::pipeline::Options;
use crate::pipeline::reading::{SIMPLER, TONES};
use crate::request::{CalmRequest, ChartRequest};
use crate::warning::Warning;

/// Colours that are left for continuous tone beside those of the other layers, at least. Ours.
const BESIDE: usize = 6;

/// What a request leaves open.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Open {
    /// How many colours there are at most.
    colours: bool,
    /// Whether the picture is merged into plain areas.
    areas: bool,
}

impl Open {
    /// What this request leaves open.
    pub(super) fn of(request: &ChartRequest) -> Self {
        let colours = &request.colours;
        let is_said = colours.matching.is_some() || colours.refine || colours.dither.is_some();
        let calm = request.calm == CalmRequest::default();
        Self {
            colours: !is_said && colours.colours.is_none(),
            areas: !is_said && !colours.from_stock && calm,
        }
    }

    /// Decides it for a band with so many colours that are given.
    pub(super) fn decide(self, options: &mut Options, given: usize) -> Option<Warning> {
        let most = (TONES as usize).max(given + BESIDE);
        if self.colours {
            options.choice.limit = Some(most);
        }
        if self.areas {
            options.simplify = SIMPLER;
        }
        (self.colours || self.areas).then_some(Warning::LayersOfTones {
            colours: self.colours.then_some(most),
            simplify: self.areas.then_some(SIMPLER),
        })
    }
}
