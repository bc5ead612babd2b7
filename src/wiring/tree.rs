//! The tree of runs that one circuit, or circuits with a common neutral, keep to.
//!
//! All conductors of a circuit keep to one tree (convention C1): hot and return then share every
//! raceway, whatever is switched. The way to the next stop is the shortest in feet (C2), and only
//! what lies beyond the last place already on the tree is added (C4). Where two ways are equal,
//! or lengths leave it open, nothing is chosen: that is a question.

#![expect(clippy::arithmetic_side_effects, reason = "rounds and depths, one for each run at most")]

use super::graph::{Graph, Node};
use crate::quantity::Rational;
use crate::shop::ItemRef;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};

/// A place on a tree.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub node: Node,
    /// The spot before it, toward the start.
    pub before: u32,
    /// The edge between both; `u32::MAX` at the start.
    pub edge: u32,
    /// How many edges lie between it and the start.
    pub depth: u32,
}

/// A tree in the making. Its tables serve one circuit after the other.
#[derive(Debug)]
pub(super) struct Tree<'a> {
    graph: &'a Graph,
    /// Spots in the order in which they came; the first is the start.
    pub spots: Vec<Spot>,
    /// The spot of each node, valid where `round` says so.
    spot: Vec<u32>,
    round: Vec<u32>,
    now: u32,
    search: Search,
}

/// The length of a way, in inches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Distance {
    pub least: Rational,
    /// None where it may be anything.
    pub most: Option<Rational>,
    /// The part of it that the plan guesses.
    pub by_eye: Rational,
}

impl Default for Distance {
    fn default() -> Distance {
        Distance { least: Rational::ZERO, most: Some(Rational::ZERO), by_eye: Rational::ZERO }
    }
}

impl Distance {
    /// One behind the other.
    pub fn and(self, next: Distance) -> Distance {
        Distance {
            least: self.least.plus(next.least).unwrap_or(self.least),
            most: self.most.zip(next.most).and_then(|(a, b)| a.plus(b)),
            by_eye: self.by_eye.plus(next.by_eye).unwrap_or(self.by_eye),
        }
    }

    /// The longer of two ways, whichever that is.
    pub fn or(self, other: Distance) -> Distance {
        Distance {
            least: self.least.max(other.least),
            most: self.most.zip(other.most).map(|(a, b)| a.max(b)),
            by_eye: self.by_eye.max(other.by_eye),
        }
    }
}

/// Why a stop could not be reached.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Lost {
    /// No run leads there.
    NoWay,
    /// More than one way may be the shortest: the places on each, from the anchor on.
    Ways(Vec<Vec<ItemRef>>),
}

/// Edges from a stop back to the tree, each with its far node.
type Steps = Vec<(u32, Node)>;

#[derive(Debug, Default)]
struct Search {
    cost: Vec<Cost>,
    round: Vec<u32>,
    now: u32,
    /// For each node reached, the edges by which the shortest ways go on to the stop.
    next: Vec<Vec<u32>>,
    /// For each node on a shortest way, the edges by which such ways come in.
    into: HashMap<Node, Vec<u32>>,
}

/// Length of a way: runs of unbounded length, the rest in inches, and runs counted as next to
/// nothing. A run has some length, so that one whose least length is unsaid still adds a little;
/// without that, a way out and back over it would look as short as none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Cost(u32, Rational, u32);

/// A length to reckon with, none without bound, and whether it is over that.
type Length = (Option<Rational>, bool);

const NO_WAY_YET: Cost = Cost(0, Rational::ZERO, 0);

impl Cost {
    fn and(self, length: Length) -> Cost {
        let (length, is_over) = length;
        match length.map(|l| (l, self.1.plus(l))) {
            Some((l, Some(sum))) => Cost(self.0, sum, self.2.saturating_add(u32::from(is_over || l <= Rational::ZERO))),
            _ => Cost(self.0.saturating_add(1), self.1, self.2),
        }
    }
}

