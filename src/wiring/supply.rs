//! Where circuits start, how many hots they have, on which busbar, at which voltage.

use super::facts::{Facts, PerItem, between, number, yes_no};
use super::starts::starts;
use crate::quantity::Rational;
use crate::shop::{ItemRef, Shop, Value};
use crate::text::Problem;
use crate::words::{Kind, choice, name};

/// What a circuit or feeder is made of, as far as it is known.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Line {
    /// The panel or supply where it starts.
    pub start: Option<ItemRef>,
    /// Least and most ungrounded conductors.
    pub hots: (u8, u8),
    /// Whether a neutral runs with it.
    pub neutral: Option<bool>,
    /// Whether the plan itself says so (`wire 3 x`, `neutral 8 AWG`), so that machines get it too.
    pub brings_neutral: bool,
    /// Busbars that its one hot may hang on: bit 0 is A, bit 1 is B.
    pub phase: u8,
    /// Whether the two busbars are opposite, so that a common neutral carries the difference.
    pub is_opposite: Option<bool>,
}

/// What every circuit and feeder is made of.
pub(super) struct Lines {
    pub circuits: Vec<Line>,
    pub feeders: Vec<Line>,
}

impl Lines {
    /// That of a circuit or feeder; nothing known for anything else.
    pub fn of(&self, line: ItemRef) -> Line {
        let all = if line.kind == Kind::Feeder { &self.feeders } else { &self.circuits };
        all.get(line.index as usize).copied().unwrap_or(Line { hots: (1, 3), phase: 3, ..Line::default() })
    }
}

/// Voltages of each value of the choice `system`: between hots, and how many hots it has at most.
struct System {
    bit: u64,
    between: i64,
    is_opposite: bool,
    is_wye: bool,
    most_hots: u8,
}

impl System {
    /// Whether it can give that many hots.
    fn suits(&self, hots: u8) -> bool {
        hots <= self.most_hots
    }
}

fn systems(shop: &Shop) -> [System; 4] {
    let system = |value, between, is_opposite, most_hots| System {
        bit: shop.bit(choice::SYSTEM, value),
        between,
        is_opposite,
        is_wye: value == "208Y/120",
        most_hots,
    };
    [
        system("120/240", 240, true, 2),
        system("120", 120, false, 1),
        system("240", 240, true, 2),
        system("208Y/120", 208, false, 3),
    ]
}

/// Where circuits and feeders start, and what follows for them from supply and breaker.
pub(super) fn lines(shop: &mut Shop, needs: &PerItem<Need>) -> Lines {
    starts(shop);
    let shared = shared_breakers(shop);
    let mut lines = Lines { circuits: Vec::new(), feeders: Vec::new() };
    let mut of_feeders = vec![Need::default(); shop.count(Kind::Feeder)];
    for item in shop.items(Kind::Circuit) {
        let sharing = shop.item(item, name::BREAKER).and_then(|b| shared.get(b.index as usize).copied()).unwrap_or(1);
        let need = needs.get(item).copied().unwrap_or_default();
        let line = measure(shop, item, sharing, need);
        if line.hots.0 >= 2 {
            climb(shop, item, &mut of_feeders);
        }
        lines.circuits.push(line);
    }
    for item in shop.items(Kind::Feeder) {
        let need = of_feeders.get(item.index as usize).copied().unwrap_or_default();
        let line = measure(shop, item, 1, need);
        lines.feeders.push(line);
    }
    lines
}

/// What works between two hots needs both of them in every feeder ahead.
fn climb(shop: &Shop, circuit: ItemRef, needs: &mut [Need]) {
    let mut at = circuit;
    while let Some(feeder) = shop.item(at, name::PANEL).and_then(|p| shop.item(p, name::FEEDER)) {
        match needs.get_mut(feeder.index as usize) {
            Some(need) if !need.has_two_hots => need.has_two_hots = true,
            _ => break,
        }
        at = feeder;
    }
}

/// What the loads of a circuit ask for, all together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Need {
    /// Whether something on it works between two hots.
    pub has_two_hots: bool,
    /// Whether everything on it is known to work from one hot and a neutral.
    pub is_one_hot: bool,
    /// Whether something on it uses a neutral beside two hots.
    pub has_neutral: bool,
    /// Whether everything on it is known not to use a neutral.
    pub is_without_neutral: bool,
}

impl Default for Need {
    fn default() -> Need {
        Need { has_two_hots: false, is_one_hot: false, has_neutral: false, is_without_neutral: false }
    }
}

/// How many circuits each breaker serves.
fn shared_breakers(shop: &Shop) -> Vec<u8> {
    let mut count = vec![0u8; shop.count(Kind::Breaker)];
    for circuit in shop.items(Kind::Circuit) {
        let slot = shop.item(circuit, name::BREAKER).and_then(|b| count.get_mut(b.index as usize));
        if let Some(slot) = slot {
            *slot = slot.saturating_add(1);
        }
    }
    count
}

