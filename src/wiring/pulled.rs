//! What was pulled against what the plan needs.
//!
//! Both are truths of their own; here they are only compared. A plan that records nothing pulled
//! in a run is not at that stage: then nothing is there yet to lack anything.

use super::facts::{Facts, between, within, yes_no};
use super::nets::Role;
use super::wires::{cable_count, may_be_cable};
use crate::shop::{How, ItemRef, List, Shop, Value};
use crate::words::{Kind, choice, name};
use std::collections::{BTreeMap, HashSet};

/// Writes what each run lacks, and the wires that are left without companions.
pub(super) fn write(shop: &mut Shop) {
    let roles = Roles::new(shop);
    for run in shop.items(Kind::Run) {
        let planned = shop.members(run, name::CONDUCTORS);
        let pulled = match shop.value(run, name::PULLED) {
            Value::List(id) => Some(shop.list(id).clone()),
            _ => None,
        };
        let is_silent = shop.source(run, name::PULLED).how == How::Unsaid;
        let is_pulled = pulled.as_ref().map(|_| true).or(is_silent.then_some(false));
        shop.settle(run, name::IS_PULLED, yes_no(is_pulled));
        let lack = match &pulled {
            Some(pulled) => roles.lack(shop, &planned, pulled),
            None => roles.lack_of_cable(shop, run, &planned),
        };
        let strays = if pulled.is_some() { roles.strays(shop, &planned, &lack) } else { List::default() };
        if let Some(pulled) = &pulled {
            roles.last(shop, &planned, pulled);
        }
        let (low, high) = lack.count;
        shop.settle(run, name::MISSING_CONDUCTORS, between(low, high));
        let list = List { choices: lack.roles, is_open: lack.is_open, ..List::default() };
        shop.settle_list(run, name::MISSING_ROLES, list);
        shop.settle_list(run, name::STRAY_CONDUCTORS, strays);
    }
}

/// What a run lacks.
#[derive(Clone, Copy, Default)]
struct Lack {
    /// Least and most wires; no most where more may be needed.
    count: (i64, Option<i64>),
    /// Purposes that go short for sure.
    roles: u64,
    /// Whether others may too.
    is_open: bool,
}

/// Bits of the choice `role`.
struct Roles {
    bits: [u64; 7],
    ground: u64,
    spare: u64,
    all: u64,
}

impl Roles {
    fn new(shop: &Shop) -> Roles {
        let names = ["hot", "neutral", "equipment-ground", "switched-hot", "traveler", "signal", "spare"];
        let bits = names.map(|v| shop.bit(choice::ROLE, v));
        let of = |role: Role| bits.get(role as usize).copied().unwrap_or(0);
        let all = bits.iter().fold(0, |set, b| set | b);
        Roles { bits, ground: of(Role::EquipmentGround), spare: of(Role::Spare), all }
    }

    fn of(&self, shop: &Shop, wire: ItemRef) -> u64 {
        match shop.value(wire, name::ROLE) {
            Value::Choice(bits) if bits.count_ones() == 1 => bits,
            _ => 0,
        }
    }

    /// What a pulled wire can serve as: what it is said to be, or what its color allows. A green or
    /// bare one is an equipment grounding conductor, and no other is (the trade's custom everywhere).
    /// Second, whether that is known: of a wire without a color it is not.
    fn serves(&self, shop: &Shop, wire: ItemRef) -> (u64, bool) {
        let said = shop.bits(wire, name::ROLE) & self.all;
        if said != self.all {
            return (said, true);
        }
        let grounds = ["green", "green-yellow", "bare"].iter().fold(0, |set, v| set | shop.bit(choice::COLOR, v));
        match within(shop.bits(wire, name::COLOR), grounds) {
            Some(true) => (self.ground, true),
            Some(false) => (self.all & !self.ground, true),
            None => (self.all, false),
        }
    }

    /// Pulled wires against planned ones.
    fn lack(&self, shop: &Shop, planned: &List, pulled: &List) -> Lack {
        if pulled.is_open {
            return Lack { count: (0, None), roles: 0, is_open: true };
        }
        let needs = |items: &[ItemRef]| items.iter().map(|c| self.of(shop, *c)).collect::<Vec<u64>>();
        let sure = needs(&planned.sure);
        let all: Vec<u64> = sure.iter().copied().chain(needs(&planned.possible)).collect();
        let wires: Vec<(u64, bool)> =
            pulled.sure.iter().chain(&pulled.possible).map(|w| self.serves(shop, *w)).collect();
        let read_as = |open: u64| wires.iter().map(|(s, is_told)| if *is_told { *s } else { open }).collect::<Vec<_>>();
        let best = read_as(self.all);
        let (least, roles) = (self.short(&sure, &best), self.short_alone(&sure, &best));
        // Wires of unknown color may all be of one sort: mixtures lie between.
        let worst = [self.all & !self.ground, self.ground].map(|open| self.short(&all, &read_as(open)));
        let most = worst.into_iter().max().unwrap_or(least).max(least);
        let high = (!planned.is_open).then_some(most);
        Lack { count: (least, high), roles, is_open: high != Some(0) && high != Some(roles.count_ones().into()) }
    }

