//! The words of the physical layer: conductors of runs, entries of boxes, ways.

use super::facts::{Facts, number, yes_no};
use super::graph::Graph;
use super::hang::Hanging;
use super::nets::{Role, wire_of};
use super::spread::{Piece, Spread, Way};
use super::supply::Lines;
use super::{BoxWires, Joint, JointKind, RunWire, RunWires, Wiring};
use crate::quantity::Rational;
use crate::shop::{Head, ItemRef, List, Range, Shop, Value};
use crate::words::{Kind, choice, name};

/// What the plan says of completeness, as far as wires depend on it.
struct Closed {
    /// Every circuit and feeder that may lie in a run stands in the plan.
    lines: bool,
    /// Every run stands in the plan.
    runs: bool,
    /// Parts of the graph where a circuit with an unknown way may lie.
    open_parts: Vec<bool>,
    /// A circuit with an unknown way may lie anywhere.
    everywhere: bool,
}

/// Writes the words and gives the wiring.
pub(super) fn write(shop: &mut Shop, graph: &Graph, hanging: &Hanging, lines: &Lines, spread: Spread) -> Wiring {
    let closed = closed(shop, graph, lines, &spread);
    ways(shop, graph, &spread, &closed);
    let lines_of = lines_by_run(shop, graph, &spread);
    let runs = vec![RunWires::default(); shop.count(Kind::Run)];
    let mut writer = Writer { bits: Bits::new(shop), closed, runs, lines: lines_of };
    let by_run = pieces_by_run(shop, graph, &spread);
    let stretches = stretches(shop);
    for run in shop.items(Kind::Run) {
        let Some(pieces) = by_run.get(run.index as usize) else { continue };
        match shop.head(run).of {
            Some(of) if matches!(of.kind, Kind::Feeder | Kind::Circuit) => writer.stretch(shop, lines, run, of),
            Some(of) if of.kind == Kind::Run => {}
            _ => writer.run(shop, graph, hanging, &spread, run, pieces),
        }
    }
    for (run, of) in stretches {
        copy_stretch(shop, run, of);
    }
    for run in shop.items(Kind::Run) {
        about_run(shop, run);
    }
    landed(shop, graph, &spread);
    let boxes = writer.boxes(shop, graph, &spread);
    Wiring { nets: spread.nets, runs: writer.runs, boxes, asks: spread.asks }
}

fn closed(shop: &Shop, graph: &Graph, lines: &Lines, spread: &Spread) -> Closed {
    let is_drawn = |kind| shop.items(kind).all(|i| shop.yes(i, name::IS_ALL_DRAWN) == Some(true));
    let panels = shop.count(Kind::Panel) > 0 && is_drawn(Kind::Panel);
    let runs = shop.is_listed(Kind::Run) || (panels && is_drawn(Kind::Box));
    let mut open_parts = vec![false; graph.nodes.len()];
    let mut everywhere = false;
    let mut open = |start: Option<ItemRef>| match start.and_then(|s| graph.node(s)) {
        Some(node) if runs => {
            let part = graph.part.get(node as usize).copied().unwrap_or(node);
            if let Some(slot) = open_parts.get_mut(part as usize) {
                *slot = true;
            }
        }
        // A start that stands on no run, while all runs are drawn, leads nowhere that is drawn.
        None if runs && start.is_some() => {}
        _ => everywhere = true,
    };
    for (circuit, way) in shop.items(Kind::Circuit).zip(&spread.ways) {
        let has_stretches = !way.is_whole && shop.is_said(circuit, name::HAS_OPEN_STRETCHES);
        if !way.is_whole && !has_stretches {
            open(lines.of(circuit).start);
        }
    }
    for (feeder, way) in shop.items(Kind::Feeder).zip(&spread.feeder_ways) {
        if way.as_ref().is_some_and(|w| w.is_lost) {
            open(lines.of(feeder).start);
        }
    }
    Closed {
        lines: shop.is_listed(Kind::Circuit) && shop.is_listed(Kind::Feeder) || panels,
        runs,
        open_parts,
        everywhere,
    }
}

