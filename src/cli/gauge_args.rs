//! The gauge's options, for verbs that do not have a request yet.

use crate::report::{Measured, PreferWord};
use std::path::PathBuf;

/// The gauge of beads that are known, and which of two counts to take.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Bead and gauge")]
pub(crate) struct MeasuredArgs {
    /// A flat swatch: its rows and their height
    ///
    /// Rows of a flat swatch, counted zigzag over two neighbouring columns, and their height in millimetres: --swatch 40=33.6.
    /// Columns and width may be given too: --swatch 9x40=11.9x33.6. At least 3 rows; 40 or more are surer. None by default. A weaver's tension
    /// decides the size of her rings, so measure once and keep it with `upbead fit --remember`.
    #[arg(long, value_name = "ROWS=MM")]
    swatch: Option<String>,

    /// A closed band that fits: its rows and size
    ///
    /// Rows of a band that was woven and closed, and the ring size that it fits: --fits 74=us7. It serves in place of a swatch,
    /// and is the surer measure, since it was worn. Even, at least 6. None by default.
    #[arg(long, value_name = "ROWS=SIZE")]
    fits: Option<String>,

    /// Gauge file, in place of your own
    ///
    /// File with gauges, one for each bead, as `upbead fit --remember` writes it. By default upbead/gauge.json in your folder
    /// for settings, if it is there. --swatch and --fits go before it. Example: --gauge class.json
    #[arg(long, value_name = "FILE")]
    gauge: Option<PathBuf>,

    /// Of two row counts: smaller, nearest or larger
    ///
    /// Which of the two even row counts round the wanted size to take. The default is smaller, since a beaded band gives with
    /// wear; nearest may come out a little large, larger leaves room for a wide band. Example: --prefer nearest
    #[arg(
        long,
        value_name = "WHICH",
        value_enum,
        default_value_t,
        hide_default_value = true,
        hide_possible_values = true
    )]
    prefer: PreferWord,
}

impl MeasuredArgs {
    /// What was typed of the gauge.
    pub(crate) fn asked(&self) -> Measured<'_> {
        Measured {
            swatch: self.swatch.as_deref(),
            fits: self.fits.as_deref(),
            gauge: self.gauge.as_deref(),
            prefer: self.prefer,
        }
    }
}
