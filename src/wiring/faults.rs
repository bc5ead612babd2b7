//! What is wrong with wiring as built, held against the wiring that the plan asks for.
//!
//! Joints first without switches: what is one piece of metal can't be two potentials. Then every
//! position of the switches that touch each other, never of those that meet only at a breaker or
//! a bar. Then the way of each load's current out and back: through one raceway and one
//! ground-fault device it must sum to nothing.

use super::joints::{Built, Terminal};
use super::nets::Screw;
use super::simulate::{MOST_SWITCHES, Union, closed, is_load_screw, passes_power};
use super::{Load, Net};
use crate::shop::ItemRef;
use crate::words::Kind;
use std::collections::{BTreeMap, BTreeSet, HashMap, VecDeque};

/// One thing that is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// What.
    pub kind: FaultKind,
    /// The load, switch, circuit, run or device that it is about.
    pub item: ItemRef,
    /// A second one of its kind: the other circuit of a joint.
    pub with: Option<ItemRef>,
}

/// What can be wrong with wiring.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultKind {
    /// A hot and a neutral, or a hot and its return, are one piece of metal.
    HotToNeutral,
    /// Hots of opposite legs are joined.
    LegsJoined,
    /// Hots of one leg, or of legs that are not known, are joined.
    HotsJoined,
    /// Neutrals of circuits that share none are joined.
    NeutralsJoined,
    /// A load's current comes back over the neutral of another circuit.
    NeutralBorrowed,
    /// Circuits of one leg return over one neutral: it carries their sum.
    SameLeg,
    /// A conductor of one run has a second way beside it.
    Paralleled,
    /// A load is on in no position.
    NeverOn,
    /// A load is on in every position.
    AlwaysOn,
    /// A load doesn't follow its switches.
    WrongControl,
    /// A load that is off has a live terminal although its switch stands off.
    LiveWhenOff,
    /// Hot and neutral stand exchanged at a load.
    Reversed,
    /// A load or control has no way back.
    NeutralOpen,
    /// A switch breaks the way back of a load.
    NeutralSwitched,
    /// Out and back do not go through the same raceway.
    Unbalanced,
    /// A ground-fault device sees the current of a load only one way.
    GroundFaultUneven,
    /// Too many switches touch each other to be tried.
    Untried,
}

/// What differs between the planned wiring and what was built, worst kinds first, each once.
/// `nets` are those of the plan.
pub fn faults(nets: &[Net], planned: &Built, found: &Built) -> Vec<Fault> {
    let plan = Trial::new(planned);
    let real = Trial::new(found);
    let mut all = BTreeSet::new();
    real.metal(nets, &mut all);
    let (planned_states, real_states) = (plan.states(nets), real.states(nets));
    for (load, of_plan) in &planned_states {
        match real_states.get(load) {
            Some(of_real) => compare(*load, of_plan, of_real, &mut all),
            None => _ = all.insert(Fault { kind: FaultKind::NeverOn, item: load.item, with: None }),
        }
    }
    real.sums(nets, &real_states, &mut all);
    real.controls(&plan, &mut all);
    all.into_iter().collect()
}

/// What a load meets in one set of positions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct State {
    /// Each hot terminal reaches a source of its own.
    is_fed: bool,
    /// A hot terminal reaches some source.
    is_touched: bool,
    /// The neutral terminal, where there is one, reaches a bar.
    is_back: bool,
    /// The neutral terminal reaches a source, or a hot terminal the bar.
    is_reversed: bool,
    /// One of its terminals reaches two sources, or a source and the bar.
    is_short: bool,
}

impl State {
    fn is_on(self) -> bool {
        self.is_fed && self.is_back && !self.is_short
    }
}

/// States of one load in every position of the switches that touch it; none of it is known where
/// they are too many.
struct States {
    switches: Vec<ItemRef>,
    /// Switches whose sense is free: one that has a common.
    turned: Vec<ItemRef>,
    states: Vec<State>,
}

impl States {
    /// In positions of other switches: bits of `among`.
    fn at(&self, among: &[ItemRef], positions: usize) -> State {
        let own = self.switches.iter().enumerate().filter(|(_, s)| {
            let place = among.iter().position(|a| a == *s);
            place.is_some_and(|p| positions & (1 << p) != 0)
        });
        let place: usize = own.map(|(i, _)| 1usize << i).sum();
        self.states.get(place).copied().unwrap_or_default()
    }
}

