//! Pictures of one colour, of many pixels in few bytes: their codes take no more than a bit.

/// A segment of a JPEG (ITU-T T.81, annex B).
fn segment(mark: u8, body: &[u8]) -> Vec<u8> {
    let length = (body.len() as u16 + 2).to_be_bytes();
    [[0xFF, mark].as_slice(), &length, body].concat()
}

/// A JPEG of three colours without subsampling, in one scan or, if progressive, only the first.
pub fn jpeg(width: u16, height: u16, progressive: bool) -> Vec<u8> {
    let [start, last] = if progressive { [0xC2, 0] } else { [0xC0, 63] };
    let size = [height.to_be_bytes(), width.to_be_bytes()].concat();
    let parts: Vec<u8> = (1..=3).flat_map(|part| [part, 0x11, 0]).collect();
    // Two tables of one code: no difference, and no more coefficients.
    let table = |class: u8| [[class, 1].as_slice(), &[0; 16]].concat();
    let blocks = usize::from(width.div_ceil(8)) * usize::from(height.div_ceil(8)) * 3;
    let bits = if progressive { blocks } else { 2 * blocks };
    [
        vec![0xFF, 0xD8],
        segment(0xDB, &[[0].as_slice(), &[16; 64]].concat()),
        segment(start, &[[8].as_slice(), &size, &[3], &parts].concat()),
        segment(0xC4, &table(0x00)),
        segment(0xC4, &table(0x10)),
        segment(0xDA, &[3, 1, 0, 2, 0, 3, 0, 0, last, 0]),
        vec![0; bits.div_ceil(8)],
        vec![0xFF, 0xD9],
    ]
    .concat()
}

/// A lossless WebP without alpha, filled up to 6 kB (RFC 9649, section 3).
pub fn webp(width: u32, height: u32) -> Vec<u8> {
    let mut bits = Bits::default();
    // Size, no alpha, version, no transform, no colour cache, no groups of codes.
    bits.put(width - 1, 14);
    bits.put(height - 1, 14);
    bits.put(0, 1 + 3 + 1 + 1 + 1);
    for symbol in [100, 150, 200, 255] {
        // A code of one symbol of eight bits.
        bits.put(0b101, 3);
        bits.put(symbol, 8);
    }
    // The distances' one symbol, of one bit.
    bits.put(0b0001, 4);
    let mut data = vec![0x2F];
    data.extend(bits.bytes());
    data.resize(6_000, 0);
    let length = |bytes: usize| (bytes as u32).to_le_bytes();
    let body = [b"WEBPVP8L".as_slice(), &length(data.len()), &data].concat();
    [b"RIFF".as_slice(), &length(body.len()), &body].concat()
}

/// Bits, the lowest of each number first.
#[derive(Default)]
struct Bits(Vec<bool>);

impl Bits {
    fn put(&mut self, number: u32, count: u32) {
        self.0.extend((0..count).map(|at| number >> at & 1 == 1));
    }

    fn bytes(&self) -> Vec<u8> {
        let byte = |eight: &[bool]| {
            let bits = eight.iter().enumerate();
            bits.fold(0, |byte, (at, &bit)| byte | u8::from(bit) << at)
        };
        self.0.chunks(8).map(byte).collect()
    }
}
