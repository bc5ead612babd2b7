//! Which conductor lies in which run, and what becomes of it in each box.

use super::facts::Facts;
use super::graph::{Graph, Node};
use super::hang::Hanging;
use super::nets::{End, Net, Nets, Reading, Role, Screw, feeder_nets, nets};
use super::supply::Lines;
use super::tree::{Lost, Tree};
use super::{Ask, JointKind, readings};
use crate::quantity::Rational;
use crate::shop::{ItemRef, Shop};
use crate::words::{Kind, name};
use std::collections::BinaryHeap;

/// One conductor in one edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub edge: u32,
    /// Into [`Spread::nets`].
    pub net: u32,
    /// Whether it lies there for sure, or only in one reading of what is not known.
    pub is_sure: bool,
    /// For a neutral: whether only the difference of two busbars comes back over it here.
    pub is_balanced: Option<bool>,
}

/// What becomes of one conductor at one node.
#[derive(Clone, Debug)]
pub(super) struct Meeting {
    pub node: Node,
    pub net: u32,
    /// Edges by which it comes in.
    pub edges: Vec<u32>,
    /// What it lands on here.
    pub ends: Vec<End>,
    pub how: JointKind,
    /// How many of its wires stand there whatever the open questions come to.
    pub sure: usize,
}

/// What is known of the physical way of one circuit.
#[derive(Clone, Debug, Default)]
pub(super) struct Way {
    /// Edges that hold a conductor of it, nearest to the start first.
    pub edges: Vec<Step>,
    /// Edges between the start and its first outlets.
    pub home: Vec<u32>,
    /// From the start to the farthest load, along the tree: least and most, in inches.
    pub far: Option<(Rational, Option<Rational>)>,
    /// Whether the whole way is known.
    pub is_whole: bool,
    /// Whether none of it is known.
    pub is_lost: bool,
}

/// One edge of a way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub edge: u32,
    /// Whether a conductor lies there whatever the open questions come to.
    pub is_sure: bool,
}

/// All conductors of all circuits.
#[derive(Default)]
pub(super) struct Spread {
    pub nets: Vec<Net>,
    pub pieces: Vec<Piece>,
    pub meetings: Vec<Meeting>,
    /// By circuit.
    pub ways: Vec<Way>,
    /// By feeder; only of those whose way is drawn by runs.
    pub feeder_ways: Vec<Option<Way>>,
    /// The way from where its circuit starts to each device, where it is known.
    pub device_ways: Vec<(ItemRef, Vec<u32>)>,
    pub asks: Vec<Ask>,
}

/// Lays out every group of circuits.
pub(super) fn spread(shop: &Shop, graph: &Graph, hanging: &Hanging, lines: &Lines, groups: &[Vec<ItemRef>]) -> Spread {
    let mut spread = Spread { ways: vec![Way::default(); shop.count(Kind::Circuit)], ..Spread::default() };
    let mut tree = Tree::new(graph);
    let mut layer = Layer::new(graph);
    for group in groups {
        let first = nets(shop, hanging, lines, group, Reading::default());
        let mut drawn = draw(shop, graph, lines, group, &mut tree);
        let is_opposite = group.first().and_then(|c| lines.of(*c).is_opposite);
        let base = spread.nets.len() as u32;
        let is_sure = first.asked.is_none();
        let readings = (!drawn.is_lost && !is_sure).then(|| {
            let read = |reading| nets(shop, hanging, lines, group, reading);
            let lay = |layer: &mut Layer, nets: &Nets| layer.lay(shop, graph, &tree, nets, 0, is_opposite);
            readings::read(&first, read, |nets| lay(&mut layer, nets))
        });
        match readings {
            Some(Some(readings)) => readings.merge(&mut spread),
            // Too much is open to say anything of its conductors.
            Some(None) => {
                drawn.is_lost = true;
                spread.nets.extend(first.nets);
            }
            None if drawn.is_lost => spread.nets.extend(first.nets),
            None => {
                let laid = layer.lay(shop, graph, &tree, &first, base, is_opposite);
                spread.nets.extend(first.nets);
                spread.pieces.extend(laid.pieces);
                spread.meetings.extend(laid.meetings);
            }
        }
        spread.asks.extend(drawn.asks);
        let pieces = pieces_of(&spread, base);
        for circuit in group {
            let way = way_of(shop, graph, &tree, &spread, &pieces, *circuit, drawn.is_whole, drawn.is_lost);
            if !drawn.is_lost {
                device_ways(shop, graph, &tree, *circuit, &mut spread);
            }
            if let Some(slot) = spread.ways.get_mut(circuit.index as usize) {
                *slot = way;
            }
        }
    }
    for feeder in shop.items(Kind::Feeder) {
        let way = lay_feeder(shop, graph, lines, &mut tree, &mut layer, &mut spread, feeder);
        spread.feeder_ways.push(way);
    }
    spread
}