fn compare(load: Load, plan: &States, real: &States, all: &mut BTreeSet<Fault>) {
    let mut add = |kind| _ = all.insert(Fault { kind, item: load.item, with: None });
    let mut among: Vec<ItemRef> = plan.switches.iter().chain(&real.switches).copied().collect();
    among.sort_unstable();
    among.dedup();
    if among.len() > MOST_SWITCHES || plan.states.is_empty() || real.states.is_empty() {
        return add(FaultKind::Untried);
    }
    let positions = 0..1usize << among.len();
    let real_at: Vec<State> = positions.clone().map(|p| real.at(&among, p)).collect();
    // The exact opposite sense of a set of 3-ways is as right: any of its ends may stand turned.
    let turned: Vec<usize> = plan.turned.iter().filter_map(|s| among.iter().position(|a| a == s)).collect();
    let fits = |mask: usize| {
        let mut pairs = real_at.iter().enumerate();
        pairs.all(|(p, state)| plan.at(&among, p ^ mask).is_on() == state.is_on())
    };
    let masks = (0..1usize << turned.len()).map(|pick| {
        turned.iter().enumerate().filter(|(i, _)| pick & (1 << i) != 0).map(|(_, bit)| 1usize << bit).sum()
    });
    let mask = masks.into_iter().find(|mask: &usize| fits(*mask));
    let ever = |of: fn(&State) -> bool| real_at.iter().any(of);
    let (on, never_off) = (ever(|s| s.is_on()), real_at.iter().all(|s| s.is_on()));
    match mask {
        Some(_) => {}
        None if !on => add(FaultKind::NeverOn),
        None if never_off => add(FaultKind::AlwaysOn),
        None => add(FaultKind::WrongControl),
    }
    let mask = mask.unwrap_or(0);
    let plan_at = |p: usize| plan.at(&among, p ^ mask);
    if real_at.iter().enumerate().any(|(p, s)| s.is_touched && !s.is_on() && !plan_at(p).is_touched) {
        add(FaultKind::LiveWhenOff);
    }
    if ever(|s| s.is_reversed) {
        add(FaultKind::Reversed);
    }
    if ever(|s| s.is_short) {
        add(FaultKind::HotToNeutral);
    }
    let mut fed = real_at.iter().filter(|s| s.is_touched).map(|s| s.is_back);
    let back = real_at.iter().filter(|s| s.is_back).count();
    if fed.any(|b| !b) {
        add(if back == 0 { FaultKind::NeutralOpen } else { FaultKind::NeutralSwitched });
    }
}

/// Joints by number; what is metal of one piece has one root.
struct Trial<'a> {
    built: &'a Built,
    /// The joints of each wire.
    ends: Vec<Vec<u32>>,
    root: Vec<u32>,
    rings: Vec<u32>,
    /// Sources and bars at each root.
    fixed: HashMap<u32, Vec<Terminal>>,
    at: BTreeMap<ItemRef, Vec<(Terminal, u32)>>,
    /// For each joint of a root with a source or bar: the wire and joint toward it.
    up: HashMap<u32, (u32, u32)>,
}

