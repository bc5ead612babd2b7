//! Disconnects: those that the plan names, mains, and breakers that stand for a main.

use super::facts::{Facts, between, number, yes_no};
use super::graph::Graph;
use super::lists::keep_first;
use super::panels::least;
use super::spread::Spread;
use super::supply::Lines;
use super::trial::Union;
use crate::shop::{Head, ItemRef, List, Shop, Value};
use crate::words::{Kind, choice, name};
use std::collections::BTreeMap;

/// Disconnects: those that the plan names, mains, and breakers that stand for a main.
pub(super) fn disconnects(shop: &mut Shop, lines: &Lines, graph: &Graph, spread: &Spread) {
    named_lines(shop, graph, spread);
    let stated = shop.count(Kind::Disconnect);
    let mut of_line: std::collections::HashMap<ItemRef, Vec<ItemRef>> = std::collections::HashMap::new();
    let mut free = 0usize;
    for item in shop.items(Kind::Disconnect) {
        match shop.item(item, name::LINE) {
            Some(line) => of_line.entry(line).or_default().push(item),
            None if shop.members(item, name::EQUIPMENT).sure.is_empty() => free = free.saturating_add(1),
            None => {}
        }
    }
    let mut all = List { sure: shop.items(Kind::Disconnect).collect(), ..List::default() };
    all.is_open = !shop.is_listed(Kind::Disconnect) && !shop.items(Kind::Panel).any(|p| has_main(shop, p).is_some());
    let mut panel_handles: Vec<Option<(Vec<ItemRef>, Value, bool)>> = Vec::new();
    for panel in shop.items(Kind::Panel) {
        let handles = handles(shop, panel);
        match &handles {
            Some((items, ..)) => all.sure.extend(items),
            None => all.is_open = true,
        }
        panel_handles.push(handles);
    }
    let is_listed = shop.is_listed(Kind::Disconnect);
    for line in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        let own = of_line.get(&line).cloned().unwrap_or_default();
        let mut list = List { sure: own.clone(), is_open: !is_listed && free > 0, ..List::default() };
        let mut count = if own.is_empty() { None } else { Some(number(1)) };
        if line.kind == Kind::Feeder {
            let far = shop.item(line, name::FAR_PANEL);
            match far.and_then(|p| panel_handles.get(p.index as usize)).and_then(Option::as_ref) {
                Some((items, handles, is_open)) => {
                    list.sure.extend(items);
                    list.is_open |= is_open;
                    count = count.or(Some(*handles));
                }
                None => list.is_open = true,
            }
        } else {
            list.is_open |= !is_listed;
        }
        if let Some(count) = count {
            shop.settle(line, name::HANDLES, count);
        }
        shop.settle_list(line, name::DISCONNECTS, list);
    }
    for item in shop.items(Kind::Disconnect) {
        about_disconnect(shop, lines, item);
    }
    equipment_disconnects(shop, stated);
    let panels: Vec<Option<ItemRef>> = all.sure.iter().map(|d| shop.item(*d, name::PANEL)).collect();
    let first = panels.first().copied().flatten();
    let is_one_panel = !all.is_open && first.is_some() && panels.iter().all(|p| *p == first);
    if is_one_panel {
        shop.settle(Shop::SHOP, name::HAS_GROUPED_DISCONNECTS, Value::YesNo(true));
    }
    shop.settle_list(Shop::SHOP, name::DISCONNECTS, all);
}

/// Whether a panel has a main.
fn has_main(shop: &Shop, panel: ItemRef) -> Option<bool> {
    match shop.value(panel, name::MAIN) {
        Value::Item(_) => Some(true),
        Value::Absent => Some(false),
        _ => None,
    }
}

