//! What it comes to when fewer wires were pulled than the plan needs: which load then fails, and how.

use super::facts::Facts;
use super::joints::{Built, Wire, joints};
use super::{Fault, FaultKind, Wiring, faults};
use crate::shop::{ItemRef, List, Shop, Value};
use crate::text::{Problem, natural};
use crate::words::{Kind, choice, name};
use std::collections::{BTreeMap, BTreeSet};

/// Runs that are looked into, and wires in all of them; each wire asks for a whole simulation. What hangs on further ones
/// stays open. Those with the fewest wires come first, then by name, so that it does not matter in which order the plan
/// names them.
const MOST_RUNS: usize = 20;
const MOST_WIRES: usize = 200;

/// Kinds that can have something wrong with their wiring.
const KINDS: [Kind; 7] =
    [Kind::Circuit, Kind::Run, Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device, Kind::Equipment];

/// A run that lacks wires by what was pulled.
#[derive(Clone, Debug)]
pub struct Lacking {
    /// The run.
    pub run: ItemRef,
    /// One for each wire that it can be; which one it is may be open. None where that was not tried.
    pub cases: Vec<Case>,
    /// Whether just one wire is lacking and each was tried, so that one of the cases is what was built.
    pub is_one: bool,
}

/// The wiring without one wire of the plan.
#[derive(Clone, Debug)]
pub struct Case {
    /// The wire.
    pub wire: Wire,
    /// What is then wrong.
    pub faults: Vec<Fault>,
}

/// The runs that lack a wire for sure, with what that leads to; this for twenty runs and two hundred wires at most.
pub fn lacking(shop: &Shop, wiring: &Wiring) -> Vec<Lacking> {
    let runs: Vec<(ItemRef, bool)> = short(shop).collect();
    if runs.is_empty() {
        return Vec::new();
    }
    let planned = joints(shop, wiring);
    let wires: Vec<Vec<u32>> = runs.iter().map(|(run, _)| meant(shop, &planned, *run)).collect();
    let mut order: Vec<usize> = (0..runs.len()).collect();
    order.sort_by_cached_key(|place| {
        let name = runs.get(*place).map(|(run, _)| natural(&shop.head(*run).name));
        (wires.get(*place).map_or(0, Vec::len), name)
    });
    let mut wires_left = MOST_WIRES;
    let is_within = |place: &usize| {
        let left = wires_left.checked_sub(wires.get(*place).map_or(0, Vec::len));
        wires_left = left.unwrap_or(0);
        left.is_some()
    };
    let tried: BTreeSet<usize> = order.into_iter().take(MOST_RUNS).take_while(is_within).collect();
    let look = |(place, ((run, is_one), wires)): (usize, ((ItemRef, bool), Vec<u32>))| {
        if !tried.contains(&place) {
            return Lacking { run, cases: Vec::new(), is_one: false };
        }
        let case = |place: u32| {
            let wire = *planned.wires.get(place as usize)?;
            Some(Case { wire, faults: faults(&wiring.nets, &planned, &planned.without(place)) })
        };
        Lacking { run, cases: wires.into_iter().filter_map(case).collect(), is_one }
    };
    runs.into_iter().zip(wires).enumerate().map(look).collect()
}

/// The wires of a run that may be what it lacks.
fn meant(shop: &Shop, planned: &Built, run: ItemRef) -> Vec<u32> {
    let roles = match shop.value(run, name::MISSING_ROLES) {
        Value::List(id) if shop.list(id).choices != 0 => shop.list(id).choices,
        _ => u64::MAX,
    };
    let is_meant = |wire: &Wire| {
        let bit = shop.bit(choice::ROLE, wire.role.name());
        wire.run == run && (bit == 0 || roles & bit != 0)
    };
    (0u32..).zip(&planned.wires).filter(|(_, wire)| is_meant(wire)).map(|(place, _)| place).collect()
}

