//! The eye's filters against their published constants, and a filtered picture against another
//! program.

use crate::common::{number, table};
use upbead::colour::{Light, light, read_hex};
use upbead::units::Mm;
use upbead::vision::scielab::{Channel, Field, TO_OPPONENT, filter, opponent, visual_angle};

fn channel(name: &str) -> Channel {
    match name {
        "luminance" => Channel::Luminance,
        "red_green" => Channel::RedGreen,
        "blue_yellow" => Channel::BlueYellow,
        other => panic!("test file is broken: {other}"),
    }
}

/// `reference/scielab.csv`: Zhang and Wandell 1996; tolerances as its head states them.
#[test]
fn constants_are_the_published_ones() {
    let mut seen = 0;
    for row in table("reference/scielab.csv") {
        let value = number(&row, "value");
        let near = |ours: f64, theirs: f64| {
            assert!(
                (ours - theirs).abs() <= 1e-5 * theirs.abs() + 1e-6,
                "{row:?}: {ours}"
            );
        };
        match row["kind"].as_str() {
            "xyz_to_opponent" => {
                let column = "XYZ".find(row["key"].as_str()).unwrap();
                assert_eq!(
                    TO_OPPONENT[channel(&row["channel"]) as usize][column],
                    value
                );
            }
            "filter_spread_deg" => {
                let at: usize = row["key"].parse().unwrap();
                let printed = channel(&row["channel"]).printed()[at - 1];
                assert_eq!(printed, (value, number(&row, "value2")));
            }
            "transfer" => near(
                channel(&row["channel"]).transfer(number(&row, "key")),
                number(&row, "value2"),
            ),
            "opponent_value" => {
                let hex = match row["key"].as_str() {
                    "D65 white" => "FFFFFF",
                    "sRGB red" => "FF0000",
                    "sRGB green" => "00FF00",
                    "sRGB blue" => "0000FF",
                    other => panic!("test file is broken: {other}"),
                };
                let values = opponent(light(read_hex(hex).unwrap()));
                let ours = values[channel(&row["channel"]) as usize];
                // The reference takes the rounded matrix of sRGB.
                assert!((ours - value).abs() < 1e-4, "{row:?}: {ours}");
            }
            "visual_angle_deg" => {
                let words: Vec<&str> = row["channel"].split(' ').collect();
                let mm = |at: usize| Mm::new(words[at].parse().unwrap());
                near(visual_angle(mm(0), mm(3)), value);
            }
            _ => continue,
        }
        seen += 1;
    }
    assert!(seen > 45, "test file is broken");
}

/// `scielab_picture.csv`: by Fourier transform in numpy.
#[test]
fn a_picture_is_filtered_as_another_program_does() {
    const COLOURS: [[f32; 3]; 5] = [
        [0.9, 0.85, 0.8],
        [0.02, 0.05, 0.2],
        [0.6, 0.05, 0.03],
        [0.05, 0.35, 0.3],
        [0.75, 0.5, 0.08],
    ];
    let (width, height) = (96, 80);
    let colour = |at: usize| COLOURS[((at % width) / 7 + 2 * ((at / width) / 11)) % 5];
    let field = Field {
        width,
        light: (0..width * height).map(colour).collect(),
    };
    let seen = filter(&field, 128.0, Light::new(1.0, 1.0, 1.0));
    let rows = table("scielab_picture.csv");
    assert!(rows.len() > 40, "test file is broken");
    let mut moved: f64 = 0.0;
    for row in rows {
        let at = number(&row, "y") as usize * width + number(&row, "x") as usize;
        for (channel, name) in ["red", "green", "blue"].into_iter().enumerate() {
            let (ours, theirs) = (f64::from(seen.light[at][channel]), number(&row, name));
            assert!((ours - theirs).abs() < 2e-3, "{row:?}: {name} {ours}");
            moved = moved.max((f64::from(field.light[at][channel]) - theirs).abs());
        }
    }
    assert!(moved > 0.2, "test file is broken: nothing was filtered");
}
