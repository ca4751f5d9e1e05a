//! Short drawings that ask for endless work, and what is said of each.

use std::fmt::Write;

/// A drawing and its error.
pub struct Hostile {
    pub name: &'static str,
    pub svg: String,
    pub error: &'static str,
}

/// A drawing of 90 by 120 with this in it.
pub fn svg(body: &str) -> String {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"90\" height=\"120\">{body}</svg>")
}

/// A page of ground with a filter of these effects.
fn filtered(effects: &str) -> String {
    svg(&format!(
        "<filter id=\"f\">{effects}</filter>\
         <rect width=\"90\" height=\"120\" fill=\"#FAFAF6\" filter=\"url(#f)\"/>"
    ))
}

/// A path that crosses the page so often, from side to side and up and down.
fn scribble(strokes: usize) -> String {
    let mut path = "M0 0".to_string();
    for at in 0..strokes {
        write!(path, "L{} {}", at * 37 % 91, at * 53 % 121).unwrap();
    }
    path
}

/// All but the first of a chain of such definitions, each made from its number.
fn chain(count: usize, link: &dyn Fn(usize) -> String) -> String {
    (1..count).map(link).collect()
}

/// Refused by their counts, before anything is drawn.
pub fn counted() -> Vec<Hostile> {
    let all = [filters(), repeats(), texts(), shapes()];
    all.into_iter().flatten().collect()
}

fn filters() -> Vec<Hostile> {
    let page = "<rect width=\"90\" height=\"120\" filter=\"url(#f)\"/>";
    let blur = "<feGaussianBlur stdDeviation=\"3\"/>";
    let octaves = "<feTurbulence baseFrequency=\"0.1\" numOctaves=\"2000000000\"/>";
    let octaves_inside = filtered(octaves).replace('"', "'").replace('#', "%23");
    let nested = "<g filter=\"url(#f)\">".repeat(900);
    vec![
        Hostile {
            name: "octaves.svg",
            svg: filtered(octaves),
            error: "the SVG has 2,000,000,000 octaves of turbulence; at most 16 are allowed",
        },
        Hostile {
            name: "inside.svg",
            svg: svg(&format!(
                "<image width=\"90\" height=\"120\" href=\"data:image/svg+xml;utf8,{}\"/>",
                octaves_inside.replace('<', "&lt;")
            )),
            error: "the SVG has 2,000,000,000 octaves of turbulence; at most 16 are allowed",
        },
        Hostile {
            name: "radius.svg",
            svg: svg(&format!(
                "<filter id=\"f\"><feMorphology operator=\"dilate\" radius=\"1e9\"/></filter>{}",
                page.repeat(1_000)
            )),
            error: "million steps to draw, coarse as it is; at most 4000 million are allowed",
        },
        Hostile {
            name: "kernel.svg",
            svg: svg(&format!(
                "<filter id=\"f\"><feConvolveMatrix order=\"200\" kernelMatrix=\"{}\"/></filter>{}",
                "1 ".repeat(40_000),
                page.repeat(30)
            )),
            error: "million steps to draw, coarse as it is; at most 4000 million are allowed",
        },
        Hostile {
            name: "effects.svg",
            svg: filtered(&blur.repeat(1_000)),
            error: "the SVG has 1000 filter effects on one element; at most 100 are allowed",
        },
        Hostile {
            name: "filters.svg",
            svg: svg(&format!(
                "<filter id=\"f\">{blur}</filter>{nested}{page}{}",
                "</g>".repeat(900)
            )),
            error: "the SVG has 901 nested layers; at most 64 are drawn",
        },
        Hostile {
            name: "blurred.svg",
            svg: svg(&format!(
                "<filter id=\"f\" filterUnits=\"userSpaceOnUse\" x=\"-1e9\" y=\"-1e9\" \
                 width=\"2e9\" height=\"2e9\"><feGaussianBlur stdDeviation=\"1e9\"/></filter>{}",
                page.repeat(1_000)
            )),
            error: "million steps to draw, coarse as it is; at most 4000 million are allowed",
        },
    ]
}

fn repeats() -> Vec<Hostile> {
    let doubled = |at: usize| {
        let before = at - 1;
        format!("<g id=\"a{at}\"><use href=\"#a{before}\"/><use href=\"#a{before}\"/></g>")
    };
    let marked = |at: usize| {
        let before = at - 1;
        format!(
            "<marker id=\"m{at}\"><path d=\"M0 0{}\" marker-mid=\"url(#m{before})\"/></marker>",
            "h1".repeat(9)
        )
    };
    let linked = |at: usize| format!("<g id=\"a{at}\"><use href=\"#a{}\"/></g>", at - 1);
    let first = "<rect id=\"a0\" width=\"9\" height=\"9\"/>";
    vec![
        Hostile {
            name: "uses.svg",
            svg: svg(&format!(
                "<defs>{first}{}</defs><use href=\"#a29\"/>",
                chain(30, &doubled)
            )),
            error: "elements, repeats included; at most 200,000 are allowed",
        },
        Hostile {
            name: "markers.svg",
            svg: svg(&format!(
                "<marker id=\"m0\"><path d=\"M0 0h1v1z\"/></marker>{}\
                 <path d=\"M0 0h1h1\" style=\"marker-mid:url(#m9)\"/>",
                chain(10, &marked)
            )),
            error: "elements, repeats included; at most 200,000 are allowed",
        },
        Hostile {
            name: "chain.svg",
            svg: svg(&format!(
                "<use href=\"#a49999\"/><defs>{first}{}</defs>",
                chain(50_000, &linked)
            )),
            error: "the SVG has elements more than 1000 deep inside one another",
        },
    ]
}

