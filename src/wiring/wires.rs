//! Size, metal and insulation of wires; cables; the equipment grounding conductor of a run.

use super::facts::{Facts, within};
use super::graph::Graph;
use super::nets::wire_of;
use super::spread::Spread;
use crate::quantity::Rational;
use crate::shop::{ItemRef, List, Range, Shop, Value};
use crate::words::{Kind, choice, name};
use std::collections::HashMap;

/// What a wire is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Kinds {
    pub size: Value,
    pub metal: Value,
    pub insulation: Value,
}

impl Kinds {
    /// Nothing known.
    pub const UNKNOWN: Kinds = Kinds { size: Value::Unknown, metal: Value::Unknown, insulation: Value::Unknown };

    /// Of two wires where one serves both: the larger; unknown where a size is. Of two as large, what
    /// both are.
    pub fn larger(self, other: Kinds) -> Kinds {
        let same = |a: Value, b: Value| if a == b { a } else { Value::Unknown };
        match (self.size, other.size) {
            (Value::Number(a), Value::Number(b)) if b > a => other,
            (Value::Number(a), Value::Number(b)) if b < a => self,
            (Value::Number(_), Value::Number(_)) => Kinds {
                size: self.size,
                metal: same(self.metal, other.metal),
                insulation: same(self.insulation, other.insulation),
            },
            _ => Kinds::UNKNOWN,
        }
    }
}

/// The equipment grounding conductor of a run.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ground {
    /// Whether one is there for sure.
    pub is_sure: bool,
    pub kinds: Kinds,
}

/// What a wire item says.
pub(super) fn wire_facts(shop: &Shop, wire: Option<ItemRef>) -> Kinds {
    wire.map_or(Kinds::UNKNOWN, |w| Kinds {
        size: shop.value(w, name::SIZE),
        metal: shop.value(w, name::METAL),
        insulation: shop.value(w, name::INSULATION),
    })
}

/// Whether a wire item says anything of what it is.
pub(super) fn is_sized(shop: &Shop, wire: ItemRef) -> bool {
    wire_facts(shop, Some(wire)) != Kinds::UNKNOWN
}

/// The wire that a run names for itself.
pub(super) fn named_wire(shop: &Shop, run: ItemRef) -> Kinds {
    wire_facts(shop, shop.item(run, name::WIRE))
}

/// How many insulated wires the cable of a run has.
pub(super) fn cable_count(shop: &Shop, run: ItemRef) -> Option<usize> {
    let is_cable = shop.yes(run, name::IS_CABLE) == Some(true) || holds_cable(shop, run);
    let count = shop.item(run, name::WIRE).and_then(|w| shop.whole(w, name::COUNT));
    count.filter(|n| is_cable && *n > 0).and_then(|n| usize::try_from(n).ok())
}

/// Whether a run is a cable, or holds one, or is not known to be none.
pub(super) fn may_be_cable(shop: &Shop, run: ItemRef) -> bool {
    shop.yes(run, name::IS_CABLE) != Some(false) || holds_cable(shop, run)
}

/// Whether the plan says that a cable lies in it.
fn holds_cable(shop: &Shop, run: ItemRef) -> bool {
    let none = shop.bit(choice::METHOD, "none");
    matches!(shop.value(run, name::CABLE), Value::Choice(bits) if bits & !none != 0)
}

/// Whether a circuit or feeder has an equipment grounding conductor of wire.
pub(super) fn ground_need(shop: &Shop, line: ItemRef, wire: u64) -> Option<bool> {
    match shop.value(line, name::EQUIPMENT_GROUND) {
        Value::Item(_) => Some(true),
        Value::Absent => Some(false),
        _ => within(shop.bits(line, name::EQUIPMENT_GROUND_TYPE), wire),
    }
}

