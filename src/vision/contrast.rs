//! Whether a motif stands out from its ground after the eye's blur, and from how far it no longer
//! does.
//!
//! The band and a band of nothing but ground go through the filters of S-CIELAB ([`super::band`]).
//! Over the points of the motif's beads, the mean CIEDE2000 between the two is the motif's
//! *difference*, and the mean ratio of their luminances its *contrast*. A blurred spot is no longer
//! a motif: so the band is also compared with one on which each stretch of rows that shows any
//! motif has one light, its mean, with at most half of it the motif's; that difference is the
//! motif's *form*. The motif is lost when either difference or form is. The band is flat and, if
//! closed, wraps round: from further than a ring is wide, its curve would show less of it.

use super::band::{Filtered, Mosaic, lab_of, points};
use super::scielab::from_opponent;
use crate::cancel::Cancel;
use crate::colour::{Light, ciede2000, to_xyz};
use crate::lattice::Lattice;
use crate::units::Mm;

/// Luminance contrast from which a motif reads well: what WCAG 2.2, success criterion 1.4.11, asks
/// of graphics that have to be understood.
pub const WELL: f64 = 3.0;
/// Flare that the same formula adds to both luminances (WCAG 2.2, "contrast ratio").
const FLARE: f64 = 0.05;
/// Difference below which a motif is lost: from 2 on "an unexperienced observer also notices the
/// difference", W. Mokrzycki, M. Tatol, "Color difference ΔE: a survey", Machine Graphics and
/// Vision 20(4), 2011. Theirs is of the CIELAB of 1976 and of large fields side by side; taken here
/// for CIEDE2000 after the filters.
pub const LOST: f64 = 2.0;
/// The distances between which the distance is searched from which the motif is lost.
pub const RANGE: (Mm, Mm) = (Mm::new(100.0), Mm::new(20_000.0));
/// From one distance that is tried to the next nearer one.
const STEP: f64 = 1.5;
/// Halvings of the last step: the distance is right to a thousandth.
const HALVINGS: usize = 9;

/// How well a motif reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Legibility {
    /// Its contrast is 3 to 1 or more.
    Well,
    /// It is seen, with low contrast.
    Softly,
    /// It cannot be distinguished from the ground.
    Lost,
}

/// A motif from one distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotifView {
    /// The distance.
    pub distance: Mm,
    /// Mean CIEDE2000 from the ground.
    pub difference: f64,
    /// Mean CIEDE2000 from a blot of the same light.
    pub form: f64,
    /// Ratio of luminances, the lighter over the darker: the geometric mean.
    pub contrast: f64,
}

/// A motif from several distances.
#[derive(Debug, Clone, PartialEq)]
pub struct Contrast {
    /// From each distance.
    pub views: Vec<MotifView>,
    /// The furthest distance from which it is seen, 100 mm if from none; none if it is still
    /// visible at 20 m.
    pub lost: Option<Mm>,
}

impl MotifView {
    /// What is left of the motif: its difference from the ground or its form, whichever is less.
    pub fn left(&self) -> f64 {
        self.difference.min(self.form)
    }

    /// How well it reads.
    pub fn legibility(&self) -> Legibility {
        match (self.left() < LOST, self.contrast >= WELL) {
            (true, _) => Legibility::Lost,
            (_, true) => Legibility::Well,
            _ => Legibility::Softly,
        }
    }
}

/// A band, its ground alone, and the band with its motif as a blot.
struct Bands {
    band: Mosaic,
    plain: Mosaic,
    blot: Mosaic,
    /// Whether each point is on the motif.
    motif: Vec<bool>,
}

/// How the beads that are not `ground` stand out from it; `lights` is of each bead. None where all
/// beads are ground.
pub fn contrast(
    lattice: &Lattice,
    lights: &[Light],
    is_ground: &[bool],
    ground: Light,
    distances: &[Mm],
    cancel: &Cancel,
) -> Option<Contrast> {
    if is_ground.iter().all(|&ground| ground) {
        return None;
    }
    let tiles = Mosaic::across(lattice) * Mosaic::along(lattice);
    let plain = Mosaic {
        lattice: *lattice,
        light: vec![ground; tiles],
    };
    let of_motif = |bead: Option<u32>| bead.is_some_and(|bead| !is_ground[bead as usize]);
    let pair = Bands {
        band: plain.with_bead_colours(lights),
        blot: plain.with_bead_colours(&blotted(lattice, lights, is_ground, ground)),
        plain,
        motif: points(lattice).into_iter().map(of_motif).collect(),
    };
    Some(Contrast {
        views: distances
            .iter()
            .take_while(|_| !cancel.is_over())
            .map(|&distance| pair.standing(distance))
            .collect(),
        lost: pair.lost(cancel),
    })
}

