//! Which runs circuits, feeders and devices are reached by, and how long their ways are.

use super::facts::Facts;
use super::graph::{Graph, is_guessed, length as length_of};
use super::physical::Closed;
use super::spread::{Piece, Spread, Way};
use super::supply::Lines;
use super::tree::Distance;
use crate::quantity::{Dimension, Rational, Scale};
use crate::shop::{How, ItemRef, List, Range, Shop, Source, Value};
use crate::text::Problem;
use crate::words::{Kind, choice, name};

pub(super) fn closed(shop: &Shop, graph: &Graph, lines: &Lines, spread: &Spread) -> Closed {
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

/// Writes runs, lengths and ways of circuits, feeders and devices.
pub(super) fn ways(shop: &mut Shop, graph: &Graph, spread: &Spread, closed: &Closed) {
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
    for item in shop.items(Kind::Run).chain(shop.items(Kind::Feeder)).chain(shop.items(Kind::Circuit)) {
        if let (true, Value::Number(length)) = (is_guessed(shop, item), shop.value(item, name::LENGTH)) {
            shop.by_eye.insert(item, length);
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
    for (item, edges) in &spread.device_ways {
        if shop.value(*item, name::WAY) != Value::Unknown || shop.vocabulary.word(item.kind, name::WAY).is_none() {
            continue;
        }
        let runs = runs_of(graph, edges.iter().copied());
        // What is fed in two places has no one way, and the other may be too long to be listed.
        let list = match shop.members(*item, name::CIRCUITS).sure.len() > 1 {
            true => List { possible: runs, is_open: true, ..List::default() },
            false => List { sure: runs, is_open: !closed.runs, ..List::default() },
        };
        shop.settle_list(*item, name::WAY, list);
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
        let (least, _, most) = length_of(shop, *stretch);
        let by_eye = if is_guessed(shop, *stretch) { least } else { Rational::ZERO };
        length = Some(length.unwrap_or_default().and(Distance { least, most, by_eye }));
    }
    let mut sure = stretches;
    sure.extend(runs_of(graph, way.edges.iter().map(|s| s.edge)));
    let is_told = shop.ways.contains_key(&line);
    let is_closed = match line.kind {
        Kind::Feeder => is_stretched && !has_open || !sure.is_empty() && (closed.runs || is_told),
        _ => way.is_whole && !sure.is_empty() && !has_open && (closed.runs || is_told),
    };
    if let Some(Distance { least, most, by_eye }) = length {
        let is_known = !has_open && (is_closed || way.is_whole && !way.is_lost);
        let value = match most.filter(|_| is_known) {
            Some(most) if most == least => Value::Number(least),
            high => Value::Range(Range { low: Some(least), high, low_is_open: false, high_is_open: false }),
        };
        let is_free = shop.value(line, name::LENGTH) == Value::Unknown;
        agree(shop, line, value);
        // A sum leans on the guesses in it, and is as loose as they are.
        let guess = sure.iter().find(|run| is_guessed(shop, **run)).filter(|_| is_free && by_eye > Rational::ZERO);
        if let Some(run) = guess {
            shop.by_eye.insert(line, by_eye);
            let (value, source) = (shop.value(line, name::LENGTH), shop.source(*run, name::LENGTH));
            shop.set(line, name::LENGTH, value, source);
        }
    }
    if is_closed {
        from_runs(shop, line, &sure);
    }
    shop.settle_list(line, name::RUNS, List { sure, is_open: !is_closed, ..List::default() });
}

/// A stated length must agree with that of the way; where they differ, neither counts.
fn agree(shop: &mut Shop, line: ItemRef, value: Value) {
    let source = shop.source(line, name::LENGTH);
    if let (Value::Number(said), Value::Number(drawn)) = (shop.value(line, name::LENGTH), value)
        && said != drawn
        && shop.is_said(line, name::LENGTH)
        && source.how != How::Assumed
    {
        let feet = |n: Rational| Scale::Ratio(Dimension::LENGTH).show(n);
        let text =
            format!("{} is said to be {} long, but its runs come to {}", shop.called(line), feet(said), feet(drawn));
        shop.problems.push(Problem::error(source.place, text).help("leave the length out, or correct a run"));
        shop.set(line, name::LENGTH, Value::Unknown, Source { how: How::Conflict, ..source });
        return;
    }
    shop.settle(line, name::LENGTH, value);
}

/// What a circuit or feeder leaves unsaid and all its runs say alike: its wire, and that its
/// equipment ground is a wire. A cable or wire named at the runs need not be named again.
fn from_runs(shop: &mut Shop, line: ItemRef, runs: &[ItemRef]) {
    if let Some(wire) = shop.item(line, name::WIRE) {
        for word in [name::SIZE, name::METAL, name::INSULATION] {
            let mut values =
                runs.iter().map(|r| shop.item(*r, name::WIRE).map_or(Value::Unknown, |w| shop.value(w, word)));
            let first = values.next().unwrap_or_default();
            if first.is_known() && values.all(|v| v == first) {
                shop.settle(wire, word, first);
            }
        }
    }
    let is_wired = !runs.is_empty() && runs.iter().all(|r| shop.item(*r, name::EQUIPMENT_GROUND).is_some());
    if is_wired && shop.value(line, name::EQUIPMENT_GROUND) == Value::Unknown {
        let wire = shop.bit(choice::EQUIPMENT_GROUND_TYPE, "wire");
        shop.settle(line, name::EQUIPMENT_GROUND_TYPE, Value::Choice(wire));
    }
}

pub(super) fn pieces_by_run(shop: &Shop, graph: &Graph, spread: &Spread) -> Vec<Vec<Piece>> {
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
pub(super) fn lines_by_run(shop: &Shop, graph: &Graph, spread: &Spread) -> Vec<List> {
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
pub(super) fn stretches(shop: &Shop) -> Vec<(ItemRef, ItemRef)> {
    let of_run = |run: &ItemRef| shop.head(*run).of.filter(|o| o.kind == Kind::Run).map(|o| (*run, o));
    shop.items(Kind::Run).filter_map(|r| of_run(&r)).collect()
}

pub(super) fn copy_stretch(shop: &mut Shop, run: ItemRef, of: ItemRef) {
    for word in [name::CIRCUITS, name::CONDUCTORS] {
        let value = shop.value(of, word);
        shop.settle(run, word, value);
    }
}
