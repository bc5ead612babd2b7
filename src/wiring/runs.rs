//! The conductors of each run.

use super::facts::{Facts, yes_no};
use super::graph::Graph;
use super::hang::Hanging;
use super::nets::{Role, wire_of};
use super::physical::Writer;
use super::spread::{Piece, Spread};
use super::supply::Lines;
use super::wires::{Kinds, cable_count, ground, has_sets, is_sized, may_be_cable, named_wire, wire_facts};
use super::{RunWire, RunWires};
use crate::shop::{Head, ItemRef, List, Shop, Value};
use crate::words::{Kind, choice, name};

/// Facts of one conductor to be made.
#[derive(Clone, Copy)]
struct Made {
    role: Role,
    line: Option<ItemRef>,
    kinds: Kinds,
    is_balanced: Option<bool>,
    is_alternate: bool,
    behind: Option<u32>,
}

impl Made {
    /// A conductor that is neither a neutral nor a traveler.
    fn plain(role: Role, line: Option<ItemRef>, kinds: Kinds) -> Made {
        Made { role, line, kinds, is_balanced: Some(false), is_alternate: false, behind: None }
    }
}

/// The conductors of one run, as they come.
struct Bundle {
    run_name: String,
    list: List,
    wires: Vec<RunWire>,
}

impl Bundle {
    fn of(shop: &Shop, run: ItemRef, is_open: bool) -> Bundle {
        let list = List { is_open, ..List::default() };
        Bundle { run_name: shop.head(run).name.clone(), list, wires: Vec::new() }
    }

    fn add(&mut self, item: ItemRef, role: Role, net: Option<u32>, is_sure: bool, color: u8) {
        let list = if is_sure { &mut self.list.sure } else { &mut self.list.possible };
        list.push(item);
        self.wires.push(RunWire { item, net, role, is_sure, color });
    }
}

impl Writer {
    /// One run between two ends.
    pub fn run(
        &mut self,
        shop: &mut Shop,
        graph: &Graph,
        hanging: &Hanging,
        spread: &Spread,
        run: ItemRef,
        pieces: &[Piece],
    ) {
        let mut circuits = self.lines.get_mut(run.index as usize).map(std::mem::take).unwrap_or_default();
        let ends = graph.of_run.get(run.index as usize).copied().flatten().and_then(|e| graph.edge(e)).map(|e| e.ends);
        let part = ends.and_then(|[a, _]| graph.part.get(a as usize).copied());
        let is_open_part = part.is_none_or(|p| self.closed.open_parts.get(p as usize) == Some(&true));
        let is_empty = shop.yes(run, name::IS_EMPTY) == Some(true);
        circuits.is_open = !is_empty && (!self.closed.lines || self.closed.everywhere || is_open_part);
        let cable = cable_count(shop, run);
        // A cable has wires of its own, used or not: as long as there may be one, more may be there.
        let is_vague = cable.is_none() && !is_empty && may_be_cable(shop, run);
        let mut bundle = Bundle::of(shop, run, circuits.is_open || is_vague);
        self.pieces(shop, hanging, spread, run, pieces, &mut bundle);
        if let Some(cable) = cable {
            self.spares(shop, hanging, run, cable, &mut bundle);
        }
        self.ground(shop, hanging, run, &circuits, &mut bundle);
        self.finish(shop, run, circuits, bundle);
    }

    fn pieces(
        &self,
        shop: &mut Shop,
        hanging: &Hanging,
        spread: &Spread,
        run: ItemRef,
        pieces: &[Piece],
        bundle: &mut Bundle,
    ) {
        let b = shop.bit(choice::PHASE, "B");
        for piece in pieces {
            let Some(net) = spread.nets.get(piece.net as usize) else { continue };
            let line = net.circuits.first().copied();
            let made = Made {
                role: net.role,
                line,
                kinds: wire_of(shop, run, net),
                is_balanced: piece.is_balanced,
                is_alternate: net.role == Role::Traveler && net.pair == 1,
                behind: net.behind,
            };
            let item = self.make(shop, hanging, made, &bundle.run_name);
            let switched = self.switched.get(piece.net as usize).copied().unwrap_or_default();
            let is_on_b = line.is_some_and(|l| shop.value(l, name::PHASE) == Value::Choice(b));
            let color = self.bits.color(net, is_on_b, switched);
            bundle.add(item, net.role, Some(piece.net), piece.is_sure, color);
        }
    }