/// What each named disconnect opens: the circuit whose line goes through it, or the feeder on whose way it stands.
fn named_lines(shop: &mut Shop, graph: &Graph, spread: &Spread) {
    let mut found: Vec<(ItemRef, ItemRef, Vec<ItemRef>)> = Vec::new();
    for (circuit, feeds) in shop.items(Kind::Circuit).zip(&shop.feeds) {
        for branch in &feeds.branches {
            for (i, stage) in branch.stages.iter().enumerate() {
                for disconnect in stage.through.iter().filter(|t| t.kind == Kind::Disconnect) {
                    let behind = branch.stages.iter().skip(i).flat_map(|s| &s.loads).filter_map(|l| l.item);
                    let machines = behind.filter(|m| m.kind == Kind::Equipment).collect();
                    found.push((*disconnect, circuit, machines));
                }
            }
        }
    }
    // Where a feeder ends at a disconnect, that opens it, whatever goes on from there.
    for feeder in shop.items(Kind::Feeder) {
        if let Some(end) = shop.item(feeder, name::FAR_END).filter(|e| e.kind == Kind::Disconnect) {
            found.push((end, feeder, Vec::new()));
        }
    }
    for (feeder, way) in shop.items(Kind::Feeder).zip(&spread.feeder_ways) {
        for step in way.iter().flat_map(|w| &w.edges) {
            for end in graph.edge(step.edge).map(|e| e.ends).into_iter().flatten() {
                if let Some(item) = graph.item(end).filter(|i| i.kind == Kind::Disconnect) {
                    found.push((item, feeder, Vec::new()));
                }
            }
        }
        if let Some(end) = shop.item(feeder, name::NEAR_END).filter(|e| e.kind == Kind::Disconnect) {
            found.push((end, feeder, Vec::new()));
        }
    }
    for (disconnect, line, machines) in found {
        shop.settle(disconnect, name::LINE, Value::Item(line));
        let mut known = shop.members(disconnect, name::EQUIPMENT);
        let before = known.sure.len();
        known.sure.extend(machines);
        keep_first(&mut known.sure);
        if known.sure.len() > before {
            let source = shop.source(disconnect, name::EQUIPMENT);
            let is_said = shop.is_said(disconnect, name::EQUIPMENT);
            known.is_open = false;
            let id = shop.add_list(known);
            match is_said {
                true => shop.set(disconnect, name::EQUIPMENT, Value::List(id), source),
                false => shop.derive(disconnect, name::EQUIPMENT, Value::List(id)),
            }
        }
    }
}

/// The handles that open a whole panel, how many movements that takes, and whether there may be
/// more. None where it is not known whether it has a main.
fn handles(shop: &mut Shop, panel: ItemRef) -> Option<(Vec<ItemRef>, Value, bool)> {
    match shop.value(panel, name::MAIN) {
        Value::Item(main) => {
            let item = stand_for(shop, panel, main);
            Some((vec![item], number(1), false))
        }
        Value::Absent => {
            let circuits = shop.members(panel, name::CIRCUITS);
            let breakers = shop.members(panel, name::BREAKERS);
            let items: Vec<ItemRef> = breakers.sure.iter().map(|b| stand_for(shop, panel, *b)).collect();
            let drawn = movements(shop, &circuits.sure, breakers.sure.len());
            // A count tells of breakers that nobody named; one handle opens three poles at most.
            let told = least(shop, panel, name::CIRCUIT_COUNT).saturating_add(2) / 3;
            let least = drawn.max(told).max(least(shop, panel, name::BREAKER_COUNT));
            let counted = shop.whole(panel, name::BREAKER_COUNT);
            let high =
                if breakers.is_open { counted } else { Some(drawn.saturating_add(breakers.possible.len() as i64)) };
            let is_open = breakers.is_open || !breakers.possible.is_empty();
            Some((items, between(least, high.map(|h| h.max(least))), is_open))
        }
        _ => None,
    }
}

/// Hand movements over some breakers: those whose handles are tied are one, however many ties are named among them.
fn movements(shop: &Shop, circuits: &[ItemRef], breakers: usize) -> i64 {
    let mut numbers: BTreeMap<ItemRef, u32> = BTreeMap::new();
    let mut tied: Vec<(u32, u32)> = Vec::new();
    for circuit in circuits {
        let Some(own) = shop.item(*circuit, name::BREAKER) else { continue };
        for partner in shop.members(*circuit, name::TIED_TO).sure {
            if let Some(other) = shop.item(partner, name::BREAKER) {
                let [own, other] = [own, other].map(|breaker| {
                    let next = numbers.len() as u32;
                    *numbers.entry(breaker).or_insert(next)
                });
                tied.push((own, other));
            }
        }
    }
    let mut union = Union::new(numbers.len());
    let mut count = breakers as i64;
    for (own, other) in tied {
        if union.of(own) != union.of(other) {
            union.join(own, other);
            count = count.saturating_sub(1);
        }
    }
    count.max(i64::from(breakers > 0))
}

