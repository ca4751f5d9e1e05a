//! Laws of sizes, gauges and the rows that close.

use proptest::prelude::*;
use upbead::bead::Bead;
use upbead::lattice::Rows;
use upbead::ring::{Gauge, GaugeFile, KnownFit, Prefer, RingSize, SAME, Source, Swatch};
use upbead::units::Mm;
use upbead::warning::HARDLY;

fn beads() -> impl Strategy<Value = Bead> {
    (0.5..4.0f64, 0.5..4.0f64).prop_map(|(length, diameter)| {
        let hole = Mm::new(diameter / 2.0);
        Bead::new(Mm::new(length), Mm::new(diameter), hole).unwrap()
    })
}

fn gauges() -> impl Strategy<Value = Gauge> {
    (beads(), 0.81..1.49f64).prop_map(|(bead, looseness)| {
        let spacing = bead.diameter * looseness;
        Gauge::of_measures(bead, spacing, None, Source::Assumed).unwrap()
    })
}

fn wanted() -> impl Strategy<Value = Mm> {
    (8.0..40.0f64).prop_map(Mm::new)
}

fn closed(count: u32) -> Rows {
    Rows::closed(count).unwrap()
}

proptest! {
    #[test]
    fn more_rows_make_a_larger_ring(gauge in gauges(), half in 3u32..500) {
        prop_assert!(gauge.diameter(closed(2 * half)) < gauge.diameter(closed(2 * half + 2)));
    }

    #[test]
    fn a_larger_finger_never_takes_fewer_rows(
        gauge in gauges(),
        one in wanted(),
        other in wanted(),
    ) {
        let (small, large) = if one <= other {
            (one, other)
        } else {
            (other, one)
        };
        for prefer in [Prefer::Smaller, Prefer::Nearest, Prefer::Larger] {
            let rows = |wanted| gauge.rows_for(wanted, prefer).unwrap().count();
            prop_assert!(rows(small) <= rows(large));
        }
    }

    #[test]
    fn the_smaller_count_fits_and_two_rows_more_would_not(gauge in gauges(), wanted in wanted()) {
        let rows = gauge.rows_for(wanted, Prefer::Smaller).unwrap();
        prop_assert!(gauge.diameter(rows) <= wanted + HARDLY);
        prop_assert!(gauge.diameter(closed(rows.count() + 2)) > wanted + HARDLY);
    }

    #[test]
    fn the_larger_count_fits_and_two_rows_less_would_not(gauge in gauges(), wanted in wanted()) {
        let rows = gauge.rows_for(wanted, Prefer::Larger).unwrap();
        prop_assert!(gauge.diameter(rows) >= wanted - SAME);
        prop_assert!(gauge.diameter(closed(rows.count() - 2)) < wanted - SAME);
    }

    #[test]
    fn no_other_count_is_nearer_than_the_nearest(gauge in gauges(), wanted in wanted()) {
        let away = |rows| (gauge.diameter(rows) - wanted).get().abs();
        let rows = gauge.rows_for(wanted, Prefer::Nearest).unwrap();
        for other in gauge.near(rows) {
            prop_assert!(away(rows) <= away(other.rows) + SAME.get());
        }
    }

    #[test]
    fn neighbours_rise_by_two_rows_and_hold_the_chosen_count(
        gauge in gauges(),
        wanted in wanted(),
    ) {
        let rows = gauge.rows_for(wanted, Prefer::Nearest).unwrap();
        let near: Vec<u32> = gauge
            .near(rows)
            .iter()
            .map(|near| near.rows.count())
            .collect();
        prop_assert_eq!(near.len(), 7);
        prop_assert!(near.contains(&rows.count()));
        prop_assert!(near.windows(2).all(|pair| pair[1] == pair[0] + 2));
    }

    #[test]
    fn a_band_known_to_fit_gives_its_rows_back(gauge in gauges(), wanted in wanted()) {
        // The size that the band really has, so that the gauge is one that is accepted.
        let rows = gauge.rows_for(wanted, Prefer::Larger).unwrap();
        let size = RingSize::of_diameter(gauge.diameter(rows));
        let known = KnownFit {
            columns: None,
            rows,
            size: size.clone(),
        };
        let found = Gauge::from_fit(gauge.bead(), known).unwrap();
        prop_assert!((found.spacing() - gauge.spacing()).get().abs() < 1e-9);
        for prefer in [Prefer::Smaller, Prefer::Nearest, Prefer::Larger] {
            prop_assert_eq!(found.rows_for(size.diameter(), prefer).unwrap(), rows);
        }
        prop_assert_eq!(
            kept(&found)
                .rows_for(size.diameter(), Prefer::Smaller)
                .unwrap(),
            rows
        );
    }

    #[test]
    fn a_swatch_of_known_pitch_gives_the_pitch_back(gauge in gauges(), rows in 3u32..200) {
        let steps = f64::from(rows - 1) / 2.0;
        let height = gauge.spacing() * steps + gauge.bead().diameter;
        let swatch = Swatch { rows, height, columns: None };
        let found = Gauge::from_swatch(gauge.bead(), swatch).unwrap();
        prop_assert!((found.spacing() - gauge.spacing()).get().abs() < 1e-9);
    }

    #[test]
    fn labels_are_read_back_as_the_size_they_name(diameter in 13.0..39.0f64) {
        let size = RingSize::of_diameter(Mm::new(diameter));
        // Each label is rounded: to 0.01 US (0.8128 mm a size), half a letter (0.625/π mm), one
        // number (1/3 mm), 1 mm and 0.01 mm of circumference.
        let mut labels = vec![
            (format!("us{}", size.us().unwrap()), 0.00407),
            (format!("uk-{}", size.uk().unwrap()), 0.0995),
            (format!("jp{}", size.jp().unwrap()), 0.1667),
            (format!("iso{}", size.iso()), 0.1592),
            (format!("d{diameter}mm"), 1e-9),
        ];
        if diameter < 25.0 {
            labels.push((format!("eu{}", size.eu().unwrap()), 0.0016));
        }
        for (label, rounding) in labels {
            let back = RingSize::parse(&label).unwrap().diameter().get();
            prop_assert!((back - diameter).abs() <= rounding, "{}", label);
        }
    }

    #[test]
    fn no_text_makes_a_reader_panic(text in "\\PC{0,12}", number in any::<f64>()) {
        for text in [
            text.clone(),
            format!("us{text}"),
            format!("uk{text}"),
            format!("us{number}"),
            format!("{number}mm"),
        ] {
            if let Ok(size) = RingSize::parse(&text) {
                prop_assert!((7.99..=40.01).contains(&size.diameter().get()), "{}", text);
            }
        }
        let _ = Swatch::parse(&format!("{text}=1"));
        let _ = KnownFit::parse(&text);
        let _ = GaugeFile::parse(&text);
    }
}

/// The gauge as a gauge file gives it back.
fn kept(gauge: &Gauge) -> Gauge {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("gauge.json");
    let mut file = GaugeFile::default();
    file.remember(gauge, upbead::files::Replace::No).unwrap();
    file.write(&path).unwrap();
    GaugeFile::read(&path)
        .unwrap()
        .find(gauge.bead(), &path)
        .unwrap()
        .unwrap()
}
