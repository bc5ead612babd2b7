//! What follows for boxes, runs, terminals and electrodes from where they are and what they are tied to.

use super::facts::{Facts, between, number, within, yes_no};
use super::incoming::comes_from_elsewhere;
use super::lists::keep_first;
use crate::quantity::Rational;
use crate::shop::{ItemRef, List, Range, Shop, Value};
use crate::words::{Kind, choice, name};

/// Runs that come from outside into the building, and runs of a utility service.
pub(super) fn entries(shop: &mut Shop) {
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
    let mut has_no_service = shop.is_listed(Kind::Feeder);
    for line in shop.items(Kind::Feeder).chain(shop.items(Kind::Circuit)) {
        let service = if line.kind == Kind::Circuit { Some(false) } else { is_service_line(shop, line) };
        has_no_service &= service == Some(false);
        shop.settle(line, name::IS_SERVICE, yes_no(service));
    }
    for run in shop.items(Kind::Run) {
        let of = shop.head(run).of;
        let service = match of.filter(|o| matches!(o.kind, Kind::Feeder | Kind::Circuit)) {
            Some(line) if line.kind == Kind::Circuit => Some(false),
            Some(feeder) => is_service_line(shop, feeder),
            None if has_no_service => Some(false),
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

/// How the equipment ground is carried, and metal beside the feeder.
pub(super) fn grounds(shop: &mut Shop) {
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
pub(super) fn markings(shop: &mut Shop) {
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
pub(super) fn boxes(shop: &mut Shop) {
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
        shop.settle(the_box, name::HAS_ENCLOSURE, Value::YesNo(true));
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

pub(super) fn electrodes(shop: &mut Shop) {
    let rod = shop.bit(choice::ELECTRODE_TYPE, "rod");
    let all: Vec<(ItemRef, Option<bool>)> =
        shop.items(Kind::Electrode).map(|e| (e, within(shop.bits(e, name::TYPE), rod))).collect();
    let sure = all.iter().filter(|(_, r)| *r == Some(true)).count();
    let maybe = all.iter().filter(|(_, r)| r.is_none()).count();
    let is_closed = shop.is_listed(Kind::Electrode) || !shop.members(Shop::SHOP, name::ELECTRODES).is_open;
    for (electrode, is_rod) in &all {
        let others = sure.saturating_sub(usize::from(*is_rod == Some(true)));
        let perhaps = maybe.saturating_sub(usize::from(is_rod.is_none()));
        let answer = match (others > 0, perhaps > 0 || !is_closed) {
            (true, _) => Some(true),
            (false, true) => None,
            (false, false) => Some(false),
        };
        shop.settle(*electrode, name::HAS_OTHER_ROD, yes_no(answer));
    }
    let steel = shop.bit(choice::ELECTRODE_TYPE, "in-ground-steel");
    let mut is_frame = is_closed.then_some(false);
    for (electrode, _) in &all {
        let answer = match (within(shop.bits(*electrode, name::TYPE), steel), shop.yes(*electrode, name::IS_CONNECTED))
        {
            (Some(false), _) | (_, Some(false)) => continue,
            (Some(true), Some(true)) => Some(true),
            _ => None,
        };
        is_frame = if is_frame == Some(true) { is_frame } else { answer };
    }
    shop.settle(Shop::SHOP, name::IS_FRAME_ELECTRODE, yes_no(is_frame));
    let incoming = shop.members(Shop::SHOP, name::INCOMING);
    if let [line] = incoming.sure.as_slice() {
        for conductor in shop.items(Kind::ElectrodeConductor) {
            shop.settle(conductor, name::LINE, Value::Item(*line));
        }
    }
}
