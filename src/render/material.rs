//! How each finish of bead reflects light.
//!
//! What is mirrored is a smooth picture of the [`Lighting`], softer for rougher finishes, by the
//! share of Fresnel's law in Schlick's form. All models and numbers of finishes are ours, judged by
//! eye; a white, matte surface gives back exactly the light that falls on it.

use super::geometry::Vec3;
use super::{Lighting, Visibility};
use crate::colour::Light;
use crate::palette::Finish;

/// How a finish reflects light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Share that is scattered in the bead's colour.
    diffuse: f64,
    /// Share that goes through and comes out on the far side.
    transmission: f64,
    /// Share mirrored straight on.
    specular: f64,
    /// How much the mirror image takes the bead's colour, 0 to 1.
    tint: f64,
    /// Blur of the mirror image, in radians.
    roughness: f64,
}

impl Material {
    /// The material of a finish; where none is stated, plain shiny glass.
    pub const fn of(finish: Option<Finish>) -> Self {
        let (diffuse, transmission, specular, tint, roughness) = match finish {
            None | Some(Finish::Opaque) => (1.0, 0.0, 0.045, 0.0, 0.10),
            Some(Finish::Matte) => (1.0, 0.0, 0.012, 0.0, 0.60),
            Some(Finish::Transparent) => (0.50, 0.62, 0.055, 0.0, 0.05),
            Some(Finish::Metallic) => (0.30, 0.0, 0.62, 1.0, 0.26),
            Some(Finish::Lustre) => (0.90, 0.0, 0.13, 0.35, 0.24),
        };
        Self {
            diffuse,
            transmission,
            specular,
            tint,
            roughness,
        }
    }

    /// A sheet that scatters all light and mirrors none: what everything else is measured against.
    pub const WHITE: Self = Self {
        diffuse: 1.0,
        transmission: 0.0,
        specular: 0.0,
        tint: 0.0,
        roughness: 1.0,
    };

    /// The light that comes to the camera from a bead in this colour; `to_eye` points to the
    /// camera.
    pub fn reflect(
        &self,
        colour: Light,
        normal: Vec3,
        to_eye: Vec3,
        visible: &Visibility,
        lighting: &Lighting,
    ) -> Light {
        let facing = normal.dot(to_eye).clamp(0.0, 1.0);
        let mut light = colour * (self.diffuse * lighting.irradiance(normal, visible));
        if self.transmission > 0.0 {
            let through = transmitted(normal, facing, visible, lighting);
            light += colour * (self.transmission * through);
        }
        if self.specular > 0.0 {
            let mirrored = normal * (2.0 * normal.dot(to_eye)) - to_eye;
            let grazing = 1.0 - facing;
            let square = grazing * grazing;
            let fresnel =
                (1.0 - self.specular) * square * square * grazing * (1.0 - self.roughness).max(0.0);
            let share = (self.specular + fresnel * 0.55) * visible.surroundings;
            let bright = lighting.mirrored(mirrored, self.roughness) * share;
            let tint = Light::new(1.0, 1.0, 1.0) * (1.0 - self.tint) + colour * (self.tint * 1.25);
            light += tint * bright;
        }
        light
    }
}

/// Light that went through a cylinder of glass: it is gathered on the side away from the panel, and
/// the hole casts a faint line in the middle.
fn transmitted(normal: Vec3, facing: f64, visible: &Visibility, lighting: &Lighting) -> f64 {
    let away = (0.5 - 0.5 * normal.dot(lighting.to_panel)).clamp(0.0, 1.0);
    let gathered = lighting.panel * (0.25 + 1.15 * away * away);
    let core = 1.0 - 0.22 * facing * facing * facing * facing;
    (gathered * (0.35 * visible.surroundings + 0.65 * visible.panel) + 0.35 * visible.surroundings)
        * core
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::geometry::vec3;

    /// Lambert's law: a white matte sheet gives back the panel's light as the cosine, and half of
    /// what is above and below where it stands upright.
    #[test]
    fn a_white_sheet_follows_lambert() {
        let lighting = Lighting::new();
        let white = Light::new(1.0, 1.0, 1.0);
        let across = lighting.to_panel.cross(vec3(0.0, 1.0, 0.0)).unit();
        let other = across.cross(lighting.to_panel).unit();
        for step in 0..=12 {
            let angle = f64::from(step) * 15.0f64.to_radians();
            let normal = lighting.to_panel * libm::cos(angle) + other * libm::sin(angle);
            let glow = Material::WHITE.reflect(white, normal, normal, &Visibility::FULL, &lighting);
            let panel = lighting.panel * libm::cos(angle).max(0.0);
            let around =
                lighting.sky * (1.0 + normal.y) / 2.0 + lighting.floor * (1.0 - normal.y) / 2.0;
            assert!((glow.green - panel - around).abs() < 1e-12, "{step}");
        }
        // A white sheet that faces the panel gives back about all of it.
        let facing = lighting.irradiance(lighting.to_panel, &Visibility::FULL);
        assert!((facing - 1.0).abs() < 0.1, "{facing}");
    }

    #[test]
    fn finishes_differ_where_they_mirror_the_panel() {
        let lighting = Lighting::new();
        let eye = vec3(0.0, 0.0, 1.0);
        let half = (lighting.to_panel + eye).unit();
        let glow = |finish| {
            let colour = Light::new(0.1, 0.2, 0.3);
            Material::of(Some(finish)).reflect(colour, half, eye, &Visibility::FULL, &lighting)
        };
        let matte = glow(Finish::Matte).red;
        assert!(glow(Finish::Opaque).red > matte + 0.15);
        assert!(glow(Finish::Lustre).red > matte + 0.2);
        // Metal mirrors in its own colour.
        let metal = glow(Finish::Metallic);
        assert!(metal.blue > 2.0 * metal.red);
    }
}
