//! The tree of tags: what everything on the pages means, in reading order.

use crate::output::booklet::{Document, Role};
use krilla::tagging::{
    Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use std::num::NonZeroU16;

/// What an element holds.
#[derive(Debug, Clone, Copy)]
pub(super) enum Child {
    /// Another element.
    Element(usize),
    /// Something on a page, by its marked-content identifier.
    Mark(Identifier),
}

/// For each element the elements within it, in their order.
pub(super) fn children(document: &Document) -> Vec<Vec<Child>> {
    let mut children = vec![Vec::new(); document.elements.len()];
    for (at, element) in document.elements.iter().enumerate() {
        if let Some(parent) = element.parent {
            children[parent].push(Child::Element(at));
        }
    }
    children
}

/// The tree, given the children of each element.
pub(super) fn tree(document: &Document, mut children: Vec<Vec<Child>>) -> TagTree {
    let mut groups: Vec<Option<TagGroup>> = vec![None; document.elements.len()];
    // A parent stands before its children: from the end, children are ready first.
    for at in (0..document.elements.len()).rev() {
        let mut group = TagGroup::new(kind(&document.elements[at].role));
        for child in std::mem::take(&mut children[at]) {
            match child {
                Child::Element(child) => {
                    if let Some(child) = groups[child].take() {
                        group.push(Node::Group(child));
                    }
                }
                Child::Mark(identifier) => group.push(Node::Leaf(identifier)),
            }
        }
        groups[at] = Some(group);
    }
    let mut tree = TagTree::new();
    for group in groups.into_iter().flatten() {
        tree.push(Node::Group(group));
    }
    tree
}

fn kind(role: &Role) -> TagKind {
    match role {
        Role::Section => Tag::Section.into(),
        Role::Heading(level, words) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            Tag::Hn(level, Some(words.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::List => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::Label => Tag::Lbl.into(),
        Role::Body => Tag::LBody.into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnHead => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowHead => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Link => Tag::Link.into(),
        Role::Figure(shows) => Tag::Figure(Some(shows.clone())).into(),
    }
}
