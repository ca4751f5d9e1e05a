//! How many beads of each colour one band may use.

use super::{Palette, PerGram, with_spare};
use crate::bead::Bead;

/// What there is of one colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bound {
    /// Its name, for messages.
    pub name: String,
    /// Most beads of it in one band; none means enough.
    pub most: Option<u64>,
}

/// A bound for each colour of a palette, in its order: what any chart made
/// from stock has to keep to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bounds(Vec<Bound>);

impl Bounds {
    /// Bounds as given, a place a colour.
    pub fn new(bounds: Vec<Bound>) -> Self {
        Self(bounds)
    }

    /// What the grams of `palette` give for each of `bands` equal bands of `bead`, with `spare`
    /// percent of the beads left over.
    ///
    /// Beads in a gram are the palette's own, or those of the bead's size ([`PerGram::of`]). A
    /// colour without grams has enough.
    pub fn of(palette: &Palette, bead: Bead, bands: u32, spare: f64) -> Self {
        let bound = |colour: &super::Colour| {
            let per_gram = PerGram::stated(colour).unwrap_or_else(|| PerGram::of(bead));
            Bound {
                name: colour.name.clone(),
                most: colour
                    .grams
                    .map(|grams| for_each(per_gram.beads_in(grams), bands, spare)),
            }
        };
        Self(palette.colours().iter().map(bound).collect())
    }

    /// The bounds, in the order of the palette.
    pub fn all(&self) -> &[Bound] {
        &self.0
    }

    /// Most beads of the colour at `place`; `u64::MAX` where there is enough.
    pub fn most(&self, place: usize) -> u64 {
        let bound = self.0.get(place);
        bound.and_then(|bound| bound.most).unwrap_or(u64::MAX)
    }

    /// Whether a band with these counts, a place a colour, keeps to them.
    pub fn allow(&self, counts: &[u64]) -> bool {
        counts
            .iter()
            .enumerate()
            .all(|(place, &count)| count <= self.most(place))
    }
}

/// The most beads in each of `bands` bands for which `stock` beads are enough, with spare ones.
fn for_each(stock: u64, bands: u32, spare: f64) -> u64 {
    let bands = u64::from(bands.max(1));
    // No band has more beads than that, and products stay exact.
    let (mut some, mut many) = (0, (stock / bands).min(1 << 32));
    // `some` is enough, more than `many` is not, and more beads need more spare ones.
    while some < many {
        let middle = some + (many - some).div_ceil(2);
        if with_spare(middle * bands, spare) <= stock {
            some = middle;
        } else {
            many = middle - 1;
        }
    }
    some
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn grams_become_beads_by_the_palette_or_by_the_size() {
        let text = "code,name,hex,grams,per_gram\na,ash,808080,2.5,\n\
                    b,brine,406080,2.5,190\nc,coal,101010,,\n";
        let palette = super::super::read::read(text, "three").unwrap();
        let most = |bands, spare| {
            let bounds = Bounds::of(&palette, Bead::default(), bands, spare);
            [0, 1, 2].map(|place| bounds.most(place))
        };
        assert_eq!(most(1, 0.0), [500, 475, u64::MAX]);
        assert_eq!(most(4, 0.0), [125, 118, u64::MAX]);
        // 454 and 46 spare are 500; 455 would need 46 too, 501 in all.
        assert_eq!(most(1, 10.0)[0], 454);
    }

    proptest! {
        #[test]
        fn so_many_are_enough_and_one_more_is_not(
            stock in 0..100_000u64,
            bands in 1..50u32,
            spare in 0.0..200.0,
        ) {
            let each = for_each(stock, bands, spare);
            prop_assert!(with_spare(each * u64::from(bands), spare) <= stock);
            prop_assert!(with_spare((each + 1) * u64::from(bands), spare) > stock);
        }
    }
}
