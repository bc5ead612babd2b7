//! Lists of the electrical layer: what the shop, its circuits, doors and receptacles have.
//!
//! A list has sure members, possible ones (whose place in the relation is unsaid), and is open or
//! closed. Possible members matter only to a closed list, so an open one does without: that also
//! keeps this room linear.

use super::facts::{Facts, PerItem, between, within, yes_no};
use super::hang::{Hanging, plugs_into};
use crate::shop::{Feeds, ItemRef, List, Load, Shop, Value};
use crate::words::{Kind, choice, name};

/// The most possible members that all lists of one word may have together; beyond, they stay open.
const MOST_POSSIBLE: usize = 200_000;

/// Writes the lists.
pub(super) fn write(shop: &mut Shop, hanging: &Hanging, boxes: &PerItem<Option<ItemRef>>) {
    places(shop, boxes);
    whole(shop);
    receptacle_equipment(shop, hanging);
    circuits(shop, hanging);
    switches(shop, hanging);
    doors_and_bays(shop);
}

/// A device is where its box is; a plan with one area has everything in it.
fn places(shop: &mut Shop, boxes: &PerItem<Option<ItemRef>>) {
    let only = (shop.count(Kind::Area) == 1).then_some(Value::Item(ItemRef { kind: Kind::Area, index: 0 }));
    for kind in [
        Kind::Box,
        Kind::Panel,
        Kind::Run,
        Kind::Receptacle,
        Kind::Switch,
        Kind::Light,
        Kind::Device,
        Kind::Equipment,
        Kind::Disconnect,
    ] {
        for item in shop.items(kind) {
            if let Some(the_box) = boxes.get(item).copied().flatten() {
                shop.settle(item, name::BOX, Value::Item(the_box));
                for word in [name::PLACE, name::AREA] {
                    let value = shop.value(the_box, word);
                    shop.settle(item, word, value);
                }
            }
            if let Some(area) = only.filter(|_| shop.vocabulary.word(kind, name::AREA).is_some()) {
                shop.settle(item, name::AREA, area);
            }
        }
    }
    let mut devices: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Box)];
    for kind in [Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device, Kind::Equipment] {
        for item in shop.items(kind) {
            let slot = boxes.get(item).copied().flatten().and_then(|b| devices.get_mut(b.index as usize));
            if let Some(slot) = slot {
                slot.push(item);
            }
        }
    }
    for (the_box, sure) in shop.items(Kind::Box).zip(devices) {
        shop.settle_list(the_box, name::DEVICES, List { sure, is_open: true, ..List::default() });
    }
}

/// Whether an item is known to stand in another building than the shop.
pub(super) fn is_elsewhere(shop: &Shop, item: ItemRef) -> Option<bool> {
    match shop.value(item, name::BUILDING) {
        Value::Choice(bits) => within(bits, !shop.bit(choice::BUILDING, "shop")),
        _ => Some(false),
    }
}

/// Everything of a kind that is in the shop.
fn whole(shop: &mut Shop) {
    let all = |shop: &Shop, kind: Kind| {
        let mut list = List { is_open: !shop.is_listed(kind), ..List::default() };
        for item in shop.items(kind) {
            match is_elsewhere(shop, item) {
                Some(false) => list.sure.push(item),
                Some(true) => {}
                None => list.possible.push(item),
            }
        }
        list
    };
    for (word, kind) in [
        (name::RECEPTACLES, Kind::Receptacle),
        (name::LIGHTS, Kind::Light),
        (name::EQUIPMENT, Kind::Equipment),
        (name::RUNS, Kind::Run),
    ] {
        let list = all(shop, kind);
        shop.settle_list(Shop::SHOP, word, list);
    }
    let areas = List { sure: shop.items(Kind::Area).collect(), ..List::default() };
    shop.settle_list(Shop::SHOP, name::AREAS, areas);
}

/// What plugs in at each receptacle.
fn receptacle_equipment(shop: &mut Shop, hanging: &Hanging) {
    let mut sure: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Receptacle)];
    let roaming = roaming(shop, hanging);
    for machine in shop.items(Kind::Equipment) {
        for receptacle in plugs_into(shop, machine) {
            if let Some(slot) = sure.get_mut(receptacle.index as usize) {
                slot.push(machine);
            }
        }
    }
    let is_listed = shop.is_listed(Kind::Equipment);
    let fits = roaming.len().saturating_mul(sure.len()) <= MOST_POSSIBLE;
    for (receptacle, sure) in shop.items(Kind::Receptacle).zip(sure) {
        let possible = if is_listed && fits { roaming.clone() } else { Vec::new() };
        let list = List { sure, possible, is_open: !is_listed || !fits, ..List::default() };
        shop.settle_list(receptacle, name::EQUIPMENT, list);
    }
}

