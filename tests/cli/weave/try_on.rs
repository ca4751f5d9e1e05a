//! When to try a ring on, and which plain rows make it smaller or larger.

use super::{band, bench, ring, strip, valid};
use serde_json::{Value, json};
use upbead::chart::Chart;
use upbead::lattice::Rows;

/// A ring of garnet with gold rows from `first` on, `gold` of them.
fn motif(rows: u32, first: u32, gold: u32) -> Chart {
    let mut chart = band(7, Rows::closed(rows).unwrap());
    for at in 0..chart.beads.len() {
        let row = chart.lattice.position(at).0.get();
        chart.beads[at] = u16::from((first..first + gold).contains(&row));
    }
    chart
}

fn try_on(chart: &Chart, options: &[&str]) -> Value {
    let call = [&["weave", "band.json", "--json"], options].concat();
    let document = bench(chart).run(&call).ok().json();
    valid(&document);
    document["try_on"].clone()
}

/// The text in one line.
fn told(chart: &Chart) -> String {
    let text = bench(chart).run(&["weave", "band.json"]).ok().out;
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn plain_rows_at_the_end_of_the_work_are_left_out_or_woven_once_more() {
    let chart = motif(20, 5, 4);
    let plain = json!({
        "first_row": 9, "last_row": 4, "pair": [19, 20], "spare_rows": 14, "repeats": 1
    });
    assert_eq!(
        try_on(&chart, &[]),
        json!({"after_row": 18, "rows": 18, "plain": plain})
    );
    let words = told(&chart);
    for sentence in [
        "Try the strip on after row 18. ",
        "This chart has 20 rows. Rows 9 to 20, and 1 to 4 after the seam, are plain, at the back \
         of the ring. For a smaller ring leave out rows 19 and 20; then two more plain rows at a \
         time, at most 14 in all. For a larger ring weave rows 19 and 20 once more.",
    ] {
        assert!(words.contains(sentence), "{sentence}\n{words}");
    }
    assert_eq!(words.matches("; try on 19 ").count(), 1, "{words}");
    assert_eq!(words.matches("; try on").count(), 1, "{words}");
}

#[test]
fn plain_rows_that_are_woven_by_then_are_reached_by_taking_the_work_back() {
    let words = told(&motif(20, 13, 8));
    let sentence = "Rows 1 to 12 are plain, at the back of the ring. When you try the strip on \
        they are woven already: take the work back to where the pair begins. For a smaller ring \
        leave out rows 11 and 12 and go on with row 13; then two more plain rows at a time, at \
        most 10 in all. For a larger ring weave rows 11 and 12 once more before row 13.";
    assert!(words.contains(sentence), "{words}");
}

/// They are as likely a stripe of the motif.
#[test]
fn three_plain_rows_are_too_few_and_four_are_enough() {
    let from = |first: u32| {
        let mut chart = ring();
        for at in 0..chart.beads.len() {
            if chart.lattice.position(at).0.get() >= first {
                chart.beads[at] = 0;
            }
        }
        chart
    };
    assert_eq!(try_on(&from(10), &[])["plain"], Value::Null);
    assert_eq!(try_on(&from(9), &[])["plain"]["spare_rows"], 2);
    let words = told(&from(9));
    let sentence = "Rows 9 to 12 are plain, at the back of the ring. For a smaller ring leave out \
        rows 11 and 12. For a larger ring weave rows 11 and 12 once more.";
    assert!(words.contains(sentence), "{words}");
}

#[test]
fn a_design_without_plain_rows_is_made_again_for_another_size() {
    assert_eq!(try_on(&ring(), &[]), json!({"after_row": 10, "rows": 10}));
    let words = told(&ring());
    let sentence = "The design has no plain rows to leave out or to weave twice. If 12 rows do not \
        fit, the chart has to be made again for another size.";
    assert!(words.contains(sentence), "{words}");
}

#[test]
fn a_strip_is_not_tried_on() {
    assert_eq!(try_on(&strip(), &[]), Value::Null);
    let words = told(&strip()).to_lowercase();
    assert!(!words.contains("try"), "{words}");
}

/// 200 rows of 1.65 mm are as long as 194 of 1.7 mm.
#[test]
fn without_a_gauge_of_ones_own_a_ring_is_tried_on_earlier() {
    let mut chart = motif(200, 50, 20);
    let after = |chart: &Chart| try_on(chart, &[])["after_row"].clone();
    assert_eq!(after(&chart), 194);
    let mut spacing = |mm: &str| {
        chart.made.options = vec![("pitch_mm".to_string(), mm.to_string())];
        after(&chart)
    };
    assert_eq!([spacing("1.65"), spacing("1.62")], [json!(194), json!(198)]);
}

/// Wherever the motif lies, the pair is plain, comes one row after the other in the work, and
/// leaves plain rows on both sides of the motif.
#[test]
fn the_pair_is_plain_and_follows_one_another_in_the_work() {
    for first in 1..=14 {
        let chart = motif(16, first, 3);
        for options in [&[][..], &["--from", "top"], &["--start", "right"]] {
            let call = [&["weave", "band.json", "--json"], options].concat();
            let document = bench(&chart).run(&call).ok().json();
            let plain = &document["try_on"]["plain"];
            assert_eq!(plain["spare_rows"], 10, "{first} {options:?}");
            let rows = document["rows"].as_array().unwrap();
            let place = |at: usize| {
                let found = rows.iter().position(|row| row["row"] == plain["pair"][at]);
                found.unwrap_or_else(|| panic!("{first} {options:?}: {plain}"))
            };
            assert_eq!(place(0) + 1, place(1), "{first} {options:?}");
            for at in [place(0), place(1)] {
                assert_eq!(rows[at]["pick"].as_array().unwrap().len(), 1);
                assert_eq!(rows[at]["pick"][0]["colour"], 0, "{first} {options:?}");
            }
        }
    }
}

#[test]
fn two_rows_that_alternate_all_round_are_plain_too() {
    let mut chart = motif(20, 1, 0);
    for at in 0..chart.beads.len() {
        chart.beads[at] = (chart.lattice.position(at).0.get() % 2) as u16;
    }
    let plain = &try_on(&chart, &[])["plain"];
    assert_eq!(plain["pair"], json!([19, 20]));
    assert_eq!(plain["repeats"], 1);
    assert!(told(&chart).contains("Rows 1 to 20 are plain"));
}

/// A tower of more beads than its ground: the rows to leave out are those of other sizes.
#[test]
fn rows_of_a_large_motif_are_not_left_out() {
    let mut chart = motif(24, 5, 14);
    chart.made.options = vec![("ground".to_string(), chart.colours[0].code.clone())];
    let plain = &try_on(&chart, &[])["plain"];
    assert_eq!(
        (&plain["first_row"], &plain["last_row"]),
        (&json!(19), &json!(4))
    );
    assert_eq!(plain["pair"], json!([23, 24]));
}

#[test]
fn a_design_that_repeats_says_that_one_repeat_changes() {
    let mut chart = motif(24, 1, 2);
    for at in 0..chart.beads.len() {
        chart.beads[at] = u16::from((chart.lattice.position(at).0.get() - 1) % 8 < 2);
    }
    assert_eq!(try_on(&chart, &[])["plain"]["repeats"], 3);
    let words = told(&chart);
    let sentence = "The design repeats 3 times, and only the repeat with these rows becomes \
        shorter or longer.";
    assert!(words.contains(sentence), "{words}");
    assert!(!words.contains("at the back of the ring"), "{words}");
}

#[test]
fn the_page_has_a_step_for_it_after_its_row() {
    let page = bench(&motif(20, 5, 4))
        .run(&["weave", "band.json", "--page", "-"])
        .ok()
        .out;
    let (_, rest) = page.split_once("id=\"work\">").unwrap();
    let work: Value = serde_json::from_str(rest.split_once("</script>").unwrap().0).unwrap();
    let steps = work["steps"].as_array().unwrap();
    let at = steps.iter().position(|step| step["name"] == "Try on");
    let at = at.expect("a step");
    assert_eq!(steps[at - 1]["name"], "Row 18");
    assert_eq!(steps[at]["text"].as_array().unwrap().len(), 2);
}
