//! Lengths of thread in words: rounded up, so that what is cut is enough.

use crate::units::{Mm, grouped};
use crate::weave::{Item, Lengths};

/// Centimetres below a metre, metres from there, whole ones from a thousand.
pub(super) fn length(length: Mm) -> String {
    match whole_cm(length) {
        short if short < 100.0 => format!("{short} cm"),
        long if long < 100_000.0 => format!("{} m", metres(length)),
        far => format!("{} m", grouped((far / 100.0).ceil() as usize)),
    }
}

/// Metres to the centimetre, without the unit.
pub(super) fn metres(length: Mm) -> String {
    format!("{:.2}", whole_cm(length) / 100.0)
}

/// Whole centimetres; a millionth over one is rounding.
pub(super) fn whole_cm(length: Mm) -> f64 {
    (length.get() / 10.0 - 1e-6).ceil().max(0.0)
}

/// What the thread is for, item by item, to the millimetre; items that take none are left out.
pub(super) fn items(lengths: &Lengths) -> Vec<(Item, String)> {
    let told = lengths.items.iter().filter_map(|&(item, length)| {
        let mm = length.get().round();
        (mm > 0.0).then(|| (item, format!("{} mm", grouped(mm as usize))))
    });
    told.collect()
}
