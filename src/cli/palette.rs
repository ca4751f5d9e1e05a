//! `upbead palette`.

use super::Manner;
use crate::error::{Error, Result};

/// Options.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {}

pub(crate) fn run(_: &Args, _: Manner) -> Result<()> {
    Err(Error::new("later"))
}