/// Runs, lengths and ways of circuits, feeders and devices.
fn ways(shop: &mut Shop, graph: &Graph, spread: &Spread, closed: &Closed) {
    let mut own: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Circuit)];
    let mut of_feeder: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Feeder)];
    for run in shop.items(Kind::Run) {
        let list = match shop.head(run).of {
            Some(of) if of.kind == Kind::Circuit => own.get_mut(of.index as usize),
            Some(of) if of.kind == Kind::Feeder => of_feeder.get_mut(of.index as usize),
            _ => None,
        };
        if let Some(list) = list {
            list.push(run);
        }
    }
    for feeder in shop.items(Kind::Feeder) {
        let stretches = of_feeder.get(feeder.index as usize).cloned().unwrap_or_default();
        let way = spread.feeder_ways.get(feeder.index as usize).cloned().flatten();
        line_way(shop, graph, feeder, stretches, way.unwrap_or(Way { is_whole: true, ..Way::default() }), closed);
    }
    for (circuit, way) in shop.items(Kind::Circuit).zip(&spread.ways) {
        let stretches = own.get(circuit.index as usize).cloned().unwrap_or_default();
        let home = runs_of(graph, way.home.iter().copied());
        let is_open = way.is_lost || home.is_empty() || !closed.runs;
        shop.settle_list(circuit, name::HOME_RUNS, List { sure: home, is_open, ..List::default() });
        line_way(shop, graph, circuit, stretches, way.clone(), closed);
    }
    let mut seen: Vec<ItemRef> = Vec::new();
    for (item, edges) in &spread.device_ways {
        if shop.value(*item, name::WAY) != Value::Unknown {
            seen.push(*item);
            continue;
        }
        if shop.vocabulary.word(item.kind, name::WAY).is_none() {
            continue;
        }
        let sure = runs_of(graph, edges.iter().copied());
        let is_open = !closed.runs;
        shop.settle_list(*item, name::WAY, List { sure, is_open, ..List::default() });
    }
    // What is fed in two places has no one way.
    for item in seen {
        if shop.members(item, name::CIRCUITS).sure.len() > 1 {
            let mut list = shop.members(item, name::WAY);
            list.possible = std::mem::take(&mut list.sure);
            list.is_open = true;
            shop.derive_list(item, name::WAY, list);
        }
    }
}

fn runs_of(graph: &Graph, edges: impl Iterator<Item = u32>) -> Vec<ItemRef> {
    let mut runs: Vec<ItemRef> = edges.filter_map(|e| graph.edge(e)).map(|e| e.run).collect();
    runs.dedup();
    runs
}

/// Runs and length of a circuit or feeder: its own stretches first, then the runs that it takes.
fn line_way(shop: &mut Shop, graph: &Graph, line: ItemRef, stretches: Vec<ItemRef>, way: Way, closed: &Closed) {
    let is_stretched = !stretches.is_empty();
    let has_open = shop.yes(line, name::HAS_OPEN_STRETCHES) == Some(true);
    let mut length = if way.is_lost { None } else { way.far };
    for stretch in &stretches {
        let (low, high) = match shop.value(*stretch, name::LENGTH) {
            Value::Number(n) => (n, Some(n)),
            Value::Range(r) => (r.low.unwrap_or(Rational::ZERO), r.high),
            _ => (Rational::ZERO, None),
        };
        let before = length.unwrap_or((Rational::ZERO, Some(Rational::ZERO)));
        length = before.0.plus(low).map(|sum| (sum, before.1.zip(high).and_then(|(a, b)| a.plus(b))));
    }
    let mut sure = stretches;
    sure.extend(runs_of(graph, way.edges.iter().map(|s| s.edge)));
    let is_told = shop.ways.contains_key(&line);
    let is_closed = match line.kind {
        Kind::Feeder => is_stretched && !has_open || !sure.is_empty() && (closed.runs || is_told),
        _ => way.is_whole && !sure.is_empty() && !has_open && (closed.runs || is_told),
    };
    if let Some((low, high)) = length {
        let is_known = !has_open && (is_closed || way.is_whole && !way.is_lost);
        let value = match high.filter(|_| is_known) {
            Some(high) if high == low => Value::Number(low),
            high => Value::Range(Range { low: Some(low), high, low_is_open: false, high_is_open: false }),
        };
        shop.settle(line, name::LENGTH, value);
    }
    shop.settle_list(line, name::RUNS, List { sure, is_open: !is_closed, ..List::default() });
}

fn pieces_by_run(shop: &Shop, graph: &Graph, spread: &Spread) -> Vec<Vec<Piece>> {
    let mut by_run: Vec<Vec<Piece>> = vec![Vec::new(); shop.count(Kind::Run)];
    for piece in &spread.pieces {
        let run = graph.edge(piece.edge).and_then(|e| by_run.get_mut(e.run.index as usize));
        if let Some(run) = run {
            // A run with several ends is several edges: one wire of a net lies in it once.
            if !run.iter().rev().take_while(|p| p.net == piece.net).any(|_| true) {
                run.push(*piece);
            }
        }
    }
    by_run
}

/// Circuits and feeders by run, in the order of the plan: those whose own wires lie there, not only a
/// neutral that they share.
fn lines_by_run(shop: &Shop, graph: &Graph, spread: &Spread) -> Vec<List> {
    let mut by_run: Vec<List> = vec![List::default(); shop.count(Kind::Run)];
    let circuits = shop.items(Kind::Circuit).zip(&spread.ways);
    let feeders = shop.items(Kind::Feeder).zip(&spread.feeder_ways).filter_map(|(f, w)| w.as_ref().map(|w| (f, w)));
    for (line, way) in feeders.chain(circuits) {
        for step in &way.edges {
            let Some(list) = graph.edge(step.edge).and_then(|e| by_run.get_mut(e.run.index as usize)) else { continue };
            let place = if step.is_sure { &mut list.sure } else { &mut list.possible };
            if place.last() != Some(&line) {
                place.push(line);
            }
        }
    }
    for list in by_run.iter_mut().filter(|l| !l.possible.is_empty()) {
        let sure: std::collections::HashSet<ItemRef> = list.sure.iter().copied().collect();
        list.possible.retain(|c| !sure.contains(c));
    }
    by_run
}

