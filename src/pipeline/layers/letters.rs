//! Letters on a band: their beads, and the colour that they have.

use super::{Paint, Painted, Painter};
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lettering::{self, layout};
use crate::pipeline::ground;
use crate::request::Mirror;
use crate::request::design::{Layer, Letters};
use crate::vision::contrast::{WELL, ratio};
use crate::warning::Warning;

impl Painter<'_> {
    /// Letters above what `below` gives the beads.
    pub(super) fn letters(&self, own: &Letters, below: &[Option<Paint>]) -> Result<Painted> {
        if self.options.mirror != Mirror::None {
            return Err(
                Error::usage("a band with letters has no mirror image that can be read")
                    .option("mirror")
                    .hint("leave it out, or leave out the letters"),
            );
        }
        let laid = layout(&own.on(self.lattice())?, self.lattice())?;
        let around = self.around(own, &laid, below);
        let ink = self.ink(own, around)?;
        let clear = own.is_clear.then_some(&laid.around);
        let clear = clear.into_iter().flatten();
        let beads = clear.map(|&bead| (bead, Paint::Ground));
        let inked = laid.ink.iter().map(|&bead| (bead, Paint::Ink(ink)));
        let colour = &self.palette.colours()[ink];
        let decided = Letters {
            ink: Some(colour.code.clone()),
            height: laid.height,
            ..own.clone()
        };
        Ok(Painted {
            beads: beads.chain(inked).collect(),
            soft: false,
            decided: Layer::Letters(Box::new(decided)),
            notes: notes(
                own,
                &laid,
                &colour.name,
                ratio(self.tones[ink].light, around),
            ),
        })
    }

    /// The mean light of the beads around letters.
    fn around(&self, own: &Letters, laid: &lettering::Letters, below: &[Option<Paint>]) -> Light {
        let ground = || {
            let (samples, _) = self.lights_and_inks(below);
            let given = self.options.ground;
            let choice = self.choice();
            let at = ground::choose(&samples, false, self.tones, given, self.lattice(), &choice);
            self.tones[at].light
        };
        let is_bare = |&bead: &usize| matches!(below[bead], None | Some(Paint::Ground));
        let ground = (own.is_clear || laid.around.iter().any(is_bare)).then(ground);
        let mut sum = Light::new(0.0, 0.0, 0.0);
        for &bead in &laid.around {
            let light = match below[bead] {
                Some(Paint::Light(light)) if !own.is_clear => Some(light),
                Some(Paint::Ink(at)) if !own.is_clear => Some(self.tones[at].light),
                _ => ground,
            };
            sum += light.unwrap_or(sum);
        }
        sum / laid.around.len().max(1) as f64
    }

    /// The colour of letters: the one that is named, or the one of the highest contrast.
    fn ink(&self, own: &Letters, around: Light) -> Result<usize> {
        let without = &self.options.choice.without;
        if let Some(code) = &own.ink {
            let ink = self.palette.find(code)?;
            if without.contains(&ink) {
                let code = &self.palette.colours()[ink].code;
                return Err(Error::usage(format!(
                    "'{code}' is the colour of letters and left out at once"
                ))
                .option("without")
                .hint("name another colour for the letters, or leave it out here"));
            }
            return Ok(ink);
        }
        let contrast = |at: usize| ratio(self.tones[at].light, around);
        let allowed = (0..self.tones.len()).filter(|at| !without.contains(at));
        // Of equally good ones the first in the palette.
        let best = allowed
            .rev()
            .max_by(|&one, &other| contrast(one).total_cmp(&contrast(other)));
        best.ok_or_else(|| {
            Error::usage("no colour is left for the letters")
                .option("without")
                .hint("rule out fewer colours")
        })
    }
}

fn notes(own: &Letters, laid: &lettering::Letters, ink: &str, contrast: f64) -> Vec<Warning> {
    let set = Warning::LettersSet {
        text: own.text.trim().to_string(),
        height: laid.height.map(lettering::Height::columns),
        columns: laid.columns,
        rows: laid.rows,
        ink: ink.to_string(),
        contrast,
        steps: laid.steps,
    };
    let faint = (contrast < WELL).then(|| Warning::LettersFaint {
        text: own.text.trim().to_string(),
        ink: ink.to_string(),
        contrast,
    });
    [set].into_iter().chain(faint).collect()
}
