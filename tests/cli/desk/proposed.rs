//! The desk's proposals are those of `upbead propose`, byte for byte, and the options that it names
//! make them.

use super::client::Desk;
use super::same_bytes::prepared;
use serde_json::{Value, json};

/// What the desk proposes for a picture in the tin's colours.
fn proposed(desk: &Desk, picture: &str) -> (Value, Vec<Value>) {
    let wish = json!({
        "picture": desk.picture(picture),
        "palette": { "id": desk.palette("tin.csv") },
        "size": "us7",
    });
    let answer = desk.ask("propose?lane=propose&n=5", &wish).ok().json();
    assert_eq!(answer["n"], 5);
    (wish, answer["proposals"].as_array().unwrap().clone())
}

#[test]
fn proposals_are_the_same_bytes() {
    let desk = prepared();
    let picture = "kittiwake.png";
    let (_, all) = proposed(&desk, picture);
    assert!((4..=5).contains(&all.len()), "{}", all.len());
    assert_eq!(all[0]["changes"], json!([]));
    for (at, one) in all.iter().enumerate() {
        let number = at + 1;
        let take = format!("--take {number} -o band.json --force");
        let call = format!("propose {picture} --palette tin.csv --size us7 {take}");
        desk.bench.line(&call).ok();
        assert!(one["text"] == desk.bench.text("band.json"), "{number}");
    }
}

/// The form is filled with them, and what is charted then is what was taken.
#[test]
fn the_changes_of_a_proposal_make_its_chart() {
    let desk = prepared();
    let (wish, all) = proposed(&desk, "kittiwake.svg");
    assert!(all.len() > 1);
    for one in &all {
        let mut wish = wish.clone();
        for change in one["changes"].as_array().unwrap() {
            wish[change["option"].as_str().unwrap()] = change["value"].clone();
        }
        let object = wish.as_object_mut().unwrap();
        object.retain(|_, value| !value.is_null());
        let charted = desk.ask("chart", &wish).ok().json();
        assert!(charted["text"] == one["text"], "{}", one["name"]);
    }
}

#[test]
fn a_plain_band_and_options_that_contradict_one_another_have_no_proposals() {
    let desk = prepared();
    let palette = json!({ "id": desk.palette("tin.csv") });
    let plain = json!({ "palette": palette, "size": "us7" });
    let refused = desk.ask("propose", &plain);
    refused.fails(400, "there is no picture to propose charts of");
    let picture = desk.picture("kittiwake.png");
    let both = json!({ "picture": picture, "palette": palette, "size": "us7", "rows": 70 });
    let what = "a ring size and rows cannot both be given";
    let refused = desk.ask("propose", &both).fails(400, what);
    assert_eq!(refused["option"], "rows");
}