impl Bands {
    fn standing(&self, distance: Mm) -> MotifView {
        let [band, plain, blot]: [Filtered; 3] =
            [&self.band, &self.plain, &self.blot].map(|one| one.filtered(distance));
        let (mut difference, mut form, mut ratio, mut count) = (0.0, 0.0, 0.0, 0.0);
        for at in (0..band.len()).filter(|&at| self.motif[at]) {
            let own = lab_of(band[at]);
            difference += ciede2000(own, lab_of(plain[at]));
            form += ciede2000(own, lab_of(blot[at]));
            let [one, other] =
                [band[at], plain[at]].map(|seen| luminance(from_opponent(seen)) + FLARE);
            ratio += libm::fabs(libm::log(one / other));
            count += 1.0;
        }
        MotifView {
            distance,
            difference: difference / count,
            form: form / count,
            contrast: libm::exp(ratio / count),
        }
    }

    /// The furthest distance from which the motif is seen: as if the difference never rose again,
    /// which it may do a little at a dip of the filters.
    fn lost(&self, cancel: &Cancel) -> Option<Mm> {
        let seen =
            |distance: f64| cancel.is_over() || self.standing(Mm::new(distance)).left() >= LOST;
        let (nearest, furthest) = (RANGE.0.get(), RANGE.1.get());
        if seen(furthest) {
            return None;
        }
        let mut beyond = furthest;
        let mut near = furthest / STEP;
        while near > nearest && !seen(near) {
            (beyond, near) = (near, near / STEP);
        }
        if near <= nearest {
            near = nearest;
            if !seen(nearest) {
                return Some(RANGE.0);
            }
        }
        for _ in 0..HALVINGS {
            let middle = (near * beyond).sqrt();
            if seen(middle) {
                near = middle
            } else {
                beyond = middle
            }
        }
        Some(Mm::new(near))
    }
}

/// Rows of nothing but ground that separate two motifs: a line along the band fills every second
/// row only.
const APART: usize = 3;

/// The band with each stretch of rows that shows any motif in its mean light.
fn blotted(lattice: &Lattice, lights: &[Light], is_ground: &[bool], ground: Light) -> Vec<Light> {
    let spans: Vec<_> = lattice.all_rows().map(|row| lattice.span_of(row)).collect();
    let shows: Vec<bool> = spans
        .iter()
        .map(|span| is_ground[span.clone()].iter().any(|&ground| !ground))
        .collect();
    let rows = shows.len();
    let gap = |row: usize| {
        (row..row + APART).all(|at| !shows[at % rows] && (lattice.is_closed() || at < rows))
    };
    // Start after a gap, so that a stretch over the seam is one.
    let first = if lattice.is_closed() {
        (0..rows).find(|&row| gap(row)).unwrap_or(0)
    } else {
        0
    };
    let mut blotted = lights.to_vec();
    let mut stretch: Vec<usize> = Vec::new();
    for at in first..first + rows {
        stretch.push(at % rows);
        let ends = at + 1 == first + rows || gap(at + 1);
        if !ends {
            continue;
        }
        // Ground before and after the motif is not part of it.
        let (Some(from), Some(to)) = (
            stretch.iter().position(|&row| shows[row]),
            stretch.iter().rposition(|&row| shows[row]),
        ) else {
            stretch.clear();
            continue;
        };
        let beads: Vec<usize> = stretch[from..=to]
            .iter()
            .flat_map(|&row| spans[row].clone())
            .collect();
        let of_motif = beads.iter().filter(|&&bead| !is_ground[bead]);
        let (mut sum, mut count) = (Light::new(0.0, 0.0, 0.0), 0.0);
        of_motif.for_each(|&bead| {
            sum += lights[bead];
            count += 1.0;
        });
        // A motif that fills its rows would be its own blot.
        let share = (count / beads.len() as f64).min(0.5);
        let mean = ground * (1.0 - share) + sum / count * share;
        beads.iter().for_each(|&bead| blotted[bead] = mean);
        stretch.clear();
    }
    blotted
}

/// Ratio of the luminances of two lights, the lighter over the darker.
pub fn ratio(one: Light, two: Light) -> f64 {
    let [one, two] = [one, two].map(|light| luminance(light) + FLARE);
    one.max(two) / one.min(two)
}

