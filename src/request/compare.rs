//! A chart measured beside its picture: from where, and how the picture lies.

use super::named::flat_request;
use super::{DistanceRequest, PictureRequest};

/// Viewing distances, and how the picture lies where it does not lie as the chart says.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct CompareRequest {
    /// From where it is seen.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub view: DistanceRequest,
    /// How the picture lies; what is not given is as the chart says.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub picture: PictureRequest,
}

flat_request!(CompareRequest { view, picture });
