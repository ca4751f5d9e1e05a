//! Linear light to 8-bit sRGB for whole pictures: the same values as [`super::srgb8`], without a
//! power for each.

use super::{Light, Srgb8, srgb8};

/// Steps of the first guess.
const GUESSES: usize = 4096;

/// A table that encodes linear light.
#[derive(Debug, Clone)]
pub struct Encoder {
    /// For each code but 0, the least light that gets it.
    least: Vec<f32>,
    /// For each step of light, the code at its lower end.
    guess: Vec<u8>,
}

impl Encoder {
    /// The table of IEC 61966-2-1.
    pub fn new() -> Self {
        let code = |light: f32| srgb8(Light::new(f64::from(light), 0.0, 0.0)).red;
        let least = (1..=255u8).map(|wanted| {
            let (mut low, mut high) = (0.0f32, 1.0f32);
            // Bits of positive floats are in the order of the floats.
            while high.to_bits() - low.to_bits() > 1 {
                let middle = f32::from_bits((low.to_bits() + high.to_bits()) / 2);
                if code(middle) >= wanted {
                    high = middle
                } else {
                    low = middle
                }
            }
            high
        });
        let step = |at: usize| code(at as f32 / GUESSES as f32);
        Self {
            least: least.collect(),
            guess: (0..=GUESSES).map(step).collect(),
        }
    }

    /// The code of one component; what sRGB cannot show is clipped.
    pub fn code(&self, light: f32) -> u8 {
        let at = (light.clamp(0.0, 1.0) * GUESSES as f32) as usize;
        let mut code = self.guess[at];
        while code < 255 && light >= self.least[usize::from(code)] {
            code += 1;
        }
        code
    }

    /// The colour of linear red, green and blue.
    pub fn srgb8(&self, [red, green, blue]: [f32; 3]) -> Srgb8 {
        Srgb8::new(self.code(red), self.code(green), self.code(blue))
    }
}

impl Default for Encoder {
    fn default() -> Self {
        Self::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_encodes_as_the_formula_does() {
        let encoder = Encoder::new();
        for step in -500..33_000 {
            let light = step as f32 / 32_000.0;
            let formula = srgb8(Light::new(f64::from(light), 0.0, 0.0)).red;
            assert_eq!(encoder.code(light), formula, "{light}");
        }
        assert_eq!(encoder.code(f32::NAN), 0);
    }
}