/// What is said of runs that were not looked into.
fn untried(shop: &Shop, told: &[Lacking]) -> Option<Problem> {
    let left: Vec<ItemRef> = told.iter().filter(|lack| lack.cases.is_empty()).map(|lack| lack.run).collect();
    let first = shop.head(*left.first()?).place;
    let names: Vec<&str> = left.iter().map(|run| shop.head(*run).name.as_str()).collect();
    let text = format!(
        "{} of {} runs that lack wires by what was pulled were left untried: {}",
        left.len(),
        told.len(),
        names.join(", ")
    );
    let help = format!(
        "what fails there stays open: {MOST_RUNS} runs and {MOST_WIRES} wires at most are tried, runs of few wires first"
    );
    Some(Problem::warning(first, text).help(help))
}

/// Runs in which something was pulled, and less than the plan needs; and whether it is just one wire less.
fn short(shop: &Shop) -> impl Iterator<Item = (ItemRef, bool)> {
    shop.items(Kind::Run).filter(|run| matches!(shop.value(*run, name::PULLED), Value::List(_))).filter_map(|run| {
        match shop.value(run, name::MISSING_CONDUCTORS) {
            Value::Number(n) if n.floor() > 0 => Some((run, n.floor() == 1)),
            // Without an upper bound what may lack besides belongs to circuits that the plan does not list.
            Value::Range(r) if r.low.is_some_and(|n| n.floor() > 0) => {
                Some((run, r.high.is_none() && r.low.is_some_and(|n| n.floor() == 1)))
            }
            _ => None,
        }
    })
}

/// Writes `wiring-faults`: what is wrong in every case is so; what is wrong in some is open.
pub(super) fn write(shop: &mut Shop, wiring: &Wiring) {
    let told = lacking(shop, wiring);
    let untried = untried(shop, &told);
    shop.problems.extend(untried);
    let mut sure: BTreeMap<ItemRef, u64> = BTreeMap::new();
    let mut open: BTreeSet<ItemRef> = BTreeSet::new();
    for lack in &told {
        let mut counts: BTreeMap<(ItemRef, u64), usize> = BTreeMap::new();
        for case in &lack.cases {
            open.extend(case.faults.iter().filter(|f| f.kind == FaultKind::Untried).map(|f| f.item));
            let found =
                case.faults.iter().filter_map(|f| Some((f.item, shop.bit(choice::WIRING_FAULT, f.kind.value()?))));
            for at in found.collect::<BTreeSet<_>>() {
                let count = counts.entry(at).or_default();
                *count = count.saturating_add(1);
            }
        }
        for ((item, bit), count) in counts {
            if lack.is_one && count == lack.cases.len() {
                *sure.entry(item).or_default() |= bit;
            } else {
                open.insert(item);
            }
        }
    }
    // With more wires lacking than one, or more runs than are tried, all that hangs there is open.
    let is_told = |run: &ItemRef| told.iter().any(|l| l.run == *run && l.is_one);
    let vague: Vec<ItemRef> = short(shop).map(|(run, _)| run).filter(|run| !is_told(run)).collect();
    for run in vague {
        let conductors = shop.members(run, name::CONDUCTORS);
        let lines: BTreeSet<ItemRef> =
            conductors.sure.iter().chain(&conductors.possible).filter_map(|c| shop.item(*c, name::CIRCUIT)).collect();
        for line in lines.into_iter().filter(|line| line.kind == Kind::Circuit) {
            open.insert(line);
            for word in [name::LIGHTS, name::RECEPTACLES, name::EQUIPMENT] {
                let list = shop.members(line, word);
                open.extend(list.sure.iter().chain(&list.possible));
            }
        }
    }
    // Nearly all have nothing wrong, and share one list.
    let nothing = Value::List(shop.add_list(List::default()));
    for kind in KINDS {
        for item in shop.items(kind) {
            match (sure.get(&item), open.contains(&item)) {
                (None, false) => shop.settle(item, name::WIRING_FAULTS, nothing),
                (choices, is_open) => {
                    let list = List { choices: choices.copied().unwrap_or(0), is_open, ..List::default() };
                    shop.settle_list(item, name::WIRING_FAULTS, list);
                }
            }
        }
    }
}