/// Machines that may plug in anywhere: no receptacle named, not wired in, on no circuit.
fn roaming(shop: &Shop, hanging: &Hanging) -> Vec<ItemRef> {
    let wired = shop.bit(choice::CONNECTION, "hard-wired");
    shop.items(Kind::Equipment)
        .filter(|m| {
            shop.value(*m, name::RECEPTACLE) == Value::Unknown
                && plugs_into(shop, *m).is_empty()
                && within(shop.bits(*m, name::CONNECTION), wired) != Some(true)
                && hanging.places.get(*m).is_none_or(Vec::is_empty)
        })
        .collect()
}

/// What each circuit feeds.
fn circuits(shop: &mut Shop, hanging: &Hanging) {
    let unfed = |shop: &Shop, kind: Kind| -> Vec<ItemRef> {
        let is_unfed =
            |i: &ItemRef| hanging.places.get(*i).is_none_or(Vec::is_empty) && plugs_into(shop, *i).is_empty();
        shop.items(kind).filter(is_unfed).collect()
    };
    let is_outlet = |load: &Load| load.item.is_some_and(|item| item.kind != Kind::Area);
    let is_named = |feeds: &Feeds| feeds.branches.iter().flat_map(|b| &b.stages).flat_map(|s| &s.loads).all(is_outlet);
    let open_count = shop.feeds.iter().filter(|feeds| feeds.is_open || !is_named(feeds)).count();
    let mut free: Vec<(Kind, Vec<ItemRef>, bool)> = Vec::new();
    for kind in [Kind::Receptacle, Kind::Light, Kind::Equipment] {
        let all = unfed(shop, kind);
        let fits = all.len().saturating_mul(open_count) <= MOST_POSSIBLE;
        free.push((kind, all, shop.is_listed(kind) && fits));
    }
    let roaming = roaming(shop, hanging);
    let is_all_equipment =
        shop.is_listed(Kind::Equipment) && roaming.len().saturating_mul(shop.count(Kind::Circuit)) <= MOST_POSSIBLE;
    for circuit in shop.items(Kind::Circuit) {
        let Some(feeds) = shop.feeds.get(circuit.index as usize) else { continue };
        let (mut outlets, mut firsts, mut fed_areas) = (Vec::new(), Vec::new(), Vec::new());
        let mut is_vague = false;
        let mut is_elsewhere = feeds.is_open;
        for branch in &feeds.branches {
            for (i, stage) in branch.stages.iter().enumerate() {
                for load in &stage.loads {
                    match load.item {
                        Some(item)
                            if matches!(item.kind, Kind::Receptacle | Kind::Light | Kind::Equipment | Kind::Device) =>
                        {
                            outlets.push((item, load.is_half));
                            if i == 0 {
                                firsts.push(item);
                            }
                        }
                        Some(item) if matches!(item.kind, Kind::Box | Kind::Panel) => {}
                        // Outlets that nobody named, yet all in this area.
                        Some(item) if item.kind == Kind::Area => {
                            fed_areas.push(item);
                            is_vague = true;
                        }
                        _ => (is_vague, is_elsewhere) = (true, true),
                    }
                }
            }
        }
        let is_open = feeds.is_open || is_vague;
        let count = receptacle_count(shop, &outlets);
        let mut plain: Vec<ItemRef> = outlets.iter().map(|(i, _)| *i).collect();
        keep_first(&mut plain);
        keep_first(&mut firsts);
        shop.settle_list(circuit, name::FIRST_OUTLETS, List { sure: firsts, is_open, ..List::default() });
        let is_outlet = |i: &&ItemRef| i.kind != Kind::Device;
        let mut all = List { sure: plain.iter().filter(is_outlet).copied().collect(), ..List::default() };
        for (kind, unfed, is_closed) in &free {
            let sure: Vec<ItemRef> = plain.iter().copied().filter(|i| i.kind == *kind).collect();
            let possible = if is_open && *is_closed { unfed.clone() } else { Vec::new() };
            let list = List { sure, possible, is_open: is_open && !is_closed, ..List::default() };
            all.possible.extend(&list.possible);
            all.is_open |= list.is_open;
            match kind {
                Kind::Receptacle => {
                    let upper = if list.is_open {
                        None
                    } else {
                        Some((list.possible.len() as i64).saturating_mul(2).saturating_add(count.1))
                    };
                    shop.settle(circuit, name::RECEPTACLE_COUNT, between(count.0, upper));
                    shop.settle_list(circuit, name::RECEPTACLES, list);
                }
                Kind::Light => shop.settle_list(circuit, name::LIGHTS, list),
                _ => {
                    let machines = machines(shop, &plain, list, is_all_equipment.then_some(&roaming));
                    shop.settle_list(circuit, name::EQUIPMENT, machines);
                }
            }
        }
        let mut areas = match !fed_areas.is_empty() && !is_elsewhere {
            true => areas(shop, &List { sure: all.sure.clone(), ..List::default() }),
            false => areas(shop, &all),
        };
        areas.sure.extend(fed_areas);
        areas.sure.sort_unstable();
        areas.sure.dedup();
        areas.possible.retain(|a| areas.sure.binary_search(a).is_err());
        shop.settle_list(circuit, name::AREAS, areas);
        shop.settle_list(circuit, name::OUTLETS, all);
        let is_labeled = shop.head(circuit).label.is_some();
        shop.settle(circuit, name::HAS_LABEL, Value::YesNo(is_labeled));
    }
}

