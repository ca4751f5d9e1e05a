//! `upbead fit`.

use crate::error::{Error, Result};

/// Options.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {}

pub(crate) fn run(_: &Args) -> Result<()> {
    Err(Error::new("later"))
}
