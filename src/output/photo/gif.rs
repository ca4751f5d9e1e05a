//! A loop as GIF 89a with one colour table for all frames, repeated for ever.

use super::{DELAY, Reel, patches, refused};
use crate::error::{Error, Result};
use gif::{DisposalMethod, Encoder, Frame, Repeat};

pub(super) fn written(reel: &Reel) -> Result<Vec<u8>> {
    let side = u16::try_from(reel.side).map_err(|_| {
        Error::new("a GIF has at most 65535 pixels a side").hint("give fewer --pixels")
    })?;
    let palette: Vec<u8> = reel
        .palette
        .iter()
        .flat_map(|c| [c.red, c.green, c.blue])
        .collect();
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, side, side, &palette).map_err(refused)?;
    encoder.set_repeat(Repeat::Infinite).map_err(refused)?;
    for (patch, codes) in patches(reel) {
        let frame = Frame {
            left: patch.left as u16,
            top: patch.top as u16,
            width: patch.width as u16,
            height: patch.height as u16,
            delay: DELAY / 10,
            dispose: DisposalMethod::Keep,
            buffer: codes.into(),
            ..Frame::default()
        };
        encoder.write_frame(&frame).map_err(refused)?;
    }
    drop(encoder);
    Ok(bytes)
}