fn measure(shop: &mut Shop, line: ItemRef, sharing: u8, need: Need) -> Line {
    let supply = shop.item(line, name::SUPPLY);
    let said = supply.map_or(u64::MAX, |s| shop.bits(s, name::SYSTEM));
    let hots = hots(shop, line, sharing, need);
    let neutral = neutral(shop, line, hots, need);
    let possible: Vec<System> = systems(shop).into_iter().filter(|s| s.bit & said != 0 && s.suits(hots.0)).collect();
    let is_opposite = all_alike(possible.iter().map(|s| s.is_opposite));
    let phase = phase(shop, line, hots, is_opposite);
    shop.settle(line, name::HOTS, between(hots.0.into(), Some(hots.1.into())));
    shop.settle(line, name::HAS_NEUTRAL, yes_no(neutral));
    shop.settle(line, name::IS_BRANCH, Value::YesNo(line.kind == Kind::Circuit));
    voltage(shop, line, hots, neutral, &possible);
    let start = shop.item(line, name::PANEL).or_else(|| shop.item(line, name::NEAR_END)).or_else(|| {
        shop.item(line, name::SUPPLY).filter(|_| line.kind == Kind::Feeder || shop.is_said(line, name::SUPPLY))
    });
    let brings_neutral = neutral == Some(true)
        && (shop.is_said(line, name::HAS_NEUTRAL)
            || shop.item(line, name::NEUTRAL_WIRE).is_some()
            || wire_count(shop, line).is_some_and(|n| n > i64::from(hots.1)));
    Line { start, hots, neutral, brings_neutral, phase, is_opposite }
}

/// Volts, phases and system of a line, as far as all systems agree that its supply may have. A
/// system that nobody named may be any that the vocabulary knows: all have 120 V to ground.
fn voltage(shop: &mut Shop, line: ItemRef, hots: (u8, u8), neutral: Option<bool>, possible: &[System]) {
    let volts_of = |hots: u8, s: &System| if hots == 1 { 120 } else { s.between };
    let all: Vec<i64> = possible.iter().flat_map(|s| [volts_of(hots.0, s), volts_of(hots.1, s)]).collect();
    match (all.iter().min().copied(), all.iter().max().copied()) {
        (Some(low), Some(high)) if low == high => settle_volts(shop, line, low),
        (Some(low), Some(high)) => shop.settle(line, name::VOLTS, between(low, Some(high))),
        _ => {}
    }
    if !possible.is_empty() {
        shop.settle(line, name::VOLTS_TO_GROUND, number(120));
    }
    let phases =
        all_alike(possible.iter().flat_map(|s| [hots.0, hots.1].map(|h| if h > 2 && s.is_wye { 3 } else { 1 })));
    if let Some(phases) = phases {
        shop.settle(line, name::PHASES, number(phases));
    }
    let mut bits = 0;
    for system in possible {
        let own = match (hots, neutral) {
            ((1, 1), _) => shop.bit(choice::SYSTEM, "120"),
            ((_, 3..), _) | ((2, 2), Some(true)) => system.bit,
            ((2, 2), Some(false)) if system.is_opposite => shop.bit(choice::SYSTEM, "240"),
            _ => 0,
        };
        if own == 0 {
            return;
        }
        bits |= own;
    }
    if bits != 0 {
        shop.settle(line, name::SYSTEM, Value::Choice(bits));
    }
}

/// What all of them are; none where they differ, or there are none.
fn all_alike<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Option<T> {
    let first = values.next()?;
    values.all(|v| v == first).then_some(first)
}

/// A plan may give volts too; where they differ from supply and poles, neither counts.
fn settle_volts(shop: &mut Shop, line: ItemRef, volts: i64) {
    let derived = number(volts);
    match shop.value(line, name::VOLTS) {
        Value::Number(said) if shop.is_said(line, name::VOLTS) && is_nominal(said, volts) => {
            let source = shop.source(line, name::VOLTS);
            shop.set(line, name::VOLTS, derived, source);
        }
        Value::Number(said) if shop.is_said(line, name::VOLTS) && Value::Number(said) != derived => {
            let place = shop.source(line, name::VOLTS).place;
            let called = shop.called(line);
            let text =
                format!("{called} is said to have {} V, but its poles and supply give {volts} V", said.decimal(1));
            shop.problems
                .push(Problem::error(place, text).help("give `1-pole` or `2-pole`, and the volts of the supply"));
            let source = crate::shop::Source { how: crate::shop::How::Conflict, ..shop.source(line, name::VOLTS) };
            shop.set(line, name::VOLTS, Value::Unknown, source);
        }
        _ => shop.settle(line, name::VOLTS, derived),
    }
}

/// Whether a voltage that people say is another name of a nominal one: 110, 115 and 125 V of 120 V.
pub(super) fn is_nominal(said: Rational, nominal: i64) -> bool {
    let near = |low: i64, high: i64| said >= Rational::whole(low) && said <= Rational::whole(high);
    match nominal {
        120 => near(110, 127),
        208 => near(200, 208),
        240 => near(220, 250),
        _ => said == Rational::whole(nominal),
    }
}

