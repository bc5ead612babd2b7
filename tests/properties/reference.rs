//! The obvious way to judge: fill in what is not known in every way, and look at each.

use super::fragment::{Cond, FLAGS, Fragment, Num, RARE, TURN, Who, row_value};
use proptest::prelude::*;
use ringout::law::code::Code;
use ringout::law::syntax::Comparison;
use ringout::law::verdict::{Missing, Outcome};
use ringout::quantity::Rational;
use ringout::shop::{Head, How, ItemRef, List, Range, Shop, Source, Value};
use ringout::words::{Kind, NameId, name};

/// Currents that stand for all: one under, one at and one over each that fragments compare with.
const CURRENTS: [i64; 10] = [5, 10, 12, 15, 17, 20, 22, 25, 30, 40];
/// Values of the choice that fragments read.
const VALUES: u32 = 4;

/// What is known of a receptacle.
#[derive(Clone, Debug)]
pub struct Known {
    pub flags: [Option<bool>; 3],
    pub bay: Option<bool>,
    pub rare: Option<bool>,
    /// Possible values of the choice.
    pub cover: u64,
    /// Bounds of the current.
    pub amps: (Option<i64>, Option<i64>),
}

/// How a receptacle stands in the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Standing {
    Sure,
    Possible,
    Out,
}

/// What is known of a shop with a few receptacles.
#[derive(Clone, Debug)]
pub struct Facts {
    pub receptacles: Vec<Known>,
    pub standing: Vec<Standing>,
    pub is_open: bool,
    pub edition: Option<i64>,
}

/// One complete shop.
#[derive(Clone, Debug)]
pub struct Full {
    pub receptacles: Vec<FullReceptacle>,
    pub members: Vec<usize>,
    pub edition: i64,
}

/// One receptacle of which everything is known.
#[derive(Clone, Debug, PartialEq)]
pub struct FullReceptacle {
    pub flags: [bool; 3],
    pub bay: bool,
    pub rare: bool,
    pub cover: u64,
    pub amps: i64,
}

fn known() -> impl Strategy<Value = Known> {
    let yes = || prop::option::weighted(0.8, any::<bool>());
    let number = || prop::sample::select(CURRENTS.to_vec());
    let amps = prop_oneof![
        4 => number().prop_map(|n| (Some(n), Some(n))),
        1 => (number(), number()).prop_map(|(a, b)| (Some(a.min(b)), Some(a.max(b)))),
        1 => number().prop_map(|n| (Some(n), None)),
        1 => Just((None, None)),
    ];
    let cover = prop_oneof![3 => (0..VALUES).prop_map(|v| 1u64 << v), 1 => 1u64..(1 << VALUES)];
    ([yes(), yes(), yes()], yes(), prop::option::weighted(0.4, any::<bool>()), cover, amps)
        .prop_map(|(flags, bay, rare, cover, amps)| Known { flags, bay, rare, cover, amps })
}

/// Facts of a shop with two receptacles; with `loose` its list may be open and its edition unsaid.
pub fn facts(loose: bool) -> BoxedStrategy<Facts> {
    let standing = if loose {
        prop_oneof![3 => Just(Standing::Sure), 1 => Just(Standing::Possible), 1 => Just(Standing::Out)].boxed()
    } else {
        prop_oneof![3 => Just(Standing::Sure), 1 => Just(Standing::Out)].boxed()
    };
    let is_open = if loose { any::<bool>().boxed() } else { Just(false).boxed() };
    let edition = if loose {
        prop::option::of(prop::sample::select(vec![2014i64, 2017, 2020, 2026])).boxed()
    } else {
        Just(Some(2023)).boxed()
    };
    (prop::collection::vec(known(), 2), prop::collection::vec(standing, 2), is_open, edition)
        .prop_map(|(receptacles, standing, is_open, edition)| Facts { receptacles, standing, is_open, edition })
        .boxed()
}

pub fn receptacle(index: usize) -> ItemRef {
    ItemRef { kind: Kind::Receptacle, index: index as u32 }
}

