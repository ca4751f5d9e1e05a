//! Plain words for colours.

use crate::colour::{Light, Srgb8, ciede2000, lab, light};
use std::collections::HashMap;

/// Words and the colour that each stands for. Ours: plain words, spread over what glass beads come
/// in.
const WORDS: [(&str, u32); 44] = [
    ("white", 0xF2F2F0),
    ("pearl grey", 0xD2D3D3),
    ("pale grey", 0xB0B2B3),
    ("grey", 0x86888A),
    ("slate grey", 0x5E666E),
    ("dark grey", 0x42454A),
    ("black", 0x17181A),
    ("cream", 0xF1E7CC),
    ("sand", 0xD6BC8E),
    ("tan", 0xA8834F),
    ("brown", 0x704828),
    ("dark brown", 0x3D281B),
    ("red", 0xC6252B),
    ("dark red", 0x7C161E),
    ("brick red", 0xA64A32),
    ("coral", 0xE8836B),
    ("orange", 0xE67E22),
    ("peach", 0xF3C29C),
    ("amber", 0xC98D1F),
    ("yellow", 0xF0CE2B),
    ("pale yellow", 0xF4E89E),
    ("olive", 0x74702C),
    ("lime green", 0xA6C93A),
    ("green", 0x3E9140),
    ("dark green", 0x1D4B2C),
    ("pale green", 0xB6DDB4),
    ("moss green", 0x5B7A45),
    ("sea green", 0x2E8E7D),
    ("teal", 0x14606A),
    ("turquoise", 0x41B9BB),
    ("pale turquoise", 0xB2E0DF),
    ("pale blue", 0xB5D3EC),
    ("sky blue", 0x69A9DB),
    ("steel blue", 0x5D82A6),
    ("blue", 0x2B5AB3),
    ("navy", 0x1C2B5B),
    ("violet", 0x6B4A9D),
    ("lilac", 0xB9A2D6),
    ("plum", 0x5D2A51),
    ("magenta", 0xB32B79),
    ("rose", 0xE07B98),
    ("pale pink", 0xF2CACD),
    ("dusty pink", 0xBE8C8E),
    ("mauve", 0x8A6784),
];

/// The word for a colour, nearest by CIEDE2000.
pub fn name(colour: Light) -> &'static str {
    let own = lab(colour);
    let apart = |hex: u32| {
        let [_, red, green, blue] = hex.to_be_bytes();
        ciede2000(own, lab(light(Srgb8::new(red, green, blue))))
    };
    let nearest = WORDS
        .iter()
        .min_by(|a, b| apart(a.1).total_cmp(&apart(b.1)));
    nearest.map_or("colour", |(word, _)| word)
}

/// A name for each colour; of several with the same name the second is `red 2`, and so on.
pub fn unique(colours: impl Iterator<Item = Light>) -> Vec<String> {
    let mut seen: HashMap<&str, usize> = HashMap::new();
    colours
        .map(|colour| {
            let word = name(colour);
            let count = seen.entry(word).or_insert(0);
            *count += 1;
            match *count {
                1 => word.to_string(),
                count => format!("{word} {count}"),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_name_their_own_colours_and_repeats_are_counted() {
        for (word, hex) in WORDS {
            let [_, red, green, blue] = hex.to_be_bytes();
            assert_eq!(name(light(Srgb8::new(red, green, blue))), word);
        }
        let red = light(Srgb8::new(0xC0, 0x20, 0x28));
        assert_eq!(unique([red, red].into_iter()), ["red", "red 2"]);
    }
}