/// A breaker as a disconnect: what both kinds say is the same fact.
fn stand_for(shop: &mut Shop, panel: ItemRef, breaker: ItemRef) -> ItemRef {
    let head = shop.head(breaker);
    let head = Head { name: head.name.clone(), label: head.label.clone(), place: head.place, of: Some(breaker) };
    let item = shop.add(Kind::Disconnect, head);
    let vocabulary = shop.vocabulary.clone();
    for word in vocabulary.words() {
        let is_own = word.kinds.has(Kind::Disconnect)
            && matches!(
                word.origin,
                crate::words::Origin::Stated | crate::words::Origin::Either | crate::words::Origin::Fact
            );
        if !is_own || word.name == name::TYPE {
            continue;
        }
        for from in [breaker, panel] {
            let same = vocabulary.word(from.kind, word.name).is_some_and(|w| w.ty == word.ty);
            let value = shop.value(from, word.name);
            if same && value != Value::Unknown {
                let source = shop.source(from, word.name);
                shop.set(item, word.name, value, source);
                break;
            }
        }
    }
    let kind = shop.bit(choice::DISCONNECT_TYPE, "breaker");
    shop.settle(item, name::TYPE, Value::Choice(kind));
    shop.settle(item, name::PANEL, Value::Item(panel));
    let main = shop.item(panel, name::MAIN) == Some(breaker);
    let line = if main { shop.item(panel, name::FEEDER) } else { None };
    let fallback = shop.members(breaker, name::CIRCUITS).sure.first().copied();
    if let Some(line) = line.or(fallback) {
        shop.settle(item, name::LINE, Value::Item(line));
    }
    if main || shop.value(panel, name::MAIN) == Value::Absent {
        // Without a main, the breakers together open what comes in.
        shop.settle(item, name::IS_BUILDING_DISCONNECT, Value::YesNo(true));
    }
    item
}

fn about_disconnect(shop: &mut Shop, lines: &Lines, item: ItemRef) {
    let line = shop.item(item, name::LINE);
    if let Some(line) = line {
        let (low, high) = lines.of(line).hots;
        shop.settle(item, name::HOTS, between(low.into(), Some(high.into())));
        let incoming = shop.members(Shop::SHOP, name::INCOMING);
        let opens_supply = match line.kind {
            Kind::Feeder => incoming.sure.contains(&line).then_some(true),
            _ if incoming.sure.contains(&line) => {
                // On a circuit from elsewhere it opens the supply unless one machine alone hangs behind it.
                shop.members(item, name::EQUIPMENT).sure.is_empty().then_some(true)
            }
            _ if incoming.possible.contains(&line) => None,
            _ => Some(false),
        };
        shop.settle(item, name::IS_BUILDING_DISCONNECT, yes_no(opens_supply));
        let panel = match line.kind {
            Kind::Feeder => shop.item(line, name::FAR_PANEL),
            _ => shop.item(line, name::PANEL),
        };
        if let Some(panel) = panel {
            shop.settle(item, name::PANEL, Value::Item(panel));
        }
    } else if !shop.members(item, name::EQUIPMENT).sure.is_empty() {
        shop.settle(item, name::IS_BUILDING_DISCONNECT, Value::YesNo(false));
    }
}

fn equipment_disconnects(shop: &mut Shop, stated: usize) {
    let mut own: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Equipment)];
    let mut free = false;
    for item in shop.items(Kind::Disconnect).take(stated) {
        let machines = shop.members(item, name::EQUIPMENT).sure;
        free |= machines.is_empty() && shop.item(item, name::LINE).is_none();
        for machine in machines {
            if let Some(slot) = own.get_mut(machine.index as usize) {
                slot.push(item);
            }
        }
    }
    let is_open = !shop.is_listed(Kind::Disconnect) || free;
    for (machine, sure) in shop.items(Kind::Equipment).zip(own) {
        shop.settle_list(machine, name::DISCONNECTS, List { sure, is_open, ..List::default() });
    }
}
