//! What differs in a proposal, and how it is named.

use serde::Serialize;

/// How a proposal differs from the chart as read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "way", rename_all = "snake_case")]
pub enum Way {
    /// In nothing.
    AsRead,
    /// Another colour behind the motif.
    Ground {
        /// Its name in the palette.
        name: String,
    },
    /// Rotated by so many degrees clockwise.
    Rotated {
        /// 0 or 90.
        degrees: u32,
    },
    /// The motif several times.
    Repeated {
        /// How often.
        repeats: u32,
        /// Rows of the band, where the motif needs another count.
        rows: Option<u32>,
    },
    /// The motif larger, its edges cut off.
    Larger,
    /// Plain columns along both edges.
    Edges,
    /// A pattern larger, in fewer repeats.
    FewerRepeats {
        /// How often.
        repeats: u32,
    },
    /// The whole picture once round the band.
    Once,
    /// Fewer colours.
    Colours {
        /// At most so many.
        count: u32,
    },
    /// Fewer colour changes.
    Calmer,
    /// Merged into plain areas.
    Simpler,
    /// Searched as a whole, not merged into areas.
    Finer,
    /// Another part of the picture.
    OtherPart,
    /// A smaller part of the picture.
    Closer,
    /// Each bead the nearest colour, not improved as a whole.
    Nearest,
    /// A flat drawing with blended edges.
    Softer,
    /// Edges and thin lines favoured.
    Crisper,
    /// Both halves alike.
    Mirrored,
}

impl Way {
    /// Its name, a few words.
    pub fn name(&self) -> String {
        match self {
            Self::AsRead => "As read".to_string(),
            Self::Ground { name } => format!("On {name}"),
            Self::Rotated { degrees: 0 } => "Upright".to_string(),
            Self::Rotated { .. } => "On its side".to_string(),
            Self::Repeated { repeats, .. } => format!("Motif {repeats} times"),
            Self::Larger => "Larger".to_string(),
            Self::Edges => "Plain edges".to_string(),
            Self::FewerRepeats { .. } => "Fewer repeats".to_string(),
            Self::Once => "Whole, once".to_string(),
            Self::Colours { count } => format!("In {count} colours"),
            Self::Calmer => "Fewer changes".to_string(),
            Self::Simpler => "Simpler".to_string(),
            Self::Finer => "Finer".to_string(),
            Self::OtherPart => "Another part".to_string(),
            Self::Closer => "Closer".to_string(),
            Self::Nearest => "Plain match".to_string(),
            Self::Softer => "Softer".to_string(),
            Self::Crisper => "Crisper".to_string(),
            Self::Mirrored => "Mirrored".to_string(),
        }
    }

    /// What it changes, in a sentence without its full stop.
    pub fn description(&self) -> String {
        match self {
            Self::AsRead => "every choice made from the artwork".to_string(),
            Self::Ground { .. } => "another colour behind the motif".to_string(),
            Self::Rotated { degrees: 0 } => "the picture stands upright on the band".to_string(),
            Self::Rotated { .. } => "the picture lies along the band".to_string(),
            Self::Repeated { rows: None, .. } => "one after another along the band".to_string(),
            Self::Repeated {
                rows: Some(rows), ..
            } => format!("one after another; {rows} rows make the repeats even"),
            Self::Larger => "a part of the motif, larger".to_string(),
            Self::Edges => "a plain column along each edge".to_string(),
            Self::FewerRepeats { repeats: 1 } => "1 repeat, its sides cut".to_string(),
            Self::FewerRepeats { repeats } => format!("{repeats} larger repeats, their sides cut"),
            Self::Once => "the whole picture once along the band".to_string(),
            Self::Colours { .. } => "fewer colours to buy and to thread".to_string(),
            Self::Calmer => "larger areas of one colour".to_string(),
            Self::Simpler => "merged into plain areas before colours are chosen".to_string(),
            Self::Finer => "more detail, and more colour changes to weave".to_string(),
            Self::OtherPart => "another part of the picture".to_string(),
            Self::Closer => "a smaller part of the picture, larger".to_string(),
            Self::Nearest => "each bead its nearest colour; not improved as a whole".to_string(),
            Self::Softer => "colours blend where areas meet".to_string(),
            Self::Crisper => "edges and thin lines stand out".to_string(),
            Self::Mirrored => "both halves alike, as an ornament".to_string(),
        }
    }
}
