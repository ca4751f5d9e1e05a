//! What one chart may reuse of the last: of the same picture in the same place, the light that
//! falls on each bead; of the same motif, its position.

use super::{Decoded, Options};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::lattice::{Lattice, Rectangle};
use crate::palette::Tone;
use crate::picture::{Arrangement, Plan, plan};
use crate::quantize::limit;
use crate::quantize::refine;
use crate::request::Mirror;
use crate::sample::{Sample, sample, sample_tiles};
use crate::units::Mm;
use crate::vision::band::TILES;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Samplings that are kept.
const KEPT: usize = 4;
/// Most samples of one sampling that are kept: 13 MB. Ours.
const MOST: usize = 400_000;
/// Positions that are kept, each with the palette that it was found for: 1 MB at most of 240
/// colours. Ours.
const POSITIONS: usize = 32;

/// Results of earlier charts. A chart made with it equals the chart made without.
pub struct Cache {
    sampled: Mutex<VecDeque<(SampleKey, Arc<Sampled>)>>,
    positions: Mutex<VecDeque<(PositionKey, Arrangement)>>,
    /// Earlier selections of colours under a limit.
    pub colours: limit::Cache,
}

impl Default for Cache {
    fn default() -> Self {
        Self {
            sampled: Mutex::default(),
            positions: Mutex::default(),
            colours: limit::Cache::remembering(),
        }
    }
}

#[derive(PartialEq)]
struct SampleKey {
    sha256: String,
    lattice: Lattice,
    arrangement: Arrangement,
}

/// All that the search for a position depends on. The dither, the stock, the title and the source
/// of the length do not matter.
#[derive(PartialEq)]
struct PositionKey {
    sha256: String,
    lattice: Lattice,
    arrangement: Arrangement,
    tones: Vec<Tone>,
    ground: Option<usize>,
    crisp: f64,
    flat: bool,
    mirror: Mirror,
    limit: Option<usize>,
    keep: Vec<usize>,
    without: Vec<usize>,
    refine: Option<refine::Goal>,
}

/// A picture sampled for a band.
pub struct Sampled {
    /// How it is placed.
    pub plan: Plan,
    /// What falls on each bead.
    pub samples: Vec<Sample>,
    tiles: Mutex<Option<Arc<Vec<Sample>>>>,
}

impl Sampled {
    fn new(decoded: &Decoded, lattice: &Lattice, plan: Plan, cancel: &Cancel) -> Result<Self> {
        Ok(Self {
            samples: sample(&decoded.picture, &plan, lattice, cancel)?,
            plan,
            tiles: Mutex::default(),
        })
    }

    /// A band whose beads are known one by one, without a plan of one picture.
    pub fn composed(samples: Vec<Sample>, lattice: &Lattice) -> Self {
        let zero = Mm::new(0.0);
        Self {
            plan: Plan {
                tiles: Vec::new(),
                rotated: 0,
                kept: 1.0,
                area: Rectangle {
                    left: zero,
                    right: lattice.width(),
                    bottom: zero,
                    top: lattice.picture_height(),
                },
                alike: None,
                notes: Vec::new(),
            },
            samples,
            tiles: Mutex::default(),
        }
    }

    /// What falls on each tile of the band, for the comparison.
    ///
    /// # Errors
    /// As [`sample_tiles`].
    pub fn tiles(
        &self,
        decoded: &Decoded,
        lattice: &Lattice,
        cancel: &Cancel,
    ) -> Result<Arc<Vec<Sample>>> {
        if let Some(tiles) = &*self.tiles.lock().unwrap_or_else(PoisonError::into_inner) {
            return Ok(Arc::clone(tiles));
        }
        let tiles = Arc::new(sample_tiles(
            &decoded.picture,
            &self.plan,
            lattice,
            TILES as u32,
            cancel,
        )?);
        if tiles.len() <= MOST {
            *self.tiles.lock().unwrap_or_else(PoisonError::into_inner) = Some(Arc::clone(&tiles));
        }
        Ok(tiles)
    }
}

impl Cache {
    /// The picture sampled for the band.
    ///
    /// # Errors
    /// As [`plan()`] and [`sample()`], the latter through `missing`, which also gets the plan.
    pub fn sampled(
        &self,
        decoded: &Decoded,
        lattice: &Lattice,
        arrangement: &Arrangement,
        cancel: &Cancel,
        missing: impl FnOnce(crate::error::Error, &Plan) -> crate::error::Error,
    ) -> Result<Arc<Sampled>> {
        let key = SampleKey {
            sha256: decoded.sha256.clone(),
            lattice: *lattice,
            arrangement: *arrangement,
        };
        if let Some(sampled) = self.find(&key) {
            return Ok(sampled);
        }
        let picture = &decoded.picture;
        let plan = plan(picture.upright(), picture.orientation, lattice, arrangement)?;
        let sampled = Sampled::new(decoded, lattice, plan.clone(), cancel);
        let sampled = Arc::new(sampled.map_err(|error| missing(error, &plan))?);
        if sampled.samples.len() <= MOST {
            let mut all = self.sampled.lock().unwrap_or_else(PoisonError::into_inner);
            all.push_front((key, Arc::clone(&sampled)));
            all.truncate(KEPT);
        }
        Ok(sampled)
    }

    fn find(&self, key: &SampleKey) -> Option<Arc<Sampled>> {
        find(&self.sampled, key)
    }

    /// The arrangement with its position decided, by `search` where it is not known.
    ///
    /// # Errors
    /// As `search`.
    pub fn positioned(
        &self,
        decoded: &Decoded,
        tones: &[Tone],
        options: &Options,
        search: impl FnOnce() -> Result<Arrangement>,
    ) -> Result<Arrangement> {
        let choice = &options.choice;
        let key = PositionKey {
            sha256: decoded.sha256.clone(),
            lattice: options.lattice,
            arrangement: options.arrangement,
            tones: tones.to_vec(),
            ground: options.ground,
            crisp: options.crisp,
            flat: options.flat,
            mirror: options.mirror,
            limit: choice.limit,
            keep: choice.keep.clone(),
            without: choice.without.clone(),
            refine: choice.refine.clone(),
        };
        if let Some(arrangement) = find(&self.positions, &key) {
            return Ok(arrangement);
        }
        let arrangement = search()?;
        let mut all = self
            .positions
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        all.push_front((key, arrangement));
        all.truncate(POSITIONS);
        Ok(arrangement)
    }
}

/// The value of a key, which is in front from now on.
fn find<K: PartialEq, T: Clone>(all: &Mutex<VecDeque<(K, T)>>, key: &K) -> Option<T> {
    let mut all = all.lock().unwrap_or_else(PoisonError::into_inner);
    let at = all.iter().position(|(known, _)| known == key)?;
    let kept = all.remove(at)?;
    let found = kept.1.clone();
    all.push_front(kept);
    Some(found)
}