impl<'a> Tree<'a> {
    /// Tables for this graph.
    pub fn new(graph: &'a Graph) -> Tree<'a> {
        let count = graph.nodes.len();
        Tree {
            graph,
            spots: Vec::new(),
            spot: vec![0; count],
            round: vec![0; count],
            now: 0,
            search: Search {
                cost: vec![NO_WAY_YET; count],
                round: vec![0; count],
                now: 0,
                next: vec![Vec::new(); count],
                into: HashMap::new(),
            },
        }
    }

    /// Begins anew at a node.
    pub fn begin(&mut self, start: Node) {
        self.now += 1;
        self.spots.clear();
        self.put(Spot { node: start, before: 0, edge: u32::MAX, depth: 0 });
    }

    /// The number of the spot at a node, where the tree has one.
    pub fn spot_at(&self, node: Node) -> Option<u32> {
        let is_on = self.round.get(node as usize).is_some_and(|r| *r == self.now);
        self.spot.get(node as usize).copied().filter(|_| is_on)
    }

    /// A spot by its number.
    pub fn spot(&self, spot: u32) -> Option<Spot> {
        self.spots.get(spot as usize).copied()
    }

    /// Edges from the start to a node of the tree, nearest first.
    pub fn way(&self, node: Node) -> Vec<u32> {
        let mut edges = Vec::new();
        let mut at = self.spot_at(node).and_then(|s| self.spot(s));
        while let Some(spot) = at.filter(|s| s.depth > 0) {
            edges.push(spot.edge);
            at = self.spot(spot.before);
        }
        edges.reverse();
        edges
    }

    /// How far each spot is from the start.
    pub fn distances(&self, graph: &Graph) -> Vec<Distance> {
        let mut all: Vec<Distance> = Vec::with_capacity(self.spots.len());
        for spot in &self.spots {
            let before = all.get(spot.before as usize).copied().unwrap_or_default();
            all.push(match graph.edge(spot.edge).filter(|_| spot.depth > 0) {
                None => Distance::default(),
                Some(edge) => before.and(Distance {
                    least: edge.least,
                    most: edge.most,
                    by_eye: if edge.is_by_eye { edge.least } else { Rational::ZERO },
                }),
            });
        }
        all
    }

    /// Leads the tree to a stop, from an anchor that is on it. `hints` are places that the plan
    /// says the way goes by.
    pub fn reach(&mut self, anchor: Node, stop: Node, hints: &[Node]) -> Result<(), Lost> {
        let mut added: Vec<(u32, Node)> = Vec::new();
        let mut node = stop;
        while self.spot_at(node).is_none() && !self.is_core(node) {
            let edge = self.graph.up.get(node as usize).copied().flatten().ok_or(Lost::NoWay)?;
            added.push((edge, node));
            node = self.graph.edge(edge).map(|e| e.other(node)).ok_or(Lost::NoWay)?;
        }
        if self.spot_at(node).is_none() {
            let from = self.core_of(anchor).ok_or(Lost::NoWay)?;
            self.cross(from, node, hints, &mut added)?;
        }
        for (edge, node) in added.into_iter().rev() {
            self.add(edge, node);
        }
        Ok(())
    }

    /// Adds an edge whose other end is on the tree.
    pub fn add(&mut self, edge: u32, node: Node) {
        let before = self.graph.edge(edge).and_then(|e| self.spot_at(e.other(node)));
        if let (Some(before), None) = (before, self.spot_at(node)) {
            let depth = self.spot(before).map_or(0, |s| s.depth) + 1;
            self.put(Spot { node, before, edge, depth });
        }
    }

    fn put(&mut self, spot: Spot) {
        let i = spot.node as usize;
        if let (Some(place), Some(round)) = (self.spot.get_mut(i), self.round.get_mut(i)) {
            *place = self.spots.len() as u32;
            *round = self.now;
            self.spots.push(spot);
        }
    }

    fn is_core(&self, node: Node) -> bool {
        self.graph.is_core.get(node as usize).copied().unwrap_or(false)
    }

    fn core_of(&self, mut node: Node) -> Option<Node> {
        while !self.is_core(node) {
            let edge = self.graph.up.get(node as usize).copied().flatten()?;
            node = self.graph.edge(edge)?.other(node);
        }
        Some(node)
    }

    /// The shortest way through the core from `from` to `stop`: what lies beyond the tree goes to `added`.
    fn cross(&mut self, from: Node, stop: Node, hints: &[Node], added: &mut Vec<(u32, Node)>) -> Result<(), Lost> {
        let graph = self.graph;
        self.search.run(graph, from, stop, |e| (graph.edge(e).and_then(|e| e.most), false));
        let way = match self.back(stop, hints).ok_or(Lost::NoWay)? {
            Ok(way) if graph.is_exact => way,
            Ok(way) => self.prove(from, stop, hints, way)?,
            Err(ways) => return Err(self.ways(from, stop, ways)),
        };
        added.extend(way);
        Ok(())
    }

    /// Whether a way is the shortest whatever the open lengths are: with its own runs as long and
    /// all others as short as they can be, it must still win.
    fn prove(&mut self, from: Node, stop: Node, hints: &[Node], way: Steps) -> Result<Steps, Lost> {
        let graph = self.graph;
        let mut whole: Vec<u32> = way.iter().map(|(e, _)| *e).collect();
        let mut node = way.last().and_then(|(e, n)| graph.edge(*e).map(|e| e.other(*n))).unwrap_or(stop);
        while node != from {
            let Some(edge) = self.search.ways_in(node).first().copied() else { break };
            whole.push(edge);
            node = graph.edge(edge).map_or(from, |e| e.other(node));
        }
        whole.sort_unstable();
        self.search.run(graph, from, stop, |e| {
            let Some(edge) = graph.edge(e) else { return (None, false) };
            if whole.binary_search(&e).is_ok() { (edge.most, false) } else { (Some(edge.least), edge.is_over) }
        });
        match self.back(stop, hints).ok_or(Lost::NoWay)? {
            Ok(again) if again == way => Ok(way),
            Ok(again) => Err(self.ways(from, stop, vec![way, again])),
            Err(ways) => Err(self.ways(from, stop, ways)),
        }
    }

    /// From the stop back to the tree. Inside: one way, or the different ways to choose from.
    fn back(&self, stop: Node, hints: &[Node]) -> Option<Result<Steps, Vec<Steps>>> {
        let mut way = Vec::new();
        let mut node = stop;
        while self.spot_at(node).is_none() {
            let edge = match self.search.ways_in(node) {
                [] => return None,
                [only] => *only,
                several => {
                    let told: Vec<u32> = several.iter().copied().filter(|e| self.is_by(*e, node, hints)).collect();
                    match told.as_slice() {
                        [only] => *only,
                        _ => return Some(Err(several.iter().map(|e| self.follow(&way, *e, node)).collect())),
                    }
                }
            };
            way.push((edge, node));
            node = self.graph.edge(edge)?.other(node);
        }
        Some(Ok(way))
    }

    /// Whether the way that comes in by this edge passes a place that the plan names.
    fn is_by(&self, edge: u32, node: Node, hints: &[Node]) -> bool {
        let way = self.follow(&[], edge, node);
        let last = way.last().and_then(|(e, n)| self.graph.edge(*e).map(|e| e.other(*n)));
        way.iter().skip(1).map(|(_, n)| *n).chain(last).any(|n| hints.contains(&n))
    }

    /// One of several shortest ways, on from here to the tree.
    fn follow(&self, so_far: &[(u32, Node)], edge: u32, node: Node) -> Steps {
        let mut way = so_far.to_vec();
        let (mut edge, mut node) = (edge, node);
        loop {
            way.push((edge, node));
            let Some(next) = self.graph.edge(edge).map(|e| e.other(node)) else { break };
            node = next;
            if self.spot_at(node).is_some() || way.len() > self.graph.nodes.len() {
                break;
            }
            let Some(on) = self.search.ways_in(node).first().copied() else { break };
            edge = on;
        }
        way
    }

    /// The ways as places, from the anchor to the stop.
    fn ways(&self, from: Node, stop: Node, ways: Vec<Vec<(u32, Node)>>) -> Lost {
        let name = |node: Node| self.graph.item(node);
        let whole = |way: Vec<(u32, Node)>| {
            let mut places: Vec<Node> = vec![stop];
            places.extend(way.iter().filter_map(|(e, n)| self.graph.edge(*e).map(|e| e.other(*n))));
            if places.last() != Some(&from) {
                places.push(from);
            }
            places.reverse();
            places.into_iter().filter_map(name).collect()
        };
        Lost::Ways(ways.into_iter().map(whole).collect())
    }
}

impl Search {
    /// Finds all shortest ways through the core. A length of none has no bound.
    ///
    /// It begins at the stop: that is mostly a dead end, while a panel may have thousands of runs.
    fn run(&mut self, graph: &Graph, from: Node, stop: Node, length: impl Fn(u32) -> Length) {
        self.now += 1;
        self.into.clear();
        let mut heap = BinaryHeap::new();
        self.meet(stop, NO_WAY_YET, None);
        heap.push(Reverse((NO_WAY_YET, stop)));
        let mut limit: Option<Cost> = None;
        while let Some(Reverse((cost, node))) = heap.pop() {
            if limit.is_some_and(|l| cost > l) {
                break;
            }
            if self.cost.get(node as usize).is_some_and(|c| *c < cost) {
                continue;
            }
            if node == from {
                limit = Some(cost);
                continue;
            }
            for edge in graph.core.get(node as usize).into_iter().flatten() {
                let Some(next) = graph.edge(*edge).map(|e| e.other(node)) else { continue };
                let total = cost.and(length(*edge));
                if self.meet(next, total, Some(*edge)) {
                    heap.push(Reverse((total, next)));
                }
            }
        }
        // The shortest ways alone, turned round.
        let mut waiting = vec![from];
        let mut seen = std::collections::HashSet::from([from]);
        while let Some(node) = waiting.pop() {
            for edge in self.reached(node).to_vec() {
                let Some(next) = graph.edge(edge).map(|e| e.other(node)) else { continue };
                self.into.entry(next).or_default().push(edge);
                if seen.insert(next) {
                    waiting.push(next);
                }
            }
        }
        self.into.values_mut().for_each(|edges| edges.sort_unstable());
    }

    /// Notes a way from a node; true where it is shorter than all before.
    fn meet(&mut self, node: Node, cost: Cost, edge: Option<u32>) -> bool {
        let i = node as usize;
        let (Some(old), Some(round), Some(next)) = (self.cost.get_mut(i), self.round.get_mut(i), self.next.get_mut(i))
        else {
            return false;
        };
        if *round != self.now || cost < *old {
            (*old, *round) = (cost, self.now);
            next.clear();
            next.extend(edge);
            return true;
        }
        if cost == *old && !next.is_empty() {
            next.extend(edge);
        }
        false
    }

    fn reached(&self, node: Node) -> &[u32] {
        let is_met = self.round.get(node as usize).is_some_and(|r| *r == self.now);
        self.next.get(node as usize).filter(|_| is_met).map(Vec::as_slice).unwrap_or(&[])
    }

    fn ways_in(&self, node: Node) -> &[u32] {
        self.into.get(&node).map(Vec::as_slice).unwrap_or(&[])
    }
}