/// Machines wired to a circuit or plugged in on it.
fn machines(shop: &Shop, outlets: &[ItemRef], wired: List, roaming: Option<&Vec<ItemRef>>) -> List {
    let mut list = wired;
    let mut has_receptacles = false;
    for outlet in outlets.iter().filter(|o| o.kind == Kind::Receptacle) {
        has_receptacles = true;
        list.sure.extend(shop.members(*outlet, name::EQUIPMENT).sure);
    }
    keep_first(&mut list.sure);
    if has_receptacles {
        match roaming {
            Some(all) => list.possible.extend(all),
            None => list.is_open = true,
        }
    }
    list
}

/// Places to plug in: a duplex is two, each half one.
fn receptacle_count(shop: &Shop, outlets: &[(ItemRef, bool)]) -> (i64, i64) {
    let mut count = (0i64, 0i64);
    for (item, is_half) in outlets.iter().filter(|(i, _)| i.kind == Kind::Receptacle) {
        let (low, high) = match (is_half, shop.yes(*item, name::IS_DUPLEX)) {
            (true, _) | (_, Some(false)) => (1, 1),
            (_, Some(true)) => (2, 2),
            _ => (1, 2),
        };
        count = (count.0.saturating_add(low), count.1.saturating_add(high));
    }
    count
}

/// Areas of some outlets; one whose area is unsaid may lie in any.
fn areas(shop: &Shop, outlets: &List) -> List {
    let mut list = List { is_open: outlets.is_open, ..List::default() };
    let mut is_anywhere = false;
    for item in outlets.sure.iter().chain(&outlets.possible) {
        match shop.item(*item, name::AREA) {
            Some(area) => list.sure.push(area),
            None => is_anywhere = true,
        }
    }
    if outlets.possible.is_empty() {
        list.sure.sort_unstable();
        list.sure.dedup();
    } else {
        let sure = outlets.sure.iter().filter_map(|i| shop.item(*i, name::AREA));
        list.possible = std::mem::replace(&mut list.sure, sure.collect());
        for part in [&mut list.sure, &mut list.possible] {
            part.sort_unstable();
            part.dedup();
        }
    }
    if is_anywhere {
        if shop.count(Kind::Area) <= 16 {
            list.possible.extend(shop.items(Kind::Area));
        } else {
            list.is_open = true;
        }
    }
    let sure = list.sure.clone();
    list.possible.retain(|a| sure.binary_search(a).is_err());
    list.possible.sort_unstable();
    list.possible.dedup();
    list
}

/// Drops what came before; keeps the order.
pub(super) fn keep_first(items: &mut Vec<ItemRef>) {
    if items.len() < 2 {
        return;
    }
    let mut seen = std::collections::HashSet::with_capacity(items.len());
    items.retain(|i| seen.insert(*i));
}

