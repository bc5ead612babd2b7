//! Panels, breakers, disconnects and what comes into the shop.

use super::facts::{Facts, between, number, within, yes_no};
use super::graph::Graph;
use super::lists::{is_elsewhere, keep_first};
use super::spread::Spread;
use super::supply::Lines;
use crate::quantity::Rational;
use crate::shop::{Head, ItemRef, List, Range, Shop, Value};
use crate::words::{Kind, NameId, choice, name};
use std::collections::HashMap;

/// Writes the words of panels, breakers, disconnects, supplies and electrodes.
pub(super) fn write(shop: &mut Shop, lines: &Lines, graph: &Graph, spread: &Spread) {
    panels(shop);
    feeders(shop);
    breakers(shop);
    incoming(shop);
    shop_circuits(shop);
    disconnects(shop, lines, graph, spread);
    supplies(shop);
    first_of_neutral(shop);
    grounds(shop);
    markings(shop);
    boxes(shop);
    entries(shop);
    electrodes(shop);
}

/// Circuits of each panel, with those that may start there.
fn circuits_of(shop: &Shop) -> (Vec<Vec<ItemRef>>, Vec<ItemRef>) {
    let mut sure: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Panel)];
    let mut free = Vec::new();
    for circuit in shop.items(Kind::Circuit) {
        match shop.item(circuit, name::PANEL) {
            Some(panel) => {
                if let Some(slot) = sure.get_mut(panel.index as usize) {
                    slot.push(circuit);
                }
            }
            None if shop.value(circuit, name::SUPPLY) == Value::Unknown
                && shop.value(circuit, name::NEAR_END) == Value::Unknown =>
            {
                free.push(circuit);
            }
            None => {}
        }
    }
    (sure, free)
}

fn panels(shop: &mut Shop) {
    let (sure, free) = circuits_of(shop);
    let mut from: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Panel)];
    let mut is_feeder_free = false;
    for feeder in shop.items(Kind::Feeder) {
        match shop.value(feeder, name::PANEL) {
            Value::Item(panel) => {
                if let Some(slot) = from.get_mut(panel.index as usize) {
                    slot.push(feeder);
                }
            }
            Value::Unknown => is_feeder_free = true,
            _ => {}
        }
    }
    for (panel, circuits) in shop.items(Kind::Panel).zip(sure) {
        let is_drawn = shop.yes(panel, name::IS_ALL_DRAWN) == Some(true);
        let count = shop.whole(panel, name::CIRCUIT_COUNT);
        let is_counted = count == Some(circuits.len() as i64);
        let is_open = !(is_drawn || is_counted || shop.is_listed(Kind::Circuit));
        let possible = if is_open || is_counted { Vec::new() } else { free.clone() };
        let list = List { sure: circuits, possible, is_open, ..List::default() };
        let feeders = from.get(panel.index as usize).cloned().unwrap_or_default();
        let are_feeders_closed = (is_drawn || shop.is_listed(Kind::Feeder)) && !is_feeder_free;
        breakers_of(shop, panel, &list, &feeders, are_feeders_closed);
        union(shop, panel, &list, name::LIGHTS);
        union(shop, panel, &list, name::RECEPTACLES);
        union(shop, panel, &list, name::EQUIPMENT);
        shop.settle_list(panel, name::CIRCUITS, list);
        let supply = shop.item(panel, name::FEEDER).and_then(|f| shop.item(f, name::SUPPLY));
        let volts = shop.item(panel, name::FEEDER).map_or(Value::Unknown, |f| shop.value(f, name::VOLTS_TO_GROUND));
        shop.settle(panel, name::VOLTS_TO_GROUND, volts);
        let utility = shop.bit(choice::SUPPLY_TYPE, "utility-service");
        let starts_at_panel = shop.item(panel, name::FEEDER).is_some_and(|f| shop.item(f, name::PANEL).is_some());
        let is_service = match supply {
            _ if starts_at_panel => Some(false),
            Some(supply) if shop.head(supply).name == "utility" => Some(true),
            Some(supply) if shop.head(supply).name == "house" => Some(false),
            Some(supply) => within(shop.bits(supply, name::TYPE), utility),
            None => None,
        };
        shop.settle(panel, name::IS_SERVICE, yes_no(is_service));
    }
}

