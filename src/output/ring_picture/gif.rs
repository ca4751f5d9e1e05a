//! A loop as GIF 89a with one colour table for all frames, repeated for ever.

use super::{Animation, DELAY, not_written};
use crate::error::{Error, Result};
use gif::{DisposalMethod, Encoder, Frame, Repeat};

pub(super) fn encode(animation: &Animation) -> Result<Vec<u8>> {
    let side = u16::try_from(animation.side).map_err(|_| {
        Error::new("a GIF has at most 65535 pixels a side").hint("give fewer --pixels")
    })?;
    let palette = animation.palette_bytes();
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, side, side, &palette).map_err(not_written)?;
    encoder.set_repeat(Repeat::Infinite).map_err(not_written)?;
    for patch in animation.patches() {
        let frame = Frame {
            left: patch.left as u16,
            top: patch.top as u16,
            width: patch.width as u16,
            height: patch.height as u16,
            delay: DELAY / 10,
            dispose: DisposalMethod::Keep,
            buffer: patch.pixels.into(),
            ..Frame::default()
        };
        encoder.write_frame(&frame).map_err(not_written)?;
    }
    drop(encoder);
    Ok(bytes)
}
