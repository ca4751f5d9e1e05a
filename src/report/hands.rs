//! The rows that a tight, an average and a loose hand take for a size, and how to tell a hand.

use crate::chart::Chart;
use crate::ring::{Closed, Gauge, Hand, Prefer, RingSize};
use crate::units::Mm;

/// Rows of the swatch: the fewest that measure well. Common practice, no source.
const SWATCH_ROWS: u32 = 40;
/// Widest swatch that is asked for: its width tells nothing of the hand. Ours.
const WIDEST: u32 = 11;
/// Sizes of the table, in US sizes from the one that the chart has.
const SIZES: [f64; 5] = [-1.0, -0.5, 0.0, 0.5, 1.0];

/// Rows by hand and size. Hands go from tight to loose, as in [`Hand::ALL`].
#[derive(Debug, Clone, PartialEq)]
pub struct HandsReport {
    /// Columns of the swatch: those of the chart, or of a wide one as few as are easy to weave, odd
    /// or even as the chart's.
    pub swatch_columns: u32,
    /// Rows of the swatch.
    pub swatch_rows: u32,
    /// How high the swatch comes out.
    pub swatch_mm: [Mm; 3],
    /// Sizes round the one that the chart has, smallest first.
    pub sizes: Vec<HandsSizeReport>,
}

/// The rows for a size.
#[derive(Debug, Clone, PartialEq)]
pub struct HandsSizeReport {
    /// The size.
    pub size: String,
    /// Its inside diameter.
    pub diameter_mm: Mm,
    /// The rows for each hand.
    pub rows: [u32; 3],
}

impl HandsReport {
    /// Round the size of `ring`, which `chart` makes, on the scale that the chart was made for.
    pub fn of(chart: &Chart, ring: &Closed, prefer: Prefer) -> Self {
        let hands = Hand::ALL.map(|hand| Gauge::of_hand(chart.lattice.bead(), hand));
        let own = own_size(chart, ring);
        let size = |us_sizes: f64| {
            let size = own.larger(us_sizes);
            let mut rows = [0; 3];
            for (rows, hand) in rows.iter_mut().zip(&hands) {
                *rows = hand.rows_for(size.diameter(), prefer).ok()?.count();
            }
            Some(HandsSizeReport {
                size: size.to_string(),
                diameter_mm: size.diameter(),
                rows,
            })
        };
        let columns = chart.lattice.columns();
        Self {
            swatch_columns: match columns {
                0..=WIDEST => columns,
                _ => WIDEST - 1 - columns % 2,
            },
            swatch_rows: SWATCH_ROWS,
            swatch_mm: hands.each_ref().map(|hand| hand.swatch_height(SWATCH_ROWS)),
            sizes: SIZES.into_iter().filter_map(size).collect(),
        }
    }
}

/// The size of the ring to the nearest half US size: on the scale that the chart was made for, or
/// else on the US scale where the ring has a number on it.
fn own_size(chart: &Chart, ring: &Closed) -> RingSize {
    let half = ring.size.us().map(|us| (us * 2.0).round() / 2.0);
    let asked = chart.made.option("size");
    let asked = asked.and_then(|text| RingSize::parse(text).ok());
    let on_its_scale = || {
        let asked = asked.as_ref()?;
        Some(asked.larger(half? - asked.us()?))
    };
    let on_us = || RingSize::parse(&format!("us{}", half?)).ok();
    let own = on_its_scale().or_else(on_us);
    own.unwrap_or_else(|| ring.size.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::{Lattice, Rows};

    fn report(size: Option<&str>, columns: u32) -> HandsReport {
        let rows = Rows::closed(72).unwrap();
        let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
        let mut chart = Chart {
            lattice,
            colours: Vec::new(),
            beads: Vec::new(),
            made: Default::default(),
            title: None,
            notes: None,
        };
        let option = |size: &str| ("size".to_string(), size.to_string());
        chart.made.options.extend(size.map(option));
        let ring = Gauge::assumed(Bead::default()).closed(rows);
        HandsReport::of(&chart, &ring, Prefer::Smaller)
    }

    /// US 7 is 17.35 mm inside: 72 rows of an average hand, 74 of a tight one, 70 of a loose one.
    #[test]
    fn looser_hands_take_fewer_rows_for_a_size() {
        let report = report(Some("us7"), 9);
        let sizes: Vec<&str> = report.sizes.iter().map(|size| size.size.as_str()).collect();
        assert_eq!(sizes, ["us6", "us6.5", "us7", "us7.5", "us8"]);
        assert_eq!(report.sizes[2].rows, [74, 72, 70]);
        // 39 half spacings and a bead: 39 * 0.8 + 1.6 for a tight hand.
        let heights = report
            .swatch_mm
            .map(|height| (height.get() * 100.0).round());
        assert_eq!(heights, [3280.0, 3378.0, 3475.0]);
    }

    /// A chart that was resized keeps the scale of its first size.
    #[test]
    fn sizes_stand_on_the_scale_of_the_chart_round_its_ring() {
        let names = |report: HandsReport| -> Vec<String> {
            report.sizes.into_iter().map(|size| size.size).collect()
        };
        assert_eq!(names(report(Some("iso54"), 9))[2], "iso54");
        assert_eq!(names(report(Some("us5"), 9))[2], "us7");
        assert_eq!(names(report(None, 9))[2], "us7");
    }

    #[test]
    fn a_wide_band_asks_for_a_narrow_swatch() {
        let columns = |columns| report(None, columns).swatch_columns;
        assert_eq!([5, 11, 12, 31].map(columns), [5, 11, 10, 9]);
    }
}
