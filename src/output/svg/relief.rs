//! Shaded beads in SVG: a gradient for each colour, one shape with its rim and hole for all.

use super::parts::{push, short};
use crate::colour::hex;
use crate::scene::{Paint, Relief, Shape};
use crate::units::decimals;

/// A gradient from top to bottom for each colour that has one and is used.
pub(super) fn sheens(paints: &[Paint], out: &mut String) {
    for (at, paint) in paints.iter().enumerate() {
        if paint.sheen.is_empty() || paint.count == 0 {
            continue;
        }
        push(
            out,
            format_args!("<linearGradient id=\"s{at}\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"1\">"),
        );
        for stop in &paint.sheen {
            push(
                out,
                format_args!(
                    "<stop offset=\"{}\" stop-color=\"#{}\"/>",
                    decimals(stop.at, 2),
                    hex(stop.colour)
                ),
            );
        }
        out.push_str("</linearGradient>\n");
    }
}

/// The shape `b{at}`: a body that takes the fill of where it is used, shadows of the rim and of the
/// hole.
pub(super) fn shape(at: usize, shape: &Shape, relief: &Relief, out: &mut String) {
    let (width, height) = (short(shape.width), short(shape.height));
    let corner = short(shape.corner);
    let edge = relief.rim / shape.width;
    push(
        out,
        format_args!(
            "<linearGradient id=\"r{at}\">\
             <stop offset=\"0\" stop-opacity=\"{0}\"/><stop offset=\"{1}\" stop-opacity=\"0\"/>\
             <stop offset=\"{2}\" stop-opacity=\"0\"/><stop offset=\"1\" stop-opacity=\"{0}\"/>\
             </linearGradient>\n",
            decimals(relief.rim_cover, 2),
            decimals(edge, 3),
            decimals(1.0 - edge, 3),
        ),
    );
    let (deep, bore) = (relief.hole_depth, relief.hole_height);
    let upper = (shape.height - bore) / 2.0;
    let sweep = |x: crate::units::Mm, turn: u8| {
        format!(
            "M{} {}a{} {} 0 0 {turn} 0 {}z",
            short(x),
            short(upper),
            short(deep),
            short(bore / 2.0),
            short(bore),
        )
    };
    let holes = sweep(crate::units::Mm::new(0.0), 1) + &sweep(shape.width, 0);
    push(
        out,
        format_args!(
            "<g id=\"b{at}\">\
             <rect width=\"{width}\" height=\"{height}\" rx=\"{corner}\"/>\
             <rect width=\"{width}\" height=\"{height}\" rx=\"{corner}\" fill=\"url(#r{at})\"/>\
             <path d=\"{holes}\" fill=\"#000\" fill-opacity=\"{}\"/></g>\n",
            decimals(relief.hole_cover, 2)
        ),
    );
}
