//! A scene as SVG: sizes in millimetres, text as text, one definition for all beads of a shape.

mod parts;
mod relief;

use crate::colour::hex;
use crate::scene::{
    Anchor, Beads, Figures, Group, Item, Line, Paint, Placed, Scene, Shape, Text, Weight, clean,
    count_of, font,
};
pub(super) use parts::escaped;
use parts::{number, push, short};

/// What the document is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Purpose {
    /// Programs that show or edit SVG: all of the scene, lengths in millimetres.
    View,
    /// Our own rasteriser, which paints the beads itself and has no tabular figures: no backdrop,
    /// no beads, one unit to the millimetre, figures placed one by one.
    Rasterise,
}

/// The scene as an SVG document; the same scene gives the same bytes.
///
/// Width and height are in millimetres and so is the coordinate system. Each colour's beads are one
/// group, titled with name and count. Text names the family Inter and falls back to what there is;
/// the font itself is not embedded.
pub fn svg(scene: &Scene) -> String {
    svg_for(scene, Purpose::View)
}

pub(super) fn svg_for(scene: &Scene, purpose: Purpose) -> String {
    let mut shapes = Vec::new();
    if purpose == Purpose::View {
        gather(&scene.items, &scene.paints, &mut shapes);
    }
    let mut writer = Writer {
        out: String::new(),
        scene,
        purpose,
        shapes,
    };
    writer.head();
    writer.items(&scene.items);
    writer.out.push_str("</svg>\n");
    writer.out
}

/// The shapes of a drawing: each once, and whether beads with an outline have it.
fn gather(items: &[Item], paints: &[Paint], shapes: &mut Vec<(Shape, bool)>) {
    for item in items {
        match item {
            Item::Group(group) => gather(&group.items, paints, shapes),
            Item::Beads(beads) => {
                let lined = |bead: &Placed| paints[usize::from(bead.paint)].outline.is_some();
                let lined = beads.placed.iter().any(lined);
                match shapes.iter_mut().find(|(shape, _)| *shape == beads.shape) {
                    Some((_, known)) => *known |= lined,
                    None => shapes.push((beads.shape, lined)),
                }
            }
            _ => {}
        }
    }
}

struct Writer<'a> {
    out: String,
    scene: &'a Scene,
    purpose: Purpose,
    shapes: Vec<(Shape, bool)>,
}

