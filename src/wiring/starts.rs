//! Where circuits and feeders start and end, and the supply behind each.

use super::facts::Facts;
use crate::shop::{ItemRef, Shop, Value};
use crate::words::{Kind, name};
use std::collections::BTreeSet;

/// Fills in what the plan leaves to its only panel: a circuit that doesn't say where it starts,
/// starts there. Where there are two panels it is not known.
pub(super) fn starts(shop: &mut Shop) {
    let only = (shop.count(Kind::Panel) == 1).then_some(ItemRef { kind: Kind::Panel, index: 0 });
    for circuit in shop.items(Kind::Circuit) {
        match shop.item(circuit, name::NEAR_END) {
            Some(end) if end.kind == Kind::Panel => shop.settle(circuit, name::PANEL, Value::Item(end)),
            Some(end) if end.kind == Kind::Supply => shop.settle(circuit, name::SUPPLY, Value::Item(end)),
            Some(_) => {}
            None => {
                let is_open = !shop.is_said(circuit, name::SUPPLY) && !shop.is_said(circuit, name::NEAR_END);
                if let Some(panel) = only.filter(|_| is_open) {
                    shop.settle(circuit, name::PANEL, Value::Item(panel));
                }
            }
        }
    }
    for feeder in shop.items(Kind::Feeder) {
        match shop.item(feeder, name::NEAR_END) {
            Some(end) if end.kind == Kind::Panel => shop.settle(feeder, name::PANEL, Value::Item(end)),
            Some(end) if end.kind == Kind::Supply => {
                shop.settle(feeder, name::PANEL, Value::Absent);
                shop.settle(feeder, name::SUPPLY, Value::Item(end));
            }
            _ => {}
        }
        match shop.item(feeder, name::FAR_END) {
            Some(end) if end.kind == Kind::Panel => shop.settle(feeder, name::FAR_PANEL, Value::Item(end)),
            _ => {}
        }
    }
    feed_panels(shop);
}

/// The feeder of each panel, and the supply behind it.
fn feed_panels(shop: &mut Shop) {
    let mut feeders: Vec<Vec<ItemRef>> = vec![Vec::new(); shop.count(Kind::Panel)];
    for feeder in shop.items(Kind::Feeder) {
        if let Some(panel) = shop.item(feeder, name::FAR_PANEL).and_then(|p| feeders.get_mut(p.index as usize)) {
            panel.push(feeder);
        }
    }
    for panel in shop.items(Kind::Panel) {
        if let Some([feeder]) = feeders.get(panel.index as usize).map(Vec::as_slice) {
            shop.settle(panel, name::FEEDER, Value::Item(*feeder));
        }
    }
    // A feeder from a panel has the supply of that panel. What was gone through once is not gone through again, so that
    // thousands of panels behind one another take no longer and the order of lines decides nothing.
    let mut lost: BTreeSet<ItemRef> = BTreeSet::new();
    for item in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        if shop.value(item, name::SUPPLY) != Value::Unknown {
            continue;
        }
        let mut way = BTreeSet::from([item]);
        let mut at = item;
        let supply = loop {
            let feeder = shop.item(at, name::PANEL).and_then(|panel| shop.item(panel, name::FEEDER));
            let Some(feeder) = feeder.filter(|feeder| !lost.contains(feeder)) else { break None };
            if let Some(supply) = shop.item(feeder, name::SUPPLY) {
                break Some(supply);
            }
            // Panels that feed each other in a ring.
            if !way.insert(feeder) {
                break None;
            }
            at = feeder;
        };
        let Some(supply) = supply else {
            lost.extend(way);
            continue;
        };
        for behind in way {
            if shop.value(behind, name::SUPPLY) == Value::Unknown {
                shop.settle(behind, name::SUPPLY, Value::Item(supply));
            }
        }
    }
}
