//! What upper layers say of lower ones, and which way is stricter.

use super::scope::{made, word};
use crate::law::print;
use crate::law::syntax::layer::{Below, Differ, Kind, Layer, Leave};
use crate::law::syntax::{Expr, Limit, Node, Rule, Step};
use crate::text::{Span, Spanned};

/// A line of a head that binds other layers.
#[derive(Clone, Debug)]
pub(super) struct Policy {
    /// The layer that says so.
    pub layer: usize,
    kind: Kind,
    binds: Binds,
}

#[derive(Clone, Debug)]
enum Binds {
    Below(Below),
    Differ(Differ),
}

/// What a layer may do.
#[derive(Clone, Debug, Default)]
pub(super) struct Leeway {
    /// No edits at all.
    pub is_closed: bool,
    /// Stricter edits alone.
    pub is_stricter_only: bool,
    /// Its edits bind licensed people alone.
    pub is_for_licensed: bool,
    /// The layer that says so.
    pub by: Option<usize>,
}

impl Policy {
    pub fn below(layer: usize, head: &Layer, below: &Below) -> Policy {
        Policy { layer, kind: head.kind, binds: Binds::Below(below.clone()) }
    }

    pub fn differ(layer: usize, head: &Layer, differ: &Spanned<Differ>) -> Policy {
        Policy { layer, kind: head.kind, binds: Binds::Differ(differ.node) }
    }
}

/// What the layers above let a layer do; all of them must.
pub(super) fn leeway(policies: &[Policy], layer: &Layer) -> Leeway {
    let mut leeway = Leeway::default();
    for policy in policies.iter().filter(|policy| policy.kind < layer.kind) {
        let Binds::Below(below) = &policy.binds else { continue };
        if !below.kinds.contains(&layer.kind) {
            continue;
        }
        leeway.is_closed |= below.leave == Leave::NoEdits;
        leeway.is_stricter_only |= below.leave == Leave::StricterOnly;
        leeway.is_for_licensed |= below.is_for_licensed;
        if below.leave != Leave::Free {
            leeway.by = leeway.by.or(Some(policy.layer));
        }
    }
    leeway
}

/// How two texts on one part were settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Settled {
    /// The later one holds.
    Own,
    /// The earlier one holds.
    Other,
    /// Both must be met.
    Strictest,
    /// Nobody says.
    Open,
}

/// What the highest layer that speaks of it says of two texts; `index` is the later layer.
pub(super) fn settled(policies: &[Policy], own: Option<(usize, Kind, Differ)>, index: usize) -> Settled {
    let met = policies.iter().filter_map(|policy| match policy.binds {
        Binds::Differ(differ) => Some((policy.layer, policy.kind, differ)),
        Binds::Below(_) => None,
    });
    match met.chain(own).min_by_key(|(_, kind, _)| *kind) {
        Some((_, _, Differ::Strictest)) => Settled::Strictest,
        Some((layer, _, Differ::ThisLayer)) if layer == index => Settled::Own,
        Some((_, _, Differ::ThisLayer)) => Settled::Other,
        Some((_, _, Differ::Ask)) | None => Settled::Open,
    }
}

/// `permit.worker is licensed`.
pub(super) fn licensed(span: Span) -> Expr {
    let right = made(Node::Name("licensed".into()), span);
    made(Node::Is { left: word("permit", "worker", span), right, is_denied: false }, span)
}

/// What a part of a rule does to the rule: whether more of it asks for more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// More of it is met: `where`, and lists that only `where` reads.
    Widens,
    /// More of it is a further demand: `needs` read as a whole.
    Demands,
    /// More of it is a further way out: exceptions, and ways of a `needs` list.
    LetsOff,
    /// Both, or it can't be told.
    Unclear,
}

/// What a list does to the rule that it belongs to.
pub(super) fn role_of_list(rule: &Rule, list: &str) -> Role {
    let reads = |test: &Expr| reads(test, list);
    let in_where = rule.wheres.iter().any(|part| reads(&part.test));
    let in_needs = rule.needs.iter().map(|part| &part.test).chain(rule.excepts.iter().map(|e| &e.test));
    let mut lets_off = false;
    for test in in_needs.filter(|test| reads(test)) {
        // Behind a `not` a further item asks for more.
        match &*test.node {
            Node::AnyOf(name) if name.node == list => lets_off = true,
            Node::IsAnyOf { is_denied: false, .. } => lets_off = true,
            _ => return Role::Unclear,
        }
    }
    match (in_where, lets_off) {
        (true, false) => Role::Widens,
        (false, true) => Role::LetsOff,
        _ => Role::Unclear,
    }
}

fn reads(test: &Expr, name: &str) -> bool {
    let mut found = false;
    super::walk::expr(&mut test.clone(), &mut |e| found |= super::walk::names(e).contains(&name));
    found
}

/// Whether one limit lies inside the other: stricter or equal. None where it can't be told from the figures alone.
pub(super) fn is_inside(new: &[Step], old: &[Step]) -> Option<bool> {
    let (last_new, last_old) = (new.last()?, old.last()?);
    if new.len() > 1 || old.len() > 1 {
        return None;
    }
    let (new_low, new_high) = ends(&last_new.limit)?;
    let (old_low, old_high) = ends(&last_old.limit)?;
    let low = match (new_low, old_low) {
        (_, None) => Some(true),
        (None, Some(_)) => Some(false),
        (Some(a), Some(b)) => is_at_least(a, b),
    };
    let high = match (new_high, old_high) {
        (_, None) => Some(true),
        (None, Some(_)) => Some(false),
        (Some(a), Some(b)) => is_at_least(b, a),
    };
    Some(low? && high?)
}

type Ends<'l> = (Option<&'l Expr>, Option<&'l Expr>);

fn ends(limit: &Limit) -> Option<Ends<'_>> {
    let known = |e: &Expr| !matches!(*e.node, Node::NoLimit);
    match limit {
        Limit::AtLeast(e) => Some((Some(e).filter(|e| known(e)), None)),
        Limit::AtMost(e) => Some((None, Some(e).filter(|e| known(e)))),
        Limit::Between(a, b) => Some((Some(a), Some(b))),
        Limit::Plain(_) | Limit::Asked { .. } => None,
    }
}

fn is_at_least(a: &Expr, b: &Expr) -> Option<bool> {
    if print::expr(a) == print::expr(b) {
        return Some(true);
    }
    match (&*a.node, &*b.node) {
        (Node::Quantity(a), Node::Quantity(b)) if a.scale == b.scale => Some(a.value >= b.value),
        _ => None,
    }
}
