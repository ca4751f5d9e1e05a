//! Which beads share a colour: mirror images and repeats of one another.

use crate::lattice::{Axis, Column, Lattice, Row};

/// The beads of a band in groups that share one colour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Groups {
    /// The group of each bead; groups are numbered by their first bead.
    group: Vec<u32>,
    /// The beads of all groups, group after group, rising.
    beads: Vec<u32>,
    /// Where each group starts in `beads`, and the end.
    starts: Vec<u32>,
}

impl Groups {
    /// Every bead on its own.
    pub fn alone(beads: usize) -> Self {
        let all: Vec<u32> = (0..beads as u32).collect();
        Self {
            group: all.clone(),
            beads: all.clone(),
            starts: all.into_iter().chain([beads as u32]).collect(),
        }
    }

    /// Mirror images across each of `axes`, which the lattice must have, and `alike` rows after
    /// each of some rows (the rows before the first of each repeat, and how many rows are alike).
    pub fn new(lattice: &Lattice, axes: &[Axis], alike: Option<&(Vec<u32>, u32)>) -> Self {
        let mut root: Vec<u32> = (0..lattice.len() as u32).collect();
        for &axis in axes {
            for bead in 0..lattice.len() {
                if let Some(image) = lattice.mirrored(bead, axis) {
                    join(&mut root, bead as u32, image as u32);
                }
            }
        }
        if let Some((before, rows)) = alike {
            join_repeats(&mut root, lattice, before, *rows);
        }
        Self::from_roots(root)
    }

    fn from_roots(mut root: Vec<u32>) -> Self {
        let mut number = vec![u32::MAX; root.len()];
        let mut sizes: Vec<u32> = Vec::new();
        let mut group = vec![0; root.len()];
        for (bead, own) in group.iter_mut().enumerate() {
            let top = find(&mut root, bead as u32) as usize;
            if number[top] == u32::MAX {
                number[top] = sizes.len() as u32;
                sizes.push(0);
            }
            *own = number[top];
            sizes[number[top] as usize] += 1;
        }
        let mut starts = vec![0; sizes.len() + 1];
        for (at, size) in sizes.iter().enumerate() {
            starts[at + 1] = starts[at] + size;
        }
        let mut next = starts.clone();
        let mut beads = vec![0; group.len()];
        for (bead, &own) in group.iter().enumerate() {
            beads[next[own as usize] as usize] = bead as u32;
            next[own as usize] += 1;
        }
        Self {
            group,
            beads,
            starts,
        }
    }

    /// Number of groups.
    pub fn len(&self) -> usize {
        self.starts.len() - 1
    }

    /// Never, unless there are no beads.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The group of a bead.
    pub fn group_of(&self, bead: usize) -> usize {
        self.group[bead] as usize
    }

    /// The beads of a group, rising.
    pub fn beads_of(&self, group: usize) -> &[u32] {
        &self.beads[self.starts[group] as usize..self.starts[group + 1] as usize]
    }

    /// One value a group, given to each of its beads.
    pub fn spread<T: Copy>(&self, of_groups: &[T]) -> Vec<T> {
        self.group
            .iter()
            .map(|&group| of_groups[group as usize])
            .collect()
    }
}

fn join_repeats(root: &mut [u32], lattice: &Lattice, before: &[u32], rows: u32) {
    let Some((&first, others)) = before.split_first() else {
        return;
    };
    for offset in 1..=rows {
        for column in (1..=lattice.columns()).map(Column::new) {
            let at = |start: u32| lattice.index(Row::new(start + offset), column);
            for &other in others {
                if let (Some(one), Some(two)) = (at(first), at(other)) {
                    join(root, one as u32, two as u32);
                }
            }
        }
    }
}

/// The smallest bead is the root, so that groups do not depend on the order of joining.
fn join(root: &mut [u32], one: u32, two: u32) {
    let (one, two) = (find(root, one), find(root, two));
    root[one.max(two) as usize] = one.min(two);
}

fn find(root: &mut [u32], bead: u32) -> u32 {
    let mut top = bead;
    while root[top as usize] != top {
        root[top as usize] = root[root[top as usize] as usize];
        top = root[top as usize];
    }
    top
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;

    #[test]
    fn mirror_images_share_a_group_and_the_centre_column_stands_alone() {
        let lattice = Lattice::new(Bead::default(), 9, Rows::closed(12).unwrap()).unwrap();
        let together = Groups::new(&lattice, &[Axis::Columns], None);
        for bead in 0..lattice.len() {
            let image = lattice.mirrored(bead, Axis::Columns).unwrap();
            assert_eq!(together.group_of(bead), together.group_of(image));
            let size = together.beads_of(together.group_of(bead)).len();
            assert_eq!(size, if image == bead { 1 } else { 2 });
        }
        assert_eq!(
            Groups::new(&lattice, &[], None),
            Groups::alone(lattice.len())
        );
    }

    #[test]
    fn repeats_share_their_rows() {
        let lattice = Lattice::new(Bead::default(), 5, Rows::closed(12).unwrap()).unwrap();
        let together = Groups::new(&lattice, &[], Some(&(vec![0, 4, 8], 4)));
        assert_eq!(together.len(), lattice.len() / 3);
        let first = lattice.index(Row::new(2), Column::new(2)).unwrap();
        let third = lattice.index(Row::new(10), Column::new(2)).unwrap();
        assert_eq!(together.group_of(first), together.group_of(third));
    }
}
