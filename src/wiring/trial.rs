//! Wiring tried with its covers off: which joints are one piece of metal, and what each load meets in
//! every position of the switches that touch it. Switches that meet only at a breaker or a bar do not touch.

use super::Net;
use super::joints::{Built, Terminal};
use super::nets::Screw;
use super::simulate::Load;
use crate::shop::ItemRef;
use crate::words::Kind;
use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};

/// Most switches of one part that are tried in every position: 4,096 positions.
pub(super) const MOST_SWITCHES: usize = 12;

/// What a load meets in one set of positions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct State {
    /// Each hot terminal reaches a source of its own.
    pub(super) is_fed: bool,
    /// A hot terminal reaches some source.
    pub(super) is_touched: bool,
    /// The neutral terminal, where there is one, reaches a bar.
    pub(super) is_back: bool,
    /// The neutral terminal reaches a source, or a hot terminal the bar.
    pub(super) is_reversed: bool,
    /// Over a neutral that reaches no bar it stands in series with a load of another leg.
    pub(super) is_over: bool,
    /// One of its terminals reaches two sources, or a source and the bar.
    pub(super) is_short: bool,
}

impl State {
    pub(super) fn is_on(self) -> bool {
        self.is_fed && self.is_back && !self.is_short
    }
}

/// States of one load in every position of the switches that touch it; none of it is known where
/// they are too many.
pub(super) struct States {
    pub(super) switches: Vec<ItemRef>,
    /// Switches whose sense is free: one that has a common.
    pub(super) turned: Vec<ItemRef>,
    pub(super) states: Vec<State>,
}

impl States {
    /// In positions of other switches: bits of `among`.
    pub(super) fn at(&self, among: &[ItemRef], positions: usize) -> State {
        let own = self.switches.iter().enumerate().filter(|(_, s)| {
            let place = among.iter().position(|a| a == *s);
            place.is_some_and(|p| positions & (1 << p) != 0)
        });
        let place: usize = own.map(|(i, _)| 1usize << i).sum();
        self.states.get(place).copied().unwrap_or_default()
    }
}
/// Joints by number; what is metal of one piece has one root.
pub(super) struct Trial<'a> {
    pub(super) built: &'a Built,
    /// The joints of each wire.
    pub(super) ends: Vec<Vec<u32>>,
    pub(super) root: Vec<u32>,
    pub(super) rings: Vec<u32>,
    /// Sources and bars at each root.
    pub(super) fixed: HashMap<u32, Vec<Terminal>>,
    pub(super) at: BTreeMap<ItemRef, Vec<(Terminal, u32)>>,
    /// For each joint of a root with a source or bar: the wire and joint toward it.
    pub(super) up: HashMap<u32, (u32, u32)>,
}

