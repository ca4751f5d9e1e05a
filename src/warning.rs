//! What the weaver should know beside the result: notes as values, with one wording each.

use crate::lattice::MOST_ROWS;
use crate::units::{Mm, decimals, grouped};
use std::fmt;

/// A result and what was noticed on the way.
#[derive(Debug, Clone)]
pub struct Warned<T> {
    /// The result.
    pub value: T,
    /// What was noticed, in the order of the work.
    pub notes: Vec<Warning>,
}

/// Something noticed that is no error.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Warning {
    /// The picture was turned to keep more of it.
    Turned {
        /// Degrees clockwise.
        degrees: u32,
        /// Share of the picture that is kept, 0 to 1.
        kept: f64,
        /// Share that would be kept upright.
        upright: f64,
    },
    /// Parts of the picture fall outside the band.
    Cropped {
        /// Share of the picture that is kept, 0 to 1.
        kept: f64,
    },
    /// Much of the picture is clear, and it was laid all round.
    MostlyClear {
        /// Share of the band that shows the ground, 0 to 1.
        clear: f64,
    },
    /// A ground was named, and shows nowhere.
    GroundUnseen,
    /// Nobody named a ground, and one was needed.
    GroundChosen {
        /// Its name in the palette.
        name: String,
    },
    /// More colours were allowed than there are.
    FewerColours {
        /// As asked.
        asked: usize,
        /// In the palette, after what was ruled out.
        there: usize,
    },
    /// A colour that should be kept suits no bead.
    KeptUnused {
        /// Its name in the palette.
        name: String,
    },
    /// The repeats cannot all have the same number of rows.
    UnevenRepeats {
        /// Rows of the band.
        rows: u32,
        /// Number of repeats.
        repeats: u32,
        /// Rows of a short repeat; a long one has two more.
        short: u32,
    },
    /// Beads were to be counted, and the palette does not say what there is.
    NoGrams,
    /// Of some colours there were too few beads.
    FromStock {
        /// Beads that took another colour.
        beads: usize,
        /// The colours that ran out.
        names: Vec<String>,
    },
    /// Some colours would have run out; the band was optimised with what is there.
    KeptToStock {
        /// The colours that the nearest choice would have run out of.
        names: Vec<String>,
    },
    /// The chart may not be the best that the drawer allows.
    StockGap {
        /// Mean difference by which it is worse at most; none if that is not known.
        gap: Option<f64>,
    },
    /// An SVG shows a picture that it does not carry.
    LinkedPicture {
        /// As the SVG names it.
        name: String,
    },
    /// The embedded profile was not used.
    ProfileIgnored {
        /// Why, in a few words.
        reason: String,
    },
    /// The band is wider than a narrow ring and will feel tighter.
    WideBand {
        /// Its width.
        width: Mm,
        /// The size to consider: half a US size more.
        size: String,
        /// Rows as chosen, and rows for that size.
        rows: (u32, u32),
    },
    /// Nobody gave a gauge.
    NoGauge {
        /// Rows at the loosest gauge that is common, and at touching beads.
        rows: (u32, u32),
    },
    /// A gauge is kept for another bead.
    GaugeForOtherBead {
        /// The bead in use.
        bead: String,
    },
    /// The typeface has no such letters; a square stands in their place.
    NoLetters {
        /// Each once, in Unicode's order.
        letters: String,
    },
    /// A size of a set is left out.
    SizeLeftOut {
        /// The size, and why.
        reason: String,
    },
    /// A chart is held against another picture than it was made of.
    OtherPicture {
        /// The name of the chart's own picture.
        name: String,
    },
    /// A chart is held against its picture made crisp.
    BesideCrisp {
        /// How crisp, 0 to 1.
        crisp: f64,
    },
    /// Two colours of the chart look almost the same.
    HardToTell {
        /// One name.
        one: String,
        /// The other name.
        other: String,
        /// CIEDE2000 between them.
        difference: f64,
    },
}