    /// How many purposes stay without a wire when wires serve as well as they can: of some purposes
    /// taken together, as many as they are more than the wires that can serve any of them.
    fn short(&self, needed: &[u64], wires: &[u64]) -> i64 {
        let tally = |items: &[u64]| {
            let mut counts: BTreeMap<u64, i64> = BTreeMap::new();
            for bits in items {
                let count = counts.entry(*bits).or_default();
                *count = count.saturating_add(1);
            }
            counts
        };
        let (needed, wires) = (tally(needed), tally(wires));
        let mut worst = 0;
        for pick in 0..1u32 << self.bits.len() {
            let bits = self.bits.iter().enumerate().filter(|(i, _)| pick & (1 << i) != 0);
            let set = bits.fold(0, |set, (_, b)| set | b) & !self.spare;
            let count =
                |tally: &BTreeMap<u64, i64>| tally.iter().filter(|(b, _)| *b & set != 0).map(|(_, n)| n).sum::<i64>();
            worst = worst.max(count(&needed).saturating_sub(count(&wires)));
        }
        worst
    }

    /// Purposes that go short by themselves.
    fn short_alone(&self, needed: &[u64], wires: &[u64]) -> u64 {
        let count = |items: &[u64], bit: u64| items.iter().filter(|b| **b & bit != 0).count();
        let is_short = |bit: &&u64| **bit != self.spare && count(needed, **bit) > count(wires, **bit);
        self.bits.iter().filter(is_short).fold(0, |set, b| set | b)
    }

    /// A cable has as many wires as are printed on it.
    fn lack_of_cable(&self, shop: &Shop, run: ItemRef, planned: &List) -> Lack {
        let Some(count) = cable_count(shop, run) else {
            let is_vague = may_be_cable(shop, run);
            return Lack { count: (0, (!is_vague).then_some(0)), roles: 0, is_open: is_vague };
        };
        let is_insulated = |c: &&ItemRef| self.of(shop, **c) & (self.ground | self.spare) == 0;
        let sure = planned.sure.iter().filter(is_insulated).count() as i64;
        let most = sure.saturating_add(planned.possible.iter().filter(is_insulated).count() as i64);
        let short = |needed: i64| needed.saturating_sub(count as i64).max(0);
        let high = (!planned.is_open).then(|| short(most));
        // Which purpose goes without a wire is the installer's choice.
        Lack { count: (short(sure), high), roles: 0, is_open: high != Some(0) }
    }

    /// Planned wires are never apart from their companions. Where wires are lacking among the pulled,
    /// what else is there of a circuit may be: its current comes back another way.
    fn strays(&self, shop: &Shop, planned: &List, lack: &Lack) -> List {
        if lack.count == (0, Some(0)) || lack.roles == self.ground {
            return List::default();
        }
        let is_carrying = |c: &&ItemRef| self.of(shop, **c) & self.ground == 0;
        let of_short: HashSet<ItemRef> = planned.sure.iter().filter_map(|c| shop.item(*c, name::CIRCUIT)).collect();
        let may_stray = |c: &&ItemRef| shop.item(**c, name::CIRCUIT).is_some_and(|l| of_short.contains(&l));
        let possible = planned.sure.iter().chain(&planned.possible).filter(is_carrying).filter(may_stray).copied();
        List { possible: possible.collect(), is_open: planned.is_open, ..List::default() }
    }

    /// A pulled wire without a said role has one where only one is left in the run.
    fn last(&self, shop: &mut Shop, planned: &List, pulled: &List) {
        let is_whole = |list: &List| !list.is_open && list.possible.is_empty();
        if !is_whole(planned) || !is_whole(pulled) || planned.sure.len() != pulled.sure.len() {
            return;
        }
        let mut left: Vec<u64> = planned.sure.iter().map(|c| self.of(shop, *c)).collect();
        let mut open = Vec::new();
        for wire in &pulled.sure {
            let (may, _) = self.serves(shop, *wire);
            match left.iter().position(|b| *b == may) {
                Some(at) if may.count_ones() == 1 => {
                    left.swap_remove(at);
                    shop.settle(*wire, name::ROLE, Value::Choice(may));
                }
                _ => open.push(*wire),
            }
        }
        left.sort_unstable();
        left.dedup();
        if let [one] = left.as_slice() {
            for wire in open {
                if self.serves(shop, wire).0 & one != 0 {
                    shop.settle(wire, name::ROLE, Value::Choice(*one));
                }
            }
        }
    }
}