/// Stretches of runs: what lies in the run lies in each.
fn stretches(shop: &Shop) -> Vec<(ItemRef, ItemRef)> {
    let of_run = |run: &ItemRef| shop.head(*run).of.filter(|o| o.kind == Kind::Run).map(|o| (*run, o));
    shop.items(Kind::Run).filter_map(|r| of_run(&r)).collect()
}

fn copy_stretch(shop: &mut Shop, run: ItemRef, of: ItemRef) {
    for word in [name::CIRCUITS, name::CONDUCTORS] {
        let value = shop.value(of, word);
        shop.settle(run, word, value);
    }
}

/// Bits of choices that conductors need.
struct Bits {
    roles: [u64; 7],
    bare: u64,
    wire: u64,
    colors: Colors,
}

struct Colors {
    black: u8,
    red: u8,
    blue: u8,
    orange: u8,
    brown: u8,
    yellow: u8,
    white: u8,
    gray: u8,
    green: u8,
    bare: u8,
}

impl Bits {
    fn new(shop: &Shop) -> Bits {
        let role = |v| shop.bit(choice::ROLE, v);
        let color = |v| shop.vocabulary.choice(choice::COLOR).and_then(|c| c.value(v)).unwrap_or(0);
        Bits {
            roles: [
                role("hot"),
                role("neutral"),
                role("equipment-ground"),
                role("switched-hot"),
                role("traveler"),
                role("signal"),
                role("spare"),
            ],
            bare: shop.bit(choice::INSULATION, "bare"),
            wire: shop.bit(choice::EQUIPMENT_GROUND_TYPE, "wire"),
            colors: Colors {
                black: color("black"),
                red: color("red"),
                blue: color("blue"),
                orange: color("orange"),
                brown: color("brown"),
                yellow: color("yellow"),
                white: color("white"),
                gray: color("gray"),
                green: color("green"),
                bare: color("bare"),
            },
        }
    }

    fn role(&self, role: Role) -> Value {
        self.roles.get(role as usize).copied().filter(|b| *b != 0).map_or(Value::Unknown, Value::Choice)
    }
}

struct Writer {
    bits: Bits,
    closed: Closed,
    runs: Vec<RunWires>,
    /// Circuits and feeders whose way goes through each run.
    lines: Vec<List>,
}

/// The equipment grounding conductor of a run.
#[derive(Clone, Copy, Debug)]
struct Ground {
    /// Whether one is there for sure.
    is_sure: bool,
    size: Value,
    metal: Value,
    insulation: Value,
}

/// Facts of one conductor to be made.
struct Made<'a> {
    role: Role,
    line: Option<ItemRef>,
    text: &'a str,
    size: Value,
    metal: Value,
    insulation: Value,
    is_balanced: Option<bool>,
    is_alternate: bool,
    behind: Option<u32>,
}

impl Writer {
    /// One run between two ends.
    fn run(
        &mut self,
        shop: &mut Shop,
        graph: &Graph,
        hanging: &Hanging,
        spread: &Spread,
        run: ItemRef,
        pieces: &[Piece],
    ) {
        let mut circuits = self.lines.get_mut(run.index as usize).map(std::mem::take).unwrap_or_default();
        let part = graph.of_run.get(run.index as usize).copied().flatten().and_then(|e| graph.edge(e)).map(|e| e.ends);
        let part = part.and_then(|[a, _]| graph.part.get(a as usize).copied());
        let is_open_part = part.is_none_or(|p| self.closed.open_parts.get(p as usize) == Some(&true));
        let is_empty = shop.yes(run, name::IS_EMPTY) == Some(true);
        let is_open = !is_empty && (!self.closed.lines || self.closed.everywhere || is_open_part);
        circuits.is_open = is_open;
        let list = self.conductors(shop, hanging, spread, run, pieces, &circuits, is_open);
        shop.settle_list(run, name::CIRCUITS, circuits);
        shop.settle_list(run, name::CONDUCTORS, list);
    }

