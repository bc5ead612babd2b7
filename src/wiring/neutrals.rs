//! Which circuits share a neutral.

use super::facts::Facts;
use crate::shop::{How, ItemRef, List, Shop, Value};
use crate::words::{Kind, name};

/// Circuits that share a neutral, together; every other circuit alone. In the order of the plan.
///
/// Sharing holds both ways and from partner to partner, so one circuit's closed list closes that
/// of all in its group. Where nothing is said, a circuit has a neutral of its own: a convention of
/// the plan language (C7). `neutral unknown` leaves the list of its partners open.
pub(super) fn neutral_groups(shop: &mut Shop) -> Vec<Vec<ItemRef>> {
    let count = shop.count(Kind::Circuit);
    let mut root: Vec<usize> = (0..count).collect();
    let mut is_closed = vec![false; count];
    for circuit in shop.items(Kind::Circuit) {
        let list = shop.members(circuit, name::NEUTRAL_PARTNERS);
        if let Some(closed) = is_closed.get_mut(circuit.index as usize) {
            *closed = !list.is_open && list.possible.is_empty();
        }
        for partner in list.sure.iter().filter(|p| p.kind == Kind::Circuit) {
            let (a, b) = (find(&mut root, circuit.index as usize), find(&mut root, partner.index as usize));
            let (low, high) = (a.min(b), a.max(b));
            if let Some(slot) = root.get_mut(high) {
                *slot = low;
            }
        }
    }
    let mut groups: Vec<Vec<ItemRef>> = vec![Vec::new(); count];
    for circuit in shop.items(Kind::Circuit) {
        let place = find(&mut root, circuit.index as usize);
        if let Some(group) = groups.get_mut(place) {
            group.push(circuit);
        }
    }
    groups.retain(|g| !g.is_empty());
    for group in &groups {
        let closed = group.iter().any(|c| is_closed.get(c.index as usize) == Some(&true));
        if let ([alone], false) = (group.as_slice(), closed) {
            // Said to be unknown, or lost on an unread line, it stays open.
            if shop.source(*alone, name::NEUTRAL_PARTNERS).how == How::Unsaid {
                shop.derive_list(*alone, name::NEUTRAL_PARTNERS, List::default());
            }
            continue;
        }
        for circuit in group {
            let before = shop.members(*circuit, name::NEUTRAL_PARTNERS);
            let sure: Vec<ItemRef> = group.iter().copied().filter(|c| c != circuit).collect();
            if before.sure.len() != sure.len() || before.is_open == closed {
                let source = shop.source(*circuit, name::NEUTRAL_PARTNERS);
                let list = List { sure, is_open: !closed, ..List::default() };
                let id = shop.add_list(list);
                match shop.is_said(*circuit, name::NEUTRAL_PARTNERS) {
                    true => shop.set(*circuit, name::NEUTRAL_PARTNERS, Value::List(id), source),
                    false => shop.derive(*circuit, name::NEUTRAL_PARTNERS, Value::List(id)),
                }
            }
        }
    }
    groups
}

fn find(root: &mut [usize], mut at: usize) -> usize {
    while let Some(next) = root.get(at).copied().filter(|n| *n != at) {
        let over = root.get(next).copied().unwrap_or(next);
        if let Some(slot) = root.get_mut(at) {
            *slot = over;
        }
        at = next;
    }
    at
}