/// Distinct breakers of a panel. A main takes spaces only where it is back-fed.
fn breakers_of(shop: &mut Shop, panel: ItemRef, circuits: &List, feeders: &[ItemRef], are_feeders_closed: bool) {
    let of = |lines: &[ItemRef]| lines.iter().filter_map(|l| shop.item(*l, name::BREAKER)).collect::<Vec<_>>();
    let mut list = List { is_open: circuits.is_open || !are_feeders_closed, ..List::default() };
    match shop.value(panel, name::MAIN) {
        Value::Item(main) => match shop.yes(main, name::IS_BACK_FED) {
            Some(true) => list.sure.push(main),
            Some(false) => {}
            None => list.possible.push(main),
        },
        Value::Absent => {}
        _ => list.is_open = true,
    }
    list.sure.extend(of(&circuits.sure));
    list.sure.extend(of(feeders));
    list.possible.extend(of(&circuits.possible));
    keep_first(&mut list.sure);
    keep_first(&mut list.possible);
    if !list.is_open && list.possible.is_empty() {
        settle_tandems(shop, &list.sure);
    }
    shop.settle_list(panel, name::BREAKERS, list);
}

/// Where every breaker of a panel is known, one that has its space to itself shares it with no other.
fn settle_tandems(shop: &mut Shop, breakers: &[ItemRef]) {
    let spaces = |shop: &Shop, b: ItemRef| [shop.whole(b, name::SPACE), shop.whole(b, name::SECOND_SPACE)];
    let mut taken: HashMap<i64, usize> = HashMap::new();
    for breaker in breakers {
        for space in spaces(shop, *breaker).into_iter().flatten() {
            *taken.entry(space).or_default() += 1;
        }
    }
    let are_said = breakers.iter().all(|b| shop.whole(*b, name::SPACE).is_some());
    for breaker in breakers.iter().filter(|_| are_said) {
        if spaces(shop, *breaker).into_iter().flatten().all(|space| taken.get(&space) == Some(&1)) {
            shop.settle(*breaker, name::IS_TANDEM, Value::YesNo(false));
        }
    }
}

/// Everything that the circuits of a list have under a word.
fn union(shop: &mut Shop, of: ItemRef, circuits: &List, word: NameId) {
    let list = gather(shop, circuits, word);
    shop.settle_list(of, word, list);
}

fn gather(shop: &Shop, circuits: &List, word: NameId) -> List {
    let mut list = List { is_open: circuits.is_open, ..List::default() };
    let mut seen: Vec<crate::shop::ListId> = Vec::new();
    for (is_sure, circuit) in
        circuits.sure.iter().map(|c| (true, c)).chain(circuits.possible.iter().map(|c| (false, c)))
    {
        let Value::List(id) = shop.value(*circuit, word) else {
            list.is_open = true;
            continue;
        };
        let own = shop.list(id);
        list.is_open |= own.is_open;
        if is_sure {
            list.sure.extend(&own.sure);
        } else {
            list.possible.extend(&own.sure);
        }
        // Circuits that may feed anything share the same possible members: taken once.
        if own.possible.len() < 16 || seen.len() < 64 {
            list.possible.extend(&own.possible);
            seen.push(id);
        } else {
            list.is_open = true;
        }
    }
    keep_first(&mut list.sure);
    if !list.possible.is_empty() {
        let sure: std::collections::HashSet<ItemRef> = list.sure.iter().copied().collect();
        list.possible.retain(|i| !sure.contains(i));
        keep_first(&mut list.possible);
    }
    list
}

