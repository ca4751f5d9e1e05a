//! The library without default features: palette, chart, fit, weave, check. CI builds and runs it
//! that way.

#![allow(clippy::unwrap_used)]

use upbead::{
    Chart, ChartRequest, CheckRequest, FindingKind, FitRequest, Palette, RingSize, Source,
    WeaveRequest, chart, check, fit, plain_chart, weave,
};

const PALETTE: &str = "code,name,hex\ng,herring grey,BBBEC1\nn,jersey navy,1C3261\n";

fn us7() -> RingSize {
    "us7".parse().unwrap()
}

/// Pale sky over dark water, as a tiny PNG.
fn picture() -> Source {
    let artwork = image::RgbImage::from_fn(9, 40, |_, y| {
        image::Rgb(if y < 20 {
            [0xC0, 0xC4, 0xC8]
        } else {
            [0x14, 0x28, 0x58]
        })
    });
    let mut png = std::io::Cursor::new(Vec::new());
    artwork.write_to(&mut png, image::ImageFormat::Png).unwrap();
    Source::new("sky.png", png.into_inner())
}

#[test]
fn a_picture_becomes_a_chart_that_reads_back() {
    let palette = Palette::read(PALETTE, "two").unwrap();
    let mut request = ChartRequest::default();
    request.ring.size = Some(us7());
    let made = chart(picture(), &palette, &request).unwrap().value;
    assert_eq!((made.lattice.columns(), made.colours.len()), (9, 2));
    assert_eq!(Chart::read(&made.to_text()).unwrap(), made);
}

#[test]
fn a_plain_band_has_one_colour_and_refuses_what_needs_a_picture() {
    let palette = Palette::read(PALETTE, "two").unwrap();
    let mut request = ChartRequest::default();
    request.ring.size = Some(us7());
    request.picture.ground = Some("n".to_string());
    let made = plain_chart(&palette, &request).unwrap().value;
    assert_eq!(made.colours[0].name, "jersey navy");
    request.picture.crisp = Some("1".parse().unwrap());
    assert!(plain_chart(&palette, &request).is_err());
}

/// US 7 is 17.32 mm inside: J. Lord, Sizes, 1995, as cited by GNU Units.
#[test]
fn a_ring_size_gets_its_rows() {
    let mut request = FitRequest::default();
    request.ring.size = Some(us7());
    let report = fit(&request).unwrap();
    assert_eq!(report.rows % 2, 0);
    assert!((report.wanted_diameter_mm.get() - 17.32).abs() < 0.006);
}

/// The picture as a ring of 9 columns in the colours of a palette.
fn ring(palette: &Palette) -> Chart {
    let mut request = ChartRequest::default();
    request.ring.size = Some(us7());
    chart(picture(), palette, &request).unwrap().value
}

#[test]
fn a_chart_is_woven_row_by_row() {
    let palette = Palette::read(PALETTE, "two").unwrap();
    let chart = ring(&palette);
    let mut request = WeaveRequest::default();
    let woven = weave(&chart, &request).unwrap();
    let rows = chart.lattice.rows();
    assert_eq!(woven.rows.len() as u32, rows - 2);
    let picked: usize = woven.rows.iter().map(|row| row.beads).sum();
    assert_eq!(picked + 9, chart.lattice.len());
    request.rows.rows = Some("3..5".parse().unwrap());
    let some = weave(&chart, &request).unwrap();
    assert_eq!(
        some.rows.iter().map(|row| row.row).collect::<Vec<_>>(),
        [3, 4, 5]
    );
    request.rows.rows = Some(format!("{}..", rows + 1).parse().unwrap());
    assert!(weave(&chart, &request).is_err());
}

#[test]
fn a_check_finds_what_is_not_in_stock() {
    let palette = Palette::read(PALETTE, "two").unwrap();
    let chart = ring(&palette);
    let request = CheckRequest::default();
    let kinds = |palette: Option<&Palette>| -> Vec<FindingKind> {
        let report = check(&chart, palette, &request).unwrap();
        assert_eq!(report.count, report.findings.len());
        report.findings.iter().map(|found| found.kind).collect()
    };
    assert!(!kinds(None).contains(&FindingKind::NotInPalette));
    assert!(!kinds(Some(&palette)).contains(&FindingKind::NotInPalette));
    let grey = Palette::read("code,name,hex\ng,herring grey,BBBEC1\n", "one").unwrap();
    assert!(kinds(Some(&grey)).contains(&FindingKind::NotInPalette));
}