impl<'a> Trial<'a> {
    pub(super) fn new(built: &'a Built) -> Trial<'a> {
        let mut ends: Vec<Vec<u32>> = vec![Vec::new(); built.wires.len()];
        let mut at: BTreeMap<ItemRef, Vec<(Terminal, u32)>> = BTreeMap::new();
        for (number, joint) in built.joints.iter().enumerate() {
            for wire in &joint.wires {
                if let Some(ends) = ends.get_mut(*wire as usize) {
                    ends.push(number as u32);
                }
            }
            for terminal in &joint.terminals {
                at.entry(terminal.item).or_default().push((*terminal, number as u32));
            }
        }
        let mut union = Union::new(built.joints.len());
        let mut rings = Vec::new();
        for (wire, ends) in ends.iter().enumerate() {
            for pair in ends.windows(2) {
                let [a, b] = pair else { continue };
                match union.of(*a) == union.of(*b) {
                    true => rings.push(wire as u32),
                    false => union.join(*a, *b),
                }
            }
        }
        let root: Vec<u32> = (0..built.joints.len() as u32).map(|j| union.of(j)).collect();
        let mut fixed: HashMap<u32, Vec<Terminal>> = HashMap::new();
        let mut starts: Vec<u32> = Vec::new();
        for (number, joint) in built.joints.iter().enumerate() {
            let own = joint.terminals.iter().filter(|t| matches!(t.screw, Screw::Source | Screw::Bar));
            for terminal in own {
                if let Some(root) = root.get(number) {
                    fixed.entry(*root).or_default().push(*terminal);
                    starts.push(number as u32);
                }
            }
        }
        let mut trial = Trial { built, ends, root, rings, fixed, at, up: HashMap::new() };
        trial.climb(starts);
        trial
    }

    /// Walks each root with a source or bar once, from there outward.
    fn climb(&mut self, starts: Vec<u32>) {
        let mut seen: BTreeSet<u32> = starts.iter().copied().collect();
        let mut queue: VecDeque<u32> = starts.into();
        while let Some(joint) = queue.pop_front() {
            for (wire, next) in self.beside(joint) {
                if seen.insert(next) {
                    self.up.insert(next, (wire, joint));
                    queue.push_back(next);
                }
            }
        }
    }

    /// The joints one wire away.
    pub(super) fn beside(&self, joint: u32) -> Vec<(u32, u32)> {
        let wires = self.built.joints.get(joint as usize).map(|j| j.wires.as_slice()).unwrap_or_default();
        let mut all = Vec::new();
        for wire in wires {
            let ends = self.ends.get(*wire as usize).map(Vec::as_slice).unwrap_or_default();
            for pair in ends.windows(2) {
                match pair {
                    [a, b] if *a == joint => all.push((*wire, *b)),
                    [a, b] if *b == joint => all.push((*wire, *a)),
                    _ => {}
                }
            }
        }
        all
    }

    pub(super) fn root(&self, joint: u32) -> u32 {
        self.root.get(joint as usize).copied().unwrap_or(joint)
    }

    pub(super) fn is_fixed(&self, joint: u32) -> bool {
        self.fixed.contains_key(&self.root(joint))
    }

    /// Everything that is fed, with its terminals; halves of a receptacle apart.
    pub(super) fn loads(&self, nets: &[Net]) -> Vec<(Load, Vec<(Terminal, u32)>)> {
        let mut all = Vec::new();
        for (item, terminals) in &self.at {
            if !matches!(item.kind, Kind::Receptacle | Kind::Light | Kind::Equipment | Kind::Device) {
                continue;
            }
            let own = || terminals.iter().filter(|(t, _)| is_load_screw(t.screw));
            let halves: Vec<&(Terminal, u32)> = own().filter(|(t, _)| t.screw == Screw::Hot(0)).collect();
            match halves.as_slice() {
                [] => {}
                [_] => all.push((Load { item: *item, half: None }, own().copied().collect())),
                halves => {
                    for (hot, joint) in halves.iter().copied() {
                        let circuits = |net: u32| nets.get(net as usize).map(|n| n.circuits.as_slice()).unwrap_or(&[]);
                        let is_own = |t: &Terminal| circuits(t.net).iter().any(|c| circuits(hot.net).contains(c));
                        let rest = own().filter(|(t, _)| t.screw != Screw::Hot(0) && is_own(t)).copied();
                        let terminals = rest.chain([(*hot, *joint)]).collect();
                        all.push((Load { item: *item, half: Some(hot.net) }, terminals));
                    }
                }
            }
        }
        all
    }

    /// Every load in every position of the switches that touch it.
    pub(super) fn states(&self, nets: &[Net]) -> BTreeMap<Load, States> {
        let loads = self.loads(nets);
        let mut union = Union::new(self.built.joints.len());
        let mut tie = |terminals: &mut dyn Iterator<Item = u32>| {
            let mut own = terminals.filter(|j| !self.is_fixed(*j)).map(|j| self.root(j));
            if let Some(first) = own.next() {
                own.for_each(|other| union.join(first, other));
            }
        };
        for (_, terminals) in self.at.iter().filter(|(item, _)| passes_power(**item)) {
            tie(&mut terminals.iter().map(|(_, j)| *j));
        }
        for (_, terminals) in &loads {
            tie(&mut terminals.iter().map(|(_, j)| *j));
        }
        let mut through: HashMap<u32, Vec<ItemRef>> = HashMap::new();
        for (item, terminals) in self.at.iter().filter(|(item, _)| passes_power(**item)) {
            if let Some((_, joint)) = terminals.iter().find(|(_, j)| !self.is_fixed(*j)) {
                through.entry(union.of(self.root(*joint))).or_default().push(*item);
            }
        }
        let mut of_group: BTreeMap<Option<u32>, Vec<&(Load, Vec<(Terminal, u32)>)>> = BTreeMap::new();
        for load in &loads {
            let group = load.1.iter().find(|(_, j)| !self.is_fixed(*j)).map(|(_, j)| union.of(self.root(*j)));
            of_group.entry(group).or_default().push(load);
        }
        let mut all = BTreeMap::new();
        for (group, loads) in of_group {
            let items = group.and_then(|g| through.get(&g)).map(Vec::as_slice).unwrap_or_default();
            let switches: Vec<ItemRef> = items.iter().copied().filter(|i| i.kind == Kind::Switch).collect();
            let has_common =
                |s: &&ItemRef| self.at.get(s).is_some_and(|t| t.iter().any(|(t, _)| t.screw == Screw::Common));
            let turned: Vec<ItemRef> = switches.iter().filter(has_common).copied().collect();
            let count = if switches.len() <= MOST_SWITCHES { 1usize << switches.len() } else { 0 };
            let mut states = vec![Vec::with_capacity(count); loads.len()];
            for positions in 0..count {
                let reach = self.reach(items, &switches, positions);
                let over = self.over(&reach, &loads);
                for (place, (list, (_, terminals))) in states.iter_mut().zip(&loads).enumerate() {
                    list.push(State { is_over: over.contains(&place), ..self.state(&reach, terminals) });
                }
            }
            for ((load, _), states) in loads.into_iter().zip(states) {
                all.insert(*load, States { switches: switches.clone(), turned: turned.clone(), states });
            }
        }
        all
    }

    /// Which roots are one in these positions.
    fn reach(&self, items: &[ItemRef], switches: &[ItemRef], positions: usize) -> Reach {
        let mut numbers: HashMap<u32, u32> = HashMap::new();
        let mut pairs = Vec::new();
        for item in items {
            for (a, b) in self.links(*item, switches, positions) {
                pairs.push((self.root(a), self.root(b)));
            }
        }
        for root in pairs.iter().flat_map(|(a, b)| [*a, *b]) {
            let next = numbers.len() as u32;
            numbers.entry(root).or_insert(next);
        }
        let mut union = Union::new(numbers.len());
        for (a, b) in pairs {
            if let (Some(a), Some(b)) = (numbers.get(&a), numbers.get(&b)) {
                union.join(*a, *b);
            }
        }
        let mut fixed: HashMap<u32, Vec<Terminal>> = HashMap::new();
        for (root, number) in &numbers {
            if let Some(terminals) = self.fixed.get(root) {
                fixed.entry(union.of(*number)).or_default().extend(terminals);
            }
        }
        Reach { numbers, union, fixed }
    }

    /// The joints that an item joins in these positions.
    pub(super) fn links(&self, item: ItemRef, switches: &[ItemRef], positions: usize) -> Vec<(u32, u32)> {
        let place = switches.iter().position(|s| *s == item);
        let is_up = place.is_none_or(|p| positions & (1 << p) != 0);
        let terminals: Vec<(Screw, u32)> =
            self.at.get(&item).into_iter().flatten().map(|(t, joint)| (t.screw, *joint)).collect();
        closed(&terminals, is_up)
    }

    /// Which of the loads share a neutral that reaches no bar with a hot of another leg.
    fn over(&self, reach: &Reach, loads: &[&(Load, Vec<(Terminal, u32)>)]) -> BTreeSet<usize> {
        let mut open: BTreeMap<(bool, u32), Vec<(usize, u8)>> = BTreeMap::new();
        for (place, (_, terminals)) in loads.iter().enumerate() {
            let Some((_, back)) = terminals.iter().find(|(t, _)| t.screw == Screw::Neutral) else { continue };
            let back = self.root(*back);
            if !reach.met(self, back).is_empty() {
                continue;
            }
            let hots = terminals.iter().filter(|(t, _)| matches!(t.screw, Screw::Hot(_)));
            let met = hots.flat_map(|(_, joint)| reach.met(self, self.root(*joint)));
            let legs = met.filter(|t| t.screw == Screw::Source).filter_map(|t| t.leg);
            open.entry(reach.metal(back)).or_default().extend(legs.map(|leg| (place, leg)));
        }
        let two_legs =
            open.into_values().filter(|all| all.iter().any(|(_, leg)| all.first().is_some_and(|a| a.1 != *leg)));
        two_legs.flatten().map(|(place, _)| place).collect()
    }

    fn state(&self, reach: &Reach, terminals: &[(Terminal, u32)]) -> State {
        let mut state = State { is_fed: true, is_back: true, ..State::default() };
        let mut sources: Vec<(u32, u8)> = Vec::new();
        for (terminal, joint) in terminals {
            let met = reach.met(self, self.root(*joint));
            let is_source = |t: &&Terminal| t.screw == Screw::Source;
            let found: BTreeSet<u32> = met.iter().filter(is_source).map(|t| t.net).collect();
            let bar = met.iter().any(|t| t.screw == Screw::Bar);
            state.is_short |= found.len() > 1 || !found.is_empty() && bar;
            match terminal.screw {
                Screw::Hot(_) => {
                    state.is_touched |= !found.is_empty();
                    state.is_reversed |= bar && found.is_empty();
                    match found.iter().next() {
                        Some(net) if !sources.iter().any(|(n, _)| n == net) => sources.push((*net, 0)),
                        _ => state.is_fed = false,
                    }
                }
                _ => {
                    state.is_back &= bar;
                    state.is_reversed |= !found.is_empty() && !bar;
                }
            }
        }
        state
    }
}

/// Which roots are one, and what they hang on.
struct Reach {
    numbers: HashMap<u32, u32>,
    union: Union,
    fixed: HashMap<u32, Vec<Terminal>>,
}

impl Reach {
    /// What stands for all that is one with a root.
    fn metal(&self, root: u32) -> (bool, u32) {
        self.numbers.get(&root).map_or((false, root), |number| (true, self.union.find(*number)))
    }

