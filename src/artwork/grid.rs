//! Cells side by side: neighbours and connected parts.

/// A grid's sides in cells.
#[derive(Clone, Copy)]
pub(super) struct Size {
    pub(super) width: usize,
    pub(super) height: usize,
}

impl Size {
    /// The cell of a place, if it is inside.
    pub(super) fn at(self, x: isize, y: isize) -> Option<usize> {
        let inside =
            (0..self.width as isize).contains(&x) && (0..self.height as isize).contains(&y);
        inside.then(|| y as usize * self.width + x as usize)
    }

    /// The up to four cells that share a side with one.
    pub(super) fn beside(self, at: usize) -> impl Iterator<Item = usize> {
        let (x, y) = ((at % self.width) as isize, (at / self.width) as isize);
        let steps = [(0, -1), (-1, 0), (1, 0), (0, 1)];
        steps
            .into_iter()
            .filter_map(move |(across, down)| self.at(x + across, y + down))
    }
}

/// The cells of each connected part, corners included.
pub(super) fn components(grid: Size, own: &[bool]) -> Vec<Vec<usize>> {
    let mut seen = vec![false; own.len()];
    let mut found = Vec::new();
    for start in 0..own.len() {
        if !own[start] || seen[start] {
            continue;
        }
        let mut part = Vec::new();
        let mut open = vec![start];
        seen[start] = true;
        while let Some(at) = open.pop() {
            part.push(at);
            let (x, y) = (at % grid.width, at / grid.width);
            let rows = y.saturating_sub(1)..(y + 2).min(grid.height);
            for y in rows {
                for x in x.saturating_sub(1)..(x + 2).min(grid.width) {
                    let other = y * grid.width + x;
                    if own[other] && !seen[other] {
                        seen[other] = true;
                        open.push(other);
                    }
                }
            }
        }
        part.sort_unstable();
        found.push(part);
    }
    found
}
