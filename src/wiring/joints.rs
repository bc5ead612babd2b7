//! The wiring as one would find it with the covers off: pieces of wire, and what each joint holds together.
//!
//! One form for what the plan asks for and for what was built, so that both meet the same tests.
//! Equipment grounding conductors are left out: they carry no current that a switch could turn.

use super::facts::Facts;
use super::nets::Screw;
use super::{JointKind, Net, Role, Wiring};
use crate::shop::{ItemRef, Shop, Value};
use crate::words::{choice, name};
use std::collections::{HashMap, HashSet};

/// Wires and joints of a plan, or of what was built.
#[derive(Clone, Debug, Default)]
pub struct Built {
    /// Pieces of wire. A joint names them by their place here.
    pub wires: Vec<Wire>,
    /// Joints, box by box in the order of [`Wiring::boxes`]; those of things that stand in no box last.
    pub joints: Vec<Splice>,
}

/// One wire through one run. Its ends are the joints that name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wire {
    /// The run that it lies in.
    pub run: ItemRef,
    /// What it is meant for: a place in [`Wiring::nets`].
    pub net: u32,
    /// What it is for.
    pub role: Role,
}

/// Wires and terminals that are one piece of metal.
#[derive(Clone, Debug, Default)]
pub struct Splice {
    /// The box, panel or machine; none where the plan draws none.
    pub place: Option<ItemRef>,
    /// Wires that end or pass here: places in [`Built::wires`].
    pub wires: Vec<u32>,
    /// Terminals that are joined to them.
    pub terminals: Vec<Terminal>,
}

/// A terminal, and what it is meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terminal {
    /// The device, machine, panel or box.
    pub item: ItemRef,
    /// Which of its terminals.
    pub screw: Screw,
    /// The conductor that it is meant for: a place in [`Wiring::nets`].
    pub net: u32,
    /// Of a breaker's terminal, its busbar: 0 A, 1 B. None where that is not known.
    pub leg: Option<u8>,
}

impl Built {
    /// The same with one wire left out: a place in [`Built::wires`]. The others keep their places.
    pub fn without(&self, wire: u32) -> Built {
        let mut built = self.clone();
        built.joints.iter_mut().for_each(|joint| joint.wires.retain(|w| *w != wire));
        built
    }
}

/// The joints that the plan asks for. What is only possible, while a question is open, counts as there.
pub fn joints(shop: &Shop, wiring: &Wiring) -> Built {
    let mut built = Built::default();
    let mut number: HashMap<(ItemRef, u32), u32> = HashMap::new();
    let mut placed: HashSet<(u32, ItemRef, Screw)> = HashSet::new();
    let mut first: HashMap<u32, usize> = HashMap::new();
    for here in &wiring.boxes {
        for joint in here.joints.iter().filter(|j| j.kind != JointKind::Unsaid || !j.runs.is_empty()) {
            let Some((net, of)) = joint.net.and_then(|n| Some((n, wiring.nets.get(n as usize)?))) else { continue };
            let mut splice = Splice { place: Some(here.item), ..Splice::default() };
            for run in &joint.runs {
                let wires = &mut built.wires;
                let wire = *number.entry((*run, net)).or_insert_with(|| {
                    wires.push(Wire { run: *run, net, role: of.role });
                    (wires.len() as u32).saturating_sub(1)
                });
                splice.wires.push(wire);
            }
            for end in &joint.ends {
                placed.insert((net, end.item, end.screw));
                splice.terminals.push(terminal(shop, net, of, end.item, end.screw));
            }
            first.entry(net).or_insert(built.joints.len());
            built.joints.push(splice);
        }
    }
    // What stands in no box hangs together as if it stood in one.
    for (net, of) in wiring.nets.iter().enumerate() {
        let net = net as u32;
        let lost = of.ends.iter().filter(|e| !placed.contains(&(net, e.item, e.screw)));
        let terminals: Vec<Terminal> = lost.map(|e| terminal(shop, net, of, e.item, e.screw)).collect();
        if terminals.is_empty() {
            continue;
        }
        match first.get(&net).and_then(|at| built.joints.get_mut(*at)) {
            Some(splice) => splice.terminals.extend(terminals),
            None => built.joints.push(Splice { terminals, ..Splice::default() }),
        }
    }
    built
}

fn terminal(shop: &Shop, net: u32, of: &Net, item: ItemRef, screw: Screw) -> Terminal {
    let circuit = of.circuits.first().copied();
    let leg = match (screw, circuit) {
        (Screw::Source, Some(circuit)) => leg(shop, circuit, of.hot),
        _ => None,
    };
    Terminal { item, screw, net, leg }
}

/// The busbar behind one hot of a circuit.
fn leg(shop: &Shop, circuit: ItemRef, hot: u8) -> Option<u8> {
    let is = |value: &str| shop.value(circuit, name::PHASE) == Value::Choice(shop.bit(choice::PHASE, value));
    match () {
        _ if is("A") => Some(0),
        _ if is("B") => Some(1),
        _ if is("both") => Some(hot),
        _ => None,
    }
}
