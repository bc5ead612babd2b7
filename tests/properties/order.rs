//! The order of a plan's items never matters, and a fact more never turns a verdict, on real plans with all
//! built-in rules. `RINGOUT_PLANS` asks for so many random tries.

use ringout::law::verdict::{Lean, Outcome};
use ringout::law::{Options, judge};
use ringout::shop::{How, ItemRef, Shop, Source, Value, build};
use ringout::text::{FileId, Severity};
use ringout::words::{Kind, NameId, Origin, Type};
use ringout::{Rules, plan, wiring};
use std::collections::{BTreeMap, HashMap};
use std::path::Path;

/// SplitMix64, as in the tests on mutated inputs: one number gives one try on every machine.
pub struct Chance(pub u64);

impl Chance {
    pub fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        if count == 0 { 0 } else { ((z ^ (z >> 31)) % count as u64) as usize }
    }
}

pub fn tries(usual: u64) -> u64 {
    std::env::var("RINGOUT_PLANS").map_or(usual, |n| n.parse().unwrap())
}

/// Plans of which every line is read.
fn plans(rules: &Rules) -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut all = Vec::new();
    for folder in ["examples", "tests/cases/scenarios", "tests/cases/switching"] {
        let paths = std::fs::read_dir(root.join(folder)).unwrap().map(|e| e.unwrap().path());
        for path in paths.filter(|p| p.extension().is_some_and(|e| e == "shop")) {
            let text = std::fs::read_to_string(&path).unwrap();
            all.push((path.display().to_string(), text));
        }
    }
    all.sort();
    all.retain(|(_, text)| {
        let shop = build(&plan::read(FileId(999), text), &[], &[], rules.code.vocabulary.clone());
        !shop.problems.iter().any(|p| p.severity == Severity::Error)
    });
    assert!(all.len() > 50, "{} plans", all.len());
    all
}

/// Outcomes by rule and item, as people call both; items without a name of their own are told apart by number.
fn outcomes(rules: &Rules, text: &str) -> BTreeMap<(String, String), Vec<String>> {
    let checked = ringout::check(rules, "x.shop", text, &Options::default());
    let mut all: BTreeMap<(String, String), Vec<String>> = BTreeMap::new();
    for verdict in &checked.verdicts {
        let rule = rules.code.rules[verdict.rule.0 as usize].name.clone();
        // A breaker that two circuits share is called after the first of them.
        let is_shared = verdict.item.kind == Kind::Breaker;
        let item = if is_shared { "a breaker".to_string() } else { checked.shop.called(verdict.item) };
        all.entry((rule, item)).or_default().push(format!("{:?}", verdict.outcome));
    }
    all.values_mut().for_each(|outcomes| outcomes.sort());
    all
}

/// Blocks of a plan: a line at the left edge and the lines under it.
fn blocks(text: &str) -> Vec<String> {
    let mut blocks: Vec<String> = Vec::new();
    for line in text.lines() {
        match blocks.last_mut() {
            Some(block) if line.is_empty() || line.starts_with([' ', '\t', '#']) => *block += &format!("{line}\n"),
            _ => blocks.push(format!("{line}\n")),
        }
    }
    blocks
}

#[test]
fn the_order_of_items_never_matters() {
    let rules = Rules::builtin();
    let plans = plans(&rules);
    let count = tries(12);
    for number in 0..count {
        let chance = &mut Chance(number);
        let (name, text) = &plans[chance.below(plans.len())];
        let mut blocks = blocks(text);
        for last in (1..blocks.len()).rev() {
            blocks.swap(last, chance.below(last + 1));
        }
        let (before, after) = (outcomes(&rules, text), outcomes(&rules, &blocks.concat()));
        for (key, outcome) in &before {
            assert_eq!(Some(outcome), after.get(key), "{number}: {key:?} of {name}:\n{}", blocks.concat());
        }
        assert_eq!(before.len(), after.len(), "{number}: {name}");
    }
    println!("{count} plans with their items in another order");
}

