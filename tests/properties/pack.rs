//! The same promises over the pack's own small plans: those of its examples, so that every rule meets something. Picks are
//! by chance; `RINGOUT_PLANS` asks for so many.

use super::order::{Chance, open_facts, tries};
use ringout::law::code::Code;
use ringout::law::syntax::{ExampleBody, Given, Pack};
use ringout::law::verdict::{Lean, Outcome, Verdict};
use ringout::law::{self, Options, judge};
use ringout::plan::{self, syntax::Plan};
use ringout::quantity::Rational;
use ringout::shop::{How, ItemRef, Shop, Source, Value, build};
use ringout::text::{Severity, Sources, Spanned};
use ringout::wiring;
use ringout::words::{Kind, NameId, Type};
use std::collections::{BTreeMap, BTreeSet, HashMap};

struct Small {
    pack: Pack,
    code: Code,
}

/// An example's plan and the lines it shares with others.
struct Picked<'a> {
    rule: &'a str,
    body: &'a ExampleBody,
    givens: Vec<&'a Given>,
}

impl Small {
    fn new() -> Small {
        let mut pack = law::builtin(&mut Sources::default());
        law::builtin_examples(&mut pack);
        Small { pack, code: law::builtin_code().1 }
    }

    fn pick(&self, chance: &mut Chance) -> Picked<'_> {
        loop {
            let rule = &self.pack.rules[chance.below(self.pack.rules.len())];
            if rule.examples.is_empty() {
                continue;
            }
            let body = &rule.examples[chance.below(rule.examples.len())].body;
            let is_shared = |g: &&Given| rule.given.iter().any(|name| name.node == g.name.node);
            let givens = self.pack.givens.iter().filter(is_shared).collect();
            return Picked { rule: &rule.name.node, body, givens };
        }
    }

    /// The shop of an example whose lines are put through `change`.
    fn shop(&self, picked: &Picked, mut change: impl FnMut(&[Spanned<String>]) -> Vec<Spanned<String>>) -> Shop {
        let givens: Vec<Plan> = picked.givens.iter().map(|g| plan::read_lines(&change(&g.body.plan))).collect();
        let read = plan::read_lines(&change(&picked.body.plan));
        let unsaid: Vec<_> =
            (picked.givens.iter().flat_map(|g| g.body.unsaid.iter())).chain(&picked.body.unsaid).cloned().collect();
        build(&read, &givens.iter().collect::<Vec<_>>(), &unsaid, self.code.vocabulary.clone())
    }

    fn judged(&self, mut shop: Shop) -> (Shop, Vec<Verdict>) {
        wiring::complete(&mut shop);
        let verdicts = judge(&self.code, &shop, &Options::default());
        (shop, verdicts)
    }

    /// Outcomes by rule and item, as people call both.
    fn outcomes(&self, shop: Shop) -> BTreeMap<(&str, String), Vec<String>> {
        let (shop, verdicts) = self.judged(shop);
        let mut all: BTreeMap<(&str, String), Vec<String>> = BTreeMap::new();
        for verdict in &verdicts {
            // A breaker that two circuits share is called after the first of them.
            let is_shared = verdict.item.kind == Kind::Breaker;
            let item = if is_shared { "a breaker".to_string() } else { shop.called(verdict.item) };
            let rule = self.code.rules[verdict.rule.0 as usize].name.as_str();
            all.entry((rule, item)).or_default().push(format!("{:?}", verdict.outcome));
        }
        all.values_mut().for_each(|outcomes| outcomes.sort());
        all
    }
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// Lines in another order: items among each other, and the lines of an item. Stretches lie in the order of the way, so
/// they keep theirs, and lines under a line stay with it.
fn shuffled(lines: &[Spanned<String>], chance: &mut Chance) -> Vec<Spanned<String>> {
    let Some(edge) = lines.iter().filter(|l| !l.node.trim().is_empty()).map(|l| indent(&l.node)).min() else {
        return lines.to_vec();
    };
    let mut heads: Vec<Vec<Spanned<String>>> = Vec::new();
    for line in lines {
        match heads.last_mut() {
            Some(head) if line.node.trim().is_empty() || indent(&line.node) > edge => head.push(line.clone()),
            _ => heads.push(vec![line.clone()]),
        }
    }
    for last in (1..heads.len()).rev() {
        heads.swap(last, chance.below(last + 1));
    }
    let is_on_the_way = |line: &Spanned<String>| line.node.trim_start().starts_with("stretch");
    let mut all = Vec::new();
    for mut head in heads {
        let below = head.split_off(1);
        all.extend(head);
        all.extend(if below.iter().any(is_on_the_way) { below } else { shuffled(&below, chance) });
    }
    all
}

