//! Layers of a band: each bead is the uppermost layer's that covers it.

use std::io::Cursor;
use upbead::cancel::Cancel;
use upbead::pipeline::{Layered, chart_layers};
use upbead::request::design::Design;
use upbead::{Chart, ChartRequest, Palette, Source};

/// Random numbers of Marsaglia's xorshift (Journal of Statistical Software 8(14), 2003).
struct Random(u64);

impl Random {
    fn below(&mut self, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % most
    }
}

/// The ground, and a colour for each layer.
const PALETTE: &str = "code,name,hex\nz,jersey navy,1C3261\na,gull white,FAFAF6\n\
    b,buoy red,CD2626\nc,samphire,497427\nd,brass,C89A3F\n";
const CODES: [&str; 4] = ["a", "b", "c", "d"];

/// A picture with random opaque blocks.
fn picture(random: &mut Random) -> Vec<u8> {
    let mut blocks = [[false; 6]; 8];
    for block in blocks.iter_mut().flatten() {
        *block = random.below(2) == 0;
    }
    blocks[3][2] = true;
    let pixels = image::RgbaImage::from_fn(60, 80, |x, y| {
        let opaque = blocks[y as usize / 10][x as usize / 10];
        image::Rgba([0xCD, 0x26, 0x26, if opaque { 255 } else { 0 }])
    });
    let mut bytes = Cursor::new(Vec::new());
    pixels
        .write_to(&mut bytes, image::ImageFormat::Png)
        .unwrap();
    bytes.into_inner()
}

/// A layer of a random kind, in its own colour.
fn layer(random: &mut Random, number: usize) -> String {
    let own = match random.below(4) {
        0 => r#""kind": "picture", "place": "round", "scaling": "stretch""#.to_string(),
        1 => r#""kind": "border", "columns": 3, "repeats": 4"#.to_string(),
        2 => {
            let row = 1 + random.below(40);
            format!(r#""kind": "motif", "columns": 7, "rows": 20, "at": {row}"#)
        }
        _ => r#""kind": "motif", "columns": 5, "at": "back", "rotate": 90"#.to_string(),
    };
    let code = CODES[number];
    let treatment = ["crisp", "continuous"][random.below(2) as usize];
    format!(r#"{{{own}, "file": "{number}", "colours": ["{code}"], "treatment": "{treatment}"}}"#)
}

fn charted(layers: &[&str], pictures: &[Vec<u8>], columns: u32) -> Chart {
    let text = format!(
        r#"{{"format": "upbead-design", "version": 1,
            "layers": [{{"kind": "ground", "colour": "z"}}, {}]}}"#,
        layers.join(", ")
    );
    let design = Design::read(&text).unwrap();
    let palette = Palette::read(PALETTE, "five").unwrap();
    let mut request = ChartRequest::default();
    request.ring.columns = Some(columns.to_string().parse().unwrap());
    request.band.rows = Some("40".parse().unwrap());
    let load = |name: &str| {
        let at: usize = name.parse().unwrap();
        Ok(Source::new(name, pictures[at].clone()))
    };
    let layered = Layered::new(&design, "design".to_string(), b"", &load);
    let made = chart_layers(&layered, &palette, &request, Cancel::default()).unwrap();
    made.made.value.chart
}

fn codes(chart: &Chart) -> Vec<&str> {
    let code = |&bead: &u16| chart.colours[usize::from(bead)].code.as_str();
    chart.beads.iter().map(code).collect()
}

#[test]
fn each_bead_is_the_uppermost_layer_s_that_covers_it() {
    let mut random = Random(20_261_130);
    for case in 0..24 {
        let columns = 9 + case % 2;
        let pictures: Vec<Vec<u8>> = CODES.iter().map(|_| picture(&mut random)).collect();
        let layers: Vec<String> = (0..CODES.len()).map(|at| layer(&mut random, at)).collect();
        let all: Vec<&str> = layers.iter().map(String::as_str).collect();
        let composed = charted(&all, &pictures, columns);
        let alone: Vec<Chart> = all
            .iter()
            .map(|one| charted(&[one], &pictures, columns))
            .collect();
        let alone: Vec<Vec<&str>> = alone.iter().map(codes).collect();
        for (bead, own) in codes(&composed).into_iter().enumerate() {
            let covers = |at: &usize| alone[*at][bead] == CODES[*at];
            let wanted = (0..CODES.len())
                .rev()
                .find(covers)
                .map_or("z", |at| CODES[at]);
            assert_eq!(own, wanted, "case {case}, bead {bead}: {all:?}");
        }
    }
}