/// A feeder whose way is drawn by runs rather than stretches.
fn lay_feeder(
    shop: &Shop,
    graph: &Graph,
    lines: &Lines,
    tree: &mut Tree,
    layer: &mut Layer,
    spread: &mut Spread,
    feeder: ItemRef,
) -> Option<Way> {
    let line = lines.of(feeder);
    let start = graph.node(line.start?)?;
    let panel = shop.item(feeder, name::FAR_PANEL)?;
    let stop = graph.node(panel)?;
    let mut drawn = Drawn { is_whole: true, is_lost: false, asks: Vec::new() };
    tree.begin(start);
    let (places, anchor) = hints(shop, graph, tree, feeder, start);
    let reached = reach(graph, tree, &mut drawn, feeder, anchor, panel, &places);
    let is_asked = !drawn.asks.is_empty();
    spread.asks.extend(drawn.asks);
    if reached.is_none() {
        return is_asked.then(|| Way { is_lost: true, ..Way::default() });
    }
    let base = spread.nets.len() as u32;
    let nets = feeder_nets(line, feeder, panel);
    let laid = layer.lay(shop, graph, tree, &nets, base, line.is_opposite);
    spread.nets.extend(nets.nets);
    spread.pieces.extend(laid.pieces);
    spread.meetings.extend(laid.meetings);
    let edges = tree.way(stop);
    let far = tree.distances(graph).get(tree.spot_at(stop)? as usize).copied();
    Some(Way {
        edges: edges.iter().map(|e| Step { edge: *e, is_sure: true }).collect(),
        home: edges,
        far,
        is_whole: true,
        is_lost: false,
    })
}

/// The pieces that came last.
fn pieces_of(spread: &Spread, base: u32) -> Vec<Piece> {
    spread.pieces.iter().rev().take_while(|p| p.net >= base).copied().collect()
}

struct Drawn {
    is_whole: bool,
    is_lost: bool,
    asks: Vec<Ask>,
}

/// Draws the tree of a group: stop after stop, in the order of the plan.
fn draw(shop: &Shop, graph: &Graph, lines: &Lines, group: &[ItemRef], tree: &mut Tree) -> Drawn {
    let mut drawn = Drawn { is_whole: true, is_lost: false, asks: Vec::new() };
    let starts: Vec<Option<ItemRef>> = group.iter().map(|c| lines.of(*c).start).collect();
    let is_common = starts.windows(2).all(|w| w.first() == w.last());
    let start = starts.first().copied().flatten().and_then(|s| graph.node(s)).filter(|_| is_common);
    let Some(start) = start else {
        return Drawn { is_whole: false, is_lost: true, asks: Vec::new() };
    };
    tree.begin(start);
    for circuit in group {
        let Some(feeds) = shop.feeds.get(circuit.index as usize) else { continue };
        drawn.is_whole &= !feeds.is_open;
        let (hints, mut anchor) = hints(shop, graph, tree, *circuit, start);
        for branch in &feeds.branches {
            let mut from = anchor;
            for stage in &branch.stages {
                for control in &stage.through {
                    match reach(graph, tree, &mut drawn, *circuit, from, *control, &hints) {
                        Some(node) => from = node,
                        None => drawn.is_lost = true,
                    }
                }
                let mut last = from;
                for load in &stage.loads {
                    let Some(item) = load.item else {
                        drawn.is_whole = false;
                        continue;
                    };
                    match reach(graph, tree, &mut drawn, *circuit, from, item, &hints) {
                        Some(node) => last = node,
                        None => drawn.is_whole = false,
                    }
                }
                from = last;
            }
            anchor = start;
        }
    }
    drawn.is_lost |= !drawn.asks.is_empty();
    drawn
}

