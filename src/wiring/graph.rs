//! Where runs lead: boxes, panels and other ends as nodes, runs as edges.
//!
//! A shop has few rings and many dead ends. So dead ends are stripped first (each stripped node
//! knows the one edge toward the rest), and only what is left, the core, is ever searched.

use super::facts::{Facts, PerItem};
use crate::quantity::Rational;
use crate::shop::{How, ItemRef, Shop, Value};
use crate::words::{Kind, name};

/// A node's number.
pub(super) type Node = u32;

/// One run, or one way through a run with several ends.
#[derive(Clone, Debug)]
pub(super) struct Edge {
    pub run: ItemRef,
    pub ends: [Node; 2],
    /// Least length, in inches.
    pub least: Rational,
    /// Whether it is longer than that for sure (`over 20 ft`).
    pub is_over: bool,
    /// Greatest length; none where it may be anything.
    pub most: Option<Rational>,
    /// Whether the plan guesses it.
    pub is_by_eye: bool,
}

impl Edge {
    /// The end that is not `node`.
    pub fn other(&self, node: Node) -> Node {
        let [a, b] = self.ends;
        if a == node { b } else { a }
    }

    /// Whether its length is one number.
    pub fn is_exact(&self) -> bool {
        self.most == Some(self.least)
    }
}

/// The runs of a plan.
#[derive(Clone, Debug)]
pub(super) struct Graph {
    /// What each node is.
    pub nodes: Vec<ItemRef>,
    /// Every edge.
    pub edges: Vec<Edge>,
    /// The edges at each node.
    pub at: Vec<Vec<u32>>,
    /// The one edge that leads from a stripped node toward the core.
    pub up: Vec<Option<u32>>,
    /// Whether a node is left when dead ends are stripped.
    pub is_core: Vec<bool>,
    /// Edges between core nodes, for each node.
    pub core: Vec<Vec<u32>>,
    /// Which nodes hang together.
    pub part: Vec<u32>,
    /// Whether every length in the core is one number.
    pub is_exact: bool,
    /// The first edge of each run, by the run's index.
    pub of_run: Vec<Option<u32>>,
    of_item: PerItem<Option<Node>>,
}

impl Graph {
    /// The graph of the runs that the plan names. Circuits and feeders start at `starts`.
    pub fn new(shop: &Shop, boxes: &PerItem<Option<ItemRef>>, starts: &[ItemRef]) -> Graph {
        let mut graph = Graph {
            nodes: Vec::new(),
            edges: Vec::new(),
            at: Vec::new(),
            up: Vec::new(),
            is_core: Vec::new(),
            core: Vec::new(),
            part: Vec::new(),
            is_exact: true,
            of_run: vec![None; shop.count(Kind::Run)],
            of_item: PerItem::new(shop),
        };
        for kind in [Kind::Panel, Kind::Box] {
            for item in shop.items(kind) {
                graph.node_or_new(item);
            }
        }
        for run in shop.items(Kind::Run) {
            let Some(ends) = shop.ends.get(run.index as usize) else { continue };
            let known: Vec<ItemRef> = ends.ends.iter().flatten().map(|e| place_of(*e, boxes)).collect();
            for item in &known {
                graph.node_or_new(*item);
            }
            let Some((first, others)) = known.split_first() else { continue };
            let (least, is_over, most) = length(shop, run);
            for other in others {
                if let (Some(a), Some(b)) = (graph.node(*first), graph.node(*other))
                    && a != b
                {
                    if let Some(slot) = graph.of_run.get_mut(run.index as usize) {
                        slot.get_or_insert(graph.edges.len() as u32);
                    }
                    let is_by_eye = is_guessed(shop, run);
                    graph.edges.push(Edge { run, ends: [a, b], least, is_over, most, is_by_eye });
                }
            }
        }
        for kind in [Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device, Kind::Equipment] {
            for item in shop.items(kind) {
                let node = graph.node(place_of(item, boxes));
                if let Some(slot) = graph.of_item.get_mut(item) {
                    *slot = node;
                }
            }
        }
        graph.at = vec![Vec::new(); graph.nodes.len()];
        for (i, edge) in graph.edges.iter().enumerate() {
            for end in edge.ends {
                if let Some(at) = graph.at.get_mut(end as usize) {
                    at.push(i as u32);
                }
            }
        }
        graph.strip(starts);
        graph.join();
        graph
    }

    /// The node where an item is: its box, or itself as the end of a run.
    pub fn node(&self, item: ItemRef) -> Option<Node> {
        self.of_item.get(item).copied().flatten()
    }

    /// An edge by its number.
    pub fn edge(&self, edge: u32) -> Option<&Edge> {
        self.edges.get(edge as usize)
    }

    /// What a node is.
    pub fn item(&self, node: Node) -> Option<ItemRef> {
        self.nodes.get(node as usize).copied()
    }