/// Ungrounded conductors: the poles of its breaker, or what its volts or its loads ask for.
///
/// Nobody writes `1-pole`: of 110 owners none gave poles. Where all that a circuit feeds works
/// from one hot and a neutral, one is what the plan needs; where something works between two, two.
fn hots(shop: &Shop, line: ItemRef, sharing: u8, need: Need) -> (u8, u8) {
    let poles = shop.item(line, name::BREAKER).and_then(|b| shop.whole(b, name::POLES));
    let of_poles = poles.and_then(|p| u8::try_from(p).ok()).filter(|p| (1..=3).contains(p));
    if sharing > 1 && line.kind == Kind::Circuit {
        return (1, 1);
    }
    if let Some(poles) = of_poles {
        return (poles, poles);
    }
    // A feeder's wires are counted with its neutral: three are two hots and a neutral.
    if line.kind == Kind::Feeder && wire_count(shop, line) == Some(3) {
        return (2, 2);
    }
    // One wire and no neutral can be nothing but one hot.
    let one_wire = shop.item(line, name::WIRE).is_some_and(|w| shop.whole(w, name::COUNT) == Some(1));
    if line.kind == Kind::Circuit && one_wire && shop.yes(line, name::HAS_NEUTRAL) == Some(false) {
        return (1, 1);
    }
    if let Some(volts) = shop.exact(line, name::VOLTS) {
        if is_nominal(volts, 120) {
            return (1, 1);
        }
        if volts >= Rational::whole(200) {
            return if shop.whole(line, name::PHASES) == Some(3) { (3, 3) } else { (2, 2) };
        }
    }
    match need {
        Need { has_two_hots: true, .. } => (2, 2),
        Need { is_one_hot: true, .. } => (1, 1),
        _ => (1, 2),
    }
}

fn neutral(shop: &Shop, line: ItemRef, hots: (u8, u8), need: Need) -> Option<bool> {
    if let Some(said) = shop.yes(line, name::HAS_NEUTRAL) {
        return Some(said);
    }
    if shop.item(line, name::NEUTRAL_WIRE).is_some() || hots == (1, 1) {
        return Some(true);
    }
    if hots.0 != hots.1 {
        return None;
    }
    if let Some(count) = wire_count(shop, line) {
        match count.saturating_sub(i64::from(hots.0)) {
            0 => return Some(false),
            1 => return Some(true),
            _ => {}
        }
    }
    match need {
        _ if line.kind == Kind::Feeder => None,
        Need { has_neutral: true, .. } => Some(true),
        Need { is_without_neutral: true, .. } => Some(false),
        _ => None,
    }
}

/// Hots and neutral together, where the plan counts them: `wire 3 x 6 AWG`, `cable 6/3`, or `4 wires`
/// with what it says of the equipment grounding conductor.
pub(super) fn wire_count(shop: &Shop, line: ItemRef) -> Option<i64> {
    let counted = shop.item(line, name::WIRE).and_then(|w| shop.whole(w, name::COUNT)).filter(|n| *n > 1);
    counted.or_else(|| {
        let grounds = match shop.value(line, name::EQUIPMENT_GROUND) {
            Value::Item(_) => 1,
            Value::Absent => 0,
            _ => return None,
        };
        let all = shop.whole(line, name::WIRE_COUNT)?;
        all.checked_sub(grounds).filter(|n| *n > 1)
    })
}

/// The busbar: stated, or from the lowest space. Spaces go across: 1 and 2 are A, 3 and 4 are B, and
/// so on (convention C16). That holds for a panel with two busbars, so the system must be known.
fn phase(shop: &mut Shop, line: ItemRef, hots: (u8, u8), is_opposite: Option<bool>) -> u8 {
    if line.kind == Kind::Feeder {
        return 3;
    }
    let values = [shop.bit(choice::PHASE, "A"), shop.bit(choice::PHASE, "B"), shop.bit(choice::PHASE, "both")];
    let is_alone = shop.item(line, name::BREAKER).is_none_or(|b| shop.head(b).of == Some(line));
    let of_breaker = shop.item(line, name::BREAKER).filter(|_| is_alone).and_then(|b| shop.whole(b, name::SPACE));
    let space = shop.whole(line, name::SPACE).or(of_breaker).filter(|s| *s >= 1);
    let derived = match (hots, space) {
        ((2, 2), _) if is_opposite == Some(true) => Some(2usize),
        ((1, 1), Some(space)) if is_opposite == Some(true) => Some(usize::from(space.saturating_sub(1) / 2 % 2 == 1)),
        _ => None,
    };
    if let Some(bit) = derived.and_then(|d| values.get(d)) {
        shop.settle(line, name::PHASE, Value::Choice(*bit));
    }
    let said = shop.bits(line, name::PHASE);
    let mut phase = 0;
    for (i, bit) in values.iter().enumerate() {
        if said & bit != 0 {
            phase |= [1, 2, 3].get(i).copied().unwrap_or(3);
        }
    }
    if phase == 0 { 3 } else { phase }
}
