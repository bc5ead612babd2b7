//! What hangs on what: the electrical layer, out of the `feeds` lines alone.

#![expect(clippy::arithmetic_side_effects, reason = "places in lists of what is fed")]

use super::facts::{Facts, PerItem};
use super::pattern::{self, Pattern};
use super::supply::Need;
use crate::quantity::Rational;
use crate::shop::{ItemRef, List, Shop, Value};
use crate::words::{Kind, name};

/// Lists of what lies before or behind a device are cut at this length and left open: a chain of
/// thousands would cost its square, and no rule looks further than the nearest protection.
const FARTHEST: usize = 200;

/// One place of an item in the `feeds` lines.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub circuit: ItemRef,
    /// The last device on whose load terminals it hangs: a number into [`Hanging::chain`].
    pub behind: Option<u32>,
    /// Whether something unnamed may stand between it and that device.
    pub is_open: bool,
    /// What controls it: numbers into [`Hanging::controls`].
    pub controls: Option<u32>,
}

/// A link of a chain of load terminals.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub device: ItemRef,
    pub before: Option<u32>,
}

/// The electrical layer.
pub(super) struct Hanging {
    pub places: PerItem<Vec<Place>>,
    pub chain: Vec<Link>,
    /// The link of each device; where it has several, the last.
    pub link_of: PerItem<Option<u32>>,
    /// Switches and disconnects of each stage, those of the stages before included.
    pub controls: Vec<Vec<ItemRef>>,
    /// Loads behind each link.
    pub loads: PerItem<Vec<ItemRef>>,
    /// What each circuit's loads ask for.
    pub needs: PerItem<Need>,
    /// Patterns of the choice `configuration`.
    pub patterns: Vec<Pattern>,
}

impl Hanging {
    /// A further device that passes power on by its load terminals.
    fn link(&mut self, device: ItemRef, before: Option<u32>) -> u32 {
        self.chain.push(Link { device, before });
        let link = self.chain.len() as u32 - 1;
        if let Some(slot) = self.link_of.get_mut(device) {
            *slot = Some(link);
        }
        link
    }

    /// Devices ahead, nearest first, and whether the list was cut.
    pub fn ahead(&self, from: Option<u32>) -> (Vec<ItemRef>, bool) {
        let mut all = Vec::new();
        let mut at = from;
        while let Some(link) = at.and_then(|i| self.chain.get(i as usize)) {
            if all.len() == FARTHEST {
                return (all, true);
            }
            all.push(link.device);
            at = link.before;
        }
        (all, false)
    }
}

/// Reads the `feeds` lines.
pub(super) fn hang(shop: &Shop) -> Hanging {
    let patterns = pattern::patterns(&shop.vocabulary);
    let mut hanging = Hanging {
        places: PerItem::new(shop),
        chain: Vec::new(),
        link_of: PerItem::new(shop),
        controls: Vec::new(),
        loads: PerItem::new(shop),
        needs: PerItem::new(shop),
        patterns,
    };
    for (circuit, feeds) in shop.items(Kind::Circuit).zip(&shop.feeds) {
        let mut need = Need {
            has_two_hots: false,
            is_one_hot: !feeds.is_open,
            has_neutral: false,
            is_without_neutral: !feeds.is_open,
        };
        let mut count = 0usize;
        for branch in &feeds.branches {
            let (mut behind, mut is_open, mut controls) = (None, false, None);
            for stage in &branch.stages {
                let own = stage.through.iter().filter(|c| matches!(c.kind, Kind::Switch | Kind::Disconnect));
                if !stage.through.is_empty() {
                    let before: Option<&Vec<ItemRef>> = controls.and_then(|c: u32| hanging.controls.get(c as usize));
                    let all = before.into_iter().flatten().copied().chain(own.copied()).collect();
                    hanging.controls.push(all);
                    controls = Some(hanging.controls.len() as u32 - 1);
                }
                for control in &stage.through {
                    let place = Place { circuit, behind, is_open, controls: None };
                    note(&mut hanging, *control, place);
                    if control.kind == Kind::Device {
                        behind = Some(hanging.link(*control, behind));
                    }
                }
                for load in &stage.loads {
                    // A supply left capped in a box asks for nothing of its own.
                    count += usize::from(load.item.is_none_or(|i| i.kind != Kind::Box));
                    let Some(item) = load.item else {
                        need.is_one_hot = false;
                        need.is_without_neutral = false;
                        continue;
                    };
                    if item.kind != Kind::Box {
                        add_need(shop, &hanging.patterns, item, &mut need);
                    }
                    let place = Place { circuit, behind, is_open, controls };
                    note(&mut hanging, item, place);
                }
                match stage.loads.last().map(|l| l.item) {
                    Some(Some(item)) if matches!(item.kind, Kind::Receptacle | Kind::Device) => {
                        behind = Some(hanging.link(item, behind));
                    }
                    Some(None) | None => is_open = true,
                    Some(Some(_)) => {}
                }
            }
        }
        if count == 0 {
            need.is_one_hot = false;
            need.is_without_neutral = false;
        }
        if let Some(slot) = hanging.needs.get_mut(circuit) {
            *slot = need;
        }
    }
    hanging
}

fn note(hanging: &mut Hanging, item: ItemRef, place: Place) {
    let mut at = place.behind;
    let mut steps = 0;
    while let Some(link) = at.and_then(|i| hanging.chain.get(i as usize)).copied().filter(|_| steps <= FARTHEST) {
        if let Some(loads) = hanging.loads.get_mut(link.device)
            && loads.len() <= FARTHEST
            && loads.last() != Some(&item)
        {
            loads.push(item);
        }
        at = link.before;
        steps += 1;
    }
    if let Some(places) = hanging.places.get_mut(item) {
        places.push(place);
    }
}

