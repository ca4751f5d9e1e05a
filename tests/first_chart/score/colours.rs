//! Which bead of a palette is a flat colour's own.

use upbead::colour::{Lab, ciede2000};
use upbead::palette::Palette;

/// How much a difference in lightness counts beside one in hue and chroma. Ours.
const LIGHTNESS: f64 = 0.25;
/// How much worse its second bead may be for a colour that shares its nearest with another, before
/// sharing is right. Ours.
const FAR: f64 = 10.0;

/// The beads of a palette by how near they are to one colour.
pub struct Ranked {
    /// Places in the palette, nearest first.
    order: Vec<usize>,
    /// Differences in the order of the palette.
    apart: Vec<f64>,
    /// The nearest if hue counts before lightness.
    by_hue: usize,
}

impl Ranked {
    fn new(palette: &[Lab], own: Lab) -> Self {
        let apart: Vec<f64> = palette.iter().map(|&bead| ciede2000(own, bead)).collect();
        let mut order: Vec<usize> = (0..palette.len()).collect();
        order.sort_by(|&a, &b| apart[a].total_cmp(&apart[b]));
        let hue_first = |at: usize| {
            let bead = palette[at];
            let alike = ciede2000(own, Lab { l: own.l, ..bead });
            alike + LIGHTNESS * (own.l - bead.l).abs()
        };
        let hue = (0..palette.len()).min_by(|&a, &b| hue_first(a).total_cmp(&hue_first(b)));
        Self {
            by_hue: hue.unwrap_or_default(),
            order,
            apart,
        }
    }

    fn is_near(&self, bead: usize) -> bool {
        self.order[0] == bead || self.by_hue == bead
    }
}

/// The art's colours against a palette; none is clear ground.
pub struct Own {
    ranked: Vec<Option<Ranked>>,
}

impl Own {
    pub fn new(palette: &Palette, colours: &[Option<Lab>]) -> Self {
        let beads: Vec<Lab> = palette.tones().iter().map(|tone| tone.lab).collect();
        let rank = |colour: &Option<Lab>| colour.map(|own| Ranked::new(&beads, own));
        Self {
            ranked: colours.iter().map(rank).collect(),
        }
    }

    /// How many other colours of the art have the same nearest bead as one.
    fn rivals(&self, label: usize) -> usize {
        let Some(own) = &self.ranked[label] else {
            return 0;
        };
        let others = self
            .ranked
            .iter()
            .enumerate()
            .filter(|(at, _)| *at != label);
        let near = |other: &Ranked| other.is_near(own.order[0]) || other.is_near(own.by_hue);
        others
            .filter(|(_, other)| other.as_ref().is_some_and(near))
            .count()
    }

    /// Whether a bead is a colour's own: its nearest by CIEDE2000 or with hue before lightness, or
    /// where colours have to be kept apart one of the next.
    pub fn holds(&self, label: usize, bead: usize) -> bool {
        let Some(own) = &self.ranked[label] else {
            return true;
        };
        let rivals = self.rivals(label);
        let next = if rivals > 0 { rivals + 1 } else { 1 };
        own.is_near(bead) || own.order.iter().take(next).any(|&at| at == bead)
    }

    /// A bead for each colour: its own, or the next where another has it. Clear ground takes the
    /// bead that differs most from all of them.
    pub fn chosen(&self) -> Vec<usize> {
        let mut taken: Vec<Option<usize>> = Vec::new();
        for own in &self.ranked {
            let free = |bead: &&usize| !taken.contains(&Some(**bead));
            taken.push(
                own.as_ref()
                    .map(|own| *own.order.iter().find(free).unwrap_or(&own.order[0])),
            );
        }
        let known: Vec<&Ranked> = self.ranked.iter().flatten().collect();
        let least = |bead: usize| {
            let apart = known.iter().map(|own| own.apart[bead]);
            apart.fold(f64::INFINITY, f64::min)
        };
        let beads = known.first().map_or(0, |own| own.order.len());
        let free = (0..beads).filter(|bead| !taken.contains(&Some(*bead)));
        let ground = free
            .max_by(|&a, &b| least(a).total_cmp(&least(b)))
            .unwrap_or(0);
        taken
            .into_iter()
            .map(|bead| bead.unwrap_or(ground))
            .collect()
    }

    /// Whether two colours may share a bead, as the palette has nothing near enough for both.
    pub fn may_share(&self, one: usize, two: usize) -> bool {
        let far = |label: usize| {
            let own = self.ranked[label].as_ref()?;
            let second = *own.order.get(1)?;
            Some(own.apart[second] - own.apart[own.order[0]] > FAR)
        };
        far(one).unwrap_or(true) && far(two).unwrap_or(true)
    }
}
