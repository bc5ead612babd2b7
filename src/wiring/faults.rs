//! What is wrong with wiring as built, held against the wiring that the plan asks for.
//!
//! Joints first without switches: what is one piece of metal can't be two potentials. Then every
//! position of the switches that touch each other, never of those that meet only at a breaker or
//! a bar. Then the way of each load's current out and back: through one raceway and one
//! ground-fault device it must sum to nothing.

use super::joints::{Built, Terminal};
use super::nets::Screw;
use super::trial::{MOST_SWITCHES, State, States, Trial, passes_power};
use super::{Load, Net};
use crate::shop::ItemRef;
use crate::words::Kind;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

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
    /// Loads of two legs stand in series over one open neutral: which of them gets too much depends on what they are.
    OverVoltage,
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
    /// A control that works with power of its own lacks its hot or its neutral.
    ControlUnfed,
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

impl FaultKind {
    /// The value of the choice `wiring-fault` that stands for it; none for what was not tried.
    pub fn value(self) -> Option<&'static str> {
        Some(match self {
            FaultKind::HotToNeutral => "hot-to-neutral",
            FaultKind::LegsJoined => "legs-joined",
            FaultKind::HotsJoined => "hots-joined",
            FaultKind::OverVoltage => "over-voltage",
            FaultKind::NeutralsJoined => "neutrals-joined",
            FaultKind::NeutralBorrowed => "neutral-borrowed",
            FaultKind::SameLeg => "same-leg",
            FaultKind::Paralleled => "paralleled",
            FaultKind::NeverOn => "never-on",
            FaultKind::AlwaysOn => "always-on",
            FaultKind::WrongControl => "wrong-control",
            FaultKind::LiveWhenOff => "live-when-off",
            FaultKind::Reversed => "reversed",
            FaultKind::NeutralOpen => "neutral-open",
            FaultKind::ControlUnfed => "control-unfed",
            FaultKind::NeutralSwitched => "neutral-switched",
            FaultKind::Unbalanced => "unbalanced",
            FaultKind::GroundFaultUneven => "ground-fault-uneven",
            FaultKind::Untried => return None,
        })
    }
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
    if ever(|s| s.is_over) {
        add(FaultKind::OverVoltage);
    }
    let mut fed = real_at.iter().filter(|s| s.is_touched).map(|s| s.is_back);
    let back = real_at.iter().filter(|s| s.is_back).count();
    if fed.any(|b| !b) {
        add(if back == 0 { FaultKind::NeutralOpen } else { FaultKind::NeutralSwitched });
    }
}
impl Trial<'_> {
    /// What is wrong whichever way switches stand.
    fn metal(&self, nets: &[Net], all: &mut BTreeSet<Fault>) {
        for wire in self.rings.iter().filter_map(|w| self.built.wires.get(*w as usize)) {
            all.insert(Fault { kind: FaultKind::Paralleled, item: wire.run, with: None });
        }
        for terminals in self.fixed.values() {
            for (i, a) in terminals.iter().enumerate() {
                // One neighbor is enough to tell that something is joined.
                let Some(b) = terminals.get(i.saturating_add(1)) else { continue };
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
    /// Currents out and back of each load, in a position in which it is on.
    fn sums(&self, nets: &[Net], states: &BTreeMap<Load, States>, all: &mut BTreeSet<Fault>) {
        // By neutral, joined ones as one: each of them carries the current of all.
        let mut back_by: BTreeMap<u32, BTreeSet<(Option<u8>, u32)>> = BTreeMap::new();
        let joined = self.joined_bars();
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
                let homes = if backs.is_empty() {
                    hots.get(usize::from(place == 0)).copied().into_iter()
                } else {
                    None.into_iter()
                };
                for (_, home, bar) in homes.chain(backs.iter().copied()) {
                    let mut sum: BTreeMap<Step, i32> = BTreeMap::new();
                    for (steps, way) in [(home, 1), (out, -1)] {
                        for step in steps {
                            let net = sum.entry(step.forward()).or_default();
                            *net = net.saturating_add(step.sign().saturating_mul(way));
                        }
                    }
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
                        let neutral = joined.get(&bar.net).copied().unwrap_or(bar.net);
                        back_by.entry(neutral).or_default().insert((source.leg, source.net));
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

    /// For each net with a bar, the first of those whose bars are one piece of metal with it.
    fn joined_bars(&self) -> BTreeMap<u32, u32> {
        let mut joined = BTreeMap::new();
        for terminals in self.fixed.values() {
            let bars = || terminals.iter().filter(|t| t.screw == Screw::Bar).map(|t| t.net);
            if let Some(first) = bars().min() {
                joined.extend(bars().map(|net| (net, first)));
            }
        }
        joined
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

    /// A control that needs a neutral must reach a bar and a source, as in the plan.
    fn controls(&self, plan: &Trial, all: &mut BTreeSet<Fault>) {
        let reaches = |trial: &Trial, joint: u32, wanted: Screw| {
            let terminals = trial.fixed.get(&trial.root(joint));
            terminals.is_some_and(|t| t.iter().any(|t| t.screw == wanted))
        };
        let lost = |item: ItemRef, terminals: &[(Terminal, u32)], screw: Screw, wanted: Screw| {
            let planned = terminals.iter().filter(|(t, _)| t.screw == screw).any(|(_, j)| reaches(plan, *j, wanted));
            let mut here = self.at.get(&item).into_iter().flatten().filter(|(t, _)| t.screw == screw);
            planned && !here.any(|(_, j)| reaches(self, *j, wanted))
        };
        for (item, terminals) in plan.at.iter().filter(|(item, _)| item.kind == Kind::Switch) {
            if !terminals.iter().any(|(t, _)| t.screw == Screw::Neutral) {
                continue;
            }
            let mut add = |kind| _ = all.insert(Fault { kind, item: *item, with: None });
            let has_neutral = !lost(*item, terminals, Screw::Neutral, Screw::Bar);
            if !has_neutral {
                add(FaultKind::NeutralOpen);
            }
            if !has_neutral || lost(*item, terminals, Screw::Line(0), Screw::Source) {
                add(FaultKind::ControlUnfed);
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