/// The places that `by way of` names, put on the tree first; and the last of them, from which the
/// first branch goes on.
fn hints(shop: &Shop, graph: &Graph, tree: &mut Tree, circuit: ItemRef, start: Node) -> (Vec<Node>, Node) {
    let mut hints = Vec::new();
    let mut anchor = start;
    for place in shop.ways.get(&circuit).into_iter().flatten() {
        if place.kind == Kind::Run {
            let edge = graph.of_run.get(place.index as usize).copied().flatten();
            let ends = edge.and_then(|e| graph.edge(e)).map(|e| e.ends);
            if let (Some(edge), Some(ends)) = (edge, ends) {
                for end in ends {
                    if tree.spot_at(end).is_some() || tree.reach(anchor, end, &hints).is_ok() {
                        let other = graph.edge(edge).map_or(end, |e| e.other(end));
                        tree.add(edge, other);
                        anchor = other;
                        break;
                    }
                }
                hints.extend(ends);
            }
        } else if let Some(node) = graph.node(*place) {
            hints.push(node);
            if tree.reach(anchor, node, &hints).is_ok() {
                anchor = node;
            }
        }
    }
    (hints, anchor)
}

fn reach(
    graph: &Graph,
    tree: &mut Tree,
    drawn: &mut Drawn,
    circuit: ItemRef,
    from: Node,
    stop: ItemRef,
    hints: &[Node],
) -> Option<Node> {
    let node = graph.node(stop)?;
    match tree.reach(from, node, hints) {
        Ok(()) => Some(node),
        Err(Lost::NoWay) => None,
        Err(Lost::Ways(ways)) => {
            let from = graph.item(from)?;
            let to = graph.item(node)?;
            let is_new = !drawn.asks.iter().any(|a| a.to == to);
            if is_new {
                drawn.asks.push(Ask { circuit, from, to, ways });
            }
            None
        }
    }
}

/// What is known of the way of one circuit of the group that the tree stands for.
#[allow(clippy::too_many_arguments, reason = "everything that was worked out for the group")]
fn way_of(
    shop: &Shop,
    graph: &Graph,
    tree: &Tree,
    spread: &Spread,
    pieces: &[Piece],
    circuit: ItemRef,
    is_whole: bool,
    is_lost: bool,
) -> Way {
    let mut way = Way { is_whole: is_whole && !is_lost, is_lost, ..Way::default() };
    let Some(feeds) = shop.feeds.get(circuit.index as usize).filter(|_| !is_lost) else { return way };
    let is_own = |net: u32| {
        spread.nets.get(net as usize).is_some_and(|n| n.role != Role::Neutral && n.circuits.contains(&circuit))
    };
    let edges_of = |is_sure: bool| {
        let own = pieces.iter().filter(|p| p.is_sure >= is_sure && is_own(p.net));
        let mut edges: Vec<u32> = own.map(|p| p.edge).collect();
        edges.sort_unstable();
        edges.dedup();
        edges
    };
    let (used, sure) = (edges_of(false), edges_of(true));
    let is_used = |edge: u32| used.binary_search(&edge).is_ok();
    let step = |edge: u32| Step { edge, is_sure: sure.binary_search(&edge).is_ok() };
    way.edges = tree.spots.iter().skip(1).filter(|s| is_used(s.edge)).map(|s| step(s.edge)).collect();
    let loads = feeds.branches.iter().flat_map(|b| &b.stages).flat_map(|s| &s.loads).filter_map(|l| l.item);
    let mut at: Vec<u32> = loads.filter_map(|l| graph.node(l)).filter_map(|n| tree.spot_at(n)).collect();
    let distances = tree.distances(graph);
    for spot in &at {
        let Some((low, high)) = distances.get(*spot as usize).copied() else { continue };
        way.far = Some(match way.far {
            None => (low, high),
            Some((l, h)) => (l.max(low), h.and_then(|h| high.map(|x| h.max(x)))),
        });
    }
    at.sort_unstable();
    let mut is_home = vec![false; tree.spots.len()];
    for (i, spot) in tree.spots.iter().enumerate() {
        let is_after_load = at.binary_search(&spot.before).is_ok();
        let is_next = i > 0 && (spot.before == 0 || is_home.get(spot.before as usize) == Some(&true));
        if let Some(slot) = is_home.get_mut(i).filter(|_| is_next && !is_after_load && is_used(spot.edge)) {
            *slot = true;
            way.home.push(spot.edge);
        }
    }
    // A place named in `by way of` that the circuit does not pass: its way is not as the plan says.
    for place in shop.ways.get(&circuit).into_iter().flatten() {
        let is_at = |e: &super::graph::Edge| e.run == *place || graph.node(*place).is_some_and(|n| e.ends.contains(&n));
        way.is_whole &= used.iter().filter_map(|e| graph.edge(*e)).any(is_at);
    }
    way
}

