//! What was pulled against what the plan needs.
//!
//! Both are truths of their own; here they are only compared. Nothing pulled yet is no lack.

use super::facts::{Facts, within};
use super::nets::Role;
use super::physical::cable_count;
use crate::shop::{ItemRef, List, Shop, Value};
use crate::words::{Kind, choice, name};

/// Writes what each run lacks, and the wires that are left without companions.
pub(super) fn write(shop: &mut Shop) {
    let bits = roles(shop);
    for run in shop.items(Kind::Run) {
        let planned = shop.members(run, name::CONDUCTORS);
        let pulled = pulled(shop, run);
        let missing = match &pulled {
            Some(pulled) => missing(shop, &bits, &planned, pulled),
            None => from_cable(shop, &bits, run, &planned),
        };
        let strays = strays(shop, &bits, &planned, &missing);
        if let Some(pulled) = &pulled {
            last_role(shop, &bits, &planned, pulled);
        }
        shop.settle_list(run, name::MISSING_ROLES, missing);
        shop.settle_list(run, name::STRAY_CONDUCTORS, strays);
    }
}

type Bits = [u64; 7];

fn roles(shop: &Shop) -> Bits {
    ["hot", "neutral", "equipment-ground", "switched-hot", "traveler", "signal", "spare"]
        .map(|v| shop.bit(choice::ROLE, v))
}

/// The wires in a run, where the plan says anything of them.
fn pulled(shop: &Shop, run: ItemRef) -> Option<List> {
    match shop.value(run, name::PULLED) {
        Value::List(id) => Some(shop.list(id).clone()),
        _ => None,
    }
}

fn is(shop: &Shop, wire: ItemRef, bit: u64) -> bool {
    bit != 0 && shop.value(wire, name::ROLE) == Value::Choice(bit)
}

/// What a pulled wire may serve as: what it is said to be, or what its color allows. A green or bare
/// one is an equipment grounding conductor, and no other is (the trade's custom everywhere).
fn may_be(shop: &Shop, bits: &Bits, wire: ItemRef) -> u64 {
    let all = bits.iter().fold(0, |set, b| set | b);
    let said = shop.bits(wire, name::ROLE) & all;
    if said != all {
        return said;
    }
    let color = shop.bits(wire, name::COLOR);
    let of = |values: &[&str]| values.iter().fold(0, |set, v| set | shop.bit(choice::COLOR, v));
    let ground = bits.get(Role::EquipmentGround as usize).copied().unwrap_or(0);
    if within(color, of(&["green", "green-yellow", "bare"])) == Some(true) {
        return ground;
    }
    if within(color, of(&["green", "green-yellow", "bare"])) == Some(false) {
        return all & !ground;
    }
    all
}

/// Roles that the plan needs and that the pulled wires can't fill: as many of one sort as planned
/// must be found among the wires that may serve for it.
fn missing(shop: &Shop, bits: &Bits, planned: &List, pulled: &List) -> List {
    let mut list = List { is_open: planned.is_open || pulled.is_open, ..List::default() };
    let ground = bits.get(Role::EquipmentGround as usize).copied().unwrap_or(0);
    let wires: Vec<u64> = pulled.sure.iter().chain(&pulled.possible).map(|w| may_be(shop, bits, *w)).collect();
    let count_of = |bit: u64| planned.sure.iter().filter(|c| is(shop, **c, bit)).count();
    let mut lacking = 0;
    for bit in bits {
        let needed = count_of(*bit);
        let found = wires.iter().filter(|w| **w & bit != 0).count();
        if needed > found {
            lacking |= bit;
        }
    }
    // All insulated wires together: one wire serves one purpose.
    let insulated = planned.sure.iter().filter(|c| !is(shop, **c, ground)).count();
    let there = wires.iter().filter(|w| **w & !ground != 0).count();
    if insulated > there && lacking & !ground == 0 {
        let wanted = planned.sure.iter().filter(|c| !is(shop, **c, ground));
        let roles = wanted.filter_map(|c| match shop.value(*c, name::ROLE) {
            Value::Choice(b) => Some(b),
            _ => None,
        });
        // Which purpose goes short is the puller's choice; that one does is sure. Travelers first:
        // of two alike, the second is the one that is forgotten.
        let all = roles.fold(0, |set, b| set | b);
        let order = [Role::Traveler, Role::SwitchedHot, Role::Neutral, Role::Hot];
        let one = order.iter().filter_map(|r| bits.get(*r as usize)).find(|b| all & **b != 0);
        lacking |= one.copied().unwrap_or(0);
    }
    if !pulled.is_open {
        list.choices = lacking;
    } else if lacking != 0 {
        list.is_open = true;
    }
    list
}

