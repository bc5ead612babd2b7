//! Every position of every switch: which load then has what it needs.
//!
//! Works on the nets alone: a switch joins some of the nets at its terminals, a load is on where its
//! hot terminals reach as many different sources and its neutral terminal reaches the bar. What
//! a `feeds` line meant is not asked, so that a mistake in making the nets shows here.
//!
//! Switches whose nets meet only at a source do not touch each other and are not tried together.

use super::facts::Facts;
use super::nets::Screw;
use super::{Net, Wiring};
use crate::shop::{ItemRef, Shop};
use crate::words::{Kind, name};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Most switches of one part that are tried in every position: 4,096 positions.
pub(super) const MOST_SWITCHES: usize = 12;
/// Most switches of circuits that hang together that still make one table; more make one for each part.
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

/// Loads that depend on some switches, in every position of them.
struct Part {
    switches: Vec<ItemRef>,
    /// For each load, for each set of positions as bits (set: up), whether it is on.
    loads: Vec<(Load, Vec<bool>)>,
    circuits: BTreeSet<ItemRef>,
}

/// Terminals of one item.
type Terminals = Vec<(Screw, u32)>;

/// Tries the wiring. Circuits that share a switch or a load stand in one table; those without a
/// switch have one of a single row, at the end.
pub fn simulate(shop: &Shop, wiring: &Wiring) -> Vec<Table> {
    tables(shop, parts(&wiring.nets))
}

fn parts(nets: &[Net]) -> Vec<Part> {
    let mut at: BTreeMap<ItemRef, Terminals> = BTreeMap::new();
    for (number, net) in nets.iter().enumerate() {
        for end in &net.ends {
            at.entry(end.item).or_default().push((end.screw, number as u32));
        }
    }
    let is_source: Vec<bool> = nets.iter().map(|n| n.ends.iter().any(|e| e.screw == Screw::Source)).collect();
    let is_bar: Vec<bool> = nets.iter().map(|n| n.ends.iter().any(|e| e.screw == Screw::Bar)).collect();
    let fixed =
        |net: u32| is_source.get(net as usize).copied().unwrap_or(true) || is_bar.get(net as usize) == Some(&true);
    // What one part is: nets joined by switches and devices, cut at sources and bars.
    let mut groups = Union::new(nets.len());
    for terminals in at.iter().filter(|(item, _)| passes_power(**item)).map(|(_, t)| t) {
        let mut own = terminals.iter().map(|(_, net)| *net).filter(|net| !fixed(*net));
        if let Some(first) = own.next() {
            own.for_each(|net| groups.join(first, net));
        }
    }
    let mut switches_of: BTreeMap<u32, Vec<ItemRef>> = BTreeMap::new();
    let mut through_of: HashMap<u32, Vec<ItemRef>> = HashMap::new();
    for (item, terminals) in at.iter().filter(|(item, _)| passes_power(**item)) {
        let Some((_, net)) = terminals.iter().find(|(_, net)| !fixed(*net)) else { continue };
        let group = groups.of(*net);
        through_of.entry(group).or_default().push(*item);
        if item.kind == Kind::Switch {
            switches_of.entry(group).or_default().push(*item);
        }
    }
    // Loads by the parts that their terminals hang on; one on two parts joins them.
    let loads: Vec<(Load, Terminals)> = at.iter().flat_map(|(item, terminals)| loads_of(*item, terminals)).collect();
    let mut joined = Union::new(nets.len());
    let groups_of = |terminals: &Terminals, groups: &mut Union| -> Vec<u32> {
        let own = terminals.iter().filter(|(screw, net)| is_load_screw(*screw) && !fixed(*net));
        own.map(|(_, net)| groups.of(*net)).collect()
    };
    for (_, terminals) in &loads {
        let own = groups_of(terminals, &mut groups);
        own.windows(2).for_each(|pair| {
            if let [a, b] = pair {
                joined.join(*a, *b)
            }
        });
    }
    let circuits_of = |terminals: &Terminals| -> Vec<ItemRef> {
        let hots = terminals.iter().filter(|(screw, _)| matches!(screw, Screw::Hot(_)));
        hots.filter_map(|(_, n)| nets.get(*n as usize)).flat_map(|n| n.circuits.iter().copied()).collect()
    };
    // What hangs on no switch stands with its circuit.
    let mut parts: BTreeMap<(Option<u32>, Option<ItemRef>), (Vec<&(Load, Terminals)>, BTreeSet<u32>)> = BTreeMap::new();
    for load in &loads {
        let terminals = &load.1;
        let own = groups_of(terminals, &mut groups);
        let group = own.first().map(|g| joined.of(*g));
        let circuit = if group.is_none() { circuits_of(terminals).first().copied() } else { None };
        let part = parts.entry((group, circuit)).or_default();
        part.0.push(load);
        part.1.extend(own);
    }
    let mut all = Vec::new();
    for (_, (loads, own)) in parts {
        let mut switches: Vec<ItemRef> =
            own.iter().flat_map(|g| switches_of.get(g).into_iter().flatten()).copied().collect();
        switches.sort_unstable();
        switches.dedup();
        let through: Vec<(ItemRef, &Terminals)> = own
            .iter()
            .flat_map(|g| through_of.get(g).into_iter().flatten())
            .filter_map(|item| Some((*item, at.get(item)?)))
            .collect();
        let circuits = loads.iter().flat_map(|(_, terminals)| circuits_of(terminals)).collect();
        let is_tried = switches.len() <= MOST_SWITCHES;
        let count = if is_tried { 1usize << switches.len() } else { 0 };
        let mut results: Vec<(Load, Vec<bool>)> = loads.iter().map(|l| (l.0, Vec::with_capacity(count))).collect();
        for positions in 0..count {
            let is_up = |switch: ItemRef| {
                let place = switches.iter().position(|s| *s == switch);
                place.is_none_or(|i| positions & (1 << i) != 0)
            };
            let reach = Reach::new(nets.len(), &through, is_up);
            for ((_, states), (_, terminals)) in results.iter_mut().zip(&loads) {
                states.push(is_on(&reach, terminals, &is_source, &is_bar));
            }
        }
        all.push(Part { switches, loads: results, circuits });
    }
    all
}

