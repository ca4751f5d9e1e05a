//! A palette: its colours, and the pairs that are hard to tell apart.

use super::rounding::{in_thousandths, thousandths};
use crate::cancel::Cancel;
use crate::colour::{Sight, hex};
use crate::error::Result;
use crate::palette::{Alike, Colour, Pair, Palette, Tone, alike};
use crate::request::PaletteRequest;
use crate::vision::WORN;
use crate::vision::single_bead::{SimilarPairs, similar_when_worn};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value};

/// Pairs that are listed for each kind of sight.
const MOST_PAIRS: usize = 10_000;
/// Pairs of a kind of sight that are kept to be named in a line of text.
const NAMED: usize = 2;

/// A palette; what the file does not state is null.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PaletteReport {
    /// Name of the palette.
    pub name: String,
    /// Its colours, in the order of the file.
    pub colours: Vec<PaletteColourReport>,
    /// Pairs that differ by less than this, CIEDE2000, are listed; where those would be too many,
    /// less than was asked for.
    pub below: f64,
    /// The pairs, the closest first; of more than 100,000 pairs the closest.
    pub pairs: Vec<PairReport>,
    /// How many pairs there are.
    pub pairs_count: usize,
    /// The pairs that are hard to tell apart when worn; null for more than 1,500 colours.
    pub worn: Option<WornReport>,
}

/// A colour of bead, as its file states it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PaletteColourReport {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Six hex digits.
    pub hex: String,
    /// Its finish.
    pub finish: Option<String>,
    /// How much there is, in grams.
    pub grams: Option<f64>,
    /// Beads in a gram.
    pub per_gram: Option<f64>,
    /// Price of a gram.
    pub price: Option<f64>,
    /// Grams in a pack as it is sold.
    pub per_pack: Option<f64>,
    /// The owner's other columns.
    pub extra: Map<String, Value>,
    /// CIELAB, D65: L, a and b, three decimals.
    pub lab: [f64; 3],
}

/// Two colours that are alike, by code.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PairReport {
    /// One.
    pub one: String,
    /// The other.
    pub other: String,
    /// CIEDE2000 between them, three decimals.
    #[serde(serialize_with = "thousandths")]
    pub difference: f64,
    /// Name of the one.
    #[serde(skip)]
    pub one_name: String,
    /// Name of the other.
    #[serde(skip)]
    pub other_name: String,
}

/// Single beads of size 11, each among beads of another colour.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WornReport {
    /// Viewing distance.
    pub distance_mm: f64,
    /// Each kind of sight, full sight first.
    pub sights: Vec<SightReport>,
}

/// The pairs that are hard to tell apart for one kind of sight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SightReport {
    /// `full`, `protan` (red-weak), `deutan` (green-weak) or `tritan` (blue-weak).
    pub sight: String,
    /// How many pairs there are.
    pub pairs_count: usize,
    /// How many of them full sight can tell apart.
    pub lost_count: usize,
    /// The pairs, the closest first; of more than 10,000 the closest.
    pub pairs: Vec<PairReport>,
    /// The closest pairs; for other than full sight, of those that full sight can tell apart.
    #[serde(skip)]
    pub named: Vec<PairReport>,
    /// The kind of sight.
    #[serde(skip)]
    pub kind: Sight,
}

impl PaletteReport {
    /// A palette, with pairs side by side and as single beads when worn.
    ///
    /// # Errors
    /// If the work is cancelled.
    pub fn new(palette: &Palette, request: &PaletteRequest, cancel: &Cancel) -> Result<Self> {
        let tones = palette.tones();
        let below = request.below();
        let alike = alike(&tones, below, cancel)?;
        let worn = similar_when_worn(&tones, below);
        Ok(Self {
            worn: worn.map(|sights| of_worn(palette, &sights)),
            ..Self::of(palette, &tones, &alike)
        })
    }

    /// A palette, with pairs side by side only, which takes less time.
    ///
    /// # Errors
    /// If the work is cancelled.
    pub fn side_by_side(
        palette: &Palette,
        request: &PaletteRequest,
        cancel: &Cancel,
    ) -> Result<Self> {
        let tones = palette.tones();
        let alike = alike(&tones, request.below(), cancel)?;
        Ok(Self::of(palette, &tones, &alike))
    }

    fn of(palette: &Palette, tones: &[Tone], alike: &Alike) -> Self {
        let colours = palette.colours().iter().zip(tones);
        Self {
            name: palette.name.clone(),
            colours: colours
                .map(|(colour, tone)| of_colour(palette, colour, tone))
                .collect(),
            below: alike.below,
            pairs: of_pairs(palette, &alike.pairs),
            pairs_count: alike.count,
            worn: None,
        }
    }
}

fn of_colour(palette: &Palette, colour: &Colour, tone: &Tone) -> PaletteColourReport {
    let extra = palette.extra.iter().zip(&colour.extra);
    PaletteColourReport {
        code: colour.code.clone(),
        name: colour.name.clone(),
        hex: hex(colour.srgb),
        finish: colour.finish.map(|finish| finish.word().into()),
        grams: colour.grams.map(|grams| grams.get()),
        per_gram: colour.per_gram,
        price: colour.price,
        per_pack: colour.per_pack.map(|grams| grams.get()),
        extra: extra
            .map(|(head, cell)| (head.clone(), cell.as_str().into()))
            .collect(),
        lab: [tone.lab.l, tone.lab.a, tone.lab.b].map(in_thousandths),
    }
}

fn of_pairs(palette: &Palette, pairs: &[Pair]) -> Vec<PairReport> {
    let colours = palette.colours();
    let of = |pair: &Pair| PairReport {
        one: colours[pair.one].code.clone(),
        other: colours[pair.other].code.clone(),
        difference: pair.difference,
        one_name: colours[pair.one].name.clone(),
        other_name: colours[pair.other].name.clone(),
    };
    pairs.iter().map(of).collect()
}

fn of_worn(palette: &Palette, sights: &[SimilarPairs]) -> WornReport {
    let first = |pairs: &[Pair]| of_pairs(palette, &pairs[..pairs.len().min(NAMED)]);
    let of = |(at, one): (usize, &SimilarPairs)| SightReport {
        sight: one.sight.word().into(),
        pairs_count: one.pairs.len(),
        lost_count: one.lost,
        pairs: of_pairs(palette, &one.pairs[..one.pairs.len().min(MOST_PAIRS)]),
        named: if at == 0 {
            first(&one.pairs)
        } else {
            first(&one.only(&sights[0]))
        },
        kind: one.sight,
    };
    WornReport {
        distance_mm: WORN.get(),
        sights: sights.iter().enumerate().map(of).collect(),
    }
}
