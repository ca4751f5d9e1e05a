//! Bits into bytes, the lowest first.

/// Bits that were written.
#[derive(Debug, Default)]
pub(super) struct Bits {
    bytes: Vec<u8>,
    held: u64,
    count: u32,
}

impl Bits {
    /// Adds the lowest `count` bits of a value, at most 32.
    pub(super) fn put(&mut self, value: u32, count: u32) {
        self.held |= u64::from(value) << self.count;
        self.count += count;
        while self.count >= 8 {
            self.bytes.push(self.held as u8);
            self.held >>= 8;
            self.count -= 8;
        }
    }

    /// The bytes; the last one filled up with zeros.
    pub(super) fn done(mut self) -> Vec<u8> {
        if self.count > 0 {
            self.bytes.push(self.held as u8);
        }
        self.bytes
    }
}
