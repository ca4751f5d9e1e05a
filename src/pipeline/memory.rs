//! What the making of one chart may leave to that of the next: of the same picture in the same place, the light that falls on each bead; of the same motif, its seat.

use super::{Decoded, Options};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::lattice::{Axis, Lattice};
use crate::palette::Tone;
use crate::picture::{Arrangement, Plan, plan};
use crate::quantize::limit::Known;
use crate::quantize::refine;
use crate::sample::{Sample, finely, sample};
use crate::vision::band::FINE;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Placings that are remembered.
const KEPT: usize = 4;
/// Samples that are remembered of one placing, at most: 13 MB. Ours.
const MOST: usize = 400_000;
/// Seats that are remembered, each with the palette that it was found for: 1 MB at most of 240 colours. Ours.
const SEATS: usize = 32;

/// What is remembered. A chart made with it is the very chart that is made without.
pub struct Memory {
    laid: Mutex<VecDeque<(Key, Arc<Laid>)>>,
    seats: Mutex<VecDeque<(Motif, Arrangement)>>,
    /// The colours that were chosen last under a limit.
    pub limit: Known,
}

impl Default for Memory {
    fn default() -> Self {
        Self {
            laid: Mutex::default(),
            seats: Mutex::default(),
            limit: Known::remembering(),
        }
    }
}

#[derive(PartialEq)]
struct Key {
    sha256: String,
    lattice: Lattice,
    how: Arrangement,
}

/// All that the search for a seat depends on. The dither, what the drawer holds, the title and where the length came from are not among it.
#[derive(PartialEq)]
struct Motif {
    sha256: String,
    lattice: Lattice,
    how: Arrangement,
    tones: Vec<Tone>,
    ground: Option<usize>,
    crisp: f64,
    mirror: Vec<Axis>,
    limit: Option<usize>,
    keep: Vec<usize>,
    without: Vec<usize>,
    fine: Option<refine::Options>,
}

/// A picture laid on a band.
pub struct Laid {
    /// Where it lies.
    pub plan: Plan,
    /// What falls on each bead.
    pub samples: Vec<Sample>,
    fine: Mutex<Option<Arc<Vec<Sample>>>>,
}

impl Laid {
    fn new(decoded: &Decoded, lattice: &Lattice, plan: Plan, cancel: &Cancel) -> Result<Self> {
        Ok(Self {
            samples: sample(&decoded.picture, &plan, lattice, cancel)?,
            plan,
            fine: Mutex::default(),
        })
    }

    /// What falls on each tile of the band, as the eye is to compare it.
    ///
    /// # Errors
    /// As [`finely`].
    pub fn fine(
        &self,
        decoded: &Decoded,
        lattice: &Lattice,
        cancel: &Cancel,
    ) -> Result<Arc<Vec<Sample>>> {
        if let Some(fine) = &*self.fine.lock().unwrap_or_else(PoisonError::into_inner) {
            return Ok(Arc::clone(fine));
        }
        let fine = Arc::new(finely(
            &decoded.picture,
            &self.plan,
            lattice,
            FINE as u32,
            cancel,
        )?);
        if fine.len() <= MOST {
            *self.fine.lock().unwrap_or_else(PoisonError::into_inner) = Some(Arc::clone(&fine));
        }
        Ok(fine)
    }
}

impl Memory {
    /// The picture laid on the band.
    ///
    /// # Errors
    /// As [`plan()`] and [`sample()`], the latter through `missing`, which is given what the plan noticed.
    pub fn laid(
        &self,
        decoded: &Decoded,
        lattice: &Lattice,
        how: &Arrangement,
        cancel: &Cancel,
        missing: impl FnOnce(crate::error::Error, &Plan) -> crate::error::Error,
    ) -> Result<Arc<Laid>> {
        let key = Key {
            sha256: decoded.sha256.clone(),
            lattice: *lattice,
            how: *how,
        };
        if let Some(laid) = self.find(&key) {
            return Ok(laid);
        }
        let picture = &decoded.picture;
        let plan = plan(picture.upright(), picture.orientation, lattice, how)?;
        let laid = Laid::new(decoded, lattice, plan.clone(), cancel);
        let laid = Arc::new(laid.map_err(|error| missing(error, &plan))?);
        if laid.samples.len() <= MOST {
            let mut all = self.laid.lock().unwrap_or_else(PoisonError::into_inner);
            all.push_front((key, Arc::clone(&laid)));
            all.truncate(KEPT);
        }
        Ok(laid)
    }

    fn find(&self, key: &Key) -> Option<Arc<Laid>> {
        find(&self.laid, key)
    }

    /// The arrangement with its seat decided, by `search` where it is not known.
    ///
    /// # Errors
    /// What `search` says.
    pub fn seated(
        &self,
        decoded: &Decoded,
        tones: &[Tone],
        options: &Options,
        search: impl FnOnce() -> Result<Arrangement>,
    ) -> Result<Arrangement> {
        let choice = &options.choice;
        let key = Motif {
            sha256: decoded.sha256.clone(),
            lattice: options.lattice,
            how: options.arrangement,
            tones: tones.to_vec(),
            ground: options.ground,
            crisp: options.crisp,
            mirror: options.mirror.clone(),
            limit: choice.limit,
            keep: choice.keep.clone(),
            without: choice.without.clone(),
            fine: choice.fine.clone(),
        };
        if let Some(how) = find(&self.seats, &key) {
            return Ok(how);
        }
        let how = search()?;
        let mut all = self.seats.lock().unwrap_or_else(PoisonError::into_inner);
        all.push_front((key, how));
        all.truncate(SEATS);
        Ok(how)
    }
}

/// What is remembered under a key, which is in front from now on.
fn find<K: PartialEq, T: Clone>(all: &Mutex<VecDeque<(K, T)>>, key: &K) -> Option<T> {
    let mut all = all.lock().unwrap_or_else(PoisonError::into_inner);
    let at = all.iter().position(|(known, _)| known == key)?;
    let kept = all.remove(at)?;
    let found = kept.1.clone();
    all.push_front(kept);
    Some(found)
}