impl<'a> Trial<'a> {
    fn new(built: &'a Built) -> Trial<'a> {
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
    fn beside(&self, joint: u32) -> Vec<(u32, u32)> {
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

    fn root(&self, joint: u32) -> u32 {
        self.root.get(joint as usize).copied().unwrap_or(joint)
    }

    fn is_fixed(&self, joint: u32) -> bool {
        self.fixed.contains_key(&self.root(joint))
    }

    /// What is wrong whichever way switches stand.
    fn metal(&self, nets: &[Net], all: &mut BTreeSet<Fault>) {
        for wire in self.rings.iter().filter_map(|w| self.built.wires.get(*w as usize)) {
            all.insert(Fault { kind: FaultKind::Paralleled, item: wire.run, with: None });
        }
        for terminals in self.fixed.values() {
            for (i, a) in terminals.iter().enumerate() {
                // One neighbor is enough to tell that something is joined.
                let Some(b) = terminals.get(i + 1) else { continue };
                let of = |t: &Terminal| nets.get(t.net as usize).and_then(|n| n.circuits.first()).copied();
                let kind = match (a.screw, b.screw) {
                    _ if a.screw != b.screw => FaultKind::HotToNeutral,
                    _ if a.net == b.net => FaultKind::Paralleled,
                    (Screw::Bar, _) => FaultKind::NeutralsJoined,
                    _ if a.leg.is_some() && b.leg.is_some() && a.leg != b.leg => FaultKind::LegsJoined,
                    _ => FaultKind::HotsJoined,
                };
                all.insert(Fault { kind, item: of(a).unwrap_or(a.item), with: of(b) });
            }
        }
    }

    /// Everything that is fed, with its terminals; halves of a receptacle apart.
    fn loads(&self, nets: &[Net]) -> Vec<(Load, Vec<(Terminal, u32)>)> {
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
    fn states(&self, nets: &[Net]) -> BTreeMap<Load, States> {
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
                for (list, (_, terminals)) in states.iter_mut().zip(&loads) {
                    list.push(self.state(&reach, terminals));
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
    fn links(&self, item: ItemRef, switches: &[ItemRef], positions: usize) -> Vec<(u32, u32)> {
        let place = switches.iter().position(|s| *s == item);
        let is_up = place.is_none_or(|p| positions & (1 << p) != 0);
        let terminals: Vec<(Screw, u32)> =
            self.at.get(&item).into_iter().flatten().map(|(t, joint)| (t.screw, *joint)).collect();
        closed(&terminals, is_up)
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

    /// Currents out and back of each load, in a position in which it is on.
    fn sums(&self, nets: &[Net], states: &BTreeMap<Load, States>, all: &mut BTreeSet<Fault>) {
        let mut back_by: BTreeMap<u32, BTreeSet<(Option<u8>, u32)>> = BTreeMap::new();
        for (load, terminals) in self.loads(nets) {
            let Some(own) = states.get(&load) else { continue };
            let Some(positions) = own.states.iter().position(|s| s.is_on()) else { continue };
            let ways: Vec<(Terminal, Vec<Step>, Terminal)> = terminals
                .iter()
                .filter_map(|(t, joint)| {
                    let (steps, at) = self.way(*joint, t.screw, own, positions)?;
                    Some((*t, steps, at))
                })
                .collect();
            let hots: Vec<_> = ways.iter().filter(|(t, ..)| matches!(t.screw, Screw::Hot(_))).collect();
            let backs: Vec<_> = ways.iter().filter(|(t, ..)| t.screw == Screw::Neutral).collect();
            for (place, (_, out, source)) in hots.iter().enumerate() {
                // Without a neutral the current of one hot goes home by the other.
                let homes =
                    if backs.is_empty() { hots.get(1 - place.min(1)).copied().into_iter() } else { None.into_iter() };
                for (_, home, bar) in homes.chain(backs.iter().copied()) {
                    let mut sum: BTreeMap<Step, i32> = BTreeMap::new();
                    home.iter().for_each(|s| *sum.entry(s.forward()).or_default() += s.sign());
                    out.iter().for_each(|s| *sum.entry(s.forward()).or_default() -= s.sign());
                    for step in sum.iter().filter(|(_, n)| **n != 0).map(|(s, _)| s) {
                        let kind = if step.is_device { FaultKind::GroundFaultUneven } else { FaultKind::Unbalanced };
                        all.insert(Fault { kind, item: step.item, with: None });
                    }
                    if bar.screw == Screw::Bar {
                        let circuits =
                            |t: &Terminal| nets.get(t.net as usize).map(|n| n.circuits.as_slice()).unwrap_or(&[]);
                        if let Some(circuit) = circuits(source).first().filter(|c| !circuits(bar).contains(c)) {
                            all.insert(Fault {
                                kind: FaultKind::NeutralBorrowed,
                                item: load.item,
                                with: Some(*circuit),
                            });
                        }
                        back_by.entry(bar.net).or_default().insert((source.leg, source.net));
                    }
                }
            }
        }
        for sources in back_by.values() {
            let list: Vec<&(Option<u8>, u32)> = sources.iter().filter(|(leg, _)| leg.is_some()).collect();
            for pair in list.windows(2) {
                let [(a, one), (b, two)] = pair else { continue };
                let of = |net: &u32| nets.get(*net as usize).and_then(|n| n.circuits.first()).copied();
                if let (Some(item), with, true) = (of(one), of(two), a == b) {
                    all.insert(Fault { kind: FaultKind::SameLeg, item, with });
                }
            }
        }
    }

    /// From a joint to the source or bar that it reaches: steps, and the terminal there.
    fn way(&self, joint: u32, screw: Screw, own: &States, positions: usize) -> Option<(Vec<Step>, Terminal)> {
        let wanted = if screw == Screw::Neutral { Screw::Bar } else { Screw::Source };
        let mut before: BTreeMap<u32, Option<(Option<Step>, u32)>> = BTreeMap::from([(joint, None)]);
        let mut queue = VecDeque::from([joint]);
        while let Some(here) = queue.pop_front() {
            if self.is_fixed(here) {
                let mut steps: Vec<Step> = Vec::new();
                let mut at = here;
                while let Some(Some((step, from))) = before.get(&at) {
                    steps.extend(*step);
                    at = *from;
                }
                let mut at = here;
                while let Some((wire, next)) = self.up.get(&at) {
                    steps.push(self.step(*wire, at, *next));
                    at = *next;
                }
                let end = self.built.joints.get(at as usize)?;
                return Some((steps, *end.terminals.iter().find(|t| t.screw == wanted)?));
            }
            let wires = self.beside(here).into_iter();
            let mut near: Vec<(Option<Step>, u32)> =
                wires.map(|(wire, next)| (Some(self.step(wire, here, next)), next)).collect();
            let items = self.built.joints.get(here as usize).map(|j| j.terminals.as_slice()).unwrap_or_default();
            for item in items.iter().map(|t| t.item).filter(|i| passes_power(*i)) {
                // Only a ground-fault device compares what goes out with what comes back.
                let is_compared = matches!(item.kind, Kind::Receptacle | Kind::Device);
                let step = |between| is_compared.then_some(Step { item, is_device: true, between });
                for (a, b) in self.links(item, &own.switches, positions) {
                    match () {
                        _ if b == here => near.push((step((1, 0)), a)),
                        _ if a == here => near.push((step((0, 1)), b)),
                        _ => {}
                    }
                }
            }
            for (step, next) in near {
                before.entry(next).or_insert_with(|| {
                    queue.push_back(next);
                    Some((step, here))
                });
            }
        }
        None
    }

    fn step(&self, wire: u32, from: u32, to: u32) -> Step {
        let place = |joint: u32| {
            let place = self.built.joints.get(joint as usize).and_then(|j| j.place);
            place.map_or(0, |p| (p.kind as u32) << 24 | p.index)
        };
        let item = self.built.wires.get(wire as usize).map_or(ItemRef { kind: Kind::Run, index: 0 }, |w| w.run);
        Step { item, is_device: false, between: (place(from), place(to)) }
    }

    /// A control that needs a neutral must reach a bar, as in the plan.
    fn controls(&self, plan: &Trial, all: &mut BTreeSet<Fault>) {
        let is_landed = |trial: &Trial, joint: u32| {
            let terminals = trial.fixed.get(&trial.root(joint));
            terminals.is_some_and(|t| t.iter().any(|t| t.screw == Screw::Bar))
        };
        for (item, terminals) in plan.at.iter().filter(|(item, _)| item.kind == Kind::Switch) {
            for (terminal, joint) in terminals.iter().filter(|(t, _)| t.screw == Screw::Neutral) {
                let here = self.at.get(item).into_iter().flatten().find(|(t, _)| t.screw == terminal.screw);
                if is_landed(plan, *joint) && !here.is_some_and(|(_, joint)| is_landed(self, *joint)) {
                    all.insert(Fault { kind: FaultKind::NeutralOpen, item: *item, with: None });
                }
            }
        }
    }
}

/// A step of current: a run between two places, or through a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Step {
    item: ItemRef,
    is_device: bool,
    between: (u32, u32),
}

impl Step {
    fn sign(self) -> i32 {
        if self.between.0 <= self.between.1 { 1 } else { -1 }
    }

    fn forward(self) -> Step {
        let (a, b) = self.between;
        Step { between: (a.min(b), a.max(b)), ..self }
    }
}

/// Which roots are one, and what they hang on.
struct Reach {
    numbers: HashMap<u32, u32>,
    union: Union,
    fixed: HashMap<u32, Vec<Terminal>>,
}

impl Reach {
    fn met<'t>(&'t self, trial: &'t Trial, root: u32) -> &'t [Terminal] {
        let found = match self.numbers.get(&root) {
            Some(number) => self.fixed.get(&self.union.find(*number)),
            None => trial.fixed.get(&root),
        };
        found.map(Vec::as_slice).unwrap_or_default()
    }
}
