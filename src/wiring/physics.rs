//! What follows from patterns, plates and methods alone.

use super::facts::{Facts, number, within, yes_no};
use super::pattern::{self, Pattern};
use crate::quantity::Rational;
use crate::shop::{How, ItemRef, Range, Shop, Source, Value};
use crate::words::{Kind, choice, name};

const RACEWAYS: [&str; 13] = [
    "EMT",
    "IMC",
    "RMC",
    "PVC-40",
    "PVC-80",
    "HDPE",
    "ENT",
    "FMC",
    "LFMC",
    "LFNC",
    "surface-metal",
    "surface-plastic",
    "wireway",
];
const CABLES: [&str; 14] = [
    "NM-B",
    "UF-B",
    "MC",
    "AC",
    "SE",
    "SER",
    "USE-2",
    "USE",
    "URD",
    "mobile-home-feeder",
    "quadruplex",
    "triplex",
    "flexible-cord",
    "NM",
];
const NEITHER: [&str; 3] = ["open-conductors", "plumbing-pipe", "none"];

/// Machines whose watts over volts are their amperes: they heat, and do nothing else.
const HEATERS: [&str; 4] = ["space-heater", "water-heater", "kiln", "range"];

/// Writes what receptacles, machines, runs and supplies are by themselves.
pub(super) fn write(shop: &mut Shop, patterns: &[Pattern]) {
    receptacles(shop, patterns);
    let common = shop.bit(choice::BREAKER_TYPE, "inverse-time-breaker");
    for breaker in shop.items(Kind::Breaker).filter(|_| common != 0).collect::<Vec<_>>() {
        // A fuse says that it is one, and so does the rare breaker that only trips at once.
        shop.settle(breaker, name::TYPE, Value::Choice(common));
    }
    for switch in shop.items(Kind::Switch) {
        shop.settle(switch, name::GANGS, number(1));
    }
    equipment(shop, patterns);
    methods(shop);
    let systems = [("120/240", 240), ("120", 120), ("240", 240), ("208Y/120", 208)];
    for supply in shop.items(Kind::Supply) {
        let bits = shop.bits(supply, name::SYSTEM);
        let volts = systems.iter().find(|(v, _)| shop.bit(choice::SYSTEM, v) == bits).map(|(_, volts)| *volts);
        if let Some(volts) = volts {
            shop.settle(supply, name::VOLTS, number(volts));
        }
    }
}

fn receptacles(shop: &mut Shop, patterns: &[Pattern]) {
    for receptacle in shop.items(Kind::Receptacle) {
        let bits = shop.bits(receptacle, name::CONFIGURATION);
        let volts = pattern::all(patterns, bits, |p| Some(p.volts));
        let amps = pattern::all(patterns, bits, |p| Some(p.amps));
        let is_locking = pattern::all(patterns, bits, |p| Some(p.is_locking));
        let has_ground = pattern::all(patterns, bits, |p| Some(p.has_ground_contact));
        let is_single = pattern::all(patterns, bits, |p| Some(p.is_single));
        if let Some(volts) = volts {
            // `120 V` said of a 125 V pattern is the same thing; the pattern names it.
            let is_same = |said| super::supply::is_nominal(said, if volts == 125 { 120 } else { 240 });
            match shop.value(receptacle, name::VOLTS) {
                Value::Number(said) if is_same(said) => {
                    let source = shop.source(receptacle, name::VOLTS);
                    shop.set(receptacle, name::VOLTS, number(volts), source);
                }
                _ => shop.settle(receptacle, name::VOLTS, number(volts)),
            }
        }
        if let Some(amps) = amps {
            shop.settle(receptacle, name::AMPS, number(amps));
            if amps <= 20 {
                // Such patterns are made on a yoke of one gang (common practice, no source).
                shop.settle(receptacle, name::GANGS, number(1));
            }
        }
        let in_box = shop.item(receptacle, name::BOX).and_then(|b| shop.whole(b, name::GANGS));
        if in_box == Some(1) {
            shop.settle(receptacle, name::GANGS, number(1));
        }
        shop.settle(receptacle, name::IS_LOCKING, yes_no(is_locking));
        shop.settle(receptacle, name::HAS_GROUND_CONTACT, yes_no(has_ground));
        if is_single == Some(true) {
            // Patterns over 20 A are made with one place to plug in (common practice, no source).
            shop.settle(receptacle, name::IS_DUPLEX, Value::YesNo(false));
        }
    }
}