/// The most runs that are listed between a device and its panel; a longer way is left open.
const LONGEST: u32 = 200;

/// The way to each thing on a circuit.
fn device_ways(shop: &Shop, graph: &Graph, tree: &Tree, circuit: ItemRef, spread: &mut Spread) {
    let Some(feeds) = shop.feeds.get(circuit.index as usize) else { return };
    for stage in feeds.branches.iter().flat_map(|b| &b.stages) {
        for item in stage.through.iter().copied().chain(stage.loads.iter().filter_map(|l| l.item)) {
            let spot = graph.node(item).and_then(|n| tree.spot_at(n)).and_then(|s| tree.spot(s));
            if let Some(spot) = spot.filter(|s| s.depth <= LONGEST) {
                spread.device_ways.push((item, tree.way(spot.node)));
            }
        }
    }
}

/// What one reading gives.
#[derive(Default)]
pub(super) struct Laid {
    pub pieces: Vec<Piece>,
    /// The role of each piece, to compare readings by.
    pub roles: Vec<Role>,
    pub meetings: Vec<Meeting>,
    /// The role of each meeting.
    pub meeting_roles: Vec<Role>,
}

/// Tables for laying nets on a tree, one net after the other.
struct Layer {
    round: Vec<u32>,
    now: u32,
}

impl Layer {
    fn new(graph: &Graph) -> Layer {
        Layer { round: vec![0; graph.nodes.len()], now: 0 }
    }

    fn lay(
        &mut self,
        shop: &Shop,
        graph: &Graph,
        tree: &Tree,
        nets: &Nets,
        base: u32,
        is_opposite: Option<bool>,
    ) -> Laid {
        let mut laid = Laid::default();
        for (i, net) in nets.nets.iter().enumerate() {
            let number = base + i as u32;
            let mut at: Vec<(u32, End)> = Vec::new();
            for end in &net.ends {
                if let Some(spot) = graph.node(end.item).and_then(|n| tree.spot_at(n)) {
                    at.push((spot, *end));
                }
            }
            let span = self.span(tree, &at);
            self.balance(tree, net, number, &span, &at, is_opposite, &mut laid);
            meet(shop, graph, tree, net, number, &span, at, &mut laid);
        }
        laid
    }

    /// The edges between the ends of a net, as their far spots, deepest first.
    ///
    /// The deepest end is lifted again and again, until all have met.
    fn span(&mut self, tree: &Tree, at: &[(u32, End)]) -> Vec<u32> {
        self.now += 1;
        let mut heap = BinaryHeap::new();
        let mut span = Vec::new();
        let mut lift = |spot: u32, heap: &mut BinaryHeap<(u32, u32)>| {
            if let Some(s) = tree.spot(spot)
                && let Some(round) = self.round.get_mut(s.node as usize)
                && *round != self.now
            {
                *round = self.now;
                heap.push((s.depth, spot));
            }
        };
        for (spot, _) in at {
            lift(*spot, &mut heap);
        }
        while heap.len() > 1 {
            let Some((_, spot)) = heap.pop() else { break };
            span.push(spot);
            if let Some(s) = tree.spot(spot) {
                lift(s.before, &mut heap);
            }
        }
        span
    }

    /// Makes the pieces; for a neutral, adds up from the far ends what comes back over it.
    #[allow(clippy::too_many_arguments, reason = "one net's whole surroundings")]
    fn balance(
        &mut self,
        tree: &Tree,
        net: &Net,
        number: u32,
        span: &[u32],
        at: &[(u32, End)],
        is_opposite: Option<bool>,
        laid: &mut Laid,
    ) {
        let mut beyond: Vec<(u32, Back)> = Vec::new();
        if net.role == Role::Neutral {
            let mut back: std::collections::HashMap<u32, Back> = std::collections::HashMap::new();
            for (spot, end) in at.iter().filter(|(_, e)| e.phases != 0) {
                back.entry(*spot).or_default().add(end.phases, end.who);
            }
            for spot in span {
                let own = back.get(spot).copied().unwrap_or_default();
                beyond.push((*spot, own));
                if let Some(s) = tree.spot(*spot) {
                    back.entry(s.before).or_default().join(own);
                }
            }
        }
        for (i, spot) in span.iter().enumerate() {
            let Some(s) = tree.spot(*spot) else { continue };
            let is_balanced = match net.role {
                Role::Neutral => beyond.get(i).map_or(Some(false), |(_, b)| b.is_balanced(is_opposite)),
                _ => Some(false),
            };
            laid.pieces.push(Piece { edge: s.edge, net: number, is_sure: true, is_balanced });
            laid.roles.push(net.role);
        }
    }
}

