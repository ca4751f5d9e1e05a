//! The mask: every bead's threshold between 0 and 1.

use crate::cancel::Cancel;
use crate::lattice::{Column, Lattice, Row};

/// Largest tile that is ranked as a whole, in beads.
const MOST_BEADS: usize = 16_384;
/// Narrowest tile, in columns: the filter must not overlap itself.
const LEAST_COLUMNS: u32 = 16;
/// Widest and tallest tile.
const MOST_COLUMNS: u32 = 64;
const MOST_ROWS: u32 = 256;
/// Spread of the Gaussian, in mean distances between beads; 1.5 is Ulichney's choice.
const SPREAD: f64 = 1.5;

/// A threshold for each bead, in lattice order; over a small band each value from `1/2n` in steps
/// of `1/n` occurs once.
///
/// Periodic in rows on a closed band. A band of over 256 rows repeats a tile of a number of rows
/// that divides it, where there is one.
pub fn thresholds(lattice: &Lattice, cancel: &Cancel) -> Vec<f64> {
    let tile = Tile::of(lattice);
    let ranks = tile.ranks(cancel);
    let own: Vec<u32> = (0..lattice.len())
        .map(|bead| {
            let (row, column) = lattice.position(bead);
            ranks[tile.index(row, column)]
        })
        .collect();
    if lattice.columns() > tile.columns || lattice.rows() > tile.rows {
        return own
            .iter()
            .map(|&rank| (f64::from(rank) + 0.5) / ranks.len() as f64)
            .collect();
    }
    // A part of a tile is ranked anew, so that its thresholds are spread evenly too.
    let mut order: Vec<usize> = (0..own.len()).collect();
    order.sort_by_key(|&bead| own[bead]);
    let mut thresholds = vec![0.0; own.len()];
    for (rank, bead) in order.into_iter().enumerate() {
        thresholds[bead] = (rank as f64 + 0.5) / own.len() as f64;
    }
    thresholds
}

/// A patch of lattice that repeats in all directions: even numbers of columns and rows.
struct Tile {
    columns: u32,
    rows: u32,
    /// Row and column offsets of the filter, with its weight.
    filter: Vec<(i64, i64, f64)>,
}

impl Tile {
    fn of(lattice: &Lattice) -> Self {
        let even = |n: u32| n + n % 2;
        let rows = rows(even(lattice.rows()), lattice.is_closed());
        let widest = (MOST_BEADS as u32 * 2 / rows).min(MOST_COLUMNS) / 2 * 2;
        let columns = even(lattice.columns())
            .max(LEAST_COLUMNS)
            .min(widest.max(LEAST_COLUMNS));
        Self {
            columns,
            rows,
            filter: filter(lattice, columns, rows),
        }
    }

    /// Rows have half the columns each, as on a band of even width.
    fn index(&self, row: Row, column: Column) -> usize {
        let row = (row.get() - 1) % self.rows;
        let column = (column.get() - 1) % self.columns;
        row as usize * (self.columns / 2) as usize + (column / 2) as usize
    }

    fn len(&self) -> usize {
        (self.columns / 2 * self.rows) as usize
    }

    /// Adds `sign` times the filter around a point.
    fn spread(&self, energy: &mut Field, point: usize, sign: f64) {
        let half = i64::from(self.columns / 2);
        let (row, place) = (point as i64 / half, point as i64 % half);
        let column = 2 * place + row % 2;
        for &(rows, columns, weight) in &self.filter {
            let row = (row + rows).rem_euclid(i64::from(self.rows));
            let column = (column + columns).rem_euclid(i64::from(self.columns));
            energy.add((row * half + column / 2) as usize, sign * weight);
        }
    }

    /// The rank of every point, by void and cluster.
    fn ranks(&self, cancel: &Cancel) -> Vec<u32> {
        let count = self.len();
        let start = self.prototype(cancel);
        let mut ranks = vec![0; count];
        // Phase 1: take the tightest cluster out of the prototype, again and again.
        let mut energy = self.energy(&start);
        let ones = start.iter().filter(|&&one| one).count();
        for rank in (0..ones).rev() {
            if cancel.is_over() {
                break;
            }
            let point = energy.fullest();
            self.spread(&mut energy, point, -1.0);
            energy.set(point, false);
            ranks[point] = rank as u32;
        }
        // Phases 2 and 3: fill the largest void, to the end. (Filling voids of ones is taking
        // clusters of zeros: the filter's sum is the same everywhere.)
        let mut energy = self.energy(&start);
        for rank in ones..count {
            if cancel.is_over() {
                break;
            }
            let point = energy.emptiest();
            self.spread(&mut energy, point, 1.0);
            energy.set(point, true);
            ranks[point] = rank as u32;
        }
        ranks
    }

    /// A tenth of the points, moved from clusters to voids until nothing changes.
    fn prototype(&self, cancel: &Cancel) -> Vec<bool> {
        let count = self.len();
        let mut ones = vec![false; count];
        // Multiples of the golden ratio scatter without a random number.
        let first = (0..count.div_ceil(10))
            .map(|i| ((i as f64 * 0.618_033_988_749_894_9) % 1.0 * count as f64) as usize);
        first.for_each(|point| ones[point.min(count - 1)] = true);
        let mut energy = self.energy(&ones);
        for _ in 0..count {
            if cancel.is_over() {
                break;
            }
            let cluster = energy.fullest();
            self.spread(&mut energy, cluster, -1.0);
            energy.set(cluster, false);
            let void = energy.emptiest();
            self.spread(&mut energy, void, 1.0);
            energy.set(void, true);
            if cluster == void {
                break;
            }
        }
        (0..count).map(|point| energy.is_one(point)).collect()
    }

