//! Every position of every switch: which load then has what it needs.
//!
//! Works on the joints alone ([`super::trial`]): a load is on where its hot terminals reach as many
//! different sources and its neutral terminal reaches the bar. What a `feeds` line meant is not asked,
//! so that a mistake in making the wiring shows here.

use super::facts::Facts;
use super::joints::{Built, joints};
use super::nets::Screw;
use super::trial::{States, Trial, Union};
use super::{Net, Wiring};
use crate::shop::{ItemRef, Shop};
use crate::words::{choice, name};
use std::collections::{BTreeMap, HashMap};

/// Most switches of circuits that hang together that still make one table; more make one for each
/// set of switches that touch each other.
const MOST_IN_TABLE: usize = 6;

/// What some switches do to some loads.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// In the order of the plan.
    pub switches: Vec<Switch>,
    /// Loads of the same circuits, in the order of the plan.
    pub loads: Vec<Load>,
    /// One for each set of positions, the first switch changing slowest, up before down. Empty where
    /// there are too many to try.
    pub rows: Vec<Row>,
}

/// A load, or half of a duplex receptacle whose halves are fed apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Load {
    /// Which.
    pub item: ItemRef,
    /// For a half, its hot: a place in [`Wiring::nets`].
    pub half: Option<u32>,
}

/// A switch of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Switch {
    /// Which.
    pub item: ItemRef,
    /// Whether its positions are on and off; a 3-way's and 4-way's are up and down.
    pub has_on: bool,
}

/// One set of positions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// For each switch, whether it is up (on).
    pub up: Vec<bool>,
    /// For each load, whether it is on.
    pub on: Vec<bool>,
}

/// A load with its states and circuits.
type Tried = (Load, States, Vec<ItemRef>);

/// Tries the wiring. Circuits that share a switch or a load stand in one table; those without a
/// switch have one of a single row, at the end.
pub fn simulate(shop: &Shop, wiring: &Wiring) -> Vec<Table> {
    simulate_built(shop, wiring, &joints(shop, wiring))
}

/// The same of wiring that was built in some other way than planned.
pub fn simulate_built(shop: &Shop, wiring: &Wiring, built: &Built) -> Vec<Table> {
    let circuits = circuits_of(&wiring.nets);
    let of = |load: &Load| match load.half.and_then(|net| wiring.nets.get(net as usize)) {
        Some(net) => net.circuits.clone(),
        None => circuits.get(&load.item).cloned().unwrap_or_default(),
    };
    let states = Trial::new(built).states(&wiring.nets);
    let loads: Vec<Tried> = states.into_iter().map(|(load, states)| (load, states, of(&load))).collect();
    let mut tables = Vec::new();
    for together in hanging_together(&loads) {
        let mut by_switches: BTreeMap<&[ItemRef], Vec<&Tried>> = BTreeMap::new();
        for tried in &together {
            by_switches.entry(&tried.1.switches).or_default().push(tried);
        }
        match by_switches.keys().map(|switches| switches.len()).sum::<usize>() <= MOST_IN_TABLE {
            true => tables.push(table(shop, &together)),
            false => tables.extend(by_switches.values().map(|own| table(shop, own))),
        }
    }
    tables.sort_by_key(|t| (t.switches.is_empty(), t.switches.first().map(|s| s.item), t.loads.first().copied()));
    tables
}

/// The circuits on whose hots each item hangs.
fn circuits_of(nets: &[Net]) -> HashMap<ItemRef, Vec<ItemRef>> {
    let mut circuits: HashMap<ItemRef, Vec<ItemRef>> = HashMap::new();
    for net in nets {
        for end in net.ends.iter().filter(|end| matches!(end.screw, Screw::Hot(_))) {
            circuits.entry(end.item).or_default().extend(&net.circuits);
        }
    }
    circuits
}

/// Loads by circuits that hang together: by a switch, or by a load behind one.
fn hanging_together(loads: &[Tried]) -> Vec<Vec<&Tried>> {
    let mut numbers: HashMap<ItemRef, u32> = HashMap::new();
    let mut number = |item: ItemRef| {
        let next = numbers.len() as u32;
        *numbers.entry(item).or_insert(next)
    };
    let ties: Vec<Vec<u32>> = loads
        .iter()
        .map(|(load, states, circuits)| {
            // A load without a switch ties no circuits; one without a circuit stands by itself.
            let switched = if states.switches.is_empty() { 1 } else { circuits.len() };
            let own = circuits.iter().take(switched).copied();
            let all = own.chain(states.switches.iter().copied()).chain(circuits.is_empty().then_some(load.item));
            all.map(&mut number).collect()
        })
        .collect();
    let mut union = Union::new(numbers.len());
    for tie in &ties {
        tie.iter().zip(tie.iter().skip(1)).for_each(|(a, b)| union.join(*a, *b));
    }
    let mut together: BTreeMap<u32, Vec<&Tried>> = BTreeMap::new();
    for (tried, tie) in loads.iter().zip(&ties) {
        together.entry(tie.first().map_or(0, |first| union.of(*first))).or_default().push(tried);
    }
    together.into_values().collect()
}

fn table(shop: &Shop, loads: &[&Tried]) -> Table {
    let mut switches: Vec<ItemRef> = loads.iter().flat_map(|(_, states, _)| &states.switches).copied().collect();
    switches.sort_unstable();
    switches.dedup();
    let has_on = |item: ItemRef| {
        let bits = shop.bits(item, name::TYPE);
        !["3-way", "4-way"].map(|value| shop.bit(choice::SWITCH_TYPE, value)).contains(&bits)
    };
    let is_tried = loads.iter().all(|(_, states, _)| !states.states.is_empty());
    let count = if is_tried { 1usize << switches.len() } else { 0 };
    let rows = (0..count).map(|row| {
        // The first switch changes slowest, and up comes first.
        let up: Vec<bool> = (0..switches.len()).rev().map(|i| row & (1 << i) == 0).collect();
        let positions = up.iter().enumerate().filter(|(_, up)| **up).map(|(i, _)| 1usize << i).sum();
        let on = loads.iter().map(|(_, states, _)| states.at(&switches, positions).is_on());
        Row { on: on.collect(), up }
    });
    Table {
        rows: rows.collect(),
        loads: loads.iter().map(|(load, ..)| *load).collect(),
        switches: switches.iter().map(|item| Switch { item: *item, has_on: has_on(*item) }).collect(),
    }
}