/// Branch circuits behind each feeder, through further panels too.
fn feeders(shop: &mut Shop) {
    let mut next: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Panel)];
    for feeder in shop.items(Kind::Feeder) {
        if let Some(slot) = shop.item(feeder, name::PANEL).and_then(|p| next.get_mut(p.index as usize)) {
            slot.push(feeder);
        }
    }
    let are_listed = shop.is_listed(Kind::Feeder);
    let mut budget = 1_000_000usize;
    for feeder in shop.items(Kind::Feeder) {
        let mut all = List::default();
        let mut done = vec![feeder];
        let mut waiting = vec![feeder];
        while let Some(at) = waiting.pop() {
            let Some(panel) = shop.item(at, name::FAR_PANEL) else {
                all.is_open = true;
                continue;
            };
            let own = shop.members(panel, name::CIRCUITS);
            budget = budget.saturating_sub(own.sure.len() + 1);
            all.is_open |= own.is_open || budget == 0;
            if budget > 0 {
                all.sure.extend(own.sure);
                all.possible.extend(own.possible);
            }
            all.is_open |= !are_listed && shop.yes(panel, name::IS_ALL_DRAWN) != Some(true);
            for further in next.get(panel.index as usize).into_iter().flatten() {
                if !done.contains(further) && done.len() < 1000 {
                    done.push(*further);
                    waiting.push(*further);
                }
            }
        }
        keep_first(&mut all.sure);
        keep_first(&mut all.possible);
        let needed = neutral_needed(shop, &all);
        shop.settle(feeder, name::IS_NEUTRAL_NEEDED, yes_no(needed));
        union(shop, feeder, &all, name::EQUIPMENT);
        shop.settle_list(feeder, name::CIRCUITS, all);
    }
}

/// Whether some circuit behind a feeder works from one hot and a neutral.
fn neutral_needed(shop: &Shop, circuits: &List) -> Option<bool> {
    let mut all_without = !circuits.is_open;
    for circuit in &circuits.sure {
        match shop.yes(*circuit, name::HAS_NEUTRAL) {
            Some(true) => return Some(true),
            Some(false) => {}
            None => all_without = false,
        }
    }
    all_without &= circuits.possible.iter().all(|c| shop.yes(*c, name::HAS_NEUTRAL) == Some(false));
    all_without.then_some(false)
}

fn breakers(shop: &mut Shop) {
    let mut lines: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Breaker)];
    for line in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        if let Some(slot) = shop.item(line, name::BREAKER).and_then(|b| lines.get_mut(b.index as usize)) {
            slot.push(line);
        }
    }
    for panel in shop.items(Kind::Panel) {
        if let Some(main) = shop.item(panel, name::MAIN) {
            shop.settle(main, name::PANEL, Value::Item(panel));
            if let (Some(feeder), Some(slot)) = (shop.item(panel, name::FEEDER), lines.get_mut(main.index as usize)) {
                slot.push(feeder);
            }
        }
    }
    for (breaker, lines) in shop.items(Kind::Breaker).zip(lines) {
        if let Some(panel) = lines.first().and_then(|l| shop.item(*l, name::PANEL)) {
            shop.settle(breaker, name::PANEL, Value::Item(panel));
        }
        if let Some(panel) = shop.item(breaker, name::PANEL)
            && shop.vocabulary.word(Kind::Panel, name::IS_READILY_REACHABLE).is_some()
        {
            let value = shop.value(panel, name::IS_READILY_REACHABLE);
            shop.settle(breaker, name::IS_READILY_REACHABLE, value);
        }
        shop.settle_list(breaker, name::CIRCUITS, List { sure: lines, ..List::default() });
    }
}

