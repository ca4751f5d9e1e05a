//! The light on the ring: one soft panel above on the left, light from all round, and light back
//! from the ground.
//!
//! Irradiance of the panel falls on a surface as its cosine (Lambert); light from all round is that
//! of a clear sky over a bright ground. All numbers are ours, judged by eye.

use super::geometry::{Vec3, vec3};

/// The lamps, in shares of what a white sheet facing the panel gives back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lighting {
    /// Towards the panel.
    pub to_panel: Vec3,
    /// Irradiance of the panel on a surface that faces it.
    pub panel: f64,
    /// Irradiance from above.
    pub sky: f64,
    /// Irradiance from below.
    pub floor: f64,
}

/// A soft light of this size, in radians as the ring sees it, and brightness.
struct Lobe {
    to: Vec3,
    size: f64,
    brightness: f64,
}

impl Lighting {
    /// Panel above on the left, behind the camera.
    pub fn new() -> Self {
        Self {
            to_panel: vec3(-0.50, 0.72, 0.48).unit(),
            panel: 0.66,
            sky: 0.44,
            floor: 0.24,
        }
    }

    /// Irradiance on a surface with this normal.
    pub fn irradiance(&self, normal: Vec3, visible: &Visibility) -> f64 {
        self.panel * normal.dot(self.to_panel).max(0.0) * visible.panel
            + self.surroundings(normal) * visible.surroundings
    }

    fn surroundings(&self, normal: Vec3) -> f64 {
        self.floor + (self.sky - self.floor) * (1.0 + normal.y) / 2.0
    }

    /// What a mirror shows that sends the camera in this direction, blurred by `roughness` radians.
    pub(super) fn mirrored(&self, direction: Vec3, roughness: f64) -> f64 {
        /// Beyond this exponent a lobe gives less than a picture of 8 bits can hold.
        const DARK: f64 = 16.0;
        let panel = Lobe {
            to: self.to_panel,
            size: 0.30,
            brightness: 5.5,
        };
        let strip = Lobe {
            to: vec3(0.86, 0.30, 0.42),
            size: 0.22,
            brightness: 1.9,
        };
        let shown = |lobe: Lobe| {
            let own = lobe.size * lobe.size;
            let wide = own + roughness * roughness;
            // 2 (1 - cos) is the square of the angle where it is small.
            let square = 2.0 * (1.0 - direction.dot(lobe.to));
            if square / wide < DARK {
                lobe.brightness * (own / wide) * libm::exp(-square / wide)
            } else {
                0.0
            }
        };
        self.surroundings(direction) + shown(panel) + shown(strip)
    }
}

impl Default for Lighting {
    fn default() -> Self {
        Self::new()
    }
}

/// How much of the light reaches a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Visibility {
    /// Share of the panel that is seen from there, 0 to 1.
    pub panel: f64,
    /// Share of the surroundings that is seen from there, 0 to 1.
    pub surroundings: f64,
}

impl Visibility {
    /// Nothing in the way.
    pub const FULL: Self = Self {
        panel: 1.0,
        surroundings: 1.0,
    };
}