    fn met<'t>(&'t self, trial: &'t Trial, root: u32) -> &'t [Terminal] {
        let found = match self.numbers.get(&root) {
            Some(number) => self.fixed.get(&self.union.find(*number)),
            None => trial.fixed.get(&root),
        };
        found.map(Vec::as_slice).unwrap_or_default()
    }
}

/// Whether power goes through an item to further nets.
pub(super) fn passes_power(item: ItemRef) -> bool {
    matches!(item.kind, Kind::Switch | Kind::Disconnect | Kind::Receptacle | Kind::Device)
}

fn is_load_screw(screw: Screw) -> bool {
    matches!(screw, Screw::Hot(_) | Screw::Neutral)
}

/// The pairs of nets that an item joins.
fn closed(terminals: &[(Screw, u32)], is_up: bool) -> Vec<(u32, u32)> {
    let at = |wanted: Screw| terminals.iter().find(|(screw, _)| *screw == wanted).map(|(_, net)| *net);
    let mut pairs = Vec::new();
    let mut pair = |a: Option<u32>, b: Option<u32>| pairs.extend(a.zip(b));
    let side = u8::from(!is_up);
    if let Some(common) = at(Screw::Common) {
        pair(Some(common), at(Screw::In(side)));
        pair(Some(common), at(Screw::Out(side)));
    } else {
        for no in 0..2 {
            pair(at(Screw::In(no)), at(Screw::Out(if is_up { no } else { no ^ 1 })));
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