/// Feeders and circuits that come from elsewhere into the shop.
fn incoming(shop: &mut Shop) {
    let mut list =
        List { is_open: !(shop.is_listed(Kind::Feeder) && shop.is_listed(Kind::Circuit)), ..List::default() };
    for line in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        match and(comes_from_elsewhere(shop, line), reaches_shop(shop, line)) {
            Some(true) => list.sure.push(line),
            Some(false) => {}
            None => list.possible.push(line),
        }
    }
    let mut sources = List { is_open: list.is_open, ..List::default() };
    for line in &list.sure {
        match shop.item(*line, name::SUPPLY) {
            Some(supply) => sources.sure.push(supply),
            None => sources.is_open = true,
        }
    }
    for line in &list.possible {
        match shop.item(*line, name::SUPPLY) {
            Some(supply) => sources.possible.push(supply),
            None => sources.is_open = true,
        }
    }
    keep_first(&mut sources.sure);
    keep_first(&mut sources.possible);
    let sure = sources.sure.clone();
    sources.possible.retain(|s| !sure.contains(s));
    shop.settle_list(Shop::SHOP, name::INCOMING, list);
    shop.settle_list(Shop::SHOP, name::SOURCES, sources);
    let panels =
        List { is_open: !shop.is_listed(Kind::Panel), sure: shop.items(Kind::Panel).collect(), ..List::default() };
    shop.settle_list(Shop::SHOP, name::PANELS, panels);
    // A record like a pulled wire: it is there only where somebody said what lies under a terminal.
    let told = shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit));
    let told = told
        .filter(|line| {
            shop.value(*line, name::TERMINAL_WIRES) != Value::Unknown
                || shop.value(*line, name::IS_TERMINAL_MIXED) != Value::Unknown
        })
        .collect();
    shop.settle_list(Shop::SHOP, name::TOLD_TERMINALS, List { sure: told, ..List::default() });
}