/// The first two names, and how many more there are.
fn short(names: &[String]) -> String {
    match names {
        [] => "of some".to_string(),
        [one] => one.clone(),
        [one, other] => format!("{one} and {other}"),
        [one, two, rest @ ..] => format!("{one}, {two} and {} more", rest.len()),
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let percent = |share: &f64| format!("{:.0}%", share * 100.0);
        match self {
            Self::Turned {
                degrees,
                kept,
                upright,
            } if kept > upright => write!(
                f,
                "turned {degrees}° clockwise, which keeps {} of the picture where upright would keep {}; --turn 0 leaves it upright",
                percent(kept),
                percent(upright)
            ),
            Self::Turned { degrees, .. } => write!(
                f,
                "turned {degrees}° clockwise, which fills more of the band; --turn 0 leaves it upright"
            ),
            Self::Cropped { kept } => write!(
                f,
                "{} of the picture falls on the band; --crop chooses which part, --fit contain keeps all of it",
                percent(kept)
            ),
            Self::MostlyClear { clear } => write!(
                f,
                "{} of the band shows no picture, only ground; --place motif sets the whole picture on it once",
                percent(clear)
            ),
            Self::GroundUnseen => {
                write!(f, "the picture covers the band: the ground shows nowhere")
            }
            Self::GroundChosen { name } => {
                write!(f, "the ground is {name}; --ground names another colour")
            }
            Self::FewerColours { asked, there } => {
                write!(
                    f,
                    "{asked} colours were allowed, {there} are there to choose from"
                )
            }
            Self::KeptUnused { name } => write!(f, "{name} was kept in, but suits no bead"),
            Self::UnevenRepeats {
                rows,
                repeats,
                short,
            } => {
                let step = 2 * repeats;
                let below = rows / step * step;
                let above = (below + step).min(MOST_ROWS / step * step);
                write!(
                    f,
                    "{rows} rows do not share evenly into {repeats} repeats: some have {short} rows and some {}; --rows {below} or --rows {above} would",
                    short + 2
                )
            }
            Self::NoGrams => write!(
                f,
                "the palette states no grams, so every colour counts as enough; give it a column grams"
            ),
            Self::FromStock { beads, names } => {
                let beads = match beads {
                    1 => "1 bead takes".to_string(),
                    more => format!("{} beads take", grouped(*more)),
                };
                write!(
                    f,
                    "{beads} another colour, since there is not enough {}",
                    short(names)
                )
            }
            Self::KeptToStock { names } => write!(
                f,
                "the band keeps to the beads that are there; the picture asks for more {}",
                short(names)
            ),
            Self::StockGap { gap: Some(gap) } => write!(
                f,
                "mirrored or repeated beads stay together: with these beads a mean difference up to {} smaller may be possible",
                decimals(gap.max(0.0001), 4)
            ),
            Self::StockGap { gap: None } => write!(
                f,
                "so many different wishes were pooled: with these beads a slightly smaller difference may be possible"
            ),
            Self::LinkedPicture { name } => write!(
                f,
                "the SVG shows '{name}' from outside itself, which is not read; embed the picture in the drawing"
            ),
            Self::ProfileIgnored { reason } => {
                write!(
                    f,
                    "the picture's colour profile was not used ({reason}); its colours are read as sRGB"
                )
            }
            Self::WideBand { width, size, rows } => {
                write!(
                    f,
                    "a band of {width} feels tighter than a narrow one: think of half a US size more, {size}: "
                )?;
                match rows {
                    (chosen, more) if chosen == more => {
                        write!(f, "still {more} rows, and {} are the next step", more + 2)
                    }
                    (_, more) => write!(f, "{more} rows"),
                }
            }
            Self::NoGauge { rows } if rows.0 == rows.1 => {
                write!(
                    f,
                    "no gauge is known; beads are taken as touching. Measure a swatch and give --swatch ROWS=MM"
                )
            }
            Self::NoGauge { rows } => write!(
                f,
                "no gauge is known: looser hands need fewer rows, from {} to {}. Measure a swatch and give --swatch ROWS=MM",
                rows.0, rows.1
            ),
            Self::GaugeForOtherBead { bead } => {
                write!(f, "the gauge file knows nothing of beads of size {bead}")
            }
            Self::NoLetters { letters } => {
                let shown: Vec<String> = letters.chars().take(20).map(String::from).collect();
                let more = match letters.chars().count() - shown.len() {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                write!(
                    f,
                    "the typeface has Latin, Greek and Cyrillic letters only: □ is printed in place of {}{more}",
                    shown.join(" ")
                )
            }
            Self::SizeLeftOut { reason } => {
                write!(f, "{reason}; it is left out of the table of sizes")
            }
            Self::OtherPicture { name } => write!(
                f,
                "this is not the picture that the chart was made of, '{name}', or it was changed since"
            ),
            Self::BesideCrisp { crisp } => write!(
                f,
                "measured beside the picture made crisp ({}); --crisp 0 measures beside the picture as it is",
                decimals(*crisp, 6)
            ),
            Self::HardToTell {
                one,
                other,
                difference,
            } => write!(
                f,
                "{one} and {other} are hard to tell apart (difference {})",
                decimals(*difference, 1)
            ),
        }
    }
}