/// What an item is to be fed as: itself, or each half that has a hot of its own.
fn loads_of(item: ItemRef, terminals: &Terminals) -> Vec<(Load, Terminals)> {
    if !matches!(item.kind, Kind::Receptacle | Kind::Light | Kind::Equipment | Kind::Device) {
        return Vec::new();
    }
    let hots: Vec<u32> = terminals.iter().filter(|(screw, _)| *screw == Screw::Hot(0)).map(|(_, net)| *net).collect();
    match hots.as_slice() {
        [] => Vec::new(),
        [_] => vec![(Load { item, half: None }, terminals.clone())],
        halves => {
            let rest = terminals.iter().filter(|(screw, _)| *screw != Screw::Hot(0));
            let of = |net: &u32| rest.clone().copied().chain([(Screw::Hot(0), *net)]).collect();
            halves.iter().map(|net| (Load { item, half: Some(*net) }, of(net))).collect()
        }
    }
}

/// Whether power goes through an item to further nets.
pub(super) fn passes_power(item: ItemRef) -> bool {
    matches!(item.kind, Kind::Switch | Kind::Disconnect | Kind::Receptacle | Kind::Device)
}

pub(super) fn is_load_screw(screw: Screw) -> bool {
    matches!(screw, Screw::Hot(_) | Screw::Neutral)
}

/// Which nets are one in one set of positions. Only nets of the part's items are looked at.
struct Reach {
    numbers: HashMap<u32, u32>,
    union: Union,
    sources: HashMap<u32, Vec<u32>>,
}

impl Reach {
    fn new(nets: usize, through: &[(ItemRef, &Terminals)], is_up: impl Fn(ItemRef) -> bool) -> Reach {
        let mut numbers: HashMap<u32, u32> = HashMap::new();
        for (_, net) in through.iter().flat_map(|(_, t)| t.iter()) {
            let next = numbers.len() as u32;
            numbers.entry(*net).or_insert(next);
        }
        let mut union = Union::new(numbers.len().min(nets));
        for (item, terminals) in through {
            for (a, b) in closed(terminals, is_up(*item)) {
                if let (Some(a), Some(b)) = (numbers.get(&a), numbers.get(&b)) {
                    union.join(*a, *b);
                }
            }
        }
        let mut sources: HashMap<u32, Vec<u32>> = HashMap::new();
        for (net, number) in &numbers {
            sources.entry(union.of(*number)).or_default().push(*net);
        }
        Reach { numbers, union, sources }
    }

    /// The nets that are one with this one, itself included.
    fn with(&self, net: u32) -> Vec<u32> {
        match self.numbers.get(&net) {
            Some(number) => self.sources.get(&self.union.find(*number)).cloned().unwrap_or_default(),
            None => vec![net],
        }
    }
}

/// The pairs of nets that an item joins.
pub(super) fn closed(terminals: &[(Screw, u32)], is_up: bool) -> Vec<(u32, u32)> {
    let at = |wanted: Screw| terminals.iter().find(|(screw, _)| *screw == wanted).map(|(_, net)| *net);
    let mut pairs = Vec::new();
    let mut pair = |a: Option<u32>, b: Option<u32>| pairs.extend(a.zip(b));
    let side = u8::from(!is_up);
    if let Some(common) = at(Screw::Common) {
        pair(Some(common), at(Screw::In(side)));
        pair(Some(common), at(Screw::Out(side)));
    } else {
        for no in 0..2 {
            pair(at(Screw::In(no)), at(Screw::Out(if is_up { no } else { 1 - no })));
        }
    }
    for no in 0..3 {
        if is_up {
            pair(at(Screw::Line(no)), at(Screw::Load(no)));
        }
        pair(at(Screw::Hot(no)), at(Screw::Behind(no)));
    }
    pair(at(Screw::Neutral), at(Screw::BehindNeutral));
    pairs
}