    fn conductors(
        &mut self,
        shop: &mut Shop,
        hanging: &Hanging,
        spread: &Spread,
        run: ItemRef,
        pieces: &[Piece],
        circuits: &List,
        is_open: bool,
    ) -> List {
        let mut list = List { is_open, ..List::default() };
        let mut wires: Vec<RunWire> = Vec::new();
        let run_name = shop.head(run).name.clone();
        let cable = cable_count(shop, run);
        let mut counts = (0usize, 0usize);
        let mut neutrals = 0;
        for piece in pieces {
            let Some(net) = spread.nets.get(piece.net as usize) else { continue };
            let line = net.circuits.first().copied();
            let (size, metal, insulation) = wire_of(shop, run, net);
            let made = Made {
                role: net.role,
                line,
                text: &run_name,
                size,
                metal,
                insulation,
                is_balanced: piece.is_balanced,
                is_alternate: net.role == Role::Traveler && net.pair == 1,
                behind: net.behind,
            };
            let item = self.make(shop, hanging, made);
            if piece.is_sure {
                list.sure.push(item)
            } else {
                list.possible.push(item)
            }
            counts.0 += usize::from(piece.is_sure);
            counts.1 += 1;
            neutrals += usize::from(net.role == Role::Neutral);
            let color = self.color(shop, net, neutrals, wires.len());
            wires.push(RunWire { item, net: Some(piece.net), role: net.role, is_sure: piece.is_sure, color });
        }
        // A cable brings all its wires, used or not.
        if let Some(cable) = cable {
            let (least, most) = (cable.saturating_sub(counts.1), cable.saturating_sub(counts.0));
            for i in 0..most.min(64) {
                let (size, metal, insulation) = named_wire(shop, run);
                let made = Made {
                    role: Role::Spare,
                    line: None,
                    text: &run_name,
                    size,
                    metal,
                    insulation,
                    is_balanced: Some(false),
                    is_alternate: false,
                    behind: None,
                };
                let item = self.make(shop, hanging, made);
                let is_sure = i < least && !is_open;
                if is_sure {
                    list.sure.push(item)
                } else {
                    list.possible.push(item)
                }
                let color = self.bits.colors.white;
                wires.push(RunWire { item, net: None, role: Role::Spare, is_sure, color });
            }
            // Nothing more can lie in a cable than it is made of.
            list.is_open &= counts.0 < cable;
        }
        if let Some(ground) = ground(shop, run, circuits, self.bits.wire) {
            let made = Made {
                role: Role::EquipmentGround,
                line: circuits.sure.first().or_else(|| circuits.possible.first()).copied(),
                text: &run_name,
                size: ground.size,
                metal: ground.metal,
                insulation: ground.insulation,
                is_balanced: Some(false),
                is_alternate: false,
                behind: None,
            };
            let item = self.make(shop, hanging, made);
            if ground.is_sure {
                list.sure.push(item)
            } else {
                list.possible.push(item)
            }
            let is_bare = ground.insulation == Value::Choice(self.bits.bare);
            let color = if is_bare { self.bits.colors.bare } else { self.bits.colors.green };
            wires.push(RunWire { item, net: None, role: Role::EquipmentGround, is_sure: ground.is_sure, color });
        }
        if let Some(slot) = self.runs.get_mut(run.index as usize) {
            *slot = RunWires { wires, is_open: list.is_open };
        }
        list
    }

    /// A stretch of a feeder or circuit holds its wires, as many as it has.
    fn stretch(&mut self, shop: &mut Shop, lines: &Lines, run: ItemRef, of: ItemRef) {
        let line = lines.of(of);
        let mut list = List::default();
        let mut wires = Vec::new();
        let run_name = shop.head(run).name.clone();
        let hots = (0..line.hots.1).map(|i| (Role::Hot, i, i < line.hots.0));
        let neutral = (line.neutral != Some(false)).then_some((Role::Neutral, 0, line.neutral == Some(true)));
        let circuits = List { sure: vec![of], ..List::default() };
        for (role, hot, is_sure) in hots.chain(neutral) {
            let word = if role == Role::Neutral && shop.item(of, name::NEUTRAL_WIRE).is_some() {
                name::NEUTRAL_WIRE
            } else {
                name::WIRE
            };
            let (size, metal, insulation) = match shop.item(run, name::WIRE) {
                Some(wire) if is_sized(shop, wire) => facts_of(shop, wire),
                _ => {
                    shop.item(of, word).map_or((Value::Unknown, Value::Unknown, Value::Unknown), |w| facts_of(shop, w))
                }
            };
            let is_balanced = match role {
                Role::Neutral if line.hots.0 >= 2 => line.is_opposite,
                Role::Neutral if line.hots.0 != line.hots.1 => line.is_opposite.filter(|o| !*o),
                _ => Some(false),
            };
            let made = Made {
                role,
                line: Some(of),
                text: &run_name,
                size,
                metal,
                insulation,
                is_balanced,
                is_alternate: false,
                behind: None,
            };
            let item = self.make_plain(shop, made);
            if is_sure {
                list.sure.push(item)
            } else {
                list.possible.push(item)
            }
            let color = match (role, hot) {
                (Role::Neutral, _) => self.bits.colors.white,
                (_, 0) => self.bits.colors.black,
                (_, 1) => self.bits.colors.red,
                _ => self.bits.colors.blue,
            };
            wires.push(RunWire { item, net: None, role, is_sure, color });
        }
        if let Some(ground) = ground(shop, run, &circuits, self.bits.wire) {
            let made = Made {
                role: Role::EquipmentGround,
                line: Some(of),
                text: &run_name,
                size: ground.size,
                metal: ground.metal,
                insulation: ground.insulation,
                is_balanced: Some(false),
                is_alternate: false,
                behind: None,
            };
            let item = self.make_plain(shop, made);
            if ground.is_sure {
                list.sure.push(item)
            } else {
                list.possible.push(item)
            }
            let color = self.bits.colors.green;
            wires.push(RunWire { item, net: None, role: Role::EquipmentGround, is_sure: ground.is_sure, color });
        }
        // A 3-way between two buildings puts travelers into a circuit's stretch.
        list.is_open = of.kind == Kind::Circuit && has_sets(shop, of);
        if let Some(slot) = self.runs.get_mut(run.index as usize) {
            *slot = RunWires { wires, is_open: list.is_open };
        }
        shop.settle_list(run, name::CIRCUITS, circuits);
        shop.settle_list(run, name::CONDUCTORS, list);
    }

