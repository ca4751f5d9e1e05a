//! What `upbead kit` refuses.

use super::{OWNED, bench, chart, kit};

#[test]
fn colours_missing_from_the_palette_are_named_with_the_nearest() {
    let bench = bench();
    bench.put(
        "other.csv",
        "code,name,hex\nquay-29,coral,E6927C\nquay-04,herring grey,BBBEC1\n",
    );
    let hint = "hint: colours are matched by code: add them to the palette, with 0 grams if you \
        have none, or chart again with this palette";
    // 14.19 between quay-01 and quay-04 stands in the golden list of pairs of the palette `tin`
    // too.
    bench
        .run(&["kit", "band.json", "--palette", "other.csv"])
        .fails(
            1,
            &format!(
                "error: other.csv: 2 colours of the chart are not in this palette\n  \
                 quay-01 gull white: the nearest is quay-04 herring grey, difference 14.2\n  \
                 quay-11 buoy \"red\": the nearest is quay-29 coral, difference 24.5\n{hint}"
            ),
        );
    bench.put(
        "other.csv",
        "code,name,hex\nquay-29,coral,E6927C\nquay-01,gull white,FAFAF6\n",
    );
    bench
        .run(&["kit", "band.json", "--palette", "other.csv", "--json"])
        .fails(
            1,
            &format!(
                "error: other.csv: a colour of the chart is not in this palette\n  \
                 quay-11 buoy \"red\": the nearest is quay-29 coral, difference 24.5\n{hint}"
            ),
        );
}

fn refused(option: &str, value: &str, what: &str, hint: &str) {
    kit(&[option, value]).fails(
        2,
        &format!("error: {option}: '{value}' is not {what}\nhint: give {hint}"),
    );
}

#[test]
fn numbers_of_bands_and_spare_beads_out_of_range_are_refused() {
    for make in [
        "0",
        "-1",
        "1.5",
        "NaN",
        "",
        "100001",
        "99999999999999999999",
        "twelve",
    ] {
        refused(
            "--make",
            make,
            "a number of bands to make",
            "a whole number from 1 to 100,000",
        );
    }
    kit(&["--make", "100000"]).ok();
    for spare in [
        "-1",
        "-0.1%",
        "NaN",
        "nan%",
        "inf",
        "1000.1",
        "",
        "%",
        "10%%",
        "10 percent",
    ] {
        refused(
            "--spare",
            spare,
            "a share of spare beads",
            "a percentage from 0 to 1000, such as 10%",
        );
    }
}

#[test]
fn threads_tails_and_formats_out_of_range_are_refused() {
    for thread in ["0", "-0.1", "NaN", "1.1", "", "0.15kg", "0.1in"] {
        refused(
            "--thread",
            thread,
            "a thread",
            "millimetres from 0.05 to 1, such as 0.15",
        );
    }
    for tail in ["-1", "NaN", "1001", ""] {
        refused(
            "--tail",
            tail,
            "a tail",
            "millimetres from 0 to 1000, such as 100",
        );
    }
    kit(&["--thread", "0.8"]).fails(
        2,
        "error: --thread: a thread of 0.8 mm does not go through a hole of 0.8 mm\n\
         hint: give a thread that is thinner than the hole",
    );
    kit(&["--as", "csv", "--json"]).fails(
        2,
        "error: --as: JSON is a format of its own\nhint: leave out --as or --json",
    );
    assert_eq!(kit(&["--as", "pdf"]).status, Some(2));
}

#[test]
fn charts_and_palettes_are_read_from_standard_input_but_not_both() {
    let bench = bench();
    let named = bench
        .run(&["kit", "band.json", "--palette", "owned.csv"])
        .ok();
    let piped = bench
        .run_with(&["kit", "-", "--palette", "owned.csv"], chart().as_bytes())
        .ok();
    assert_eq!(piped.out, named.out);
    let piped = bench
        .run_with(&["kit", "band.json", "--palette", "-"], OWNED.as_bytes())
        .ok();
    assert_eq!(piped.out, named.out);
    bench.run(&["kit", "-", "--palette", "-"]).fails(
        2,
        "error: --palette: chart and palette cannot both come from standard input\n\
         hint: name a file for one of them",
    );
    bench.run(&["kit", "gone.json"]).fails(
        1,
        "error: gone.json: cannot read: no such file or directory\n\
         hint: check the spelling and the folder",
    );
    bench
        .run(&["kit", "band.json", "--palette", "gone.csv"])
        .fails(
            1,
            "error: gone.csv: cannot read: no such file or directory\n\
             hint: check the spelling and the folder",
        );
    assert_eq!(bench.listing(), "band.json owned.csv");
}