/// What one load asks of its circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wants {
    /// Whether it works between two hots.
    pub two_hots: Option<bool>,
    /// Whether it uses a neutral.
    pub neutral: Option<bool>,
}

/// What a load asks for by its pattern or its plate. A light works from one hot and a neutral.
pub(super) fn wants(shop: &Shop, patterns: &[Pattern], item: ItemRef) -> Wants {
    let (two_hots, neutral) = match item.kind {
        Kind::Receptacle => {
            let bits = shop.bits(item, name::CONFIGURATION);
            let ask = |f: fn(&Pattern) -> bool| pattern::all(patterns, bits, |p| Some(f(p)));
            (ask(|p| p.has_two_hots), ask(|p| p.has_neutral))
        }
        Kind::Light => (Some(false), Some(true)),
        Kind::Equipment | Kind::Device => match shop.exact(item, name::VOLTS) {
            Some(volts) if volts > Rational::whole(150) => (Some(true), Some(false)),
            Some(_) => (Some(false), Some(true)),
            None if item.kind == Kind::Device => (Some(false), Some(true)),
            None => (None, None),
        },
        _ => (None, None),
    };
    Wants { two_hots, neutral }
}

fn add_need(shop: &Shop, patterns: &[Pattern], item: ItemRef, need: &mut Need) {
    let wants = wants(shop, patterns, item);
    need.has_two_hots |= wants.two_hots == Some(true);
    need.is_one_hot &= wants.two_hots == Some(false);
    need.has_neutral |= wants.neutral == Some(true);
    need.is_without_neutral &= wants.neutral == Some(false);
}

/// Writes the words that say what an item hangs on.
pub(super) fn write(shop: &mut Shop, hanging: &Hanging) {
    let kinds = [Kind::Receptacle, Kind::Switch, Kind::Light, Kind::Device, Kind::Equipment];
    for kind in kinds {
        for item in shop.items(kind) {
            let plugs = plugs_into(shop, item);
            let own = [item];
            let from: &[ItemRef] = if plugs.is_empty() { &own } else { &plugs };
            let places: Vec<(&Place, Option<ItemRef>)> = from
                .iter()
                .flat_map(|f| hanging.places.get(*f).into_iter().flatten().map(|p| (p, (*f != item).then_some(*f))))
                .collect();
            if places.is_empty() {
                continue;
            }
            let mut circuits: Vec<ItemRef> = places.iter().map(|(p, _)| p.circuit).collect();
            circuits.sort_unstable();
            circuits.dedup();
            if let [only] = circuits.as_slice() {
                shop.settle(item, name::CIRCUIT, Value::Item(*only));
            }
            shop.settle_list(item, name::CIRCUITS, List { sure: circuits, ..List::default() });
            let list = upstream(hanging, &places);
            shop.settle_list(item, name::UPSTREAM, list);
            if kind != Kind::Switch {
                let controls = controls(shop, hanging, &places);
                shop.settle_list(item, name::SWITCHES, controls);
            }
        }
    }
    for kind in [Kind::Receptacle, Kind::Device] {
        for item in shop.items(kind) {
            if hanging.places.get(item).is_none_or(Vec::is_empty) {
                continue;
            }
            let mut sure: Vec<ItemRef> = hanging.loads.get(item).cloned().unwrap_or_default();
            let is_open = sure.len() > FARTHEST;
            sure.sort_unstable();
            sure.dedup();
            shop.settle_list(item, name::DOWNSTREAM, List { sure, is_open, ..List::default() });
        }
    }
}

/// The receptacles that a machine or light plugs into.
pub(super) fn plugs_into(shop: &Shop, item: ItemRef) -> Vec<ItemRef> {
    if !matches!(item.kind, Kind::Equipment | Kind::Light) {
        return Vec::new();
    }
    let several = shop.members(item, name::RECEPTACLES).sure;
    if several.is_empty() { shop.item(item, name::RECEPTACLE).into_iter().collect() } else { several }
}

/// An item may be fed at several places, each half of a duplex at its own: what is ahead of all
/// places is ahead of it for sure, what is ahead of some only perhaps.
fn upstream(hanging: &Hanging, places: &[(&Place, Option<ItemRef>)]) -> List {
    let mut list = List::default();
    for (i, (place, plug)) in places.iter().enumerate() {
        let (behind, is_cut) = hanging.ahead(place.behind);
        let ahead: Vec<ItemRef> = plug.iter().copied().chain(behind).collect();
        list.is_open |= is_cut || place.is_open;
        if i == 0 {
            list.sure = ahead;
            continue;
        }
        let (both, one): (Vec<_>, Vec<_>) = list.sure.drain(..).partition(|d| ahead.contains(d));
        list.possible.extend(one);
        list.possible.extend(ahead.into_iter().filter(|d| !both.contains(d)));
        list.sure = both;
    }
    list.possible.sort_unstable();
    list.possible.dedup();
    list
}

/// Switches that control an item. Closed when the plan says that it names all switches.
fn controls(shop: &Shop, hanging: &Hanging, places: &[(&Place, Option<ItemRef>)]) -> List {
    let named = places.iter().filter_map(|(p, _)| p.controls).filter_map(|c| hanging.controls.get(c as usize));
    let mut sure: Vec<ItemRef> = named.flatten().copied().filter(|c| c.kind == Kind::Switch).collect();
    let mut seen: Vec<ItemRef> = Vec::new();
    sure.retain(|s| {
        let is_new = !seen.contains(s);
        if is_new {
            seen.push(*s);
        }
        is_new
    });
    List { sure, is_open: !shop.is_listed(Kind::Switch), ..List::default() }
}