/// Whether a load has what its terminals need: as many sources as hots, and the bar.
fn is_on(reach: &Reach, terminals: &[(Screw, u32)], is_source: &[bool], is_bar: &[bool]) -> bool {
    let mut sources = BTreeSet::new();
    for (screw, net) in terminals {
        let with = reach.with(*net);
        match screw {
            Screw::Hot(_) => {
                let mut found = with.iter().filter(|n| is_source.get(**n as usize) == Some(&true));
                let (Some(source), None) = (found.next(), found.next()) else { return false };
                // The same source on both hots is no voltage between them.
                if !sources.insert(*source) {
                    return false;
                }
            }
            Screw::Neutral if !with.iter().any(|n| is_bar.get(*n as usize) == Some(&true)) => return false,
            _ => {}
        }
    }
    !sources.is_empty()
}

fn tables(shop: &Shop, parts: Vec<Part>) -> Vec<Table> {
    // Circuits that hang together, by a switch or a load.
    let mut numbers: BTreeMap<ItemRef, u32> = BTreeMap::new();
    for circuit in parts.iter().flat_map(|p| &p.circuits) {
        let next = numbers.len() as u32;
        numbers.entry(*circuit).or_insert(next);
    }
    let mut union = Union::new(numbers.len());
    for part in &parts {
        // What hangs on no switch at all ties no circuits.
        let own: Vec<u32> = part.circuits.iter().filter_map(|c| numbers.get(c)).copied().collect();
        if !part.switches.is_empty() {
            own.windows(2).for_each(|pair| {
                if let [a, b] = pair {
                    union.join(*a, *b)
                }
            });
        }
    }
    let mut together: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (place, part) in parts.iter().enumerate() {
        let first = part.circuits.iter().find_map(|c| numbers.get(c)).copied().unwrap_or_default();
        together.entry(union.of(first)).or_default().push(place);
    }
    let mut tables = Vec::new();
    for (_, places) in together {
        let own: Vec<&Part> = places.iter().filter_map(|p| parts.get(*p)).collect();
        let count: usize = own.iter().map(|p| p.switches.len()).sum();
        match count <= MOST_IN_TABLE {
            true => tables.push(table(shop, &own)),
            false => tables.extend(own.iter().map(|part| table(shop, &[part]))),
        }
    }
    tables.sort_by_key(|t| (t.switches.is_empty(), t.switches.first().map(|s| s.item), t.loads.first().copied()));
    tables
}

fn table(shop: &Shop, parts: &[&Part]) -> Table {
    let mut switches: Vec<ItemRef> = parts.iter().flat_map(|p| &p.switches).copied().collect();
    switches.sort_unstable();
    switches.dedup();
    let mut loads: Vec<(Load, &Part, &Vec<bool>)> =
        parts.iter().flat_map(|p| p.loads.iter().map(move |(item, states)| (*item, *p, states))).collect();
    loads.sort_by_key(|(item, ..)| *item);
    let has_on = |item: ItemRef| {
        let bits = shop.bits(item, name::TYPE);
        let ways = ["3-way", "4-way"].map(|v| shop.bit(crate::words::choice::SWITCH_TYPE, v));
        !ways.contains(&bits)
    };
    let is_tried = loads.iter().all(|(_, _, states)| !states.is_empty());
    let count = if is_tried && switches.len() <= MOST_SWITCHES { 1usize << switches.len() } else { 0 };
    let rows = (0..count).map(|row| {
        // The first switch changes slowest, and up comes first.
        let up: Vec<bool> = (0..switches.len()).map(|i| row & (1 << (switches.len() - 1 - i)) == 0).collect();
        let is_up = |item: &ItemRef| switches.iter().zip(&up).any(|(s, up)| s == item && *up);
        let on = loads.iter().map(|(_, part, states)| {
            let positions: usize =
                part.switches.iter().enumerate().filter(|(_, s)| is_up(s)).map(|(i, _)| 1usize << i).sum();
            states.get(positions).copied().unwrap_or(false)
        });
        Row { on: on.collect(), up }
    });
    let rows = rows.collect();
    let loads = loads.iter().map(|(item, ..)| *item).collect();
    let switches = switches.into_iter().map(|item| Switch { item, has_on: has_on(item) }).collect();
    Table { switches, loads, rows }
}

/// Sets that are joined.
pub(super) struct Union {
    before: Vec<u32>,
}

impl Union {
    pub fn new(count: usize) -> Union {
        Union { before: (0..count as u32).collect() }
    }

    pub fn find(&self, of: u32) -> u32 {
        let mut at = of;
        while let Some(next) = self.before.get(at as usize).filter(|next| **next != at) {
            at = *next;
        }
        at
    }

    pub fn of(&mut self, of: u32) -> u32 {
        let root = self.find(of);
        let mut at = of;
        while let Some(slot) = self.before.get_mut(at as usize).filter(|next| **next != root) {
            at = std::mem::replace(slot, root);
        }
        root
    }

    pub fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.of(a), self.of(b));
        if let Some(slot) = self.before.get_mut(b as usize) {
            *slot = a;
        }
    }
}