/// Relative luminance; what the filters leave may be slightly below 0.
fn luminance(light: Light) -> f64 {
    let [red, green, blue] = to_xyz()[1];
    (red * light.red + green * light.green + blue * light.blue).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::colour::{light, read_hex};
    use crate::lattice::Rows;

    /// Nine columns by forty rows with a square of so many beads a side in its middle.
    fn seen(motif: &str, ground: &str, side: u32, distances: &[f64]) -> Contrast {
        let lattice = Lattice::new(Bead::default(), 9, Rows::closed(40).unwrap()).unwrap();
        let [motif, ground] = [motif, ground].map(|hex| light(read_hex(hex).unwrap()));
        let inside = |bead: usize| {
            let (row, column) = lattice.position(bead);
            row.get().abs_diff(20) <= side && 2 * column.get().abs_diff(5) <= side
        };
        let is_ground: Vec<bool> = (0..lattice.len()).map(|bead| !inside(bead)).collect();
        let lights: Vec<Light> = is_ground
            .iter()
            .map(|&is| if is { ground } else { motif })
            .collect();
        let distances: Vec<Mm> = distances.iter().map(|&mm| Mm::new(mm)).collect();
        contrast(
            &lattice,
            &lights,
            &is_ground,
            ground,
            &distances,
            &Cancel::default(),
        )
        .unwrap()
    }

    #[test]
    fn a_large_motif_in_the_hand_has_the_contrast_of_its_colours() {
        // Within a fifth, by which the filter's wide lobe lifts it. Black on white is 21 to 1 by
        // the formula's own definition; grey 767676 on white 4.54 (WCAG's technique G18 names it as
        // just above 4.5).
        for (motif, expected) in [("000000", 21.0), ("767676", 4.54)] {
            let near = seen(motif, "FFFFFF", 8, &[100.0]).views[0];
            assert!((near.contrast / expected - 1.0).abs() < 0.2, "{near:?}");
            assert_eq!(near.legibility(), Legibility::Well);
        }
        let soft = seen("C8C8C8", "FFFFFF", 8, &[100.0]).views[0];
        assert_eq!(soft.legibility(), Legibility::Softly);
    }

    #[test]
    fn from_further_off_less_is_left_and_small_motifs_go_first() {
        let far = [700.0, 2000.0, 8000.0];
        let large = seen("F0F0EC", "1C3261", 6, &far);
        let small = seen("F0F0EC", "1C3261", 1, &far);
        for both in large.views.windows(2) {
            assert!(both[1].difference < both[0].difference && both[1].contrast < both[0].contrast);
        }
        let [large, small] =
            [large.lost, small.lost].map(|lost| lost.map_or(RANGE.1.get(), Mm::get));
        assert!(small < 0.6 * large && small > 700.0, "{small} {large}");
    }

    #[test]
    fn the_distance_named_is_where_it_is_lost() {
        let lost = seen("9AA4AA", "BBBEC1", 3, &[300.0]).lost.unwrap().get();
        let about = seen("9AA4AA", "BBBEC1", 3, &[lost * 0.99, lost * 1.01]).views;
        assert!(
            about[0].left() > LOST && about[1].left() < LOST,
            "{about:?}"
        );
        assert_eq!(about[1].legibility(), Legibility::Lost);
    }

    /// The letters that a normal eye can just read are 5 minutes of arc high, their strokes 1 (ISO
    /// 8596): a black comb of three teeth, each a bead wide, is lost from no less than half and no
    /// more than twice that distance.
    #[test]
    fn a_comb_is_lost_about_where_a_letter_is_no_longer_read() {
        let lattice = Lattice::new(Bead::default(), 9, Rows::closed(60).unwrap()).unwrap();
        let inside = |bead: usize| {
            let (row, column) = lattice.position(bead);
            let (row, column) = (row.get(), column.get());
            (26..=33).contains(&row) && (3..=7).contains(&column) && (column % 2 == 1 || row <= 27)
        };
        let is_ground: Vec<bool> = (0..lattice.len()).map(|bead| !inside(bead)).collect();
        let [white, black] = [1.0, 0.0].map(|level| Light::new(level, level, level));
        let lights: Vec<Light> = is_ground
            .iter()
            .map(|&is| if is { white } else { black })
            .collect();
        let lost = contrast(
            &lattice,
            &lights,
            &is_ground,
            white,
            &[],
            &Cancel::default(),
        )
        .unwrap()
        .lost
        .unwrap();
        let stroke = lattice.bead().length.get() / (1.0f64 / 60.0).to_radians();
        let ratio = lost.get() / stroke;
        assert!((0.5..2.0).contains(&ratio), "{lost} beside {stroke}");
    }

    #[test]
    fn colours_that_differ_by_nothing_are_lost_from_anywhere() {
        assert_eq!(seen("1C3261", "1D3362", 4, &[300.0]).lost, Some(RANGE.0));
    }
}
