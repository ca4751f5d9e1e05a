//! Which files are SVG, and what becomes of them in a build without the feature `svg`.

/// Whether `bytes` begin like an SVG document.
pub fn is_svg(bytes: &[u8]) -> bool {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(4096)]);
    let head = head.trim_start_matches('\u{feff}').trim_start();
    head.starts_with('<') && head.contains("<svg")
}

/// Refuses an SVG: this build cannot draw it.
///
/// # Errors
/// Always.
#[cfg(not(feature = "svg"))]
pub(super) fn render(
    _: &[u8],
    _: &crate::lattice::Lattice,
    _: &super::Decoding,
) -> crate::error::Result<super::Picture> {
    Err(
        crate::error::Error::new("SVG is not read by this build of upbead")
            .hint("export the drawing as PNG, or build with the feature svg"),
    )
}
