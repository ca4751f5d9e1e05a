//! Beads in a gram, and beads to spare.

use super::Colour;
use crate::bead::Bead;
use crate::units::{Grams, Mm};

/// Density of bead glass in mg/mm^3. Published tables give soda-lime glass 2.4 to 2.53 g/cm^3; that
/// beads are made of it is common practice, no source.
const GLASS: f64 = 2.5;

/// Where the beads in a gram come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The owner's palette.
    Palette,
    /// The table of sizes, computed from published measures: 11/0.
    Table,
    /// The table of sizes, computed from measures that are common practice, no source: the others.
    CommonPractice,
    /// The weight of the glass, for the user's own size.
    Glass,
}

/// Beads in a gram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PerGram {
    /// How many.
    pub beads: f64,
    /// Who says so.
    pub source: Source,
}

impl PerGram {
    /// What the owner states for a colour, if anything.
    pub fn stated(colour: &Colour) -> Option<Self> {
        colour.per_gram.map(|beads| Self {
            beads,
            source: Source::Palette,
        })
    }

    /// What is known of a bead of this size.
    pub fn of(bead: Bead) -> Self {
        match bead.size() {
            Some(size) => Self {
                beads: size.per_gram,
                source: if bead.is_unsure() {
                    Source::CommonPractice
                } else {
                    Source::Table
                },
            },
            None => Self {
                beads: of_glass(bead),
                source: Source::Glass,
            },
        }
    }

    /// What so many beads weigh.
    pub fn grams(&self, beads: u64) -> Grams {
        Grams::new(beads as f64 / self.beads)
    }

    /// How many whole beads weigh so much.
    pub fn beads_in(&self, grams: Grams) -> u64 {
        // A little is added so that a whole number is not lost to rounding; the cast saturates.
        (grams.get() * self.beads + 1e-6) as u64
    }
}

/// Beads in a gram by the weight of the glass tube, `pi/4 (D^2 - h^2) L` at 2.5 mg/mm^3. Geometry;
/// finish and coating are left out.
pub fn of_glass(bead: Bead) -> f64 {
    let square = |mm: Mm| mm.get() * mm.get();
    let across = std::f64::consts::FRAC_PI_4 * (square(bead.diameter) - square(bead.hole));
    1000.0 / (across * bead.length.get() * GLASS)
}

/// So many beads and the spare ones, rounded up.
pub fn with_spare(beads: u64, percent: f64) -> u64 {
    // A little is taken off so that a whole number is not rounded up because of rounding errors; at
    // most 2.2e12 beads, far below 2^53.
    let spare = beads as f64 * percent / 100.0;
    beads + (spare - spare * 1e-12).ceil() as u64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// pi/4 (1.6^2 - 0.8^2) 1.3 = 1.9604 mm^3; at 2.5 mg/mm^3 4.9010 mg: 204.04 beads a gram. At
    /// 2.4 and 2.6 it would be 196.2 and 212.5.
    #[test]
    fn glass_of_11_gives_204_beads_a_gram() {
        let beads = of_glass(Bead::default());
        assert!((beads - 204.04).abs() < 0.01, "{beads}");
        assert!((196.0..213.0).contains(&PerGram::of(Bead::default()).beads));
    }

    #[test]
    fn a_weight_knows_its_source() {
        let source = |text| Bead::parse(text).map(|bead| PerGram::of(bead).source).ok();
        assert_eq!(source("11"), Some(Source::Table));
        assert_eq!(source("15"), Some(Source::CommonPractice));
        assert_eq!(source("1.4x1.6x0.8"), Some(Source::Glass));
    }

    #[test]
    fn a_gram_gives_its_whole_beads() {
        let per_gram = |beads| PerGram {
            beads,
            source: Source::Palette,
        };
        // 0.29 x 200 is 57.999... in binary.
        assert_eq!(per_gram(200.0).beads_in(Grams::new(0.29)), 58);
        assert_eq!(per_gram(201.0).beads_in(Grams::new(2.5)), 502);
        assert_eq!(per_gram(200.0).grams(330).get(), 1.65);
    }

    #[test]
    fn spare_beads_are_rounded_up_and_never_for_noise() {
        // 10% of 72 is 7.2, of 70 exactly 7; 2.3% of 3000 is 69, but 69.000...01 in binary.
        assert_eq!(with_spare(72, 10.0), 80);
        assert_eq!(with_spare(70, 10.0), 77);
        assert_eq!(with_spare(3000, 2.3), 3069);
        assert_eq!(with_spare(1, 0.001), 2);
        assert_eq!((with_spare(5, 0.0), with_spare(0, 10.0)), (5, 0));
        assert_eq!(with_spare(1, 1000.0), 11);
    }
}
