//! Maximum flow and minimum cut, by blocking flows along shortest paths (E. A. Dinic, 1970).
//!
//! Neighbouring beads are joined by arcs in both directions, which here share one pair of
//! capacities; general graph libraries keep two edges for each. Capacities are whole numbers, so
//! that the cut is exact and the same on every machine.

use crate::cancel::Cancel;

/// A network with a source and a sink besides its nodes.
pub struct Network {
    source: usize,
    sink: usize,
    /// For each node its arcs; arc `a` and arc `a ^ 1` are the two directions of one edge.
    arcs: Vec<Vec<u32>>,
    ends: Vec<u32>,
    left: Vec<i64>,
}

impl Network {
    /// `nodes` nodes, numbered from 0, without edges.
    pub fn new(nodes: usize) -> Self {
        Self {
            source: nodes,
            sink: nodes + 1,
            arcs: vec![Vec::new(); nodes + 2],
            ends: Vec::new(),
            left: Vec::new(),
        }
    }

    /// An edge with a capacity in each direction, neither below 0.
    pub fn join(&mut self, from: usize, to: usize, forth: i64, back: i64) {
        for (one, two, capacity) in [(from, to, forth), (to, from, back)] {
            self.arcs[one].push(self.ends.len() as u32);
            self.ends.push(two as u32);
            self.left.push(capacity.max(0));
        }
    }

    /// A capacity from the source to `node`.
    pub fn fill(&mut self, node: usize, capacity: i64) {
        self.join(self.source, node, capacity, 0);
    }

    /// A capacity from `node` to the sink.
    pub fn drain(&mut self, node: usize, capacity: i64) {
        self.join(node, self.sink, capacity, 0);
    }

    /// Sends as much as possible from the source to the sink, and returns how much that is.
    pub fn send(&mut self, cancel: &Cancel) -> i64 {
        let mut total = 0;
        loop {
            let levels = self.levels();
            if levels[self.sink] == u32::MAX || cancel.is_over() {
                return total;
            }
            let mut next = vec![0; self.arcs.len()];
            loop {
                let sent = self.advance(&levels, &mut next);
                if sent == 0 || cancel.is_over() {
                    break;
                }
                total += sent;
            }
        }
    }

    /// Whether each node is on the source's side of a minimum cut; after [`Network::send`].
    pub fn with_source(&self) -> Vec<bool> {
        let levels = self.levels();
        let nodes = levels.len() - 2;
        levels[..nodes]
            .iter()
            .map(|&level| level != u32::MAX)
            .collect()
    }

    /// Steps from the source along arcs that have capacity left.
    fn levels(&self) -> Vec<u32> {
        let mut levels = vec![u32::MAX; self.arcs.len()];
        levels[self.source] = 0;
        let mut queue = std::collections::VecDeque::from([self.source]);
        while let Some(node) = queue.pop_front() {
            for &arc in &self.arcs[node] {
                let end = self.ends[arc as usize] as usize;
                if self.left[arc as usize] > 0 && levels[end] == u32::MAX {
                    levels[end] = levels[node] + 1;
                    queue.push_back(end);
                }
            }
        }
        levels
    }

    /// Sends along one shortest path, continuing where the last one stopped.
    fn advance(&mut self, levels: &[u32], next: &mut [usize]) -> i64 {
        let mut way: Vec<u32> = Vec::new();
        let mut node = self.source;
        while node != self.sink {
            let arc = self.arcs[node].get(next[node]).copied();
            match arc {
                Some(arc) => {
                    let end = self.ends[arc as usize] as usize;
                    if self.left[arc as usize] > 0 && levels[end] == levels[node].wrapping_add(1) {
                        way.push(arc);
                        node = end;
                    } else {
                        next[node] += 1;
                    }
                }
                // A dead end: one step back, and never here again.
                None => match way.pop() {
                    None => return 0,
                    Some(arc) => {
                        node = self.ends[(arc ^ 1) as usize] as usize;
                        next[node] += 1;
                    }
                },
            }
        }
        let sent = way
            .iter()
            .map(|&arc| self.left[arc as usize])
            .min()
            .unwrap_or(0);
        for arc in way {
            self.left[arc as usize] -= sent;
            self.left[(arc ^ 1) as usize] += sent;
        }
        sent
    }
}
