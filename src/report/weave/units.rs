//! The guide's lengths in the reader's units.

use super::Guide;
use crate::units::LengthUnits;

impl Guide {
    /// The same words, with lengths in `units`; what the owner wrote stays as it is.
    pub(super) fn in_units(mut self, units: LengthUnits) -> Self {
        let begin = self.begin.iter_mut();
        let begin = begin.flat_map(|begin| {
            std::iter::once(&mut begin.words)
                .chain(&mut begin.weaving)
                .chain(&mut begin.reading)
        });
        let after = self.after.iter_mut().flat_map(|one| &mut one.paragraphs);
        let rest = after.chain(&mut self.try_on).chain([&mut self.facts]);
        for words in begin.chain(rest) {
            *words = units.beside(words);
        }
        self
    }
}