    fn node_or_new(&mut self, item: ItemRef) -> Option<Node> {
        if let Some(node) = self.node(item) {
            return Some(node);
        }
        let node = self.nodes.len() as Node;
        *self.of_item.get_mut(item)? = Some(node);
        self.nodes.push(item);
        Some(node)
    }

    /// Takes dead ends off, again and again. Where a circuit starts, a node stays: so a walk from
    /// any stripped node toward the core meets the circuit's tree or the core first.
    fn strip(&mut self, starts: &[ItemRef]) {
        let count = self.nodes.len();
        self.up = vec![None; count];
        self.is_core = vec![true; count];
        let mut degree: Vec<usize> = self.at.iter().map(Vec::len).collect();
        let mut stays = vec![false; count];
        for start in starts {
            if let Some(slot) = self.node(*start).and_then(|n| stays.get_mut(n as usize)) {
                *slot = true;
            }
        }
        let mut waiting: Vec<Node> = (0..count as Node).collect();
        while let Some(node) = waiting.pop() {
            let i = node as usize;
            let is_end = degree.get(i).is_some_and(|d| *d <= 1) && !stays.get(i).copied().unwrap_or(true);
            if !is_end || !self.is_core.get(i).copied().unwrap_or(false) {
                continue;
            }
            let is_live = |edge: &u32| {
                self.edge(*edge).is_some_and(|e| self.is_core.get(e.other(node) as usize).copied().unwrap_or(false))
            };
            let up = self.at.get(i).and_then(|edges| edges.iter().copied().find(is_live));
            if let Some(core) = self.is_core.get_mut(i) {
                *core = false;
            }
            if let Some(slot) = self.up.get_mut(i) {
                *slot = up;
            }
            if let Some(next) = up.and_then(|e| self.edge(e)).map(|e| e.other(node)) {
                if let Some(d) = degree.get_mut(next as usize) {
                    *d = d.saturating_sub(1);
                }
                waiting.push(next);
            }
        }
        self.core = vec![Vec::new(); count];
        for (i, edge) in self.edges.iter().enumerate() {
            let [a, b] = edge.ends;
            let is_core = |n: Node| self.is_core.get(n as usize).copied().unwrap_or(false);
            if is_core(a) && is_core(b) {
                self.is_exact &= edge.is_exact();
                for end in [a, b] {
                    if let Some(at) = self.core.get_mut(end as usize) {
                        at.push(i as u32);
                    }
                }
            }
        }
    }

    /// Numbers the parts that hang together.
    fn join(&mut self) {
        self.part = vec![u32::MAX; self.nodes.len()];
        for start in 0..self.nodes.len() as Node {
            let mut waiting = vec![start];
            while let Some(node) = waiting.pop() {
                let Some(part) = self.part.get_mut(node as usize).filter(|p| **p == u32::MAX) else { continue };
                *part = start;
                for edge in self.at.get(node as usize).into_iter().flatten() {
                    waiting.extend(self.edges.get(*edge as usize).map(|e| e.other(node)));
                }
            }
        }
    }
}

/// A device stands where its box is.
fn place_of(item: ItemRef, boxes: &PerItem<Option<ItemRef>>) -> ItemRef {
    boxes.get(item).copied().flatten().unwrap_or(item)
}

/// The box of each thing that hangs on one, said by the thing or by the box.
pub(super) fn boxes(shop: &Shop) -> PerItem<Option<ItemRef>> {
    let mut boxes: PerItem<Option<ItemRef>> = PerItem::new(shop);
    for the_box in shop.items(Kind::Box) {
        for device in shop.members(the_box, name::DEVICES).sure {
            if let Some(slot) = boxes.get_mut(device) {
                *slot = Some(the_box);
            }
        }
    }
    for kind in [Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device, Kind::Equipment] {
        for item in shop.items(kind) {
            if let (Some(the_box), Some(slot)) = (shop.item(item, name::BOX), boxes.get_mut(item)) {
                *slot = Some(the_box);
            }
        }
    }
    boxes
}

/// Whether the plan gives a run's length as a guess (`about 30 ft`).
pub(super) fn is_guessed(shop: &Shop, run: ItemRef) -> bool {
    shop.source(run, name::LENGTH).how == How::Assumed
}

/// Bounds of a run's length: least, whether it is over that, most.
pub(super) fn length(shop: &Shop, run: ItemRef) -> (Rational, bool, Option<Rational>) {
    match shop.value(run, name::LENGTH) {
        Value::Number(n) => (n.max(Rational::ZERO), false, Some(n.max(Rational::ZERO))),
        Value::Range(r) => (r.low.unwrap_or(Rational::ZERO).max(Rational::ZERO), r.low_is_open, r.high),
        _ => (Rational::ZERO, false, None),
    }
}
