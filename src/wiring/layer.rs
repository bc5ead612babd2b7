//! Laying nets on the tree of their circuit: which runs each one lies in, what becomes of it in each box.

#![expect(clippy::arithmetic_side_effects, reason = "rounds, one for each net, and numbers of its wires")]

use super::JointKind;
use super::facts::Facts;
use super::graph::{Graph, Node};
use super::make::Nets;
use super::nets::{End, Net, Role, Screw};
use super::spread::{Meeting, Piece};
use super::tree::Tree;
use crate::shop::Shop;
use crate::words::name;
use std::collections::{BinaryHeap, HashMap};

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
pub(super) struct Layer {
    round: Vec<u32>,
    now: u32,
}

impl Layer {
    /// Tables for this graph.
    pub fn new(graph: &Graph) -> Layer {
        Layer { round: vec![0; graph.nodes.len()], now: 0 }
    }

    /// Lays out the nets of one group; the number of the first is `base`.
    pub fn lay(
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
            let mut back: HashMap<u32, Back> = HashMap::new();
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