    fn make(&self, shop: &mut Shop, hanging: &Hanging, made: Made) -> ItemRef {
        let behind = made.behind;
        let item = self.make_plain(shop, made);
        let (sure, is_open) = hanging.ahead(behind);
        // Devices that are no GFCI stand ahead too, by tails; only those whose load terminals a wire hangs on count.
        shop.settle_list(item, name::UPSTREAM, List { sure, is_open, ..List::default() });
        item
    }

    fn make_plain(&self, shop: &mut Shop, made: Made) -> ItemRef {
        let what = match made.role {
            Role::Hot => "hot",
            Role::Neutral => "neutral",
            Role::EquipmentGround => "equipment grounding conductor",
            Role::SwitchedHot => "switched hot",
            Role::Traveler => "traveler",
            Role::Signal => "signal wire",
            Role::Spare => "spare wire",
        };
        let (name, place) = match made.line {
            Some(line) => {
                let head = shop.head(line);
                (format!("{what} of {} in {}", head.name, made.text), head.place)
            }
            None => (format!("{what} of {}", made.text), Default::default()),
        };
        let item = shop.add(Kind::Conductor, Head { name, label: None, place, of: made.line });
        let facts = [
            (name::ROLE, self.bits.role(made.role)),
            (name::SIZE, made.size),
            (name::METAL, made.metal),
            (name::INSULATION, made.insulation),
            (name::IS_ALTERNATE, Value::YesNo(made.is_alternate)),
            (name::IS_BALANCED_NEUTRAL, yes_no(made.is_balanced)),
            (name::CIRCUIT, made.line.map_or(Value::Unknown, Value::Item)),
        ];
        for (word, value) in facts {
            shop.settle(item, word, value);
        }
        item
    }

    /// A color to pull. White for a neutral and green for an equipment grounding conductor are the
    /// rule; the rest is custom: black and red for the two busbars, blue, orange and brown behind
    /// switches, yellow for travelers (common practice, no source).
    fn color(&self, shop: &Shop, net: &super::Net, neutrals: usize, before: usize) -> u8 {
        let c = &self.bits.colors;
        let is_b = net
            .circuits
            .first()
            .is_some_and(|l| shop.value(*l, name::PHASE) == Value::Choice(shop.bit(choice::PHASE, "B")));
        match net.role {
            Role::Neutral if neutrals > 1 => c.gray,
            Role::Neutral => c.white,
            Role::Traveler => c.yellow,
            Role::SwitchedHot => [c.blue, c.orange, c.brown].get(before % 3).copied().unwrap_or(c.blue),
            Role::EquipmentGround => c.green,
            _ if net.hot == 1 || is_b => c.red,
            _ if net.hot == 2 => c.blue,
            _ => c.black,
        }
    }

    /// Entries of boxes, and joints of every place that runs come to.
    fn boxes(&self, shop: &mut Shop, graph: &Graph, spread: &Spread) -> Vec<BoxWires> {
        let mut joints: Vec<Vec<Joint>> = vec![Vec::new(); graph.nodes.len()];
        let runs = |edges: &[u32]| edges.iter().filter_map(|e| graph.edge(*e)).map(|e| e.run).collect::<Vec<_>>();
        for meeting in &spread.meetings {
            let Some(slot) = joints.get_mut(meeting.node as usize) else { continue };
            slot.push(Joint {
                net: Some(meeting.net),
                runs: runs(&meeting.edges),
                ends: meeting.ends.clone(),
                kind: meeting.how,
                sure: meeting.sure,
            });
        }
        let mut all = Vec::new();
        for (node, item) in graph.nodes.iter().enumerate() {
            let mut here = joints.get_mut(node).map(std::mem::take).unwrap_or_default();
            let at: Vec<ItemRef> =
                graph.at.get(node).into_iter().flatten().filter_map(|e| graph.edge(*e)).map(|e| e.run).collect();
            let ground = self.ground_joint(shop, &here, &at, spread);
            if item.kind == Kind::Box {
                self.entries(shop, *item, &here, ground.as_ref(), &at, spread);
            }
            here.extend(ground);
            all.push(BoxWires { item: *item, joints: here });
        }
        all
    }