impl Writer<'_> {
    fn head(&mut self) {
        let (scene, out) = (self.scene, &mut self.out);
        let unit = if self.purpose == Purpose::View {
            "mm"
        } else {
            ""
        };
        let (width, height) = (short(scene.width), short(scene.height));
        push(
            out,
            format_args!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}{unit}\" \
                 height=\"{height}{unit}\" viewBox=\"0 0 {width} {height}\" "
            ),
        );
        push(
            out,
            format_args!("font-family=\"{}, system-ui, sans-serif\"", font::FAMILY),
        );
        if self.purpose == Purpose::Rasterise {
            out.push_str(">\n");
            return;
        }
        out.push_str(
            " role=\"graphics-document document\" aria-labelledby=\"title\" \
             aria-describedby=\"about\">\n",
        );
        push(
            out,
            format_args!("<title id=\"title\">{}</title>\n", escaped(&scene.title)),
        );
        push(
            out,
            format_args!(
                "<desc id=\"about\">{}</desc>\n",
                escaped(&scene.description)
            ),
        );
        out.push_str("<style>.n{font-variant-numeric:tabular-nums}</style>\n");
        self.definitions();
        if let Some(backdrop) = scene.backdrop {
            let colour = hex(backdrop);
            push(
                &mut self.out,
                format_args!("<rect width=\"{width}\" height=\"{height}\" fill=\"#{colour}\"/>\n"),
            );
        }
    }

    /// A rectangle for each shape, and a slightly smaller one where a line runs round it, so that
    /// the line stays inside the shape.
    fn definitions(&mut self) {
        let out = &mut self.out;
        out.push_str("<defs>\n");
        relief::sheens(&self.scene.paints, out);
        for (at, (shape, lined)) in self.shapes.iter().enumerate() {
            let (width, height) = (short(shape.width), short(shape.height));
            let corner = short(shape.corner);
            if let Some(relief) = &shape.relief {
                relief::shape(at, shape, relief, out);
                continue;
            }
            push(
                out,
                format_args!(
                    "<rect id=\"b{at}\" width=\"{width}\" height=\"{height}\" rx=\"{corner}\"/>\n"
                ),
            );
            if *lined {
                let (line, half) = (shape.outline, shape.outline / 2.0);
                push(
                    out,
                    format_args!(
                        "<rect id=\"l{at}\" x=\"{0}\" y=\"{0}\" width=\"{1}\" height=\"{2}\" \
                         rx=\"{3}\" stroke-width=\"{4}\"/>\n",
                        short(half),
                        short(shape.width - line),
                        short(shape.height - line),
                        short(shape.corner - half),
                        short(line),
                    ),
                );
            }
        }
        out.push_str("</defs>\n");
    }

    fn items(&mut self, items: &[Item]) {
        for item in items {
            match item {
                Item::Group(group) => self.group(group),
                Item::Beads(beads) if self.purpose == Purpose::View => self.beads(beads),
                Item::Beads(_) => {}
                Item::Line(line) => self.line(line),
                Item::Text(text) => self.text(text),
                Item::Path(path) => parts::path(&mut self.out, path),
            }
        }
    }

    fn group(&mut self, group: &Group) {
        push(
            &mut self.out,
            format_args!(
                "<g role=\"group\" aria-label=\"{}\">\n",
                escaped(&group.title)
            ),
        );
        self.items(&group.items);
        self.out.push_str("</g>\n");
    }

    /// The beads, colour by colour.
    fn beads(&mut self, beads: &Beads) {
        let shape = self
            .shapes
            .iter()
            .position(|(shape, _)| *shape == beads.shape)
            .unwrap_or(0);
        let mut by_paint: Vec<Vec<&Placed>> = vec![Vec::new(); self.scene.paints.len()];
        for bead in &beads.placed {
            by_paint[usize::from(bead.paint)].push(bead);
        }
        for (at, (paint, placed)) in self.scene.paints.iter().zip(by_paint).enumerate() {
            if placed.is_empty() {
                continue;
            }
            let out = &mut self.out;
            if paint.sheen.is_empty() {
                push(out, format_args!("<g fill=\"#{}\"", hex(paint.shade.srgb)));
            } else {
                push(out, format_args!("<g fill=\"url(#s{at})\""));
            }
            let kind = match paint.outline {
                Some(outline) => {
                    push(out, format_args!(" stroke=\"#{}\"", hex(outline)));
                    'l'
                }
                None => 'b',
            };
            let name = escaped(&clean(&paint.shade.name));
            push(
                out,
                format_args!("><title>{name} {}</title>\n", count_of(paint.count)),
            );
            for bead in placed {
                push(out, format_args!("<use href=\"#{kind}{shape}\" x=\""));
                number(out, bead.left);
                out.push_str("\" y=\"");
                number(out, bead.top);
                out.push_str("\"/>\n");
            }
            out.push_str("</g>\n");
        }
    }

    fn line(&mut self, line: &Line) {
        let [x1, y1, x2, y2] = [line.from.x, line.from.y, line.to.x, line.to.y].map(short);
        push(
            &mut self.out,
            format_args!(
                "<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" \
                 stroke=\"#{}\" stroke-width=\"{}\"/>\n",
                hex(line.colour),
                short(line.thickness)
            ),
        );
    }

    fn text(&mut self, text: &Text) {
        let one_by_one = self.purpose == Purpose::Rasterise && text.figures == Figures::Tabular;
        let (x, anchor) = if one_by_one {
            (letter_middles(text), " text-anchor=\"middle\"")
        } else {
            let anchor = match text.anchor {
                Anchor::Start => "",
                Anchor::Middle => " text-anchor=\"middle\"",
                Anchor::End => " text-anchor=\"end\"",
            };
            (short(text.x), anchor)
        };
        let weight = match text.weight {
            Weight::Regular => "",
            Weight::Semibold => " font-weight=\"600\"",
        };
        let class = match (self.purpose, text.figures) {
            (Purpose::View, Figures::Tabular) => " class=\"n\"",
            _ => "",
        };
        push(
            &mut self.out,
            format_args!(
                "<text x=\"{x}\" y=\"{}\" font-size=\"{}\"{anchor}{weight}{class} \
                 fill=\"#{}\">{}</text>\n",
                short(text.baseline),
                short(text.size),
                hex(text.colour),
                escaped(&text.words)
            ),
        );
    }
}

/// The x of the middle of each letter, all figures taking one width.
fn letter_middles(text: &Text) -> String {
    let wide = |words: &str| font::width(words, text.size, text.weight, text.figures);
    let whole = wide(&text.words);
    let mut left = match text.anchor {
        Anchor::Start => text.x,
        Anchor::Middle => text.x - whole / 2.0,
        Anchor::End => text.x - whole,
    };
    let mut places = Vec::new();
    for letter in text.words.chars() {
        let own = wide(letter.encode_utf8(&mut [0; 4]));
        places.push(short(left + own / 2.0));
        left = left + own;
    }
    places.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Srgb8;
    use crate::units::Mm;

    #[test]
    fn tabular_figures_take_one_width() {
        let text = Text {
            x: Mm::new(10.0),
            baseline: Mm::new(5.0),
            size: Mm::new(2.0),
            weight: Weight::Regular,
            anchor: Anchor::End,
            figures: Figures::Tabular,
            colour: Srgb8::new(0, 0, 0),
            words: "111".to_string(),
        };
        // 1328 of 2048 at 2 mm: 1.297 mm each, the last one ending at 10 mm.
        assert_eq!(letter_middles(&text), "6.758 8.055 9.352");
    }
}
