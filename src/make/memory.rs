//! What the making of one chart may leave to that of the next: of the same picture in the same place, the light that falls on each bead.

use super::Decoded;
use crate::choose::limit::Known;
use crate::error::Result;
use crate::eye::band::FINE;
use crate::lattice::Lattice;
use crate::picture::{Arrangement, Plan, plan};
use crate::sample::{Sample, finely, sample};
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Placings that are remembered.
const KEPT: usize = 4;
/// Samples that are remembered of one placing, at most: 13 MB. Ours.
const MOST: usize = 400_000;

/// What is remembered. A chart made with it is the very chart that is made without.
pub struct Memory {
    laid: Mutex<VecDeque<(Key, Arc<Laid>)>>,
    /// The colours that were chosen last under a limit.
    pub limit: Known,
}

impl Default for Memory {
    fn default() -> Self {
        Self {
            laid: Mutex::default(),
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

/// A picture laid on a band.
pub struct Laid {
    /// Where it lies.
    pub plan: Plan,
    /// What falls on each bead.
    pub samples: Vec<Sample>,
    fine: Mutex<Option<Arc<Vec<Sample>>>>,
}

impl Laid {
    fn new(decoded: &Decoded, lattice: &Lattice, plan: Plan) -> Result<Self> {
        Ok(Self {
            samples: sample(&decoded.picture, &plan, lattice)?,
            plan,
            fine: Mutex::default(),
        })
    }

    /// What falls on each tile of the band, as the eye is to compare it.
    ///
    /// # Errors
    /// As [`finely`].
    pub fn fine(&self, decoded: &Decoded, lattice: &Lattice) -> Result<Arc<Vec<Sample>>> {
        if let Some(fine) = &*self.fine.lock().unwrap_or_else(PoisonError::into_inner) {
            return Ok(Arc::clone(fine));
        }
        let fine = Arc::new(finely(&decoded.picture, &self.plan, lattice, FINE as u32)?);
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
        let laid = Laid::new(decoded, lattice, plan.clone());
        let laid = Arc::new(laid.map_err(|error| missing(error, &plan))?);
        if laid.samples.len() <= MOST {
            let mut all = self.laid.lock().unwrap_or_else(PoisonError::into_inner);
            all.push_front((key, Arc::clone(&laid)));
            all.truncate(KEPT);
        }
        Ok(laid)
    }

    fn find(&self, key: &Key) -> Option<Arc<Laid>> {
        let mut all = self.laid.lock().unwrap_or_else(PoisonError::into_inner);
        let at = all.iter().position(|(known, _)| known == key)?;
        let kept = all.remove(at)?;
        let laid = Arc::clone(&kept.1);
        all.push_front(kept);
        Some(laid)
    }
}
