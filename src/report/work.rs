//! How the work is told: its end, its edge, and what colours are called.

use crate::error::Result;
use crate::lattice::Lattice;
use crate::output::weave::Keys;
use crate::weave::{Frame, Hand, Start};

/// The edge of the stopper bead, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum HandWord {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// The end that the work begins at, as it is typed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum FromWord {
    /// Row 1.
    #[default]
    Bottom,
    /// The upper end.
    Top,
}

/// What colours are called, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum KeysWord {
    /// Their names.
    Names,
    /// Short keys.
    Short,
}

impl From<KeysWord> for Keys {
    fn from(word: KeysWord) -> Self {
        match word {
            KeysWord::Names => Self::Names,
            KeysWord::Short => Self::Short,
        }
    }
}

/// Where the work begins.
///
/// # Errors
/// If it cannot begin at that edge.
pub fn frame(lattice: &Lattice, hand: Option<HandWord>, from: FromWord) -> Result<Frame> {
    let start = match from {
        FromWord::Bottom => Start::Bottom,
        FromWord::Top => Start::Top,
    };
    let hand = match hand {
        Some(HandWord::Left) => Hand::Left,
        Some(HandWord::Right) => Hand::Right,
        None => Frame::usual_hand(lattice, start),
    };
    Frame::new(lattice, hand, start)
}
