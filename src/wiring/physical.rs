//! The words of the physical layer: conductors of runs, entries of boxes, ways.

use super::colors::Bits;
use super::facts::{Facts, yes_no};
use super::graph::Graph;
use super::hang::Hanging;
use super::spread::Spread;
use super::supply::Lines;
use super::ways::{closed, copy_stretch, lines_by_run, pieces_by_run, stretches, ways};
use super::wires::landed;
use super::{Net, Role, RunWires, Wiring};
use crate::quantity::Rational;
use crate::shop::{ItemRef, List, Shop, Value};
use crate::words::{Kind, name};
use std::collections::HashMap;

/// What the plan says of completeness, as far as wires depend on it.
pub(super) struct Closed {
    /// Every circuit and feeder that may lie in a run stands in the plan.
    pub lines: bool,
    /// Every run stands in the plan.
    pub runs: bool,
    /// Parts of the graph where a circuit with an unknown way may lie.
    pub open_parts: Vec<bool>,
    /// A circuit with an unknown way may lie anywhere.
    pub everywhere: bool,
}

/// Writes the words and gives the wiring.
pub(super) fn write(shop: &mut Shop, graph: &Graph, hanging: &Hanging, lines: &Lines, spread: Spread) -> Wiring {
    let closed = closed(shop, graph, lines, &spread);
    ways(shop, graph, &spread, &closed);
    let lines_of = lines_by_run(shop, graph, &spread);
    let runs = vec![RunWires::default(); shop.count(Kind::Run)];
    let switched = switched(&spread.nets);
    let mut writer = Writer { bits: Bits::new(shop), closed, runs, switched, lines: lines_of };
    let by_run = pieces_by_run(shop, graph, &spread);
    let stretches = stretches(shop);
    for run in shop.items(Kind::Run) {
        let Some(pieces) = by_run.get(run.index as usize) else { continue };
        match shop.head(run).of {
            Some(of) if matches!(of.kind, Kind::Feeder | Kind::Circuit) => {
                writer.stretch(shop, hanging, lines, run, of)
            }
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
    let mixed = mixed(shop);
    shop.settle(Shop::SHOP, name::HAS_MIXED_RUN, yes_no(mixed));
    landed(shop, graph, &spread);
    let boxes = writer.boxes(shop, graph, &spread);
    Wiring { nets: spread.nets, runs: writer.runs, boxes, asks: spread.asks }
}

/// Numbers the switched hots of each circuit.
fn switched(nets: &[Net]) -> Vec<usize> {
    let mut counts: HashMap<&[ItemRef], usize> = HashMap::new();
    let mut all = Vec::with_capacity(nets.len());
    for net in nets {
        let count = counts.entry(net.circuits.as_slice()).or_default();
        all.push(*count);
        *count = count.saturating_add(usize::from(net.role == Role::SwitchedHot));
    }
    all
}

/// Makes conductors and entries, run by run and box by box.
pub(super) struct Writer {
    pub bits: Bits,
    pub closed: Closed,
    pub runs: Vec<RunWires>,
    /// For each net, its number among the switched hots of its circuit.
    pub switched: Vec<usize>,
    /// Circuits and feeders whose way goes through each run.
    pub lines: Vec<List>,
}

/// Whether data wires lie with wires of power in a run that the plan names. What it says of no data wires holds none.
fn mixed(shop: &Shop) -> Option<bool> {
    let with_data = shop.items(Kind::Run).filter(|run| shop.value(*run, name::HAS_SIGNAL_WIRES) == Value::YesNo(true));
    let conductors: Vec<List> = with_data.map(|run| shop.members(run, name::CONDUCTORS)).collect();
    match () {
        _ if conductors.iter().any(|list| !list.sure.is_empty()) => Some(true),
        _ if conductors.iter().any(|list| list.is_open || !list.possible.is_empty()) => None,
        _ => Some(false),
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
