//! Small files that claim or unpack to a great size, written byte by byte.

/// A chunk of a PNG, with its checksum (ISO 15948, annex D).
pub(super) fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [kind, data].concat();
    let mut crc = u32::MAX;
    for &byte in &body {
        crc ^= u32::from(byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 {
                0xEDB8_8320 ^ (crc >> 1)
            } else {
                crc >> 1
            };
        }
    }
    [
        &(data.len() as u32).to_be_bytes()[..],
        &body,
        &(!crc).to_be_bytes(),
    ]
    .concat()
}

/// A PNG whose head declares these sides, with `data` as its one IDAT.
pub(super) fn png(side: u32, depth: u8, colour: u8, data: &[u8]) -> Vec<u8> {
    let sides = [side.to_be_bytes(), side.to_be_bytes()].concat();
    let head = [&sides[..], &[depth, colour, 0, 0, 0]].concat();
    [
        &b"\x89PNG\r\n\x1a\n"[..],
        &chunk(b"IHDR", &head),
        &chunk(b"IDAT", data),
        &chunk(b"IEND", b""),
    ]
    .concat()
}

/// A grey PNG of `side` by `side` black pixels, whole.
pub(super) fn black_png(side: u32) -> Vec<u8> {
    use std::io::Write;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side, side);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_compression(png::Compression::Fast);
    encoder.set_filter(png::Filter::NoFilter);
    let mut writer = encoder.write_header().expect("a head");
    let mut stream = writer.stream_writer().expect("a stream");
    let row = vec![0; side as usize];
    for _ in 0..side {
        stream.write_all(&row).expect("a row");
    }
    stream.finish().expect("the end");
    drop(writer);
    bytes
}

fn bmp(side: u32) -> Vec<u8> {
    let mut bytes = b"BM".to_vec();
    for number in [54, 0, 54, 40, side, side] {
        bytes.extend(u32::to_le_bytes(number));
    }
    bytes.extend([1, 0, 24, 0]);
    bytes.extend([0; 24 + 64]);
    bytes
}

/// `frame` may differ from the screen.
pub(super) fn gif(screen: u16, frame: u16) -> Vec<u8> {
    let [screen, frame] = [screen, frame].map(u16::to_le_bytes);
    [
        &b"GIF89a"[..],
        &screen,
        &screen,
        b"\x80\0\0\0\0\0\xFF\xFF\xFF\x2C\0\0\0\0",
        &frame,
        &frame,
        b"\0\x02\x02\x4C\x01\0\x3B",
    ]
    .concat()
}

/// Little-endian, grey, with these fields beside the plain ones; pixels of a 10 x 10 picture stand
/// at byte 400.
pub(super) fn tiff(side: u32, others: &[(u16, u16, u32, u32)]) -> Vec<u8> {
    let mut fields = vec![
        (256, 4, 1, side),
        (257, 4, 1, side),
        (258, 3, 1, 8),
        (259, 3, 1, 1),
        (262, 3, 1, 1),
        (273, 4, 1, 400),
        (277, 3, 1, 1),
        (278, 4, 1, side),
        (279, 4, 1, side.wrapping_mul(side)),
    ];
    fields.retain(|field| others.iter().all(|other| other.0 != field.0));
    fields.extend(others);
    fields.sort_unstable();
    let mut bytes = b"II*\0\x08\0\0\0".to_vec();
    bytes.extend((fields.len() as u16).to_le_bytes());
    for (tag, kind, count, value) in fields {
        bytes.extend([tag, kind].map(u16::to_le_bytes).concat());
        bytes.extend([count, value].map(u32::to_le_bytes).concat());
    }
    bytes.resize(400, 0);
    bytes.extend([128; 100]);
    bytes
}

/// The canvas of an extended file; its picture is of no account.
fn webp(side: u32) -> Vec<u8> {
    let side = &(side - 1).to_le_bytes()[..3];
    let lossless = b"VP8L\x0A\0\0\0\x2F\0\0\0\0\0\0\0\0\0";
    let body = [&b"WEBPVP8X\x0A\0\0\0\0\0\0\0"[..], side, side, lossless].concat();
    [&b"RIFF"[..], &(body.len() as u32).to_le_bytes(), &body].concat()
}

/// `frame` is the mark of the frame's head: C0 baseline, C2 progressive.
fn jpeg(side: u16, frame: u8) -> Vec<u8> {
    let side = side.to_be_bytes();
    let table = [&b"\xFF\xDB\0\x43\0"[..], &[1; 64]].concat();
    [
        &b"\xFF\xD8\xFF\xE0\0\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0"[..],
        &table,
        &[0xFF, frame, 0, 17, 8],
        &side,
        &side,
        b"\x03\x01\x11\0\x02\x11\0\x03\x11\0\xFF\xDA\0\x0C\x03\x01\0\x02\0\x03\0\0\x3F\0",
        &[0; 20],
        b"\xFF\xD9",
    ]
    .concat()
}

/// A file of each format that declares 60,000 x 60,000 pixels.
pub(super) fn huge() -> Vec<(&'static str, Vec<u8>)> {
    const SIDE: u32 = 60_000;
    let side = SIDE as u16;
    vec![
        ("colour.png", png(SIDE, 8, 2, b"")),
        ("sixteen.png", png(SIDE, 16, 6, b"")),
        // 450 MB in the file's own bits, 3.6 GB as they are decoded.
        ("bits.png", png(SIDE, 1, 0, b"")),
        ("huge.bmp", bmp(SIDE)),
        ("huge.gif", gif(side, side)),
        ("huge.tiff", tiff(SIDE, &[])),
        ("huge.webp", webp(SIDE)),
        ("baseline.jpg", jpeg(side, 0xC0)),
        ("progressive.jpg", jpeg(side, 0xC2)),
    ]
}