fn and(a: Option<bool>, b: Option<bool>) -> Option<bool> {
    match (a, b) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// A supply stands outside by its nature, unless it says that it is in the shop.
fn comes_from_elsewhere(shop: &Shop, line: ItemRef) -> Option<bool> {
    if let Some(panel) = shop.item(line, name::PANEL) {
        return is_elsewhere(shop, panel);
    }
    let start = shop.item(line, name::NEAR_END).or_else(|| shop.item(line, name::SUPPLY))?;
    match start.kind {
        Kind::Supply => match shop.value(start, name::BUILDING) {
            Value::Choice(bits) => within(bits, !shop.bit(choice::BUILDING, "shop")),
            _ => Some(true),
        },
        _ => is_elsewhere(shop, start),
    }
}

fn reaches_shop(shop: &Shop, line: ItemRef) -> Option<bool> {
    let far = shop.item(line, name::FAR_PANEL).filter(|_| line.kind == Kind::Feeder);
    if let Some(end) = far.or_else(|| shop.item(line, name::FAR_END)) {
        return match end.kind {
            Kind::Shop => Some(true),
            Kind::Supply => Some(false),
            _ => is_elsewhere(shop, end).map(|e| !e),
        };
    }
    if line.kind == Kind::Feeder {
        return None;
    }
    let outlets = shop.members(line, name::OUTLETS);
    let mut answer = Some(false);
    for outlet in &outlets.sure {
        match is_elsewhere(shop, *outlet) {
            Some(false) => return Some(true),
            Some(true) => {}
            None => answer = None,
        }
    }
    if outlets.is_open || !outlets.possible.is_empty() { None } else { answer }
}

/// Branch circuits that start in the shop or reach it.
fn shop_circuits(shop: &mut Shop) {
    let panels_closed =
        shop.count(Kind::Panel) > 0 && shop.items(Kind::Panel).all(|p| !shop.members(p, name::CIRCUITS).is_open);
    let incoming = shop.members(Shop::SHOP, name::INCOMING);
    let is_listed = shop.is_listed(Kind::Circuit);
    let is_open = !(is_listed || panels_closed && !incoming.is_open);
    let mut list = List { is_open, ..List::default() };
    for circuit in shop.items(Kind::Circuit) {
        let starts_here = comes_from_elsewhere(shop, circuit).map(|e| !e);
        match (starts_here, reaches_shop(shop, circuit)) {
            (Some(true), _) | (_, Some(true)) => list.sure.push(circuit),
            (Some(false), Some(false)) => {}
            _ => list.possible.push(circuit),
        }
    }
    shop.settle_list(Shop::SHOP, name::CIRCUITS, list);
}

/// Disconnects: those that the plan names, mains, and breakers that stand for a main.
fn disconnects(shop: &mut Shop, lines: &Lines, graph: &Graph, spread: &Spread) {
    named_lines(shop, graph, spread);
    let stated = shop.count(Kind::Disconnect);
    let mut of_line: std::collections::HashMap<ItemRef, Vec<ItemRef>> = std::collections::HashMap::new();
    let mut free = 0usize;
    for item in shop.items(Kind::Disconnect) {
        match shop.item(item, name::LINE) {
            Some(line) => of_line.entry(line).or_default().push(item),
            None => free += usize::from(shop.members(item, name::EQUIPMENT).sure.is_empty()),
        }
    }
    let mut all = List { sure: shop.items(Kind::Disconnect).collect(), ..List::default() };
    all.is_open = !shop.is_listed(Kind::Disconnect) && !shop.items(Kind::Panel).any(|p| has_main(shop, p).is_some());
    let mut panel_handles: Vec<Option<(Vec<ItemRef>, Value, bool)>> = Vec::new();
    for panel in shop.items(Kind::Panel) {
        let handles = handles(shop, lines, panel);
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
fn handles(shop: &mut Shop, lines: &Lines, panel: ItemRef) -> Option<(Vec<ItemRef>, Value, bool)> {
    match shop.value(panel, name::MAIN) {
        Value::Item(main) => {
            let item = stand_for(shop, panel, main);
            Some((vec![item], number(1), false))
        }
        Value::Absent => {
            let circuits = shop.members(panel, name::CIRCUITS);
            let breakers = shop.members(panel, name::BREAKERS);
            let items: Vec<ItemRef> = breakers.sure.iter().map(|b| stand_for(shop, panel, *b)).collect();
            let low = movements(shop, lines, &circuits.sure, breakers.sure.len());
            let high = (!breakers.is_open).then(|| low.1 + breakers.possible.len() as i64);
            let is_open = breakers.is_open || !breakers.possible.is_empty();
            Some((items, between(low.0, high), is_open))
        }
        _ => None,
    }
}

/// Hand movements over some breakers: those whose handles are tied are one.
fn movements(shop: &Shop, _lines: &Lines, circuits: &[ItemRef], breakers: usize) -> (i64, i64) {
    let mut tied: Vec<(ItemRef, ItemRef)> = Vec::new();
    for circuit in circuits {
        let Some(own) = shop.item(*circuit, name::BREAKER) else { continue };
        for partner in shop.members(*circuit, name::TIED_TO).sure {
            if let Some(other) = shop.item(partner, name::BREAKER).filter(|o| *o != own) {
                tied.push((own.min(other), own.max(other)));
            }
        }
    }
    tied.sort_unstable();
    tied.dedup();
    let count = (breakers as i64 - tied.len() as i64).max(i64::from(breakers > 0));
    (count, count)
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

fn supplies(shop: &mut Shop) {
    let mut panels: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Supply)];
    let mut is_open = !shop.is_listed(Kind::Feeder);
    for feeder in shop.items(Kind::Feeder) {
        if shop.item(feeder, name::PANEL).is_some() {
            continue;
        }
        let supply = shop.item(feeder, name::SUPPLY).and_then(|s| panels.get_mut(s.index as usize));
        match (supply, shop.item(feeder, name::FAR_PANEL)) {
            (Some(slot), Some(panel)) => slot.push(panel),
            _ => is_open = true,
        }
    }
    for (supply, mut sure) in shop.items(Kind::Supply).zip(panels) {
        keep_first(&mut sure);
        shop.settle_list(supply, name::PANELS, List { sure, is_open, ..List::default() });
    }
}

/// The second circuit of a shared neutral counts with the first.
fn first_of_neutral(shop: &mut Shop) {
    let mut unsure = 0usize;
    for circuit in shop.items(Kind::Circuit) {
        let partners = shop.members(circuit, name::NEUTRAL_PARTNERS);
        unsure += usize::from(partners.is_open);
    }
    for circuit in shop.items(Kind::Circuit) {
        let partners = shop.members(circuit, name::NEUTRAL_PARTNERS);
        let answer = match partners.sure.iter().min() {
            Some(first) if *first < circuit => Some(false),
            _ if !partners.is_open => Some(true),
            _ => (unsure <= 1).then_some(true),
        };
        shop.settle(circuit, name::IS_FIRST_OF_NEUTRAL, yes_no(answer));
    }
    for feeder in shop.items(Kind::Feeder) {
        shop.settle(feeder, name::IS_FIRST_OF_NEUTRAL, Value::YesNo(true));
    }
}

/// How the equipment ground is carried, and metal beside the feeder.
fn grounds(shop: &mut Shop) {
    let wire = shop.bit(choice::EQUIPMENT_GROUND_TYPE, "wire");
    let raceway = shop.bit(choice::EQUIPMENT_GROUND_TYPE, "raceway");
    let none = shop.bit(choice::EQUIPMENT_GROUND_TYPE, "none");
    let by = |shop: &Shop, v| shop.bit(choice::GROUND_BY, v);
    for line in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        let said = shop.bits(line, name::GROUND_BY);
        let value = match shop.value(line, name::EQUIPMENT_GROUND) {
            Value::Item(_) => wire,
            _ if said == by(shop, "wire") || said == by(shop, "in-cable") => wire,
            _ if said == by(shop, "raceway") => raceway,
            _ if said != u64::MAX && said & (by(shop, "wire") | by(shop, "in-cable") | by(shop, "raceway")) == 0 => {
                none
            }
            _ => 0,
        };
        if value != 0 {
            shop.settle(line, name::EQUIPMENT_GROUND_TYPE, Value::Choice(value));
        }
    }
    let joins = shop
        .items(Kind::Pipe)
        .any(|p| shop.yes(p, name::IS_METAL) == Some(true) && shop.yes(p, name::IS_JOINING_BUILDINGS) == Some(true));
    if joins {
        for line in shop.members(Shop::SHOP, name::INCOMING).sure {
            shop.settle(line, name::HAS_OTHER_METAL_PATH, Value::YesNo(true));
        }
    }
}

/// The lowest marking of the terminals that a line ends on: known when all are, else at most the least known.
fn markings(shop: &mut Shop) {
    for line in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        let mut ends: Vec<ItemRef> = Vec::new();
        let near = shop
            .item(line, name::PANEL)
            .or_else(|| shop.item(line, name::NEAR_END))
            .or_else(|| shop.item(line, name::SUPPLY));
        ends.extend(near);
        let mut is_open = near.is_none();
        if line.kind == Kind::Feeder {
            let far = shop.item(line, name::FAR_PANEL);
            is_open |= far.is_none();
            ends.extend(far);
        } else if let Some(feeds) = shop.feeds.get(line.index as usize) {
            is_open |= feeds.is_open;
            let stages = feeds.branches.iter().flat_map(|b| &b.stages);
            for stage in stages {
                ends.extend(stage.through.iter());
                ends.extend(stage.loads.iter().filter_map(|l| l.item));
            }
            // A luminaire is spliced by its leads and has no terminals of a marked temperature.
            ends.retain(|e| shop.vocabulary.word(e.kind, name::TERMINAL_MARKING).is_some());
        }
        keep_first(&mut ends);
        let mut least: Option<Rational> = None;
        for end in &ends {
            match shop.exact(*end, name::TERMINAL_MARKING) {
                Some(t) => least = Some(least.map_or(t, |l| l.min(t))),
                None => is_open = true,
            }
        }
        let value = match least {
            Some(least) if !is_open => Value::Number(least),
            Some(least) => Value::Range(Range::at_most(least)),
            None => Value::Unknown,
        };
        shop.settle(line, name::TERMINAL_MARKING, value);
    }
}