#[test]
fn the_order_of_lines_never_matters() {
    let small = Small::new();
    let count = tries(60);
    let mut met = BTreeSet::new();
    for number in 0..count {
        let chance = &mut Chance(number);
        let picked = small.pick(chance);
        let before = small.outcomes(small.shop(&picked, <[_]>::to_vec));
        let mut told = Vec::new();
        let after = small.outcomes(small.shop(&picked, |lines| {
            let lines = shuffled(lines, chance);
            told.extend(lines.iter().map(|l| l.node.clone()));
            lines
        }));
        met.extend(before.keys().map(|(rule, _)| *rule));
        assert_eq!(before, after, "{number}: an example of {} as\n{}", picked.rule, told.join("\n"));
    }
    println!("{count} plans, {} rules met something", met.len());
    assert!(met.len() > 100, "{} rules", met.len());
}

/// A value that a word may have.
fn value(shop: &Shop, ty: Type, chance: &mut Chance) -> Option<Value> {
    Some(match ty {
        Type::YesNo => Value::YesNo(chance.below(2) == 0),
        Type::Choice(id) => Value::Choice(1 << chance.below(shop.vocabulary.choice(id)?.values.len())),
        Type::Quantity(_) => {
            let amount = [0, 1, 2, 3, 6, 8, 12, 18, 24, 60, 120, 200][chance.below(12)];
            Value::Number(Rational::whole(amount))
        }
        _ => return None,
    })
}

/// What was unsaid is said: no pass becomes attention and no attention a pass, unless the verdict told what it presumed.
#[test]
fn a_fact_more_never_turns_a_verdict_of_a_small_plan() {
    let small = Small::new();
    let vocabulary = &small.code.vocabulary;
    let count = tries(60);
    let is_fine = |o: Outcome| matches!(o, Outcome::Pass | Outcome::NotApplicable);
    let mut settled = 0usize;
    for number in 0..count {
        let chance = &mut Chance(number);
        let picked = small.pick(chance);
        let shop = small.shop(&picked, <[_]>::to_vec);
        if shop.problems.iter().any(|p| p.severity == Severity::Error) {
            continue;
        }
        let judged = |shop: Shop| -> HashMap<(u32, ItemRef), (Outcome, Vec<Lean>)> {
            let (_, verdicts) = small.judged(shop);
            let lasting = verdicts.into_iter().filter(|v| !matches!(v.item.kind, Kind::Entry | Kind::Conductor));
            lasting.map(|v| ((v.rule.0, v.item), (v.outcome, v.leans_on))).collect()
        };
        let before = judged(shop.clone());
        let complete = small.judged(shop.clone()).0;
        let open: Vec<(ItemRef, NameId, Type)> = open_facts(&shop)
            // What follows from the drawing is not open, though nobody said it.
            .filter(|(item, name, _)| complete.value(*item, *name) == Value::Unknown)
            // Silence says where a thing stands: in the shop, and a supply outside it. Saying otherwise is no fact more.
            .filter(|(_, name, _)| vocabulary.text(*name) != "building")
            .collect();
        let mut more = shop.clone();
        let mut said = Vec::new();
        for _ in 0..20 {
            if open.is_empty() {
                break;
            }
            let (item, word, ty) = open[chance.below(open.len())];
            if let Some(value) = value(&shop, ty, chance) {
                more.set(item, word, value, Source { how: How::Planned, ..Source::default() });
                said.push(format!("{} of {}: {value:?}", vocabulary.text(word), shop.called(item)));
            }
        }
        for (key, (with, _)) in &judged(more) {
            let Some((without, leans)) = before.get(key) else { continue };
            let presumes = leans.iter().any(|lean| matches!(lean, Lean::Ordinary(..)));
            settled += usize::from(*without == Outcome::Unknown && *with != Outcome::Unknown);
            let turns = is_fine(*without) && *with == Outcome::Attention
                || *without == Outcome::Attention && is_fine(*with) && !presumes;
            assert!(
                !turns,
                "{number}: an example of {}: {} at {}: {without:?}, then {with:?} with {said:?}",
                picked.rule,
                small.code.rules[key.0 as usize].name,
                shop.called(key.1)
            );
        }
    }
    println!("{count} plans, {settled} verdicts settled by facts more");
    assert!(settled > 100, "the facts settle too little to prove anything: {settled}");
}
