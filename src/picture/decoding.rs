//! Where drawings are drawn, and the flag that ends the work: what decoding needs beside the bytes.

use crate::cancel::Cancel;

/// How a picture is decoded.
#[derive(Debug, Clone, Default)]
pub struct Decoding {
    /// Where SVG is drawn.
    pub drawer: Drawer,
    /// The flag that ends it.
    pub cancel: Cancel,
}

/// Where SVG is drawn. What a drawing unfolds to is counted before it is drawn, in either place.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Drawer {
    /// In this process, without a limit of time and memory: the library as others use it.
    #[default]
    InProcess,
    /// In a process of its own, with both limits and ended when the work is cancelled. Only for a
    /// program whose arguments go to [`crate::cli::main`]: it is started again for each drawing.
    #[cfg(feature = "cli")]
    ChildProcess,
}

impl From<&Cancel> for Decoding {
    /// In this process, ended by that flag.
    fn from(cancel: &Cancel) -> Self {
        Self {
            drawer: Drawer::default(),
            cancel: cancel.clone(),
        }
    }
}
