//! The kit's arithmetic, whatever the chart and the stock.

use proptest::prelude::*;
use upbead::bead::Bead;
use upbead::chart::{Chart, Made, Shade};
use upbead::colour::Srgb8;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::{Colour, Palette};
use upbead::units::Grams;
use upbead::weave::kit::{Kit, Options, in_stock, kit};

const COLOURS: u8 = 4;

fn any_chart() -> impl Strategy<Value = Chart> {
    (3..=9u32, 3..=12u32)
        .prop_flat_map(|(columns, pairs)| {
            let rows = Rows::closed(2 * pairs).unwrap();
            let lattice = Lattice::new(Bead::default(), columns, rows).unwrap();
            let beads = prop::collection::vec(0..u16::from(COLOURS), lattice.len());
            (Just(lattice), beads)
        })
        .prop_map(|(lattice, beads)| Chart {
            lattice,
            colours: (0..COLOURS).map(shade).collect(),
            beads,
            made: Made::default(),
            title: None,
            notes: None,
        })
}

fn grey(at: u8) -> Srgb8 {
    Srgb8::new(60 * at, 60 * at, 60 * at)
}

fn shade(at: u8) -> Shade {
    Shade {
        code: format!("c{at}"),
        name: format!("grey {at}"),
        srgb: grey(at),
        finish: None,
    }
}

fn any_palette() -> impl Strategy<Value = Palette> {
    let colour = (
        prop::option::of(0.0..20.0f64),
        prop::option::of(20.0..500.0f64),
        prop::option::of(0.0..9.0f64),
    );
    prop::collection::vec(colour, usize::from(COLOURS)).prop_map(|colours| {
        let colours = colours
            .into_iter()
            .zip(0..)
            .map(|((grams, per_gram, price), at)| Colour {
                code: format!("c{at}"),
                name: String::new(),
                srgb: grey(at),
                finish: None,
                grams: grams.map(Grams::new),
                per_gram,
                price,
                per_pack: None,
                extra: vec![],
            });
        Palette::new("owned", colours.collect(), vec![]).unwrap()
    })
}

fn gathered(chart: &Chart, palette: &Palette, make: u32, spare: f64) -> Kit {
    let stock = in_stock(chart, palette).unwrap();
    let options = Options {
        make,
        spare,
        ..Options::default()
    };
    kit(chart, Some(&stock), options).unwrap()
}

fn short(kit: &Kit) -> u64 {
    let stocks = kit
        .portions
        .iter()
        .filter_map(|portion| portion.stock.as_ref());
    stocks.map(|stock| stock.short).sum()
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(256)
    })]


    #[test]
    fn n_bands_take_n_times_the_beads_and_spare_beads_on_top(
        chart in any_chart(),
        palette in any_palette(),
        make in 1..=5000u32,
        spare in 0.0..200.0f64,
    ) {
        let (one, many) = (
            gathered(&chart, &palette, 1, spare),
            gathered(&chart, &palette, make, spare),
        );
        prop_assert_eq!(
            one.portions.iter().map(|portion| portion.each).sum::<u64>(),
            chart.beads.len() as u64
        );
        for (one, many) in one.portions.iter().zip(&many.portions) {
            prop_assert_eq!((many.colour, many.each), (one.colour, one.each));
            prop_assert_eq!(many.beads, u64::from(make) * one.beads);
            let over = (many.with_spare - many.beads) as f64 - many.beads as f64 * spare / 100.0;
            prop_assert!((-1e-6..1.0).contains(&over), "{over}");
            // Rounding up once is never more than rounding up for each band.
            prop_assert!(many.with_spare <= u64::from(make) * one.with_spare);
        }
        prop_assert_eq!(&many.lengths, &one.lengths);
    }

    #[test]
    fn more_bands_or_spare_beads_never_weigh_or_cost_less_or_leave_less_short(
        chart in any_chart(),
        palette in any_palette(),
        make in 1..=500u32,
        more in 0..=500u32,
        spare in 0.0..50.0f64,
        larger in 0.0..50.0f64,
    ) {
        let (less, more) = (
            gathered(&chart, &palette, make, spare),
            gathered(&chart, &palette, make + more, spare + larger),
        );
        for (less, more) in less.portions.iter().zip(&more.portions) {
            prop_assert!(less.grams <= more.grams);
            prop_assert!(less.cost() <= more.cost());
            prop_assert!(less.cost_short() <= more.cost_short());
            prop_assert!(
                (less.grams.get() * less.per_gram.beads - less.with_spare as f64).abs() < 1e-6
            );
        }
        prop_assert!(short(&less) <= short(&more));
    }

    #[test]
    fn the_stock_is_enough_for_as_many_bands_as_it_says_and_not_one_more(
        chart in any_chart(),
        palette in any_palette(),
        make in 1..=2000u32,
        spare in 0.0..50.0f64,
    ) {
        let enough = gathered(&chart, &palette, make, spare).enough_for.unwrap();
        prop_assert!(enough <= make);
        if enough > 0 {
            prop_assert_eq!(short(&gathered(&chart, &palette, enough, spare)), 0);
        }
        if enough < make {
            prop_assert!(short(&gathered(&chart, &palette, enough + 1, spare)) > 0);
        }
    }
}