/// What a box holds, and what is not in it where the plan names all that is.
fn boxes(shop: &mut Shop) {
    let mut runs: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Box)];
    let mut free: Vec<ItemRef> = Vec::new();
    for run in shop.items(Kind::Run) {
        if shop.head(run).of.is_some() {
            continue;
        }
        let Some(ends) = shop.ends.get(run.index as usize) else { continue };
        let mut is_free = ends.ends.is_empty();
        for end in &ends.ends {
            match end {
                Some(end) if end.kind == Kind::Box => {
                    if let Some(slot) = runs.get_mut(end.index as usize).filter(|s| s.last() != Some(&run)) {
                        slot.push(run);
                    }
                }
                // A run may be drawn to a device: it comes to the box of that.
                Some(end) => {
                    let of = shop.vocabulary.word(end.kind, name::BOX).and_then(|_| shop.item(*end, name::BOX));
                    if let Some(slot) =
                        of.and_then(|b| runs.get_mut(b.index as usize)).filter(|s| s.last() != Some(&run))
                    {
                        slot.push(run);
                    }
                }
                None => is_free = true,
            }
        }
        if is_free {
            free.push(run);
        }
    }
    let are_listed = shop.is_listed(Kind::Run);
    let fits = free.len().saturating_mul(runs.len()) <= 200_000;
    for (the_box, sure) in shop.items(Kind::Box).zip(runs) {
        let is_closed = are_listed || shop.yes(the_box, name::IS_ALL_DRAWN) == Some(true);
        // `all drawn` says that each run at the box names it.
        let is_drawn = shop.yes(the_box, name::IS_ALL_DRAWN) == Some(true);
        let possible = if is_closed && !is_drawn && fits { free.clone() } else { Vec::new() };
        let are_raceways = sure.iter().all(|r| shop.yes(*r, name::IS_RACEWAY) == Some(true));
        if is_closed && possible.is_empty() && are_raceways && (is_drawn || free.is_empty()) {
            shop.settle(the_box, name::HAS_CLAMPS, Value::YesNo(false));
        }
        let is_open = !is_closed || (!is_drawn && !fits);
        shop.settle_list(the_box, name::RUNS, List { sure, possible, is_open, ..List::default() });
        let is_sized = shop.exact(the_box, name::WIDTH).is_some() && shop.exact(the_box, name::DEPTH).is_some();
        if is_sized && !shop.is_said(the_box, name::MARKED_VOLUME) {
            // A trade size and a marked volume exclude each other.
            shop.settle(the_box, name::MARKED_VOLUME, Value::Absent);
        }
        let devices = shop.members(the_box, name::DEVICES);
        let on_yoke = |i: &&ItemRef| matches!(i.kind, Kind::Receptacle | Kind::Switch | Kind::Device);
        let yokes = List {
            sure: devices.sure.iter().filter(on_yoke).copied().collect(),
            possible: devices.possible.iter().filter(on_yoke).copied().collect(),
            is_open: devices.is_open,
            ..List::default()
        };
        shop.settle_list(the_box, name::YOKES, yokes);
        if !devices.is_open && devices.possible.is_empty() {
            shop.settle(the_box, name::TERMINAL_BLOCKS, number(0));
            let has_light = devices.sure.iter().any(|d| d.kind == Kind::Light);
            // A lamp hangs on a stud and a hickey at most.
            let studs = if has_light { between(0, Some(2)) } else { number(0) };
            shop.settle(the_box, name::STUDS, studs);
        }
    }
    for run in shop.items(Kind::Run) {
        shop.settle(run, name::HAS_GAP, Value::YesNo(false));
    }
}

