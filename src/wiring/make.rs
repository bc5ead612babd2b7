//! The conductors of circuits as nets: which screws each one joins.
//!
//! Conventions of the wiring, as the manual states them: the line goes to the common of the
//! first-named 3-way, the switched hot leaves the common of the last, two travelers lie between
//! neighbors as named (C10); the same switches named in two lines are one control (C8); what
//! follows a GFCI device by `then` has conductors of its own (C15).

use super::controls::Types;
use super::facts::Facts;
use super::hang::{Hanging, Wants, wants};
use super::nets::{End, Net, Role, Screw};
use super::supply::{Line, Lines};
use crate::shop::{Branch, ItemRef, Load, Shop};
use crate::words::{Kind, name};
use std::collections::HashMap;

/// How to read what is not known. Each question has a plain answer (false) and one that asks for
/// more or other conductors (true).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Reading {
    /// Circuits have the most hots that they may have.
    pub hots: bool,
    /// Loads of unknown pattern work between two hots.
    pub loads: bool,
    /// Loads that may use a neutral do.
    pub neutral: bool,
    /// Switches of unknown kind make sets of 3-way and 4-way.
    pub sets: bool,
    /// Switches of unknown kind open both hots.
    pub doubles: bool,
    /// Which of the devices that may be GFCI devices are, by their place in [`Asked::gfci`].
    pub gfci: u64,
}

/// The questions that came up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Asked {
    pub hots: bool,
    pub loads: bool,
    pub neutral: bool,
    pub sets: bool,
    /// How often a switch may open one hot or both.
    pub doubles: usize,
    /// Devices with something behind them that may be GFCI devices.
    pub gfci: Vec<ItemRef>,
}

impl Asked {
    pub fn is_none(&self) -> bool {
        *self == Asked::default()
    }
}

/// The nets of some circuits that share a neutral, or of one.
pub(super) struct Nets {
    pub nets: Vec<Net>,
    pub asked: Asked,
}

/// Works out the nets of one group of circuits.
pub(super) fn nets(shop: &Shop, hanging: &Hanging, lines: &Lines, group: &[ItemRef], reading: Reading) -> Nets {
    let mut maker = Maker {
        shop,
        hanging,
        reading,
        group,
        nets: Vec::new(),
        made: HashMap::new(),
        neutral: None,
        asked: Asked::default(),
        types: Types::new(shop),
        next_who: 0,
    };
    for circuit in group {
        let line = lines.of(*circuit);
        let source = maker.source(*circuit, line);
        if let Some(feeds) = shop.feeds.get(circuit.index as usize) {
            for branch in &feeds.branches {
                maker.branch(*circuit, line, &source, branch);
            }
        }
    }
    Nets { nets: maker.nets, asked: maker.asked }
}

/// The nets of a feeder: its hots, and a neutral where it has one.
pub(super) fn feeder_nets(line: Line, feeder: ItemRef, panel: ItemRef) -> Nets {
    let start = line.start.unwrap_or(feeder);
    let net = |role, hot, from: Screw, to: Screw, phases| Net {
        role,
        circuits: vec![feeder],
        hot,
        switches: Vec::new(),
        pair: 0,
        ends: vec![
            End { item: start, screw: from, phases: 0, who: 0 },
            End { item: panel, screw: to, phases, who: feeder.index },
        ],
        behind: None,
    };
    let mut nets: Vec<Net> = (0..line.hots.0).map(|i| net(Role::Hot, i, Screw::Source, Screw::Hot(i), 0)).collect();
    if line.neutral == Some(true) {
        let phases = if line.hots.0 >= 2 { 3 } else { 1 };
        nets.push(net(Role::Neutral, 0, Screw::Bar, Screw::Neutral, phases));
    }
    Nets { nets, asked: Asked::default() }
}

/// What a branch hangs on at some stage.
#[derive(Clone, Debug)]
pub(super) struct Point {
    pub hots: Vec<u32>,
    pub neutral: Option<u32>,
    pub behind: Option<u32>,
}

/// What makes a further net, so that it is made once.
#[derive(PartialEq, Eq, Hash)]
pub(super) enum Key {
    Switched(u32, Vec<ItemRef>),
    Traveler(u32, Vec<ItemRef>, u8, u8),
    Behind(u32, ItemRef),
}