    /// A cable brings all its wires, used or not. What the plan needs may still be more than it has.
    fn spares(&self, shop: &mut Shop, hanging: &Hanging, run: ItemRef, cable: usize, bundle: &mut Bundle) {
        let sure = bundle.list.sure.len();
        let (least, most) = (cable.saturating_sub(bundle.wires.len()), cable.saturating_sub(sure));
        let is_open = bundle.list.is_open;
        for i in 0..most.min(64) {
            let kinds = named_wire(shop, run);
            let item = self.make(shop, hanging, Made::plain(Role::Spare, None, kinds), &bundle.run_name);
            bundle.add(item, Role::Spare, None, i < least && !is_open, 0);
        }
        let roles: Vec<Role> = bundle.wires.iter().map(|w| w.role).collect();
        for (wire, color) in bundle.wires.iter_mut().zip(self.bits.in_cable(&roles)) {
            wire.color = color;
        }
    }

    fn ground(&self, shop: &mut Shop, hanging: &Hanging, run: ItemRef, circuits: &List, bundle: &mut Bundle) {
        let Some(ground) = ground(shop, run, circuits, self.bits.wire) else { return };
        let line = circuits.sure.first().or_else(|| circuits.possible.first()).copied();
        let made = Made::plain(Role::EquipmentGround, line, ground.kinds);
        let item = self.make(shop, hanging, made, &bundle.run_name);
        let is_bare = ground.kinds.insulation == Value::Choice(self.bits.bare);
        let color = if is_bare { self.bits.colors.bare } else { self.bits.colors.green };
        bundle.add(item, Role::EquipmentGround, None, ground.is_sure, color);
    }

    /// A stretch of a feeder or circuit holds its wires, as many as it has.
    pub fn stretch(&mut self, shop: &mut Shop, hanging: &Hanging, lines: &Lines, run: ItemRef, of: ItemRef) {
        let line = lines.of(of);
        // A 3-way between two buildings puts travelers into a circuit's stretch.
        let is_open = of.kind == Kind::Circuit && has_sets(shop, of);
        let mut bundle = Bundle::of(shop, run, is_open);
        let hots = (0..line.hots.1).map(|i| (Role::Hot, i, i < line.hots.0));
        let neutral = (line.neutral != Some(false)).then_some((Role::Neutral, 0, line.neutral == Some(true)));
        let circuits = List { sure: vec![of], ..List::default() };
        let named = shop.item(run, name::WIRE).filter(|w| is_sized(shop, *w));
        for (role, hot, is_sure) in hots.chain(neutral) {
            let own = shop.item(of, name::NEUTRAL_WIRE).filter(|_| role == Role::Neutral);
            let wire = named.or(own).or_else(|| shop.item(of, name::WIRE));
            let is_balanced = match role {
                Role::Neutral if line.hots.0 >= 2 => line.is_opposite,
                Role::Neutral if line.hots.0 != line.hots.1 => line.is_opposite.filter(|o| !*o),
                _ => Some(false),
            };
            let made = Made { is_balanced, ..Made::plain(role, Some(of), wire_facts(shop, wire)) };
            let item = self.make(shop, hanging, made, &bundle.run_name);
            let c = &self.bits.colors;
            let color = match (role, hot) {
                (Role::Neutral, _) => c.white,
                (_, 0) => c.black,
                (_, 1) => c.red,
                _ => c.blue,
            };
            bundle.add(item, role, None, is_sure, color);
        }
        self.ground(shop, hanging, run, &circuits, &mut bundle);
        self.finish(shop, run, circuits, bundle);
    }

    fn finish(&mut self, shop: &mut Shop, run: ItemRef, circuits: List, bundle: Bundle) {
        if let Some(slot) = self.runs.get_mut(run.index as usize) {
            *slot = RunWires { wires: bundle.wires, is_open: bundle.list.is_open };
        }
        shop.settle_list(run, name::CIRCUITS, circuits);
        shop.settle_list(run, name::CONDUCTORS, bundle.list);
    }

    fn make(&self, shop: &mut Shop, hanging: &Hanging, made: Made, run_name: &str) -> ItemRef {
        let what = made.role.noun();
        let (name, place) = match made.line.map(|l| shop.head(l)) {
            Some(head) => (format!("{what} of {} in {run_name}", head.name), head.place),
            None => (format!("{what} of {run_name}"), Default::default()),
        };
        let item = shop.add(Kind::Conductor, Head { name, label: None, place, of: made.line });
        for (word, value) in [
            (name::ROLE, self.bits.role(made.role)),
            (name::SIZE, made.kinds.size),
            (name::METAL, made.kinds.metal),
            (name::INSULATION, made.kinds.insulation),
            (name::IS_ALTERNATE, Value::YesNo(made.is_alternate)),
            (name::IS_BALANCED_NEUTRAL, yes_no(made.is_balanced)),
            (name::CIRCUIT, made.line.map_or(Value::Unknown, Value::Item)),
        ] {
            shop.settle(item, word, value);
        }
        let (sure, is_open) = hanging.ahead(made.behind);
        shop.settle_list(item, name::UPSTREAM, List { sure, is_open, ..List::default() });
        item
    }
}