/// Runs that come from outside into the building, and runs of a utility service.
fn entries(shop: &mut Shop) {
    let outside = ["outdoors", "outdoors-under-roof", "buried", "overhead"];
    let outside = outside.iter().fold(0, |set, p| set | shop.bit(choice::PLACE, p));
    let mut last: Vec<Option<ItemRef>> = vec![None; shop.count(Kind::Feeder)];
    for run in shop.items(Kind::Run) {
        if let Some(of) = shop.head(run).of.filter(|o| o.kind == Kind::Feeder)
            && let Some(slot) = last.get_mut(of.index as usize)
        {
            *slot = Some(run);
        }
    }
    for run in shop.items(Kind::Run) {
        let of = shop.head(run).of;
        let service = match of.filter(|o| matches!(o.kind, Kind::Feeder | Kind::Circuit)) {
            Some(line) if line.kind == Kind::Circuit => Some(false),
            Some(feeder) => is_service_line(shop, feeder),
            None => {
                let circuits = shop.members(run, name::CIRCUITS);
                (!circuits.is_open && circuits.sure.iter().all(|c| c.kind == Kind::Circuit)).then_some(false)
            }
        };
        shop.settle(run, name::IS_SERVICE_RUN, yes_no(service));
        let inside = |shop: &Shop, item: ItemRef| match shop.value(item, name::PLACE) {
            Value::Choice(bits) => within(bits, !outside),
            _ => None,
        };
        let entry = match of {
            Some(feeder) if feeder.kind == Kind::Feeder => {
                let is_last = last.get(feeder.index as usize).copied().flatten() == Some(run);
                let end = shop.item(feeder, name::FAR_PANEL).and_then(|p| inside(shop, p));
                match (is_last, end) {
                    (false, _) => Some(false),
                    (true, Some(true)) => comes_from_elsewhere(shop, feeder),
                    (true, Some(false)) => Some(false),
                    (true, None) => None,
                }
            }
            Some(_) => None,
            None => {
                let ends = shop.ends.get(run.index as usize).map(|e| e.ends.clone()).unwrap_or_default();
                let known: Option<Vec<bool>> =
                    ends.iter().map(|e| e.and_then(|e| inside_of(shop, e, &inside))).collect();
                known.filter(|k| k.len() > 1).map(|k| k.contains(&true) && k.contains(&false))
            }
        };
        shop.settle(run, name::IS_BUILDING_ENTRY, yes_no(entry));
    }
}

