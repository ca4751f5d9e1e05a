//! Shaded beads: light from above on a cylinder, by finish, its rim, and the shadow in its hole.
//!
//! The light is that of [`crate::render`], so that a flat drawing and the ring's picture agree: a
//! bead seen straight from the side shows normals from up to down, and each height gets the light
//! that its normal gives back. That is one row of colours a paint; rim and hole are the same
//! shadows on every bead.

use crate::bead::Bead;
use crate::chart::Shade;
use crate::colour::{Srgb8, light, srgb8};
use crate::render::geometry::vec3;
use crate::render::{Lighting, Material, Visibility, compress_highlights};
use crate::units::Mm;

/// Heights from the upper edge (0) to the lower one (1) at which the colour is given; closer where
/// it changes fast.
const HEIGHTS: [f64; 13] = [
    0.0, 0.04, 0.1, 0.17, 0.24, 0.31, 0.39, 0.5, 0.62, 0.74, 0.85, 0.94, 1.0,
];
/// Width of the rim over the bead's length.
const RIM_WIDTH: f64 = 0.13;
/// How dark the rim's edge is.
const RIM_COVER: f64 = 0.34;
/// How far the hole's shadow reaches in at each end, over the bead's length.
const HOLE_DEPTH: f64 = 0.075;
/// How dark it is.
const HOLE_COVER: f64 = 0.62;

/// A colour at a height of a bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// 0 at the upper edge, 1 at the lower one.
    pub at: f64,
    /// The colour there.
    pub colour: Srgb8,
}

/// Shadows that every bead has: black, of some cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relief {
    /// Width of the rim at either end: its shadow is darkest at the edge and gone where it ends.
    pub rim: Mm,
    /// Cover of the rim's shadow at the edge, 0 to 1.
    pub rim_cover: f64,
    /// How far the hole's shadow reaches in at either end.
    pub hole_depth: Mm,
    /// How high it is: the hole's bore.
    pub hole_height: Mm,
    /// Its cover, 0 to 1.
    pub hole_cover: f64,
}

impl Relief {
    /// The shadows on a bead drawn at `scale`.
    pub(super) fn of(bead: &Bead, scale: f64) -> Self {
        let length = bead.length * scale;
        Self {
            rim: length * RIM_WIDTH,
            rim_cover: RIM_COVER,
            hole_depth: length * HOLE_DEPTH,
            hole_height: bead.hole * scale,
            hole_cover: HOLE_COVER,
        }
    }

    pub(super) fn times(self, scale: f64) -> Self {
        Self {
            rim: self.rim * scale,
            hole_depth: self.hole_depth * scale,
            hole_height: self.hole_height * scale,
            ..self
        }
    }
}

/// The colours of a bead from its upper edge to its lower one.
pub(super) fn sheen(shade: &Shade) -> Vec<Stop> {
    let material = Material::of(shade.finish);
    let lighting = Lighting {
        // On paper light comes from above.
        to_panel: vec3(0.0, 0.66, 0.75),
        ..Lighting::new()
    };
    let to_eye = vec3(0.0, 0.0, 1.0);
    let colour = light(shade.srgb);
    let stop = |at: &f64| {
        // The outermost rays graze the bead: a little inside, so that the edge is not black.
        let height = (1.0 - 2.0 * at) * 0.985;
        let facing = (1.0 - height * height).sqrt();
        let visible = Visibility {
            panel: 1.0,
            // Neighbours stand close: less is open towards the edges.
            surroundings: 0.45 + 0.55 * facing,
        };
        let normal = vec3(0.0, height, facing);
        let reflected = material.reflect(colour, normal, to_eye, &visible, &lighting);
        Stop {
            at: *at,
            colour: srgb8(compress_highlights(reflected)),
        }
    };
    HEIGHTS.iter().map(stop).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::palette::Finish;

    fn stops(finish: Finish) -> Vec<f64> {
        let shade = Shade {
            code: "a".to_string(),
            name: "slate".to_string(),
            srgb: Srgb8::new(110, 120, 130),
            finish: Some(finish),
        };
        let tone = |stop: Stop| crate::colour::lab(light(stop.colour)).l;
        sheen(&shade).into_iter().map(tone).collect()
    }

    #[test]
    fn beads_are_lit_from_above_and_shiny_ones_have_a_light() {
        for finish in Finish::ALL {
            let stops = stops(finish);
            // Transparent beads gather light below.
            if finish != Finish::Transparent {
                assert!(stops[3] > stops[11] + 8.0, "{finish}: {stops:?}");
            }
        }
        let top = |finish| stops(finish).into_iter().fold(0.0, f64::max);
        assert!(top(Finish::Opaque) > top(Finish::Matte) + 8.0);
        assert!(top(Finish::Lustre) > top(Finish::Matte) + 8.0);
    }

    /// A bead's colour is not far from the palette's in the middle, whatever its finish.
    #[test]
    fn the_middle_keeps_the_colour() {
        let flat = crate::colour::lab(light(Srgb8::new(110, 120, 130))).l;
        for finish in Finish::ALL {
            let stops = stops(finish);
            let mean = stops.iter().sum::<f64>() / stops.len() as f64;
            assert!((mean - flat).abs() < 14.0, "{finish}: {mean} for {flat}");
        }
    }
}
