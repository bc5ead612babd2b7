//! Mistakes made on purpose in the joints of a shop, one class each.

use crate::random::Dice;
use ringout::shop::ItemRef;
use ringout::wiring::joints::{Built, Splice, Terminal, Wire};
use ringout::wiring::{Net, Role, Screw};
use ringout::words::Kind;

/// A class of mistakes: its name, and how one is made; none where the shop has no place for it.
pub type Class = (&'static str, fn(&[Net], &mut Built, &mut Dice) -> Option<()>);

pub const WRONG: [Class; 17] = [
    ("traveler missing", |_, b, d| drop_wire(b, d, &[Role::Traveler])),
    ("hot open", |_, b, d| drop_wire(b, d, &[Role::Hot, Role::SwitchedHot])),
    ("neutral open", |_, b, d| drop_wire(b, d, &[Role::Neutral])),
    ("common and traveler exchanged", common_exchanged),
    ("4-way crossed", crossed),
    ("switch bypassed", bypassed),
    ("neutral switched", neutral_switched),
    ("neutral borrowed", neutral_borrowed),
    ("neutrals joined", |n, b, d| join_nets(n, b, d, Role::Neutral, Role::Neutral)),
    ("hot to neutral", |n, b, d| join_nets(n, b, d, Role::Hot, Role::Neutral)),
    ("hots joined", |n, b, d| join_nets(n, b, d, Role::Hot, Role::Hot)),
    ("pair on one leg", same_leg),
    ("neutral paralleled", paralleled),
    ("neutral by another raceway", another_raceway),
    ("hot and neutral exchanged", |_, b, d| exchange_some(b, d, |t| is_load(t.item), Screw::Hot(0), Screw::Neutral)),
    ("tab left", tab_left),
    ("neutrals tied at a GFCI device", neutrals_tied),
];

pub const HARMLESS: [Class; 3] = [
    ("travelers exchanged, out", |_, b, d| exchange_some(b, d, |_| true, Screw::Out(0), Screw::Out(1))),
    ("travelers exchanged, in", |_, b, d| exchange_some(b, d, |_| true, Screw::In(0), Screw::In(1))),
    ("line and load exchanged", |_, b, d| {
        exchange_some(b, d, |t| t.item.kind == Kind::Switch, Screw::Line(0), Screw::Load(0))
    }),
];

fn is_load(item: ItemRef) -> bool {
    matches!(item.kind, Kind::Receptacle | Kind::Light)
}

fn pick<T: Copy>(list: &[T], dice: &mut Dice) -> Option<T> {
    list.get(dice.below(list.len())).copied()
}

/// Where terminals stand: joint and place in it.
pub fn terminals(built: &Built, of: impl Fn(&Terminal) -> bool) -> Vec<(usize, usize)> {
    let joints = built.joints.iter().enumerate();
    joints
        .flat_map(|(j, joint)| joint.terminals.iter().enumerate().map(move |(t, terminal)| (j, t, terminal)))
        .filter(|(.., t)| of(t))
        .map(|(j, t, _)| (j, t))
        .collect()
}

pub fn at(built: &Built, item: ItemRef, screw: Screw) -> Option<(usize, usize)> {
    terminals(built, |t| t.item == item && t.screw == screw).first().copied()
}

pub fn take(built: &mut Built, (joint, place): (usize, usize)) -> Terminal {
    built.joints[joint].terminals.remove(place)
}

pub fn exchange(built: &mut Built, a: (usize, usize), b: (usize, usize)) -> Option<()> {
    if a.0 == b.0 {
        return None;
    }
    let (one, two) = (built.joints[a.0].terminals[a.1], built.joints[b.0].terminals[b.1]);
    built.joints[a.0].terminals[a.1] = two;
    built.joints[b.0].terminals[b.1] = one;
    Some(())
}

fn exchange_some(built: &mut Built, dice: &mut Dice, of: fn(&Terminal) -> bool, a: Screw, b: Screw) -> Option<()> {
    let all = terminals(built, |t| of(t) && t.screw == a);
    let all: Vec<_> = all
        .into_iter()
        .filter_map(|one| Some((one, at(built, built.joints[one.0].terminals[one.1].item, b)?)))
        .collect();
    let (one, two) = pick(&all, dice)?;
    exchange(built, one, two)
}

pub fn merge(built: &mut Built, a: usize, b: usize) -> Option<()> {
    if a == b {
        return None;
    }
    let other = std::mem::take(&mut built.joints[b]);
    built.joints[a].wires.extend(other.wires);
    built.joints[a].terminals.extend(other.terminals);
    Some(())
}

pub fn remove(built: &mut Built, wire: u32) {
    built.joints.iter_mut().for_each(|j| j.wires.retain(|w| *w != wire));
}

fn drop_wire(built: &mut Built, dice: &mut Dice, roles: &[Role]) -> Option<()> {
    let all: Vec<u32> =
        (0..built.wires.len() as u32).filter(|w| roles.contains(&built.wires[*w as usize].role)).collect();
    remove(built, pick(&all, dice)?);
    Some(())
}

fn common_exchanged(_: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let common = pick(&terminals(built, |t| t.screw == Screw::Common), dice)?;
    let item = built.joints[common.0].terminals[common.1].item;
    let traveler = at(built, item, Screw::Out(0)).or_else(|| at(built, item, Screw::In(0)))?;
    exchange(built, common, traveler)
}

fn crossed(_: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let all = terminals(built, |t| t.screw == Screw::In(1));
    let all: Vec<_> = all
        .into_iter()
        .filter_map(|one| Some((one, at(built, built.joints[one.0].terminals[one.1].item, Screw::Out(0))?)))
        .collect();
    let (one, two) = pick(&all, dice)?;
    exchange(built, one, two)
}

/// Line and load joint of some single-pole switch.
fn single(built: &Built, dice: &mut Dice) -> Option<((usize, usize), (usize, usize))> {
    let line = pick(&terminals(built, |t| t.screw == Screw::Line(0) && t.item.kind == Kind::Switch), dice)?;
    let item = built.joints[line.0].terminals[line.1].item;
    Some((line, at(built, item, Screw::Load(0))?))
}

fn bypassed(_: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let (line, load) = single(built, dice)?;
    merge(built, line.0, load.0)
}

/// The joint's conductor.
fn net(built: &Built, joint: &Splice) -> Option<u32> {
    let of_wire = joint.wires.first().map(|w| built.wires[*w as usize].net);
    of_wire.or(joint.terminals.first().map(|t| t.net))
}

/// The switch is put into the neutral that passes its box, the hot goes through.
fn neutral_switched(nets: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let (line, load) = single(built, dice)?;
    let place = built.joints[line.0].place;
    let circuits = &nets[built.joints[line.0].terminals[line.1].net as usize].circuits;
    let is_neutral = |j: &Splice| {
        net(built, j).is_some_and(|n| nets[n as usize].role == Role::Neutral && nets[n as usize].circuits == *circuits)
    };
    let own: Vec<usize> = (0..built.joints.len())
        .filter(|j| {
            let joint = &built.joints[*j];
            joint.place == place && is_neutral(joint) && joint.wires.len() > 1
        })
        .collect();
    let neutral = pick(&own, dice)?;
    // Later places first, so that the earlier stay where they are.
    let (first, second) = (at(built, built.joints[line.0].terminals[line.1].item, Screw::Line(0))?, load);
    let mut switch = Vec::new();
    for place in if first > second { [first, second] } else { [second, first] } {
        switch.push(take(built, place));
    }
    merge(built, line.0, load.0)?;
    let wire = built.joints[neutral].wires.pop()?;
    built.joints[neutral].terminals.push(switch[0]);
    built.joints.push(Splice { place: built.joints[neutral].place, wires: vec![wire], terminals: vec![switch[1]] });
    Some(())
}

fn neutral_borrowed(nets: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let neutral = pick(&terminals(built, |t| t.screw == Screw::Neutral && is_load(t.item)), dice)?;
    let own = &nets[built.joints[neutral.0].terminals[neutral.1].net as usize].circuits;
    let others: Vec<usize> = (0..built.joints.len())
        .filter(|j| {
            let net = net(built, &built.joints[*j]).map(|n| &nets[n as usize]);
            net.is_some_and(|n| n.role == Role::Neutral && n.circuits.iter().all(|c| !own.contains(c)))
        })
        .collect();
    let other = pick(&others, dice)?;
    // The feeder's own neutral is the bar itself.
    if nets[net(built, &built.joints[other])? as usize].circuits.iter().any(|c| c.kind == Kind::Feeder) {
        return None;
    }
    let terminal = take(built, neutral);
    built.joints[other].terminals.push(terminal);
    Some(())
}

/// Two conductors of different circuits, or of different roles, put under one connector.
fn join_nets(nets: &[Net], built: &mut Built, dice: &mut Dice, a: Role, b: Role) -> Option<()> {
    let of = |j: usize| net(built, &built.joints[j]).map(|n| &nets[n as usize]);
    let is = |j: usize, role: Role| {
        of(j).is_some_and(|n| n.role == role && n.circuits.iter().all(|c| c.kind == Kind::Circuit))
    };
    let ones: Vec<usize> = (0..built.joints.len()).filter(|j| is(*j, a)).collect();
    let one = pick(&ones, dice)?;
    let twos: Vec<usize> = (0..built.joints.len())
        .filter(|j| is(*j, b) && (a != b || of(*j).map(|n| &n.circuits) != of(one).map(|n| &n.circuits)))
        .collect();
    let two = pick(&twos, dice)?;
    merge(built, one, two)
}

fn same_leg(nets: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let shared: Vec<usize> =
        (0..nets.len()).filter(|n| nets[*n].role == Role::Neutral && nets[*n].circuits.len() > 1).collect();
    let circuits = &nets[pick(&shared, dice)?].circuits;
    for (j, t) in terminals(built, |t| t.screw == Screw::Source) {
        let terminal = &mut built.joints[j].terminals[t];
        if nets[terminal.net as usize].circuits.iter().any(|c| circuits.contains(c)) {
            terminal.leg = Some(0);
        }
    }
    Some(())
}

/// One more neutral beside what is there.
fn paralleled(nets: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let neutrals: Vec<u32> =
        (0..built.wires.len() as u32).filter(|w| built.wires[*w as usize].role == Role::Neutral).collect();
    let wire: Wire = built.wires[pick(&neutrals, dice)? as usize];
    let own: Vec<usize> = (0..built.joints.len()).filter(|j| net(built, &built.joints[*j]) == Some(wire.net)).collect();
    let (one, two) = (pick(&own, dice)?, pick(&own, dice)?);
    if one == two || nets.is_empty() {
        return None;
    }
    let number = built.wires.len() as u32;
    built.wires.push(wire);
    built.joints[one].wires.push(number);
    built.joints[two].wires.push(number);
    Some(())
}

fn another_raceway(_: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let neutrals: Vec<usize> = (0..built.wires.len()).filter(|w| built.wires[*w].role == Role::Neutral).collect();
    let wire = pick(&neutrals, dice)?;
    let others: Vec<ItemRef> = built.wires.iter().map(|w| w.run).filter(|r| *r != built.wires[wire].run).collect();
    built.wires[wire].run = pick(&others, dice)?;
    Some(())
}

fn tab_left(_: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let hots = terminals(built, |t| t.screw == Screw::Hot(0) && t.item.kind == Kind::Receptacle);
    let item = |(j, t): (usize, usize)| built.joints[j].terminals[t].item;
    let pairs: Vec<(usize, usize)> = hots
        .iter()
        .flat_map(|a| hots.iter().map(move |b| (*a, *b)))
        .filter(|(a, b)| item(*a) == item(*b) && a.0 < b.0)
        .map(|(a, b)| (a.0, b.0))
        .collect();
    let (a, b) = pick(&pairs, dice)?;
    merge(built, a, b)
}

fn neutrals_tied(_: &[Net], built: &mut Built, dice: &mut Dice) -> Option<()> {
    let behind = pick(&terminals(built, |t| t.screw == Screw::BehindNeutral), dice)?;
    let ahead = at(built, built.joints[behind.0].terminals[behind.1].item, Screw::Neutral)?;
    merge(built, ahead.0, behind.0)
}
