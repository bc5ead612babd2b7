//! Which conductor lies in which run, and what becomes of it in each box.

use super::facts::Facts;
use super::graph::{Graph, Node};
use super::hang::Hanging;
use super::layer::Layer;
use super::make::{Nets, Reading, feeder_nets, nets};
use super::nets::{End, Net, Role};
use super::supply::Lines;
use super::tree::{Distance, Lost, Tree};
use super::{Ask, JointKind, readings};
use crate::shop::{ItemRef, Shop};
use crate::words::{Kind, name};

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
    /// From the start to the farthest load, along the tree.
    pub far: Option<Distance>,
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
    /// Circuits, and places that `by way of` names and that they do not pass.
    pub not_passed: Vec<(ItemRef, ItemRef)>,
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
            let mut way = way_of(shop, graph, &tree, &spread, &pieces, *circuit, drawn.is_whole, drawn.is_lost);
            check_hints(shop, graph, *circuit, &mut way, &mut spread);
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
        let Some(distance) = distances.get(*spot as usize).copied() else { continue };
        way.far = Some(way.far.map_or(distance, |far| far.or(distance)));
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
    way
}

/// A place named in `by way of` that the circuit does not pass: its way is not as the plan says.
fn check_hints(shop: &Shop, graph: &Graph, circuit: ItemRef, way: &mut Way, spread: &mut Spread) {
    if !way.is_whole || way.edges.is_empty() {
        return;
    }
    for place in shop.ways.get(&circuit).into_iter().flatten() {
        let node = graph.node(*place);
        let is_at = |e: &super::graph::Edge| e.run == *place || node.is_some_and(|n| e.ends.contains(&n));
        if !way.edges.iter().filter_map(|s| graph.edge(s.edge)).any(is_at) {
            way.is_whole = false;
            spread.not_passed.push((circuit, *place));
        }
    }
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