/// Values that a word may have, few of them.
fn value(shop: &Shop, ty: Type, chance: &mut Chance) -> Option<Value> {
    Some(match ty {
        Type::YesNo => Value::YesNo(chance.below(2) == 0),
        Type::Choice(id) => {
            let count = shop.vocabulary.choice(id)?.values.len();
            Value::Choice(1 << chance.below(count))
        }
        _ => return None,
    })
}

/// Facts that a plan could state and of which nobody said anything, with their items.
pub fn open_facts(shop: &Shop) -> impl Iterator<Item = (ItemRef, NameId, Type)> + '_ {
    Kind::ALL
        .into_iter()
        .filter(|kind| !matches!(kind, Kind::Entry | Kind::Conductor))
        .flat_map(|kind| shop.items(kind))
        .flat_map(|item| {
            let words = shop.vocabulary.words().iter().filter(move |w| w.kinds.has(item.kind));
            words.filter(|w| matches!(w.origin, Origin::Stated | Origin::Fact)).map(move |w| (item, w.name, w.ty))
        })
        .filter(|(item, name, _)| shop.source(*item, *name).how == How::Unsaid)
        .filter(|(item, name, _)| shop.value(*item, *name) == Value::Unknown)
}

/// Something that nobody said is said: no pass becomes attention and no attention a pass, unless the
/// verdict said what it presumed.
#[test]
fn a_fact_more_never_turns_a_verdict() {
    let rules = Rules::builtin();
    let vocabulary = rules.code.vocabulary.clone();
    let plans = plans(&rules);
    let count = tries(10);
    let is_fine = |o: Outcome| matches!(o, Outcome::Pass | Outcome::NotApplicable);
    let mut added = 0usize;
    for number in 0..count {
        let chance = &mut Chance(number);
        let (name, text) = &plans[chance.below(plans.len())];
        let shop = build(&plan::read(FileId(999), text), &[], &[], vocabulary.clone());
        let judged = |mut shop: Shop| -> HashMap<(u32, ItemRef), (Outcome, Vec<Lean>)> {
            wiring::complete(&mut shop);
            let lasts = |item: ItemRef| !matches!(item.kind, Kind::Entry | Kind::Conductor);
            let all = judge(&rules.code, &shop, &Options::default()).into_iter().filter(|v| lasts(v.item));
            all.map(|v| ((v.rule.0, v.item), (v.outcome, v.leans_on))).collect()
        };
        let open: Vec<(ItemRef, NameId, Type)> = open_facts(&shop).collect();
        let mut more = shop.clone();
        let mut said = Vec::new();
        for _ in 0..1 + chance.below(6) {
            if open.is_empty() {
                break;
            }
            let (item, word, ty) = open[chance.below(open.len())];
            if let Some(value) = value(&shop, ty, chance) {
                more.set(item, word, value, Source { how: How::Planned, ..Source::default() });
                said.push((item, word, value));
            }
        }
        if said.is_empty() {
            continue;
        }
        added += said.len();
        let (before, after) = (judged(shop.clone()), judged(more));
        for (key, (with, _)) in &after {
            let Some((without, leans)) = before.get(key) else { continue };
            let presumes = leans.iter().any(|lean| matches!(lean, Lean::Ordinary(..)));
            let turns = is_fine(*without) && *with == Outcome::Attention
                || *without == Outcome::Attention && is_fine(*with) && !presumes;
            let told: Vec<String> = said
                .iter()
                .map(|(item, word, value)| format!("{} of {}: {value:?}", vocabulary.text(*word), shop.called(*item)))
                .collect();
            assert!(
                !turns,
                "{number}: {name}: {} at {}: {without:?}, then {with:?} with {told:?}",
                rules.code.rules[key.0 as usize].name,
                shop.called(key.1)
            );
        }
    }
    println!("{count} plans, {added} facts more");
}