fn texts() -> Vec<Hostile> {
    vec![
        Hostile {
            name: "letters.svg",
            svg: svg(&format!("<text y=\"60\">{}</text>", "ab ".repeat(350_000))),
            error: "the SVG has 1,050,000 letters in one text; at most 10,000 are allowed",
        },
        Hostile {
            name: "spans.svg",
            svg: svg(&format!(
                "<text y=\"60\">{}</text>",
                "<tspan>a</tspan>".repeat(5_000)
            )),
            error: "the SVG has 5000 spans in one text; at most 500 are allowed",
        },
        Hostile {
            name: "attributes.svg",
            svg: svg(&format!(
                "<rect {}/>",
                (0..100_000).fold(String::new(), |mut text, at| {
                    write!(text, "a{at}=\"1\" ").unwrap();
                    text
                })
            )),
            error: "the SVG has 100,000 attributes on one element; at most 1000 are allowed",
        },
        Hostile {
            name: "styles.svg",
            svg: svg(&format!(
                "<rect style=\"{}\"/>",
                "fill:#000;".repeat(100_000)
            )),
            error: "the SVG has 100,000 styles on one element; at most 1000 are allowed",
        },
        Hostile {
            name: "rules.svg",
            svg: svg(&format!(
                "<style>{}</style>{}",
                ".tide{fill:#000}".repeat(20_000),
                "<rect class=\"tide\"/>".repeat(20_000)
            )),
            error: "the SVG has 20,000 style rules for 20,002 elements; at most 999 are allowed",
        },
    ]
}

fn shapes() -> Vec<Hostile> {
    vec![
        Hostile {
            name: "scribble.svg",
            svg: svg(&format!("<path d=\"{}\"/>", scribble(700_000))),
            error: "million steps to draw, coarse as it is; at most 4000 million are allowed",
        },
        Hostile {
            name: "shapes.svg",
            svg: svg(&format!(
                "<path id=\"a\" d=\"M0 0{}\"/>{}",
                "h1".repeat(10_000),
                "<use href=\"#a\"/>".repeat(10_000)
            )),
            error: "corners in its shapes, repeats included; at most 2,000,000 are allowed",
        },
        Hostile {
            name: "layers.svg",
            svg: svg(&"<g opacity=\"0.9\"><rect width=\"90\" height=\"120\"/></g>".repeat(60_000)),
            error: "million steps to draw, coarse as it is; at most 4000 million are allowed",
        },
        Hostile {
            name: "stops.svg",
            svg: svg(&format!(
                "<linearGradient id=\"g\">{}</linearGradient>\
                 <rect width=\"90\" height=\"120\" fill=\"url(#g)\"/>",
                "<stop offset=\"0.5\"/>".repeat(100_000)
            )),
            error: "the SVG has 100,000 colours in one gradient; at most 1000 are allowed",
        },
    ]
}

/// Dashes are not counted: only the limit of time ends it.
pub fn endless() -> Hostile {
    let dashed = "<path fill=\"none\" stroke=\"#000\" stroke-dasharray=\"0.0001\" d=\"M0 0H90\"/>";
    Hostile {
        name: "dashes.svg",
        svg: svg(&dashed.repeat(2_000)),
        error: "the SVG takes longer than 5 seconds to draw",
    }
}

/// A picture inside that is unpacked to more than the limit of memory: within its own limit.
pub fn vast() -> Hostile {
    let side = 8_190;
    let pixels = image::RgbImage::new(side, side);
    let mut bytes = std::io::Cursor::new(Vec::new());
    pixels
        .write_to(&mut bytes, image::ImageFormat::Png)
        .expect("a PNG");
    Hostile {
        name: "vast.svg",
        svg: svg(&format!(
            "<image width=\"90\" height=\"120\" href=\"data:image/png;base64,{}\"/>",
            base64(&bytes.into_inner())
        )),
        error: "the SVG takes more than 512 MiB of memory to draw",
    }
}

/// Bytes as text (RFC 4648, section 4).
pub fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let word = (0..3).fold(0, |word, at| {
            word << 8 | u32::from(*three.get(at).unwrap_or(&0))
        });
        for at in 0..4 {
            let digit = DIGITS[(word >> (18 - 6 * at) & 63) as usize];
            text.push(if at > three.len() {
                '='
            } else {
                char::from(digit)
            });
        }
    }
    text
}