/// What each switch controls, and with which others.
fn switches(shop: &mut Shop, hanging: &Hanging) {
    let mut loads: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Switch)];
    let mut partners: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Switch)];
    for kind in [Kind::Receptacle, Kind::Light, Kind::Device, Kind::Equipment] {
        for item in shop.items(kind) {
            for place in hanging.places.get(item).into_iter().flatten() {
                let Some(controls) = place.controls.and_then(|c| hanging.controls.get(c as usize)) else { continue };
                let switches: Vec<ItemRef> = controls.iter().copied().filter(|c| c.kind == Kind::Switch).collect();
                for switch in &switches {
                    if let Some(slot) = loads.get_mut(switch.index as usize) {
                        slot.push(item);
                    }
                    if let Some(slot) = partners.get_mut(switch.index as usize)
                        && slot.len() < 1000
                    {
                        slot.extend(switches.iter().filter(|s| *s != switch));
                    }
                }
            }
        }
    }
    // A `feeds` line that may go on may name further loads of a switch.
    let is_open = shop.feeds.iter().any(|f| f.is_open) || !shop.is_listed(Kind::Circuit);
    let are_listed = shop.is_listed(Kind::Switch);
    for switch in shop.items(Kind::Switch) {
        let is_placed = hanging.places.get(switch).is_some_and(|p| !p.is_empty());
        let mut outlets = loads.get(switch.index as usize).cloned().unwrap_or_default();
        let mut others = partners.get(switch.index as usize).cloned().unwrap_or_default();
        keep_first(&mut outlets);
        keep_first(&mut others);
        let lights = outlets.iter().copied().filter(|i| i.kind == Kind::Light).collect();
        let may_grow = is_open || !is_placed;
        shop.settle_list(switch, name::OUTLETS, List { sure: outlets, is_open: may_grow, ..List::default() });
        shop.settle_list(switch, name::LIGHTS, List { sure: lights, is_open: may_grow, ..List::default() });
        shop.settle_list(
            switch,
            name::PARTNERS,
            List { sure: others, is_open: !are_listed || !is_placed, ..List::default() },
        );
        if is_placed {
            // The planned wiring never takes a neutral to a switch's contacts.
            shop.settle(switch, name::IS_IN_NEUTRAL, Value::YesNo(false));
        }
        let double = shop.bit(choice::SWITCH_TYPE, "double-pole");
        let opens_all = match (within(shop.bits(switch, name::TYPE), double), is_placed) {
            (Some(true), true) => hots_of(shop, switch).map(|h| h == 2),
            (Some(false), _) => Some(false),
            _ => None,
        };
        shop.settle(switch, name::IS_OPENING_ALL, yes_no(opens_all));
    }
}

fn hots_of(shop: &Shop, switch: ItemRef) -> Option<i64> {
    let circuit = shop.item(switch, name::CIRCUIT)?;
    if shop.yes(circuit, name::HAS_NEUTRAL) != Some(false) {
        return None;
    }
    shop.whole(circuit, name::HOTS)
}

/// Lights of doors and receptacles of bays.
fn doors_and_bays(shop: &mut Shop) {
    let inside = ["indoors", "indoors-damp"].iter().fold(0, |set, p| set | shop.bit(choice::PLACE, p));
    let free_lights: Vec<ItemRef> = shop
        .items(Kind::Light)
        .filter(|l| shop.value(*l, name::DOOR) == Value::Unknown)
        .filter(|l| within(shop.bits(*l, name::PLACE), inside) != Some(true))
        .collect();
    let mut of_door: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Door)];
    for light in shop.items(Kind::Light) {
        if let Some(slot) = shop.item(light, name::DOOR).and_then(|d| of_door.get_mut(d.index as usize)) {
            slot.push(light);
        }
    }
    fill(shop, Kind::Door, name::LIGHTS, of_door, free_lights, Kind::Light);
    let free: Vec<ItemRef> =
        shop.items(Kind::Receptacle).filter(|r| shop.value(*r, name::BAY) == Value::Unknown).collect();
    let mut of_bay: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Bay)];
    for receptacle in shop.items(Kind::Receptacle) {
        if let Some(slot) = shop.item(receptacle, name::BAY).and_then(|b| of_bay.get_mut(b.index as usize)) {
            slot.push(receptacle);
        }
    }
    fill(shop, Kind::Bay, name::RECEPTACLES, of_bay, free, Kind::Receptacle);
}

fn fill(
    shop: &mut Shop,
    of: Kind,
    word: crate::words::NameId,
    sure: Vec<Vec<ItemRef>>,
    free: Vec<ItemRef>,
    kind: Kind,
) {
    let is_listed = shop.is_listed(kind);
    let fits = free.len().saturating_mul(sure.len()) <= MOST_POSSIBLE;
    for (item, sure) in shop.items(of).zip(sure) {
        let possible = if is_listed && fits { free.clone() } else { Vec::new() };
        shop.settle_list(item, word, List { sure, possible, is_open: !is_listed || !fits, ..List::default() });
    }
}
