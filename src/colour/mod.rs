//! Colour as numbers: conversions between spaces, and how different two colours look.
//!
//! | space | for | type |
//! |---|---|---|
//! | encoded sRGB, 8 bit | what palettes and files hold | [`Srgb8`] |
//! | linear light, sRGB primaries, D65 | averaging and diffusing light | [`Light`] |
//! | CIELAB, D65 | how different colours look (`ciede2000`) | [`Lab`], [`PreparedLab`] |
//! | Oklab | searching for near colours | [`Oklab`] |

mod ciede2000;
mod convert;
mod encode;
mod prepared;
mod sight;

pub use ciede2000::ciede2000;
pub use convert::{
    Matrix, PCS_WHITE, WHITE, apply, from_oklab, from_profile_space, from_xyz, hex, inverse, lab,
    light, oklab, product, read_hex, srgb8, to_xyz, xyz,
};
pub use encode::Encoder;
pub use prepared::PreparedLab;
pub use sight::Sight;

/// Encoded sRGB, 8 bits a component.
pub type Srgb8 = ::palette::Srgb<u8>;
/// Linear light with the primaries of sRGB; components outside 0..1 are colours that sRGB cannot
/// show.
pub type Light = ::palette::LinSrgb<f64>;
/// Oklab after Ottosson, 2020.
pub type Oklab = ::palette::Oklab<f64>;

/// CIELAB for the 2 degree observer and the white of sRGB (D65, x 0.3127, y 0.3290).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lab {
    /// Lightness, 0 to 100.
    pub l: f64,
    /// Green to red.
    pub a: f64,
    /// Blue to yellow.
    pub b: f64,
}
