//! The light of a bead's inner part.

use crate::colour::Light;

/// Light by which a pixel of a bead may differ from its median, as a share: letters and shine
/// differ more.
const LIKE_MEDIAN: f64 = 0.25;
/// The same for dark beads, in light.
const LIKE_DARK: f64 = 0.004;
/// The mean light of the pixels that are like most of them, and their share.
pub(super) fn mean(pixels: &[Light]) -> (Light, f64) {
    let median = |channel: fn(&Light) -> f64| {
        let mut all: Vec<f64> = pixels.iter().map(channel).collect();
        all.sort_by(f64::total_cmp);
        all.get(all.len() / 2).copied().unwrap_or(0.0)
    };
    let middle = [
        median(|light| light.red),
        median(|light| light.green),
        median(|light| light.blue),
    ];
    let like = |light: &&Light| {
        let all = [light.red, light.green, light.blue];
        let near =
            |(one, middle): (&f64, f64)| (one - middle).abs() <= LIKE_DARK + LIKE_MEDIAN * middle;
        all.iter().zip(middle).all(near)
    };
    let mut count = 0.0;
    let mut sum = Light::new(0.0, 0.0, 0.0);
    for light in pixels.iter().filter(like) {
        count += 1.0;
        sum += *light;
    }
    if count > 0.0 {
        (sum / count, count / pixels.len() as f64)
    } else {
        (Light::new(middle[0], middle[1], middle[2]), 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_on_a_bead_do_not_change_its_colour() {
        let pixel = |value: f64| Light::new(value, value, value);
        let pixels: Vec<Light> = (0..40)
            .map(|at| pixel(if at % 5 == 0 { 0.0 } else { 0.6 }))
            .collect();
        assert!((mean(&pixels).0.red - 0.6).abs() < 1e-12);
    }
}
