//! The one table of bead sizes, and a weaver's own size.
//!
//! A bead is a cylinder: `length` along its hole, which lies across the band, `diameter` round the
//! finger.

use crate::error::{Error, Result};
use crate::units::{Mm, decimals, length};

/// The measures of one cylinder bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bead {
    /// Along the hole.
    pub length: Mm,
    /// Across the hole.
    pub diameter: Mm,
    /// Bore of the hole.
    pub hole: Mm,
}

/// One row of the table of sizes.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// As a weaver writes it before `/0`.
    pub name: &'static str,
    /// Its measures.
    pub bead: Bead,
    /// Beads in a gram of plain glass.
    pub per_gram: f64,
}

/// Sizes by name. 11/0: diameter and length as retailers' size guides and a craft reference publish
/// them. Holes, and all measures of 10/0, 8/0 and 15/0, are common practice, no source: a weaver
/// with those should measure and give `LxDxH`. Beads a gram are computed from these measures, as
/// glass tubes (pi/4 (D^2 - h^2) L at 2.5 g/cm^3), and rounded to two digits or three.
pub const SIZES: [Size; 4] = [
    size("11", 1.3, 1.6, 0.8, 200.0),
    size("10", 1.7, 2.2, 1.0, 78.0),
    size("8", 2.5, 3.0, 1.0, 25.5),
    size("15", 1.0, 1.3, 0.65, 400.0),
];

/// Smallest and largest measure of a bead that is accepted.
const RANGE: (f64, f64) = (0.3, 20.0);

const fn size(name: &'static str, length: f64, diameter: f64, hole: f64, per_gram: f64) -> Size {
    let bead = Bead {
        length: Mm::new(length),
        diameter: Mm::new(diameter),
        hole: Mm::new(hole),
    };
    Size {
        name,
        bead,
        per_gram,
    }
}

impl Default for Bead {
    /// Size 11/0.
    fn default() -> Self {
        SIZES[0].bead
    }
}

impl Bead {
    /// Checked measures of a bead.
    ///
    /// # Errors
    /// If a measure is not between 0.3 and 20 mm, or the hole is not smaller than the bead.
    pub fn new(length: Mm, diameter: Mm, hole: Mm) -> Result<Self> {
        let accepted = |mm: Mm| mm.get() >= RANGE.0 && mm.get() <= RANGE.1;
        for (name, mm) in [("length", length), ("diameter", diameter)] {
            if !accepted(mm) {
                return Err(Error::new(format!(
                    "a bead's {name} of {} mm is out of range",
                    mm.get()
                ))
                .hint("give millimetres between 0.3 and 20"));
            }
        }
        if !(hole.get() > 0.0 && hole < diameter) {
            return Err(Error::new(format!(
                "a hole of {} mm does not fit a bead of {diameter}",
                hole.get()
            ))
            .hint("give a hole above 0 and below the diameter"));
        }
        Ok(Self {
            length,
            diameter,
            hole,
        })
    }

    /// Reads `11`, `11/0`, `10`, `8`, `15`, or measures as `LxDxH` in millimetres, such as
    /// `1.3x1.6x0.8`.
    ///
    /// # Errors
    /// If the text is neither, or a measure is out of range.
    pub fn parse(text: &str) -> Result<Self> {
        let name = text.trim().trim_end_matches("/0");
        if let Some(size) = SIZES.iter().find(|size| size.name == name) {
            return Ok(size.bead);
        }
        let unreadable = || {
            Error::new(format!("'{text}' is not a bead size")).hint(
                "write 11, 10, 8 or 15, or length x diameter x hole in mm, such as 1.3x1.6x0.8",
            )
        };
        let measures: Vec<Mm> = text
            .split(['x', 'X', '×'])
            .map(length)
            .collect::<Option<_>>()
            .ok_or_else(unreadable)?;
        match measures[..] {
            [length, diameter, hole] => Self::new(length, diameter, hole),
            _ => Err(unreadable()),
        }
    }

    /// The size in the table with these measures, if it is one of them.
    pub fn size(&self) -> Option<&'static Size> {
        SIZES.iter().find(|size| size.bead == *self)
    }

    /// Whether it is of a named size whose measures have no published source: all but 11/0.
    pub fn is_unsure(&self) -> bool {
        self.size().is_some_and(|size| size.name != SIZES[0].name)
    }

    /// `11/0`, or the measures where the size has no name.
    pub fn name(&self) -> String {
        match self.size() {
            Some(size) => format!("{}/0", size.name),
            None => format!(
                "{}x{}x{}",
                decimals(self.length.get(), 3),
                decimals(self.diameter.get(), 3),
                decimals(self.hole.get(), 3)
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn named_and_own_sizes_are_read() {
        assert_eq!(Bead::parse("11/0").expect("named"), Bead::default());
        let own = Bead::parse("1.4x1.65x.8").expect("own");
        assert_eq!(own.diameter, Mm::new(1.65));
        assert_eq!(own.name(), "1.4x1.65x0.8");
        assert_eq!(Bead::parse("15").expect("named").name(), "15/0");
    }

    #[test]
    fn beads_out_of_range_are_refused() {
        for bad in [
            "",
            "12",
            "1.3x1.6",
            "1.3x1.6x1.6",
            "-1x1x1",
            "NaNx1x1",
            "1x1x1x1",
            "1.3xinfx0.8",
        ] {
            assert!(Bead::parse(bad).is_err(), "{bad}");
        }
    }

    /// Glass tube pi/4 (D^2 - h^2) L at 2.4 to 2.6 g/cm^3: 196 to 213 beads a gram for 11/0, 75 to
    /// 81 for 10/0 (computed).
    #[test]
    fn beads_per_gram_of_every_size_agree_with_the_weight_of_the_glass() {
        for size in SIZES {
            let Bead {
                length,
                diameter,
                hole,
            } = size.bead;
            let volume = std::f64::consts::FRAC_PI_4
                * (diameter.get().powi(2) - hole.get().powi(2))
                * length.get();
            let per_gram = |density: f64| 1000.0 / (volume * density);
            let accepted = per_gram(2.6)..per_gram(2.4);
            assert!(
                accepted.contains(&size.per_gram),
                "{}: {accepted:?}",
                size.name
            );
        }
    }

    #[test]
    fn only_the_measures_of_11_are_published() {
        let unsure = |text| Bead::parse(text).map(|bead| bead.is_unsure()).ok();
        assert_eq!(
            ["11", "10", "8", "15", "1.4x1.6x0.8"].map(unsure),
            [false, true, true, true, false].map(Some)
        );
    }
}