fn equipment(shop: &mut Shop, patterns: &[Pattern]) {
    let heaters = HEATERS.iter().fold(0, |set, h| set | shop.bit(choice::EQUIPMENT_TYPE, h));
    for machine in shop.items(Kind::Equipment) {
        if let (Some(watts), Some(volts)) = (shop.exact(machine, name::WATTS), shop.exact(machine, name::VOLTS))
            && let Some(amps) = watts.over(volts)
        {
            let is_heater = within(shop.bits(machine, name::TYPE), heaters);
            let value = match is_heater {
                Some(true) => Value::Number(amps),
                _ => Value::Range(Range::at_least(amps)),
            };
            shop.settle(machine, name::NAMEPLATE_CURRENT, value);
        }
        plate_without_effective_current(shop, machine);
        let receptacle = shop.item(machine, name::RECEPTACLE);
        let matching = receptacle.and_then(|r| fits(shop, patterns, machine, r));
        shop.settle(machine, name::IS_PLUG_MATCHING, yes_no(matching));
    }
}

/// A plate gives the effective current or has it worked out from the duty cycle: who writes down the
/// duty cycle alone is taken to have found no effective current. A guess, and marked as one.
fn plate_without_effective_current(shop: &mut Shop, machine: ItemRef) {
    let is_unsaid = shop.source(machine, name::EFFECTIVE_AMPS).how == How::Unsaid;
    if is_unsaid && shop.exact(machine, name::DUTY).is_some() {
        let place = shop.source(machine, name::DUTY).place;
        let source = Source { how: How::Assumed, place, claim: None, day: None };
        shop.set(machine, name::EFFECTIVE_AMPS, Value::Absent, source);
    }
}

/// Whether a plug goes into a receptacle: the same pattern, or the 15 A plug of a 20 A receptacle,
/// whose slot is cut for both (from memory of the patterns).
fn fits(shop: &Shop, patterns: &[Pattern], machine: ItemRef, receptacle: ItemRef) -> Option<bool> {
    let plug = shop.bits(machine, name::PLUG);
    let socket = shop.bits(receptacle, name::CONFIGURATION);
    let of = |bits: u64| (bits.count_ones() == 1).then(|| patterns.get(bits.trailing_zeros() as usize)).flatten();
    let (plug, socket) = (of(plug)?, of(socket)?);
    let is_cut_for_both = socket.amps == 20
        && plug.amps == 15
        && !socket.is_locking
        && !plug.is_locking
        && (plug.volts, plug.has_neutral, plug.has_ground_contact)
            == (socket.volts, socket.has_neutral, socket.has_ground_contact);
    Some(plug == socket || is_cut_for_both)
}

fn methods(shop: &mut Shop) {
    let set = |shop: &Shop, all: &[&str]| all.iter().fold(0, |set, m| set | shop.bit(choice::METHOD, m));
    let (raceways, cables) = (set(shop, &RACEWAYS), set(shop, &CABLES));
    let ours = raceways | cables | set(shop, &NEITHER);
    for run in shop.items(Kind::Run) {
        let bits = shop.bits(run, name::METHOD);
        if bits == u64::MAX {
            continue;
        }
        // A method that a pack added is none that this program knows.
        let answer = |wanted: u64| if bits & !ours != 0 && bits & wanted == 0 { None } else { within(bits, wanted) };
        shop.settle(run, name::IS_RACEWAY, yes_no(answer(raceways)));
        shop.settle(run, name::IS_CABLE, yes_no(answer(cables)));
    }
    for pulled in shop.items(Kind::Pulled) {
        let run = shop.head(pulled).of.filter(|r| r.kind == Kind::Run);
        let is_cable = run.and_then(|r| shop.yes(r, name::IS_CABLE));
        shop.settle(pulled, name::IS_IN_CABLE, yes_no(is_cable));
        if let Some(run) = run {
            shop.settle(pulled, name::RUN, Value::Item(run));
        }
    }
    let _ = Rational::ZERO;
}
