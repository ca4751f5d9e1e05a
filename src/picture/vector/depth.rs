//! How many layers of a drawing are stacked: each is held in memory while it is drawn.

use resvg::usvg::{Group, Node};
use std::collections::HashMap;

/// Deepest that is drawn; artwork has a handful.
pub(super) const MOST: usize = 64;

/// The most layers that are held at a time, the page not counted.
pub(super) fn depth(root: &Group) -> usize {
    of_group(root, &mut HashMap::new())
}

/// `known` keeps shared parts from being walked again and again.
fn of_group(group: &Group, known: &mut HashMap<*const Group, usize>) -> usize {
    if let Some(&depth) = known.get(&std::ptr::from_ref(group)) {
        return depth;
    }
    let mut below = 0;
    let mut clip = group.clip_path();
    let mut links = 0;
    while let Some(own) = clip {
        links += 1;
        below = below.max(links + of_group(own.root(), known));
        clip = own.clip_path();
    }
    let mut mask = group.mask();
    links = 0;
    while let Some(own) = mask {
        links += 1;
        below = below.max(links + of_group(own.root(), known));
        mask = own.mask();
    }
    for child in group.children() {
        // Patterns, drawings inside, and pictures of filters.
        child.subroots(|root| below = below.max(1 + of_group(root, known)));
        if let Node::Group(child) = child {
            below = below.max(of_group(child, known));
        }
    }
    let depth = below + usize::from(group.should_isolate());
    known.insert(std::ptr::from_ref(group), depth);
    depth
}