/// Nets in the making.
pub(super) struct Maker<'a> {
    pub shop: &'a Shop,
    hanging: &'a Hanging,
    pub reading: Reading,
    group: &'a [ItemRef],
    pub nets: Vec<Net>,
    made: HashMap<Key, u32>,
    neutral: Option<u32>,
    pub asked: Asked,
    pub types: Types,
    next_who: u32,
}

impl Maker<'_> {
    pub(super) fn add(&mut self, net: Net) -> u32 {
        self.nets.push(net);
        (self.nets.len() as u32).saturating_sub(1)
    }

    pub(super) fn land(&mut self, net: Option<u32>, item: ItemRef, screw: Screw) {
        self.land_neutral(net, item, screw, 0, 0);
    }

    pub(super) fn land_neutral(&mut self, net: Option<u32>, item: ItemRef, screw: Screw, phases: u8, who: u32) {
        if let Some(net) = net.and_then(|n| self.nets.get_mut(n as usize)) {
            net.ends.push(End { item, screw, phases, who });
        }
    }

    /// Whether a device is a GFCI device; where that is not known, as the reading says.
    pub(super) fn is_gfci(&mut self, device: ItemRef) -> bool {
        if let Some(said) = self.shop.yes(device, name::HAS_GFCI) {
            return said;
        }
        let place = self.asked.gfci.iter().position(|d| *d == device).unwrap_or_else(|| {
            self.asked.gfci.push(device);
            self.asked.gfci.len().saturating_sub(1)
        });
        self.reading.gfci & (1 << place.min(63)) != 0
    }

    fn takes_neutral(&mut self, said: Option<bool>) -> bool {
        self.asked.neutral |= said.is_none();
        said.unwrap_or(self.reading.neutral)
    }

    fn source(&mut self, circuit: ItemRef, line: Line) -> Point {
        let (least, most) = line.hots;
        self.asked.hots |= least != most;
        let count = if self.reading.hots { most } else { least };
        let start = line.start.unwrap_or(circuit);
        let mut hots = Vec::new();
        for hot in 0..count {
            let net = self.add(Net {
                role: Role::Hot,
                circuits: vec![circuit],
                hot,
                switches: Vec::new(),
                pair: 0,
                ends: Vec::new(),
                behind: None,
            });
            self.land(Some(net), start, Screw::Source);
            hots.push(net);
        }
        if self.neutral.is_none() {
            let net = self.add(Net {
                role: Role::Neutral,
                circuits: self.group.to_vec(),
                hot: 0,
                switches: Vec::new(),
                pair: 0,
                ends: Vec::new(),
                behind: None,
            });
            self.land(Some(net), start, Screw::Bar);
            self.neutral = Some(net);
        }
        Point { hots, neutral: self.neutral, behind: None }
    }

    fn branch(&mut self, circuit: ItemRef, line: Line, source: &Point, branch: &Branch) {
        let mut point = source.clone();
        for stage in &branch.stages {
            self.go_through(&mut point, &stage.through);
            for load in &stage.loads {
                self.feed(circuit, line, &point, load);
            }
            let last = stage.loads.last().and_then(|l| l.item);
            if let Some(device) = last.filter(|d| matches!(d.kind, Kind::Receptacle | Kind::Device)) {
                // Only where something follows does it matter.
                let is_last = std::ptr::eq(stage, branch.stages.last().unwrap_or(stage));
                let is_gfci = !is_last && self.is_gfci(device);
                if is_gfci {
                    self.go_behind(&mut point, device);
                }
            }
        }
    }

    /// A device that power goes through has its line terminals on what comes in.
    pub(super) fn land_ahead(&mut self, point: &Point, device: ItemRef) {
        for (i, hot) in point.hots.iter().enumerate() {
            self.land_once(*hot, device, Screw::Hot(i as u8));
        }
        if let Some(neutral) = point.neutral {
            self.land_once(neutral, device, Screw::Neutral);
        }
    }

    /// Past a GFCI device: hot and neutral of their own, never the shared one of a pair.
    pub(super) fn go_behind(&mut self, point: &mut Point, device: ItemRef) {
        let behind = self.link(point.behind, device);
        let mut after = Point { hots: Vec::new(), neutral: None, behind };
        for (i, hot) in point.hots.clone().into_iter().enumerate() {
            let screw = Screw::Behind(i as u8);
            let net = self.after(hot, Key::Behind(hot, device), |net| net.behind = behind);
            self.land_once(net, device, screw);
            after.hots.push(net);
        }
        if let Some(neutral) = point.neutral {
            let circuits = point.hots.first().and_then(|h| self.nets.get(*h as usize)).map(|n| n.circuits.clone());
            let net = self.after(neutral, Key::Behind(neutral, device), |net| {
                net.behind = behind;
                net.circuits = circuits.unwrap_or_else(|| net.circuits.clone());
            });
            self.land_once(net, device, Screw::BehindNeutral);
            after.neutral = Some(net);
        }
        *point = after;
    }

    fn link(&self, before: Option<u32>, device: ItemRef) -> Option<u32> {
        let is_it = |i: &usize| self.hanging.chain.get(*i).is_some_and(|l| l.device == device);
        let found = self.hanging.link_of.get(device).copied().flatten().map(|i| i as usize);
        found.filter(is_it).map(|i| i as u32).or(before)
    }

    /// The net that begins where another ends, made once for each key.
    pub(super) fn after(&mut self, before: u32, key: Key, change: impl FnOnce(&mut Net)) -> u32 {
        if let Some(net) = self.made.get(&key) {
            return *net;
        }
        let mut net = self.nets.get(before as usize).cloned().unwrap_or_else(|| Net {
            role: Role::Hot,
            circuits: Vec::new(),
            hot: 0,
            switches: Vec::new(),
            pair: 0,
            ends: Vec::new(),
            behind: None,
        });
        net.ends.clear();
        change(&mut net);
        let net = self.add(net);
        self.made.insert(key, net);
        net
    }

    pub(super) fn land_once(&mut self, net: u32, item: ItemRef, screw: Screw) {
        let is_there = |n: &Net| n.ends.iter().any(|e| e.item == item && e.screw == screw);
        if !self.nets.get(net as usize).is_some_and(is_there) {
            self.land(Some(net), item, screw);
        }
    }

    fn feed(&mut self, circuit: ItemRef, line: Line, point: &Point, load: &Load) {
        let Some(item) = load.item else { return };
        self.next_who = self.next_who.saturating_add(1);
        let first = point.hots.first().copied();
        if matches!(item.kind, Kind::Box | Kind::Panel) {
            for hot in &point.hots {
                self.land(Some(*hot), item, Screw::Capped);
            }
            let has_neutral = line.hots.1 == 1 || self.takes_neutral(line.neutral);
            if has_neutral {
                self.land(point.neutral, item, Screw::Capped);
            }
            return;
        }
        if !matches!(item.kind, Kind::Receptacle | Kind::Light | Kind::Device | Kind::Equipment) {
            return;
        }
        let wants = wants(self.shop, &self.hanging.patterns, item);
        if point.hots.len() < 2 {
            self.land(first, item, Screw::Hot(0));
            let is_sure = line.hots.1 == 1;
            // With one hot the neutral is the only return; where it might be two, it might be none.
            let may_want = if wants.neutral == Some(true) { Some(true) } else { None };
            if is_sure || self.takes_neutral(may_want) {
                let phases = if line.phase == 3 { 4 } else { line.phase };
                self.land_neutral(point.neutral, item, Screw::Neutral, phases, circuit.index);
            }
            return;
        }
        let Wants { two_hots, neutral } = wants;
        let is_light = item.kind == Kind::Light;
        let takes_both = match two_hots {
            Some(false) if is_light => line.neutral == Some(false),
            Some(false) => false,
            Some(true) => true,
            None => {
                self.asked.loads = true;
                self.reading.loads
            }
        };
        let takes_neutral = match (takes_both, neutral) {
            (_, Some(true)) => !(is_light && takes_both),
            (true, Some(false)) => line.brings_neutral && item.kind == Kind::Equipment,
            (false, Some(false)) => false,
            (_, None) if line.neutral.is_some() && item.kind == Kind::Equipment => line.brings_neutral,
            (_, None) if line.neutral == Some(false) => false,
            (_, None) => self.takes_neutral(None),
        };
        let count = if takes_both { point.hots.len() } else { 1 };
        for (i, hot) in point.hots.iter().take(count).enumerate() {
            self.land(Some(*hot), item, Screw::Hot(i as u8));
        }
        if takes_neutral {
            let (phases, who) =
                if takes_both { (3, circuit.index) } else { (4, u32::MAX.saturating_sub(self.next_who)) };
            self.land_neutral(point.neutral, item, Screw::Neutral, phases, who);
        }
    }
}