    fn energy(&self, ones: &[bool]) -> Field {
        let mut energy = Field::new(ones);
        for (point, _) in ones.iter().enumerate().filter(|(_, one)| **one) {
            self.spread(&mut energy, point, 1.0);
        }
        energy
    }
}

/// Rows of a tile: all of a band that is not too tall, else an even divisor, else as many as a tile
/// may have.
fn rows(rows: u32, closed: bool) -> u32 {
    if rows <= MOST_ROWS {
        // A very short strip must not overlap itself either.
        return rows * (24 / rows.min(24)).max(1);
    }
    if !closed {
        return MOST_ROWS;
    }
    (32..=MOST_ROWS)
        .rev()
        .find(|&part| part % 2 == 0 && rows.is_multiple_of(part))
        .unwrap_or(MOST_ROWS)
}

/// The Gaussian out to where it is 1/1000, never further than the tile reaches.
fn filter(lattice: &Lattice, columns: u32, rows: u32) -> Vec<(i64, i64, f64)> {
    let bead = lattice.bead();
    // A bead takes L times D of the flat band.
    let spacing = (bead.length.get() * bead.diameter.get()).sqrt();
    let spread = SPREAD * spacing;
    let reach = spread * 3.717;
    let across = ((reach / bead.length.get()) as i64).min(i64::from(columns) / 2 - 1);
    let along = ((reach / (bead.diameter.get() / 2.0)) as i64).min(i64::from(rows) / 2 - 1);
    (-along..=along)
        .flat_map(|r| (-across..=across).map(move |c| (r, c)))
        .filter(|(r, c)| (r + c) % 2 == 0)
        .map(|(r, c)| {
            let d = lattice.distance(r, c).get();
            (r, c, libm::exp(-d * d / (2.0 * spread * spread)))
        })
        .collect()
}

/// Energies, with the fullest one and the emptiest zero always at hand: a tournament over the
/// points for each.
struct Field {
    energy: Vec<f64>,
    ones: Vec<bool>,
    leaves: usize,
    /// Winners; `u32::MAX` where there is none.
    full: Vec<u32>,
    empty: Vec<u32>,
}

impl Field {
    fn new(ones: &[bool]) -> Self {
        let leaves = ones.len().next_power_of_two();
        let mut field = Self {
            energy: vec![0.0; ones.len()],
            ones: ones.to_vec(),
            leaves,
            full: vec![u32::MAX; 2 * leaves],
            empty: vec![u32::MAX; 2 * leaves],
        };
        for point in 0..ones.len() {
            field.enter(point);
        }
        for node in (1..leaves).rev() {
            field.decide(node);
        }
        field
    }

    fn enter(&mut self, point: usize) {
        let (full, empty) = if self.ones[point] {
            (point as u32, u32::MAX)
        } else {
            (u32::MAX, point as u32)
        };
        self.full[self.leaves + point] = full;
        self.empty[self.leaves + point] = empty;
    }

    fn decide(&mut self, node: usize) {
        self.full[node] = self.winner(self.full[2 * node], self.full[2 * node + 1], |a, b| b > a);
        self.empty[node] =
            self.winner(self.empty[2 * node], self.empty[2 * node + 1], |a, b| b < a);
    }

    /// Of equals the lower index wins.
    fn winner(&self, one: u32, two: u32, second_wins: impl Fn(f64, f64) -> bool) -> u32 {
        match (one, two) {
            (u32::MAX, other) | (other, u32::MAX) => other,
            _ if second_wins(self.energy[one as usize], self.energy[two as usize]) => two,
            _ => one,
        }
    }

    fn rise(&mut self, point: usize) {
        let mut node = (self.leaves + point) / 2;
        while node > 0 {
            self.decide(node);
            node /= 2;
        }
    }

    fn add(&mut self, point: usize, energy: f64) {
        self.energy[point] += energy;
        self.rise(point);
    }

    fn set(&mut self, point: usize, one: bool) {
        self.ones[point] = one;
        self.enter(point);
        self.rise(point);
    }

    fn is_one(&self, point: usize) -> bool {
        self.ones[point]
    }

    fn fullest(&self) -> usize {
        self.full[1] as usize
    }

    fn emptiest(&self) -> usize {
        self.empty[1] as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;

    #[test]
    fn thresholds_of_a_ring_are_spread_evenly_and_come_out_alike() {
        let ring = Lattice::new(Bead::default(), 9, Rows::closed(74).unwrap()).unwrap();
        let cancel = Cancel::default();
        let mut values = thresholds(&ring, &cancel);
        assert_eq!(values, thresholds(&ring, &cancel));
        values.sort_by(f64::total_cmp);
        for (rank, value) in values.iter().enumerate() {
            assert!((value - (rank as f64 + 0.5) / 333.0).abs() < 1e-12);
        }
    }
}