    /// Equipment grounding conductors of a box: joined, or one that passes a box where nothing of
    /// its circuits ends.
    fn ground_joint(&self, shop: &Shop, here: &[Joint], at: &[ItemRef], spread: &Spread) -> Option<Joint> {
        let wire = |run: &ItemRef| {
            let wires = self.runs.get(run.index as usize)?;
            wires.wires.iter().find(|w| w.role == Role::EquipmentGround).map(|w| w.is_sure)
        };
        let mut runs: Vec<(ItemRef, bool)> = at.iter().filter_map(|r| wire(r).map(|sure| (*r, sure))).collect();
        runs.sort_by_key(|(_, sure)| !sure);
        if runs.is_empty() {
            return None;
        }
        let sure = runs.iter().filter(|(_, sure)| *sure).count();
        // Something of a circuit that ends here joins the equipment grounding conductor, if that is a wire.
        let mut ends_here = Some(false);
        for joint in here.iter().filter(|j| !j.ends.is_empty()) {
            for line in joint.net.and_then(|n| spread.nets.get(n as usize)).into_iter().flat_map(|n| &n.circuits) {
                match ground_need(shop, *line, self.bits.wire) {
                    Some(true) if joint.sure > 0 => ends_here = Some(true),
                    Some(false) => {}
                    _ => ends_here = ends_here.filter(|e| *e),
                }
            }
        }
        let is_raceway =
            runs.iter().map(|(r, _)| shop.yes(*r, name::IS_RACEWAY)).fold(Some(true), |a, b| match (a, b) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            });
        let passes = match (ends_here, is_raceway) {
            (Some(true), _) | (_, Some(false)) => Some(false),
            (Some(false), Some(true)) => Some(true),
            _ => None,
        };
        let (kind, sure) = match (runs.len(), sure, passes) {
            (2, 2, Some(true)) => (JointKind::Unbroken, 1),
            (2, sure, None) | (2, sure, Some(true)) => (JointKind::Unsaid, sure.min(1)),
            // With a third only perhaps there, the two may still pass.
            (_, 2, None | Some(true)) => (JointKind::Unsaid, 1),
            (_, sure, _) => (JointKind::Spliced, sure),
        };
        Some(Joint { net: None, runs: runs.into_iter().map(|(r, _)| r).collect(), ends: Vec::new(), kind, sure })
    }

    fn entries(
        &self,
        shop: &mut Shop,
        the_box: ItemRef,
        here: &[Joint],
        ground: Option<&Joint>,
        at: &[ItemRef],
        spread: &Spread,
    ) {
        let is_drawn = shop.yes(the_box, name::IS_ALL_DRAWN) == Some(true) || shop.is_listed(Kind::Run);
        let are_closed = at.iter().all(|r| self.runs.get(r.index as usize).is_some_and(|w| !w.is_open));
        let is_open = !(is_drawn && are_closed);
        let mut entries = List { is_open, ..List::default() };
        let mut has_neutral = Some(false);
        let box_name = shop.head(the_box).name.clone();
        for joint in here {
            let Some(net) = joint.net.and_then(|n| spread.nets.get(n as usize)) else { continue };
            if net.role == Role::Neutral && !joint.runs.is_empty() {
                has_neutral = if joint.sure > 0 { Some(true) } else { has_neutral.filter(|n| *n) };
            }
            for (i, run) in joint.runs.iter().enumerate() {
                if i > 0 && joint.kind == JointKind::Unbroken {
                    break;
                }
                let (size, ..) = wire_of(shop, *run, net);
                let ending = match joint.kind {
                    JointKind::Unbroken => Some(false),
                    JointKind::Unsaid => None,
                    _ => Some(true),
                };
                let entry = self.entry(shop, the_box, &box_name, net.role, size, ending);
                if i < joint.sure { entries.sure.push(entry) } else { entries.possible.push(entry) }
            }
        }
        // Spares of a cable end under caps.
        for run in at {
            let spares = self.runs.get(run.index as usize).into_iter().flat_map(|w| &w.wires);
            let spares: Vec<(Value, bool)> =
                spares.filter(|w| w.role == Role::Spare).map(|w| (shop.value(w.item, name::SIZE), w.is_sure)).collect();
            for (size, is_sure) in spares {
                let entry = self.entry(shop, the_box, &box_name, Role::Spare, size, Some(true));
                if is_sure { entries.sure.push(entry) } else { entries.possible.push(entry) }
            }
        }
        let mut grounds = List { is_open, ..List::default() };
        for (i, run) in ground.map(|g| g.runs.as_slice()).unwrap_or(&[]).iter().enumerate() {
            let kind = ground.map_or(JointKind::Spliced, |g| g.kind);
            if i > 0 && kind == JointKind::Unbroken {
                break;
            }
            let wire = self
                .runs
                .get(run.index as usize)
                .and_then(|w| w.wires.iter().find(|w| w.role == Role::EquipmentGround));
            let Some(size) = wire.map(|w| shop.value(w.item, name::SIZE)) else { continue };
            let entry =
                self.entry(shop, the_box, &box_name, Role::EquipmentGround, size, Some(kind != JointKind::Unbroken));
            let is_sure = ground.is_some_and(|g| i < g.sure);
            if is_sure { grounds.sure.push(entry) } else { grounds.possible.push(entry) }
        }
        let has_neutral = has_neutral.filter(|n| *n || !is_open);
        shop.settle(the_box, name::HAS_NEUTRAL, yes_no(has_neutral));
        let largest = largest(shop, &[&entries, &grounds]);
        shop.settle(the_box, name::LARGEST_WIRE, largest);
        shop.settle_list(the_box, name::ENTRIES, entries);
        shop.settle_list(the_box, name::GROUND_ENTRIES, grounds);
    }

    fn entry(
        &self,
        shop: &mut Shop,
        the_box: ItemRef,
        text: &str,
        role: Role,
        size: Value,
        ending: Option<bool>,
    ) -> ItemRef {
        let place = shop.head(the_box).place;
        let head = Head { name: format!("wire of {text}"), label: None, place, of: Some(the_box) };
        let entry = shop.add(Kind::Entry, head);
        for (word, value) in [
            (name::ROLE, self.bits.role(role)),
            (name::SIZE, size),
            (name::IS_ENDING, yes_no(ending)),
            (name::LOOPS, number(1)),
            (name::IS_FIXTURE_WIRE, Value::YesNo(false)),
        ] {
            shop.settle(entry, word, value);
        }
        entry
    }
}

