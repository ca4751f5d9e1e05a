//! How a bead's finish gives back light, in a studio with one soft panel above on the left.
//!
//! Irradiance of the panel falls on a surface as its cosine (Lambert); light from all round as a clear sky over a bright ground gives it. What is mirrored is
//! a smooth picture of the same studio, softer for rougher finishes, by the share of Fresnel's law in Schlick's form. All models and numbers of finishes are
//! ours, judged by eye; a white, matt surface gives back exactly the light that falls on it.

use super::space::{V, v};
use crate::colour::Light;
use crate::palette::Finish;

/// The light in the room, in shares of what a white sheet facing the panel gives back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Studio {
    /// Towards the panel.
    pub key: V,
    /// Irradiance of the panel on a surface that faces it.
    pub panel: f64,
    /// Irradiance from above.
    pub sky: f64,
    /// Irradiance from below.
    pub floor: f64,
}

impl Studio {
    /// Panel above on the left, behind the eye.
    pub fn new() -> Self {
        Self {
            key: v(-0.50, 0.72, 0.48).unit(),
            panel: 0.66,
            sky: 0.44,
            floor: 0.24,
        }
    }

    /// Irradiance on a surface with this normal, where nothing stands in the light.
    pub fn irradiance(&self, normal: V, lit: &Lit) -> f64 {
        self.panel * normal.dot(self.key).max(0.0) * lit.panel + self.around(normal) * lit.open
    }

    fn around(&self, normal: V) -> f64 {
        self.floor + (self.sky - self.floor) * (1.0 + normal.y) / 2.0
    }

    /// What a mirror shows that sends the eye in this direction, blurred by `rough` radians.
    fn mirrored(&self, towards: V, rough: f64) -> f64 {
        /// Size of the panel and of the strip as the ring sees them, in radians, and how bright they are.
        const PANEL: (f64, f64) = (0.30, 5.5);
        const STRIP: (f64, f64) = (0.22, 1.9);
        /// Beyond this exponent a lobe gives less than a picture of 8 bits can hold.
        const DARK: f64 = 16.0;
        let strip = v(0.86, 0.30, 0.42);
        let lobe = |at: V, (size, bright): (f64, f64)| {
            let wide = size * size + rough * rough;
            // 2 (1 - cos) is the square of the angle where it is small.
            let square = 2.0 * (1.0 - towards.dot(at));
            match square / wide < DARK {
                true => bright * (size * size / wide) * libm::exp(-square / wide),
                false => 0.0,
            }
        };
        self.around(towards) + lobe(self.key, PANEL) + lobe(strip, STRIP)
    }
}

impl Default for Studio {
    fn default() -> Self {
        Self::new()
    }
}

/// How much of the light reaches a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lit {
    /// Share of the panel that is seen from there, 0 to 1.
    pub panel: f64,
    /// Share of the surroundings that is seen from there, 0 to 1.
    pub open: f64,
}

impl Lit {
    /// Nothing in the way.
    pub const FULLY: Self = Self {
        panel: 1.0,
        open: 1.0,
    };
}

/// How a finish gives back light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Share that is scattered in the bead's colour.
    scattered: f64,
    /// Share that goes through and comes out on the far side.
    through: f64,
    /// Share mirrored straight on.
    mirror: f64,
    /// How much the mirror image takes the bead's colour, 0 to 1.
    tinted: f64,
    /// Blur of the mirror image, in radians.
    rough: f64,
}

impl Surface {
    /// The surface of a finish; where none is stated, of plain shiny glass.
    pub const fn of(finish: Option<Finish>) -> Self {
        let (scattered, through, mirror, tinted, rough) = match finish {
            None | Some(Finish::Opaque) => (1.0, 0.0, 0.045, 0.0, 0.10),
            Some(Finish::Matte) => (1.0, 0.0, 0.012, 0.0, 0.60),
            Some(Finish::Transparent) => (0.50, 0.62, 0.055, 0.0, 0.05),
            Some(Finish::Metallic) => (0.30, 0.0, 0.62, 1.0, 0.26),
            Some(Finish::Lustre) => (0.90, 0.0, 0.13, 0.35, 0.24),
        };
        Self {
            scattered,
            through,
            mirror,
            tinted,
            rough,
        }
    }

