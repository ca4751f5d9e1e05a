//! What the owner has in stock, compared with what is needed.

use crate::chart::Chart;
use crate::colour::{ciede2000, light};
use crate::palette::{Colour, Nearest, Palette, PerGram, Tone};
use crate::units::Grams;
use std::collections::HashMap;

/// A chart's colours in the owner's palette.
#[derive(Debug, Clone)]
pub struct InStock<'a> {
    palette: &'a Palette,
    /// For each colour of the chart its place in the palette, and how far apart the two are; none
    /// where it is not in use.
    places: Vec<Option<(usize, f64)>>,
}

/// A colour of the chart that the palette does not have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Missing {
    /// Its place among the chart's colours.
    pub colour: usize,
    /// The place of the nearest colour of the palette.
    pub nearest: usize,
    /// CIEDE2000 between them.
    pub difference: f64,
}

/// What the owner has of one colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// What is in stock; none means enough.
    pub grams: Option<Grams>,
    /// Beads to buy, spare ones included.
    pub short: u64,
    /// What they weigh.
    pub short_grams: Grams,
    /// Price of a gram, in the owner's money, where they state it.
    pub price: Option<f64>,
    /// Grams in a pack, where they state it.
    pub per_pack: Option<Grams>,
    /// How far the chart's colour is from the palette's, CIEDE2000.
    pub difference: f64,
}

/// Finds the colours in use in the palette, by their codes.
///
/// # Errors
/// With every colour in use that the palette does not have, each with the nearest that it has.
pub fn in_stock<'a>(
    chart: &Chart,
    palette: &'a Palette,
) -> std::result::Result<InStock<'a>, Vec<Missing>> {
    let places: HashMap<&str, usize> = palette
        .colours()
        .iter()
        .enumerate()
        .map(|(at, colour)| (colour.code.as_str(), at))
        .collect();
    let tones = palette.tones();
    let apart = |colour: usize, place: usize| ciede2000(tone(chart, colour).lab, tones[place].lab);
    let counts = chart.counts();
    let mut found = vec![None; counts.len()];
    let mut missing = Vec::new();
    for colour in (0..counts.len()).filter(|&colour| counts[colour] > 0) {
        match places.get(chart.colours[colour].code.as_str()) {
            Some(&place) => found[colour] = Some((place, apart(colour, place))),
            None => missing.push(colour),
        }
    }
    let all: Vec<usize> = (0..tones.len()).collect();
    // A palette has at least one colour, so there is a nearest.
    match Nearest::new(&tones, &all) {
        Some(search) if !missing.is_empty() => Err(missing
            .into_iter()
            .map(|colour| {
                let nearest = search.find(&tone(chart, colour));
                let difference = apart(colour, nearest);
                Missing {
                    colour,
                    nearest,
                    difference,
                }
            })
            .collect()),
        _ => Ok(InStock {
            palette,
            places: found,
        }),
    }
}

fn tone(chart: &Chart, colour: usize) -> Tone {
    Tone::new(light(chart.colours[colour].srgb))
}

/// Beads that are missing where so many are needed.
fn short(grams: Option<Grams>, needed: u64, per_gram: PerGram) -> u64 {
    grams.map_or(0, |grams| needed.saturating_sub(per_gram.beads_in(grams)))
}

impl Stock {
    /// The same colour where so many beads are needed.
    pub(super) fn needing(&self, needed: u64, per_gram: PerGram) -> Self {
        let short = short(self.grams, needed, per_gram);
        Self {
            short,
            short_grams: per_gram.grams(short),
            ..self.clone()
        }
    }

    /// Whole packs that hold what is short, where it is known how much one holds.
    pub fn packs(&self) -> Option<u64> {
        let packs = self.short_grams.get() / self.per_pack?.get();
        // A little is taken off so that a whole number is not rounded up because of rounding
        // errors.
        Some((packs - 1e-9).ceil().max(0.0) as u64)
    }
}

impl InStock<'_> {
    fn colour(&self, colour: usize) -> Option<(&Colour, f64)> {
        let (place, apart) = (*self.places.get(colour)?)?;
        Some((&self.palette.colours()[place], apart))
    }

    /// The palette's own beads in a gram.
    pub(super) fn per_gram(&self, colour: usize) -> Option<PerGram> {
        PerGram::stated(self.colour(colour)?.0)
    }

    /// What there is of a colour of which `needed` beads are needed.
    pub(super) fn stock(&self, colour: usize, needed: u64, per_gram: PerGram) -> Option<Stock> {
        let (colour, difference) = self.colour(colour)?;
        let short = short(colour.grams, needed, per_gram);
        Some(Stock {
            grams: colour.grams,
            short,
            short_grams: per_gram.grams(short),
            price: colour.price,
            per_pack: colour.per_pack,
            difference,
        })
    }
}
