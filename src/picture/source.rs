//! The bytes of a file as a decoder reads them, until the work is cancelled.

use crate::cancel::Cancel;
use std::io::{self, BufRead, Cursor, Read, Seek, SeekFrom};
use std::sync::Arc;

/// Bytes between looks at the flag: packed a thousandfold, they are pixels for a few milliseconds.
const LOOK: u64 = 16 << 10;

/// File bytes, which are dropped as soon as the decoder has what it needs of them.
pub(super) struct Source {
    bytes: Cursor<Shared>,
    cancel: Cancel,
    looked: u64,
}

struct Shared(Arc<Vec<u8>>);

impl AsRef<[u8]> for Shared {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

impl Source {
    pub(super) fn new(bytes: Arc<Vec<u8>>, cancel: &Cancel) -> Self {
        Self {
            bytes: Cursor::new(Shared(bytes)),
            cancel: cancel.clone(),
            looked: 0,
        }
    }

    fn look(&mut self) -> io::Result<()> {
        let at = self.bytes.position() / LOOK;
        if at != self.looked {
            self.looked = at;
            self.cancel.check().map_err(io::Error::other)?;
        }
        Ok(())
    }
}

impl Read for Source {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.look()?;
        self.bytes.read(buffer)
    }
}

impl BufRead for Source {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        self.look()?;
        self.bytes.fill_buf()
    }

    fn consume(&mut self, count: usize) {
        self.bytes.consume(count);
    }
}

impl Seek for Source {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.bytes.seek(to)
    }
}