/// Size, metal and insulation of a wire item.
pub(super) fn facts_of(shop: &Shop, wire: ItemRef) -> (Value, Value, Value) {
    (shop.value(wire, name::SIZE), shop.value(wire, name::METAL), shop.value(wire, name::INSULATION))
}

/// Whether a wire item says anything of what it is.
pub(super) fn is_sized(shop: &Shop, wire: ItemRef) -> bool {
    let (size, metal, insulation) = facts_of(shop, wire);
    [size, metal, insulation].iter().any(|v| *v != Value::Unknown)
}

/// The wire that a run names for itself.
fn named_wire(shop: &Shop, run: ItemRef) -> (Value, Value, Value) {
    shop.item(run, name::WIRE).map_or((Value::Unknown, Value::Unknown, Value::Unknown), |w| facts_of(shop, w))
}

/// How many insulated wires the cable of a run has.
pub(super) fn cable_count(shop: &Shop, run: ItemRef) -> Option<usize> {
    let is_cable = shop.yes(run, name::IS_CABLE) == Some(true) || shop.value(run, name::CABLE) != Value::Unknown;
    let count = shop.item(run, name::WIRE).and_then(|w| shop.whole(w, name::COUNT));
    count.filter(|n| is_cable && *n > 0).and_then(|n| usize::try_from(n).ok())
}

/// Whether a circuit or feeder has an equipment grounding conductor of wire.
fn ground_need(shop: &Shop, line: ItemRef, wire: u64) -> Option<bool> {
    match shop.value(line, name::EQUIPMENT_GROUND) {
        Value::Item(_) => return Some(true),
        Value::Absent => return Some(false),
        _ => {}
    }
    super::facts::within(shop.bits(line, name::EQUIPMENT_GROUND_TYPE), wire)
}

/// One equipment grounding conductor serves all circuits of a run, the largest size that any says
/// (C5). A cable brings its own. Where nothing is said there may be one.
fn ground(shop: &Shop, run: ItemRef, circuits: &List, wire: u64) -> Option<Ground> {
    let unknown = (Value::Unknown, Value::Unknown, Value::Unknown);
    match shop.value(run, name::EQUIPMENT_GROUND) {
        Value::Item(own) => {
            let (size, metal, insulation) = facts_of(shop, own);
            return Some(Ground { is_sure: true, size, metal, insulation });
        }
        Value::Absent => return None,
        _ => {}
    }
    let mut found: Option<Ground> = None;
    let mut is_doubtful = false;
    for line in circuits.sure.iter().chain(&circuits.possible) {
        let is_here = circuits.sure.contains(line);
        let need = ground_need(shop, *line, wire);
        if need == Some(false) {
            continue;
        }
        let (size, metal, insulation) = shop.item(*line, name::EQUIPMENT_GROUND).map_or(unknown, |w| facts_of(shop, w));
        let is_sure = need == Some(true) && is_here;
        is_doubtful |= !is_sure;
        found = Some(match found {
            None => Ground { is_sure, size, metal, insulation },
            Some(old) => {
                let larger = match (old.size, size) {
                    (Value::Number(a), Value::Number(b)) if b > a => (size, metal, insulation),
                    (Value::Number(_), Value::Number(_)) => (old.size, old.metal, old.insulation),
                    _ => unknown,
                };
                Ground { is_sure: old.is_sure || is_sure, size: larger.0, metal: larger.1, insulation: larger.2 }
            }
        });
    }
    // A circuit that perhaps brings its own may make it larger.
    if let Some(ground) = found.as_mut().filter(|g| is_doubtful && g.is_sure) {
        ground.size = match ground.size {
            Value::Number(n) => Value::Range(Range::at_least(n)),
            other => other,
        };
    }
    found
}

