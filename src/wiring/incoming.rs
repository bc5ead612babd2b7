//! What comes into the shop from elsewhere, and from which supplies.

use super::facts::{Facts, within, yes_no};
use super::lists::{is_elsewhere, keep_first};
use crate::shop::{ItemRef, List, Shop, Value};
use crate::words::{Kind, choice, name};

/// Feeders and circuits that come from elsewhere into the shop.
pub(super) fn incoming(shop: &mut Shop) {
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

pub(super) fn and(a: Option<bool>, b: Option<bool>) -> Option<bool> {
    match (a, b) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// A supply stands outside by its nature, unless it says that it is in the shop.
pub(super) fn comes_from_elsewhere(shop: &Shop, line: ItemRef) -> Option<bool> {
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

pub(super) fn reaches_shop(shop: &Shop, line: ItemRef) -> Option<bool> {
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
pub(super) fn shop_circuits(shop: &mut Shop) {
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

pub(super) fn supplies(shop: &mut Shop) {
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
        let by_name = match shop.head(supply).name.as_str() {
            "house" => "house-panel",
            "utility" => "utility-service",
            _ => continue,
        };
        let bit = shop.bit(choice::SUPPLY_TYPE, by_name);
        shop.settle(supply, name::TYPE, Value::Choice(bit));
    }
}

/// The second circuit of a shared neutral counts with the first.
pub(super) fn first_of_neutral(shop: &mut Shop) {
    let mut unsure = 0usize;
    for circuit in shop.items(Kind::Circuit) {
        let partners = shop.members(circuit, name::NEUTRAL_PARTNERS);
        unsure = unsure.saturating_add(usize::from(partners.is_open));
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