fn inside_of(shop: &Shop, end: ItemRef, inside: &impl Fn(&Shop, ItemRef) -> Option<bool>) -> Option<bool> {
    shop.vocabulary.word(end.kind, name::PLACE)?;
    inside(shop, end)
}

fn is_service_line(shop: &Shop, feeder: ItemRef) -> Option<bool> {
    if shop.item(feeder, name::PANEL).is_some() {
        return Some(false);
    }
    let supply = shop.item(feeder, name::SUPPLY)?;
    let utility = shop.bit(choice::SUPPLY_TYPE, "utility-service");
    match shop.head(supply).name.as_str() {
        "house" => return Some(false),
        "utility" => {}
        _ if within(shop.bits(supply, name::TYPE), utility) == Some(false) => return Some(false),
        _ if within(shop.bits(supply, name::TYPE), utility).is_none() => return None,
        _ => {}
    }
    // An overcurrent device where it starts makes it a feeder all the same.
    shop.yes(feeder, name::IS_PROTECTED_AT_SOURCE).map(|p| !p)
}

fn electrodes(shop: &mut Shop) {
    let rod = shop.bit(choice::ELECTRODE_TYPE, "rod");
    let all: Vec<(ItemRef, Option<bool>)> =
        shop.items(Kind::Electrode).map(|e| (e, within(shop.bits(e, name::TYPE), rod))).collect();
    let sure = all.iter().filter(|(_, r)| *r == Some(true)).count();
    let maybe = all.iter().filter(|(_, r)| r.is_none()).count();
    let is_closed = shop.is_listed(Kind::Electrode) || !shop.members(Shop::SHOP, name::ELECTRODES).is_open;
    for (electrode, is_rod) in &all {
        let others = sure - usize::from(*is_rod == Some(true));
        let perhaps = maybe - usize::from(is_rod.is_none());
        let answer = match (others > 0, perhaps > 0 || !is_closed) {
            (true, _) => Some(true),
            (false, true) => None,
            (false, false) => Some(false),
        };
        shop.settle(*electrode, name::HAS_OTHER_ROD, yes_no(answer));
    }
    let incoming = shop.members(Shop::SHOP, name::INCOMING);
    if let [line] = incoming.sure.as_slice() {
        for conductor in shop.items(Kind::ElectrodeConductor) {
            shop.settle(conductor, name::LINE, Value::Item(*line));
        }
    }
}
