//! Panels, breakers, disconnects and what comes into the shop.

use super::building::{boxes, electrodes, entries, grounds, markings};
use super::disconnects::disconnects;
use super::facts::{Facts, between, within, yes_no};
use super::graph::Graph;
use super::incoming::{first_of_neutral, incoming, shop_circuits, supplies};
use super::lists::keep_first;
use super::spread::Spread;
use super::supply::Lines;
use crate::shop::{ItemRef, List, Shop, Value};
use crate::words::{Kind, NameId, choice, name};
use std::collections::{HashMap, HashSet};

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
    breakers_ahead(shop);
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
        // A count beyond the circuits that are named tells of more, whatever else is said to be complete.
        let is_short = count.is_some_and(|c| c > circuits.len() as i64);
        let is_open = is_short || !(is_drawn || is_counted || shop.is_listed(Kind::Circuit));
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

/// Unless the plan says otherwise, a feeder's breaker is one that stands where it starts.
fn breakers_ahead(shop: &mut Shop) {
    for feeder in shop.items(Kind::Feeder) {
        if shop.item(feeder, name::BREAKER).is_some_and(|b| shop.value(b, name::AMPS) != Value::Unknown) {
            shop.settle(feeder, name::IS_PROTECTED_AT_SOURCE, Value::YesNo(true));
        }
    }
}

/// The least that a count may be; zero where nobody said.
pub(super) fn least(shop: &Shop, item: ItemRef, count: NameId) -> i64 {
    match shop.value(item, count) {
        Value::Number(n) => n.floor(),
        Value::Range(range) => range.low.map_or(0, |low| low.floor().saturating_add(i64::from(range.low_is_open))),
        _ => 0,
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
    // A count beyond those that are named tells of more.
    list.is_open |= least(shop, panel, name::BREAKER_COUNT) > list.sure.len() as i64;
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
            let count = taken.entry(space).or_default();
            *count = count.saturating_add(1);
        }
    }
    let are_said = breakers.iter().all(|b| shop.whole(*b, name::SPACE).is_some());
    for breaker in breakers.iter().filter(|_| are_said) {
        if spaces(shop, *breaker).into_iter().flatten().all(|space| taken.get(&space) == Some(&1)) {
            shop.settle(*breaker, name::IS_TANDEM, Value::YesNo(false));
        }
    }
}

/// The most possible members that one gathered list takes; beyond, it stays open.
const MOST_POSSIBLE: usize = 20_000;

/// Everything that the circuits of a list have under a word.
fn union(shop: &mut Shop, of: ItemRef, circuits: &List, word: NameId) {
    let mut list = List { is_open: circuits.is_open, ..List::default() };
    let sure = circuits.sure.iter().map(|c| (true, c));
    for (is_sure, circuit) in sure.chain(circuits.possible.iter().map(|c| (false, c))) {
        let Value::List(id) = shop.value(*circuit, word) else {
            list.is_open = true;
            continue;
        };
        let own = shop.list(id);
        list.is_open |= own.is_open || list.possible.len() > MOST_POSSIBLE;
        if is_sure {
            list.sure.extend(&own.sure)
        } else {
            list.possible.extend(&own.sure)
        }
        if !list.is_open {
            list.possible.extend(&own.possible);
        }
    }
    keep_first(&mut list.sure);
    let known: HashSet<ItemRef> = list.sure.iter().copied().collect();
    list.possible.retain(|i| !known.contains(i));
    keep_first(&mut list.possible);
    shop.settle_list(of, word, list);
}

/// The most feeders that are gone through behind one, and the most circuits behind all of them together; past either the
/// list of circuits stays open.
const MOST_FEEDERS: usize = 1000;
const MOST_GATHERED: usize = 1_000_000;

/// Branch circuits behind each feeder, through further panels too.
fn feeders(shop: &mut Shop) {
    let mut next: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Panel)];
    for feeder in shop.items(Kind::Feeder) {
        if let Some(slot) = shop.item(feeder, name::PANEL).and_then(|p| next.get_mut(p.index as usize)) {
            slot.push(feeder);
        }
    }
    let are_listed = shop.is_listed(Kind::Feeder);
    let mut budget = MOST_GATHERED;
    for feeder in shop.items(Kind::Feeder) {
        let mut all = List::default();
        let mut told = 0i64;
        let mut done = vec![feeder];
        let mut waiting = vec![feeder];
        while let Some(at) = waiting.pop() {
            let Some(panel) = shop.item(at, name::FAR_PANEL) else {
                all.is_open = true;
                continue;
            };
            let own = shop.members(panel, name::CIRCUITS);
            budget = budget.saturating_sub(own.sure.len().saturating_add(1));
            all.is_open |= own.is_open || budget == 0;
            told = told.saturating_add(least(shop, panel, name::CIRCUIT_COUNT).max(own.sure.len() as i64));
            if budget > 0 {
                all.sure.extend(own.sure);
                all.possible.extend(own.possible);
            }
            all.is_open |= !are_listed && shop.yes(panel, name::IS_ALL_DRAWN) != Some(true);
            for further in next.get(panel.index as usize).into_iter().flatten() {
                if done.contains(further) {
                    continue;
                }
                if done.len() > MOST_FEEDERS {
                    all.is_open = true;
                    continue;
                }
                done.push(*further);
                waiting.push(*further);
            }
        }
        keep_first(&mut all.sure);
        keep_first(&mut all.possible);
        let needed = neutral_needed(shop, &all);
        shop.settle(feeder, name::IS_NEUTRAL_NEEDED, yes_no(needed));
        union(shop, feeder, &all, name::EQUIPMENT);
        let most = all.sure.len().saturating_add(all.possible.len()) as i64;
        let count = between(told, (!all.is_open).then_some(most.max(told)));
        shop.settle(feeder, name::CIRCUIT_COUNT, count);
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