    /// A sheet that scatters all light and mirrors none: what everything else is measured against.
    pub const WHITE: Self = Self {
        scattered: 1.0,
        through: 0.0,
        mirror: 0.0,
        tinted: 0.0,
        rough: 1.0,
    };

    /// The light that comes to the eye from a surface of a bead in this colour; `eye` points to the eye.
    pub fn glow(&self, colour: Light, normal: V, eye: V, lit: &Lit, studio: &Studio) -> Light {
        let facing = normal.dot(eye).clamp(0.0, 1.0);
        let mut light = colour * (self.scattered * studio.irradiance(normal, lit));
        if self.through > 0.0 {
            light += colour * (self.through * through(normal, facing, lit, studio));
        }
        if self.mirror > 0.0 {
            let towards = normal * (2.0 * normal.dot(eye)) - eye;
            let grazing = 1.0 - facing;
            let square = grazing * grazing;
            let fresnel =
                (1.0 - self.mirror) * square * square * grazing * (1.0 - self.rough).max(0.0);
            let share = (self.mirror + fresnel * 0.55) * lit.open;
            let bright = studio.mirrored(towards, self.rough) * share;
            let tint =
                Light::new(1.0, 1.0, 1.0) * (1.0 - self.tinted) + colour * (self.tinted * 1.25);
            light += tint * bright;
        }
        light
    }
}

/// Light that went through a cylinder of glass: it is gathered on the side away from the panel, and the hole casts a faint line in the middle.
fn through(normal: V, facing: f64, lit: &Lit, studio: &Studio) -> f64 {
    let away = (0.5 - 0.5 * normal.dot(studio.key)).clamp(0.0, 1.0);
    let gathered = studio.panel * (0.25 + 1.15 * away * away);
    let core = 1.0 - 0.22 * facing * facing * facing * facing;
    (gathered * (0.35 * lit.open + 0.65 * lit.panel) + 0.35 * lit.open) * core
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lambert's law: a white matt sheet gives back the panel's light as the cosine, and half of what is above and below where it stands upright.
    #[test]
    fn a_white_sheet_follows_lambert() {
        let studio = Studio::new();
        let white = Light::new(1.0, 1.0, 1.0);
        let across = studio.key.cross(v(0.0, 1.0, 0.0)).unit();
        let other = across.cross(studio.key).unit();
        for step in 0..=12 {
            let angle = f64::from(step) * 15.0f64.to_radians();
            let normal = studio.key * libm::cos(angle) + other * libm::sin(angle);
            let glow = Surface::WHITE.glow(white, normal, normal, &Lit::FULLY, &studio);
            let panel = studio.panel * libm::cos(angle).max(0.0);
            let around =
                studio.sky * (1.0 + normal.y) / 2.0 + studio.floor * (1.0 - normal.y) / 2.0;
            assert!((glow.green - panel - around).abs() < 1e-12, "{step}");
        }
        // A white sheet that faces the panel gives back about all of it.
        let facing = studio.irradiance(studio.key, &Lit::FULLY);
        assert!((facing - 1.0).abs() < 0.1, "{facing}");
    }

    #[test]
    fn finishes_differ_where_they_mirror_the_panel() {
        let studio = Studio::new();
        let eye = v(0.0, 0.0, 1.0);
        let half = (studio.key + eye).unit();
        let glow = |finish| {
            let colour = Light::new(0.1, 0.2, 0.3);
            Surface::of(Some(finish)).glow(colour, half, eye, &Lit::FULLY, &studio)
        };
        let matte = glow(Finish::Matte).red;
        assert!(glow(Finish::Opaque).red > matte + 0.15);
        assert!(glow(Finish::Lustre).red > matte + 0.2);
        // Metal mirrors in its own colour.
        let metal = glow(Finish::Metallic);
        assert!(metal.blue > 2.0 * metal.red);
    }
}