/// A cable has as many wires as are printed on it.
fn from_cable(shop: &Shop, bits: &Bits, run: ItemRef, planned: &List) -> List {
    let Some(count) = cable_count(shop, run) else {
        // Nothing was pulled, and nothing is there yet to lack anything.
        let is_known = shop.value(run, name::PULLED) == Value::Unknown;
        return List { is_open: !is_known, ..List::default() };
    };
    let ground = bits.get(Role::EquipmentGround as usize).copied().unwrap_or(0);
    let insulated: Vec<ItemRef> = planned.sure.iter().copied().filter(|c| !is(shop, *c, ground)).collect();
    let mut list = List::default();
    if insulated.len() > count {
        let last = insulated.last().map(|c| shop.value(*c, name::ROLE));
        if let Some(Value::Choice(b)) = last {
            list.choices = b;
        }
    }
    list
}

/// Planned wires are never apart from their companions. Where a hot or neutral is lacking among the
/// pulled, what else is there of its circuit is: its current comes back another way.
fn strays(shop: &Shop, bits: &Bits, planned: &List, missing: &List) -> List {
    let ground = bits.get(Role::EquipmentGround as usize).copied().unwrap_or(0);
    let carrying = missing.choices & !ground;
    if carrying == 0 {
        return List { is_open: missing.is_open, ..List::default() };
    }
    let is_lacking = |c: &ItemRef| matches!(shop.value(*c, name::ROLE), Value::Choice(b) if b & carrying != 0);
    let short: std::collections::HashSet<ItemRef> =
        planned.sure.iter().filter(|c| is_lacking(c)).filter_map(|c| shop.item(*c, name::CIRCUIT)).collect();
    let of_short = planned.sure.iter().filter(|c| shop.item(**c, name::CIRCUIT).is_some_and(|l| short.contains(&l)));
    let possible = of_short.filter(|c| !is(shop, **c, ground)).copied().collect();
    List { possible, is_open: missing.is_open, ..List::default() }
}

/// A pulled wire without a said role has one where only one is left in the run.
fn last_role(shop: &mut Shop, bits: &Bits, planned: &List, pulled: &List) {
    if planned.is_open || !planned.possible.is_empty() || pulled.is_open || !pulled.possible.is_empty() {
        return;
    }
    let all = bits.iter().fold(0, |set, b| set | b);
    let mut left: Vec<u64> = planned
        .sure
        .iter()
        .filter_map(|c| match shop.value(*c, name::ROLE) {
            Value::Choice(b) => Some(b),
            _ => None,
        })
        .collect();
    let mut open = Vec::new();
    for wire in &pulled.sure {
        let may = may_be(shop, bits, *wire) & all;
        if may.count_ones() == 1 {
            if let Some(at) = left.iter().position(|b| *b == may) {
                left.swap_remove(at);
            }
            shop.settle(*wire, name::ROLE, Value::Choice(may));
        } else {
            open.push(*wire);
        }
    }
    left.sort_unstable();
    left.dedup();
    if let ([one], false) = (left.as_slice(), open.is_empty()) {
        let one = *one;
        for wire in open {
            if may_be(shop, bits, wire) & one != 0 {
                shop.settle(wire, name::ROLE, Value::Choice(one));
            }
        }
    }
    let _ = Kind::Pulled;
}
