//! Which parts are known to be there where a condition holds, or where it is denied.

use crate::law::syntax::{Expr, Node};

/// The text of a path such as `p.main`; none for anything else.
pub(super) fn path(expr: &Expr) -> Option<String> {
    match &*expr.node {
        Node::Name(name) => Some(name.clone()),
        Node::Word(inner, word) => Some(format!("{}.{}", path(inner)?, word.node)),
        _ => None,
    }
}

/// Parts that are there wherever the condition holds (`holds`), or wherever it is denied.
pub(super) fn present(expr: &Expr, holds: bool) -> Vec<String> {
    match &*expr.node {
        Node::Word(inner, word) if holds => {
            let part = word.node.strip_prefix("has-").and_then(|p| Some(format!("{}.{p}", path(inner)?)));
            part.into_iter().collect()
        }
        Node::Not(inner) => present(inner, !holds),
        Node::And(all) if holds => all.iter().flat_map(|e| present(e, true)).collect(),
        Node::Or(all) if !holds => all.iter().flat_map(|e| present(e, false)).collect(),
        Node::And(all) | Node::Or(all) => {
            let mut sets = all.iter().map(|e| present(e, holds));
            let first = sets.next().unwrap_or_default();
            sets.fold(first, |common, set| common.into_iter().filter(|p| set.contains(p)).collect())
        }
        _ => Vec::new(),
    }
}