/// The facts as a model.
pub fn shop(code: &Code, facts: &Facts) -> Shop {
    let mut shop = Shop::new(code.vocabulary.clone());
    let rare = code.vocabulary.name(RARE).unwrap();
    let planned = Source { how: How::Planned, ..Source::default() };
    for (index, known) in facts.receptacles.iter().enumerate() {
        let item = shop.add(Kind::Receptacle, Head { name: format!("R{index}"), ..Head::default() });
        let mut yes = |name: NameId, value: Option<bool>| {
            if let Some(value) = value {
                shop.set(item, name, Value::YesNo(value), planned);
            }
        };
        FLAGS.iter().zip(known.flags).for_each(|(name, value)| yes(*name, value));
        yes(rare, known.rare);
        shop.set(item, name::COVER, Value::Choice(known.cover), planned);
        match known.amps {
            (Some(a), Some(b)) if a == b => shop.set(item, name::AMPS, Value::Number(Rational::whole(a)), planned),
            (None, None) => {}
            (low, high) => {
                let whole = |n: Option<i64>| n.map(Rational::whole);
                let range = Range { low: whole(low), high: whole(high), low_is_open: false, high_is_open: false };
                shop.set(item, name::AMPS, Value::Range(range), planned);
            }
        }
        match known.bay {
            Some(true) => {
                let bay = shop.add(Kind::Bay, Head::default());
                shop.set(item, name::BAY, Value::Item(bay), planned);
            }
            Some(false) => shop.set(item, name::BAY, Value::Absent, planned),
            None => {}
        }
    }
    let of = |standing: Standing| {
        let these = facts.standing.iter().enumerate().filter(|(_, s)| **s == standing);
        these.map(|(index, _)| receptacle(index)).collect()
    };
    let list = List { sure: of(Standing::Sure), possible: of(Standing::Possible), is_open: facts.is_open, choices: 0 };
    shop.derive_list(Shop::SHOP, name::RECEPTACLES, list);
    if let Some(edition) = facts.edition {
        shop.set(Shop::PERMIT, name::EDITION, Value::Number(Rational::whole(edition)), planned);
    }
    shop
}

/// Every way to fill in the facts. An open list gets no further member, or one of a few kinds.
pub fn completions(facts: &Facts) -> Vec<Full> {
    let mut all: Vec<Vec<FullReceptacle>> = vec![Vec::new()];
    for known in &facts.receptacles {
        let ways = ways(known);
        all = all
            .iter()
            .flat_map(|so_far| ways.iter().map(|w| [so_far.as_slice(), std::slice::from_ref(w)].concat()))
            .collect();
    }
    let mut members: Vec<Vec<usize>> = vec![Vec::new()];
    for (index, standing) in facts.standing.iter().enumerate() {
        members = members
            .into_iter()
            .flat_map(|m| {
                let with = [m.as_slice(), &[index]].concat();
                match standing {
                    Standing::Sure => vec![with],
                    Standing::Out => vec![m],
                    Standing::Possible => vec![m, with],
                }
            })
            .collect();
    }
    let editions = facts.edition.map_or(vec![2014, 2017, 2020, 2023, 2026], |e| vec![e]);
    let mut full = Vec::new();
    for receptacles in &all {
        for members in &members {
            for edition in &editions {
                let this = Full { receptacles: receptacles.clone(), members: members.clone(), edition: *edition };
                if facts.is_open {
                    full.extend(strangers().map(|stranger| {
                        let mut with = this.clone();
                        with.members.push(with.receptacles.len());
                        with.receptacles.push(stranger);
                        with
                    }));
                }
                full.push(this);
            }
        }
    }
    full
}

fn ways(known: &Known) -> Vec<FullReceptacle> {
    let yes = |value: Option<bool>| value.map_or(vec![false, true], |v| vec![v]);
    let mut out = Vec::new();
    let covers: Vec<u64> = (0..VALUES).map(|v| 1u64 << v).filter(|v| known.cover & v != 0).collect();
    let amps = CURRENTS
        .into_iter()
        .filter(|n| known.amps.0.is_none_or(|low| low <= *n) && known.amps.1.is_none_or(|high| *n <= high));
    for amps in amps {
        for cover in &covers {
            for a in yes(known.flags[0]) {
                for b in yes(known.flags[1]) {
                    for c in yes(known.flags[2]) {
                        for bay in yes(known.bay) {
                            for rare in yes(known.rare) {
                                out.push(FullReceptacle { flags: [a, b, c], bay, rare, cover: *cover, amps });
                            }
                        }
                    }
                }
            }
        }
    }
    out
}

fn strangers() -> impl Iterator<Item = FullReceptacle> {
    (0..8u8).map(|n| FullReceptacle {
        flags: [n & 1 != 0, n & 2 != 0, n & 4 != 0],
        bay: n & 1 == 0,
        rare: false,
        cover: 1 << (n % 4),
        amps: if n & 2 != 0 { 5 } else { 30 },
    })
}

/// What a complete shop gives at its first receptacle.
pub fn outcome(fragment: &Fragment, full: &Full) -> Outcome {
    let holds = |c: &Cond| truth(fragment, c, full, 0, None);
    if !fragment.wheres.iter().all(holds) {
        return Outcome::NotApplicable;
    }
    let excepted = |part: Option<usize>| fragment.excepts.iter().any(|(c, freed)| *freed == part && holds(c));
    let met = fragment
        .needs
        .iter()
        .enumerate()
        .all(|(number, (c, turns))| *turns && full.edition < TURN || holds(c) || excepted(Some(number)));
    if met || excepted(None) { Outcome::Pass } else { Outcome::Attention }
}

