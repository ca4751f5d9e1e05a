//! Prefix codes: how long each symbol's code is, and how that is told (RFC 9649, section 3.7.2.1).

use super::bits::Bits;

/// Longest code of a symbol, and of a code length.
const LONGEST: (u32, u32) = (15, 7);
/// The order in which lengths of the codes for code lengths are told.
const ORDER: [usize; 19] = [
    17, 18, 0, 1, 2, 3, 4, 5, 16, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
];

/// A code for each symbol.
pub(super) struct Prefix {
    lengths: Vec<u32>,
    codes: Vec<u32>,
    /// The only symbol: it takes no bits.
    only: Option<usize>,
}

impl Prefix {
    pub(super) fn new(counts: &[u32]) -> Self {
        Self::within(counts, LONGEST.0)
    }

    fn within(counts: &[u32], longest: u32) -> Self {
        let mut used = (0..counts.len()).filter(|at| counts[*at] > 0);
        let (first, more) = (used.next(), used.next());
        let only = match more {
            None => Some(first.unwrap_or(0)),
            Some(_) => None,
        };
        let lengths = match only {
            Some(_) => vec![0; counts.len()],
            None => lengths(counts, longest),
        };
        let codes = codes(&lengths);
        Self {
            lengths,
            codes,
            only,
        }
    }

    /// Writes one symbol.
    pub(super) fn put(&self, symbol: usize, out: &mut Bits) {
        if self.only.is_none() {
            out.put(self.codes[symbol], self.lengths[symbol]);
        }
    }

    /// Tells the code itself.
    pub(super) fn write(&self, out: &mut Bits) {
        if let Some(only) = self.only
            && only < 256
        {
            // The simple kind: one symbol of eight bits.
            out.put(1, 1);
            out.put(0, 1);
            out.put(1, 1);
            out.put(only as u32, 8);
            return;
        }
        out.put(0, 1);
        let mut lengths = self.lengths.clone();
        if let Some(only) = self.only {
            lengths[only] = 1;
        }
        let runs = runs(&lengths);
        let mut counts = [0; 19];
        for (symbol, _) in &runs {
            counts[*symbol] += 1;
        }
        let code = Self::within(&counts, LONGEST.1);
        let mut told = code.lengths.clone();
        if let Some(only) = code.only {
            told[only] = 1;
        }
        let many = ORDER.iter().rposition(|at| told[*at] > 0).unwrap_or(0) + 1;
        let many = many.max(4);
        out.put(many as u32 - 4, 4);
        for at in &ORDER[..many] {
            out.put(told[*at], 3);
        }
        // All symbols are told.
        out.put(0, 1);
        for (symbol, (extra, bits)) in runs {
            code.put(symbol, out);
            out.put(extra, bits);
        }
    }
}

/// Lengths, with runs of zeros as one symbol: 17 for 3 to 10, 18 for 11 to 138.
fn runs(lengths: &[u32]) -> Vec<(usize, (u32, u32))> {
    let mut out = Vec::new();
    let mut at = 0;
    while at < lengths.len() {
        let zeros = lengths[at..].iter().take_while(|l| **l == 0).count();
        let (step, symbol) = match zeros {
            0..3 => (1, (lengths[at] as usize, (0, 0))),
            3..11 => (zeros, (17, (zeros as u32 - 3, 3))),
            _ => {
                let run = zeros.min(138);
                (run, (18, (run as u32 - 11, 7)))
            }
        };
        out.push(symbol);
        at += step;
    }
    out
}

/// Huffman's lengths; rare symbols are made less rare until none is too long.
fn lengths(counts: &[u32], longest: u32) -> Vec<u32> {
    let mut counts = counts.to_vec();
    loop {
        let lengths = huffman(&counts);
        if lengths.iter().all(|length| *length <= longest) {
            return lengths;
        }
        for count in counts.iter_mut().filter(|count| **count > 0) {
            *count = *count / 2 + 1;
        }
    }
}

/// Depth of each symbol in the tree that joins the two rarest again and again; of equals the ones made first.
fn huffman(counts: &[u32]) -> Vec<u32> {
    let mut heap = std::collections::BinaryHeap::new();
    let mut parents: Vec<usize> = Vec::new();
    let used: Vec<usize> = (0..counts.len()).filter(|at| counts[*at] > 0).collect();
    for (node, at) in used.iter().enumerate() {
        heap.push(std::cmp::Reverse((u64::from(counts[*at]), node)));
        parents.push(0);
    }
    while let (Some(one), Some(other)) = (heap.pop(), heap.pop()) {
        let (one, other) = (one.0, other.0);
        let node = parents.len();
        parents.push(0);
        parents[one.1] = node;
        parents[other.1] = node;
        if heap.is_empty() {
            break;
        }
        heap.push(std::cmp::Reverse((one.0 + other.0, node)));
    }
    let root = parents.len() - 1;
    let mut depth = vec![0u32; parents.len()];
    for node in (0..root).rev() {
        depth[node] = depth[parents[node]] + 1;
    }
    let mut lengths = vec![0; counts.len()];
    for (node, at) in used.iter().enumerate() {
        lengths[*at] = depth[node];
    }
    lengths
}

/// Canonical codes, turned round since the first bit is read first.
fn codes(lengths: &[u32]) -> Vec<u32> {
    let mut order: Vec<usize> = (0..lengths.len()).filter(|at| lengths[*at] > 0).collect();
    order.sort_by_key(|at| (lengths[*at], *at));
    let mut codes = vec![0; lengths.len()];
    let (mut next, mut before) = (0u32, 0);
    for at in order {
        next <<= lengths[at] - before;
        before = lengths[at];
        codes[at] = next.reverse_bits() >> (32 - lengths[at]);
        next += 1;
    }
    codes
}