/// One equipment grounding conductor serves all circuits of a run, the largest size that any says
/// (C5). A cable brings its own. Where nothing is said there may be one.
pub(super) fn ground(shop: &Shop, run: ItemRef, circuits: &List, wire: u64) -> Option<Ground> {
    match shop.value(run, name::EQUIPMENT_GROUND) {
        Value::Item(own) => return Some(Ground { is_sure: true, kinds: wire_facts(shop, Some(own)) }),
        Value::Absent => return None,
        _ => {}
    }
    let mut found: Option<Ground> = None;
    let mut is_doubtful = false;
    for (line, is_here) in circuits.sure.iter().map(|c| (c, true)).chain(circuits.possible.iter().map(|c| (c, false))) {
        let need = ground_need(shop, *line, wire);
        if need == Some(false) {
            continue;
        }
        let is_sure = need == Some(true) && is_here;
        let kinds = wire_facts(shop, shop.item(*line, name::EQUIPMENT_GROUND));
        is_doubtful |= !is_sure;
        found = Some(match found {
            None => Ground { is_sure, kinds },
            Some(old) => Ground { is_sure: old.is_sure || is_sure, kinds: old.kinds.larger(kinds) },
        });
    }
    // A circuit that perhaps brings its own may make it larger.
    if let Some(ground) = found.as_mut().filter(|g| is_doubtful && g.is_sure)
        && let Value::Number(n) = ground.kinds.size
    {
        ground.kinds.size = Value::Range(Range::at_least(n));
    }
    found
}

/// Whether a circuit has, or may have, travelers.
pub(super) fn has_sets(shop: &Shop, circuit: ItemRef) -> bool {
    let stages = shop.feeds.get(circuit.index as usize).into_iter().flat_map(|f| &f.branches).flat_map(|b| &b.stages);
    let switches = |through: &[ItemRef]| through.iter().filter(|c| c.kind == Kind::Switch).count();
    stages.into_iter().any(|s| switches(&s.through) > 1)
}

/// The largest of some wires; at least the largest known one where more may be there.
pub(super) fn largest(shop: &Shop, lists: &[&List]) -> Value {
    let sizes = |items: &[ItemRef]| items.iter().map(|i| shop.exact(*i, name::SIZE)).collect::<Vec<_>>();
    let sure: Vec<Option<Rational>> = lists.iter().flat_map(|l| sizes(&l.sure)).collect();
    let possible: Vec<Option<Rational>> = lists.iter().flat_map(|l| sizes(&l.possible)).collect();
    let Some(most) = sure.iter().flatten().max().copied() else { return Value::Unknown };
    let is_within = |s: &Option<Rational>| s.is_some_and(|n| n <= most);
    let is_known = lists.iter().all(|l| !l.is_open) && sure.iter().chain(&possible).all(is_within);
    if is_known { Value::Number(most) } else { Value::Range(Range::at_least(most)) }
}

/// The largest wire that lands on each receptacle, switch and device: by the runs that bring it, or by
/// its circuit where no run is drawn.
pub(super) fn landed(shop: &mut Shop, graph: &Graph, spread: &Spread) {
    let mut found: HashMap<ItemRef, Option<Rational>> = HashMap::new();
    for meeting in &spread.meetings {
        let Some(net) = spread.nets.get(meeting.net as usize) else { continue };
        for end in meeting.ends.iter().filter(|e| shop.vocabulary.word(e.item.kind, name::WIRE_SIZE).is_some()) {
            for edge in &meeting.edges {
                let Some(run) = graph.edge(*edge).map(|e| e.run) else { continue };
                let size = match wire_of(shop, run, net).size {
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
                    let of_circuit = shop.item(item, name::CIRCUIT).and_then(|c| shop.item(c, name::WIRE));
                    // Cables that its box is said to hold, all of one size.
                    let of_box = shop.item(item, name::BOX).and_then(|b| shop.item(b, name::WIRE));
                    of_circuit.or(of_box).map_or(Value::Unknown, |w| shop.value(w, name::SIZE))
                }
            };
            shop.settle(item, name::WIRE_SIZE, size);
        }
    }
}
