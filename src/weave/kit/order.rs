//! One list of beads for several charts.

use super::{Kit, Portion};
use crate::chart::Chart;
use crate::palette::with_spare;
use std::collections::HashMap;

/// The beads of one colour over several charts.
#[derive(Debug, Clone, PartialEq)]
pub struct Gathered {
    /// The first chart that has the colour, by its place.
    pub chart: usize,
    /// All of them together; `colour` is its place among that chart's colours.
    pub portion: Portion,
}

/// The colours of all kits, matched by code, in the order in which they first come. `each` is the
/// sum over one band of each chart; spare beads, stock and what is short are of the whole.
pub fn gathered(charts: &[Chart], kits: &[Kit]) -> Vec<Gathered> {
    let mut all: Vec<Gathered> = Vec::new();
    let mut places: HashMap<&str, usize> = HashMap::new();
    for (at, (chart, kit)) in charts.iter().zip(kits).enumerate() {
        for portion in &kit.portions {
            let code = chart.colours[portion.colour].code.as_str();
            match places.get(code) {
                Some(&place) => all[place].portion.add(portion),
                None => {
                    places.insert(code, all.len());
                    all.push(Gathered {
                        chart: at,
                        portion: portion.clone(),
                    });
                }
            }
        }
    }
    let spare = kits.first().map_or(0.0, |kit| kit.options.spare);
    for gathered in &mut all {
        gathered.portion.settle(spare);
    }
    all
}

impl Portion {
    fn add(&mut self, other: &Self) {
        self.each += other.each;
        self.beads += other.beads;
        if let (Some(own), Some(other)) = (&mut self.stock, &other.stock) {
            own.difference = own.difference.max(other.difference);
        }
    }

    fn settle(&mut self, spare: f64) {
        self.with_spare = with_spare(self.beads, spare);
        self.grams = self.per_gram.grams(self.with_spare);
        let (needed, per_gram) = (self.with_spare, self.per_gram);
        self.stock = self
            .stock
            .as_ref()
            .map(|stock| stock.needing(needed, per_gram));
    }
}