/// What comes back over a neutral from beyond a place.
#[derive(Clone, Copy, Debug, Default)]
struct Back {
    phases: u8,
    who: Option<u32>,
    is_several: bool,
}

impl Back {
    fn add(&mut self, phases: u8, who: u32) {
        self.phases |= phases;
        self.is_several |= self.who.is_some_and(|w| w != who);
        self.who = self.who.or(Some(who));
    }

    fn join(&mut self, other: Back) {
        self.phases |= other.phases;
        self.is_several |= other.is_several || (self.who.is_some() && other.who.is_some() && self.who != other.who);
        self.who = self.who.or(other.who);
    }

    /// Whether only the difference of two opposite busbars comes back.
    fn is_balanced(self, is_opposite: Option<bool>) -> Option<bool> {
        let may_differ = self.phases & 4 != 0 && self.is_several;
        match (self.phases & 3 == 3, may_differ) {
            (true, _) => is_opposite,
            (false, true) if is_opposite != Some(false) => None,
            _ => Some(false),
        }
    }
}

/// Finds what becomes of a net at each node that it comes to.
#[allow(clippy::too_many_arguments, reason = "one net's whole surroundings")]
fn meet(
    shop: &Shop,
    graph: &Graph,
    tree: &Tree,
    net: &Net,
    number: u32,
    span: &[u32],
    at: Vec<(u32, End)>,
    laid: &mut Laid,
) {
    let mut rows: Vec<(Node, Option<u32>, Option<End>)> = Vec::new();
    for spot in span {
        let Some(s) = tree.spot(*spot) else { continue };
        rows.push((s.node, Some(s.edge), None));
        if let Some(before) = tree.spot(s.before) {
            rows.push((before.node, Some(s.edge), None));
        }
    }
    for (spot, end) in at {
        if let Some(s) = tree.spot(spot) {
            rows.push((s.node, None, Some(end)));
        }
    }
    rows.sort_by_key(|(node, ..)| *node);
    for group in rows.chunk_by(|a, b| a.0 == b.0) {
        let Some((node, ..)) = group.first() else { continue };
        let edges: Vec<u32> = group.iter().filter_map(|(_, e, _)| *e).collect();
        let ends: Vec<End> = group.iter().filter_map(|(.., e)| *e).collect();
        if edges.is_empty() && ends.len() < 2 {
            continue;
        }
        let how = how(shop, graph, &edges, &ends);
        let sure = match how {
            JointKind::Unbroken | JointKind::Unsaid => 1,
            _ => edges.len(),
        };
        laid.meetings.push(Meeting { node: *node, net: number, edges, ends, how, sure });
        laid.meeting_roles.push(net.role);
    }
}

/// In raceway a conductor that lands on nothing and does not branch passes unbroken; in cable
/// every conductor is cut in every box (C6).
fn how(shop: &Shop, graph: &Graph, edges: &[u32], ends: &[End]) -> JointKind {
    let landed = ends.iter().filter(|e| e.screw != Screw::Capped).count();
    let joined = edges.len() + landed;
    match (edges.len(), landed) {
        (0, _) => JointKind::Spliced,
        (1, 0) => JointKind::Capped,
        (2, 0) if ends.is_empty() => {
            let passes = edges.iter().map(|e| graph.edge(*e).and_then(|e| shop.yes(e.run, name::IS_RACEWAY)));
            match passes.fold(Some(true), both) {
                Some(true) => JointKind::Unbroken,
                Some(false) => JointKind::Spliced,
                None => JointKind::Unsaid,
            }
        }
        (1, 1) => JointKind::Landed,
        _ if joined >= 2 => JointKind::Spliced,
        _ => JointKind::Landed,
    }
}

fn both(a: Option<bool>, b: Option<bool>) -> Option<bool> {
    match (a, b) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

impl Meeting {
    /// How many wires stand in the box for it at most: one that passes unbroken once.
    pub fn wires(&self) -> usize {
        if self.how == JointKind::Unbroken { 1 } else { self.edges.len() }
    }
}