/// Whether a circuit has, or may have, travelers.
fn has_sets(shop: &Shop, circuit: ItemRef) -> bool {
    let feeds = shop.feeds.get(circuit.index as usize);
    feeds
        .into_iter()
        .flat_map(|f| &f.branches)
        .flat_map(|b| &b.stages)
        .any(|s| s.through.iter().filter(|c| c.kind == Kind::Switch).count() > 1)
}

/// The largest wire that lands on each receptacle, switch and device: by the runs that bring it, or by
/// its circuit where no run is drawn.
fn landed(shop: &mut Shop, graph: &Graph, spread: &Spread) {
    let mut found: std::collections::HashMap<ItemRef, Option<Rational>> = std::collections::HashMap::new();
    let has_size = |kind| shop.vocabulary.word(kind, name::WIRE_SIZE).is_some();
    for meeting in &spread.meetings {
        let Some(net) = spread.nets.get(meeting.net as usize) else { continue };
        for end in meeting.ends.iter().filter(|e| has_size(e.item.kind)) {
            for edge in &meeting.edges {
                let Some(run) = graph.edge(*edge).map(|e| e.run) else { continue };
                let size = match wire_of(shop, run, net).0 {
                    Value::Number(n) => Some(n),
                    _ => None,
                };
                let slot = found.entry(end.item).or_insert(size);
                *slot = slot.zip(size).map(|(a, b)| a.max(b));
            }
        }
    }
    for kind in [Kind::Receptacle, Kind::Switch, Kind::Device] {
        for item in shop.items(kind) {
            let size = match found.get(&item) {
                Some(size) => size.map_or(Value::Unknown, Value::Number),
                None => {
                    let wire = shop.item(item, name::CIRCUIT).and_then(|c| shop.item(c, name::WIRE));
                    wire.map_or(Value::Unknown, |w| shop.value(w, name::SIZE))
                }
            };
            shop.settle(item, name::WIRE_SIZE, size);
        }
    }
}

/// The largest of some wires; unknown where one of them is, or more may be there.
fn largest(shop: &Shop, lists: &[&List]) -> Value {
    let mut most: Option<Rational> = None;
    let mut least: Option<Rational> = None;
    let mut is_known = true;
    for list in lists {
        is_known &= !list.is_open;
        for entry in &list.sure {
            match shop.value(*entry, name::SIZE) {
                Value::Number(n) => {
                    most = Some(most.map_or(n, |m| m.max(n)));
                    least = Some(least.map_or(n, |m| m.max(n)));
                }
                _ => is_known = false,
            }
        }
        for entry in &list.possible {
            match shop.value(*entry, name::SIZE) {
                Value::Number(n) if most.is_some_and(|m| m >= n) => {}
                _ => is_known = false,
            }
        }
    }
    match (most, is_known) {
        (Some(n), true) => Value::Number(n),
        (Some(n), false) => Value::Range(Range::at_least(least.unwrap_or(n))),
        _ => Value::Unknown,
    }
}

/// Words that follow from the conductors and circuits of a run.
fn about_run(shop: &mut Shop, run: ItemRef) {
    let circuits = shop.members(run, name::CIRCUITS);
    let conductors = shop.members(run, name::CONDUCTORS);
    if !circuits.is_open && circuits.possible.is_empty() && !circuits.sure.is_empty() {
        let volts: Option<Vec<Rational>> =
            circuits.sure.iter().map(|c| shop.exact(*c, name::VOLTS_TO_GROUND)).collect();
        if let Some(most) = volts.and_then(|v| v.into_iter().max()) {
            shop.settle(run, name::VOLTS_TO_GROUND, Value::Number(most));
        }
    }
    let kinds: Vec<(Value, Value)> = conductors
        .sure
        .iter()
        .chain(&conductors.possible)
        .map(|c| (shop.value(*c, name::SIZE), shop.value(*c, name::INSULATION)))
        .collect();
    let sure = kinds.get(..conductors.sure.len()).unwrap_or(&[]);
    let apart = |of: fn(&(Value, Value)) -> Value| {
        let mut known = sure.iter().map(of).filter(|v| v.is_known());
        let first = known.next();
        known.any(|v| Some(v) != first)
    };
    let differs = apart(|k| k.0) || apart(|k| k.1);
    let is_one = kinds.windows(2).all(|w| w.first() == w.last());
    let answer = match () {
        _ if differs => Some(false),
        _ if is_one && !conductors.is_open && kinds.iter().all(|(s, i)| s.is_known() && i.is_known()) => Some(true),
        _ => None,
    };
    shop.settle(run, name::IS_ONE_SIZE, yes_no(answer));
}