/// Whether a condition holds for a subject, and for a member of the list where it goes through one.
fn truth(fragment: &Fragment, condition: &Cond, full: &Full, subject: usize, member: Option<usize>) -> bool {
    let index = |who: Who| if who == Who::Subject { subject } else { member.unwrap() };
    let of = |who: Who| &full.receptacles[index(who)];
    let holds = |c: &Cond| truth(fragment, c, full, subject, member);
    let value = |num: &Num| amount(fragment, num, full, subject, member);
    match condition {
        Cond::Is(who, flag) => of(*who).flags[*flag],
        Cond::HasBay(who) => of(*who).bay,
        Cond::Rare => of(Who::Subject).rare,
        Cond::OneOf(who, bits) => of(*who).cover & bits != 0,
        Cond::Term(who, term) => truth(fragment, &fragment.terms[*term], full, index(*who), None),
        Cond::Fits(who, most) => of(*who).flags[0] || of(*who).amps <= value(most),
        Cond::Compare(comparison, a, b) => {
            let (a, b) = (value(a), value(b));
            match comparison {
                Comparison::Equal => a == b,
                Comparison::Less => a < b,
                Comparison::AtMost => a <= b,
                Comparison::More => a > b,
                Comparison::AtLeast => a >= b,
            }
        }
        Cond::Not(inner) => !holds(inner),
        Cond::And(parts) => parts.iter().all(holds),
        Cond::Or(parts) => parts.iter().any(holds),
        Cond::If(parts) => {
            if holds(&parts[0]) {
                holds(&parts[1])
            } else {
                holds(&parts[2])
            }
        }
        Cond::Quantified { is_all, filter, body } => {
            let mut chosen = chosen(fragment, filter, full, subject);
            let says = |m: usize| truth(fragment, body, full, subject, Some(m));
            if *is_all { chosen.all(says) } else { chosen.any(says) }
        }
    }
}

fn chosen<'f>(
    fragment: &'f Fragment,
    filter: &'f Option<Box<Cond>>,
    full: &'f Full,
    subject: usize,
) -> impl Iterator<Item = usize> + 'f {
    let says = move |m: usize| filter.as_ref().is_none_or(|c| truth(fragment, c, full, subject, Some(m)));
    full.members.iter().copied().filter(move |m| says(*m))
}

fn amount(fragment: &Fragment, num: &Num, full: &Full, subject: usize, member: Option<usize>) -> i64 {
    let of = |num: &Num| amount(fragment, num, full, subject, member);
    let item = |who: Who| &full.receptacles[if who == Who::Subject { subject } else { member.unwrap() }];
    match num {
        Num::Constant(n) => *n,
        Num::Amps(who) => item(*who).amps,
        Num::Row(who) => row_value(item(*who).cover.trailing_zeros(), item(*who).amps),
        Num::Plus(pair) => of(&pair[0]) + of(&pair[1]),
        Num::Least(candidates) => candidates.iter().map(of).min().unwrap(),
        Num::Largest(candidates) => candidates.iter().map(of).max().unwrap(),
        Num::Count(filter) => chosen(fragment, filter, full, subject).count() as i64,
        Num::Sum(filter) => chosen(fragment, filter, full, subject).map(|m| full.receptacles[m].amps).sum(),
        Num::If(parts) => {
            if truth(fragment, &parts.0, full, subject, member) {
                of(&parts.1)
            } else {
                of(&parts.2)
            }
        }
    }
}

/// The facts that make a difference to a rule: those where two complete shops that differ in this
/// fact alone come out differently, pass and not applicable being the same.
pub fn that_matter(fragment: &Fragment, code: &Code, facts: &Facts) -> Vec<Missing> {
    let full = completions(facts);
    let is_fine = |f: &Full| outcome(fragment, f) != Outcome::Attention;
    let rare = code.vocabulary.name(RARE).unwrap();
    let mut found = Vec::new();
    for index in 0..facts.receptacles.len() {
        let names = [FLAGS[0], FLAGS[1], FLAGS[2], name::BAY, rare, name::COVER, name::AMPS];
        for (place, name) in names.into_iter().enumerate() {
            let neutral = |f: &Full| {
                let mut receptacles = f.receptacles.clone();
                let r = &mut receptacles[index];
                match place {
                    0..=2 => r.flags[place] = false,
                    3 => r.bay = false,
                    4 => r.rare = false,
                    5 => r.cover = 0,
                    _ => r.amps = 0,
                }
                format!("{receptacles:?}")
            };
            let mut by_rest: std::collections::HashMap<String, [bool; 2]> = Default::default();
            for f in &full {
                by_rest.entry(neutral(f)).or_default()[usize::from(is_fine(f))] = true;
            }
            if by_rest.values().any(|seen| *seen == [true, true]) {
                found.push(Missing { item: receptacle(index), name });
            }
        }
    }
    found
}
