//! A second opinion on every verdict: each rule at each item of plans made by chance is judged again by an
//! evaluator that fills in what is open, world by world, and looks at each.
//!
//! A decided verdict has to be what every world gives. An unknown one needs two worlds that differ. An attention
//! that presumes ordinary answers holds in the worlds that give them.
//!
//! `cargo test` takes a few dozen plans;
//!
//! ```text
//! RINGOUT_PLANS=10000 cargo test --release --test second -- --nocapture
//! ```
//!
//! takes more and prints how many verdicts were compared. `RINGOUT_FIRST` is the number of the first plan;
//! `RINGOUT_LOOSE=1` shows what stayed unknown though all worlds agree.

#[path = "../fuzz/chance.rs"]
#[allow(dead_code)]
mod chance;
mod fill;
#[path = "../fuzz/mutate.rs"]
#[allow(dead_code)]
mod mutate;
mod plans;
mod world;

use fill::{Filler, Tried};
use plans::{Made, Plans};
use ringout::law::code::{Items, Level, Rule, RuleId};
use ringout::law::verdict::{Lean, Outcome, Verdict};
use ringout::law::{Options, judge};
use ringout::parallel;
use ringout::shop::{ItemRef, Shop, Value};
use std::collections::BTreeMap;
use world::Question;

/// Most worlds that are gone through in turn, and by chance.
const IN_TURN: usize = 1_000;
const BY_CHANCE: usize = 60;

/// What came of one verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Came {
    /// Decided, and every possible world agrees.
    DecidedAll,
    /// Decided, and every world that was tried agrees; there are more than can be tried.
    DecidedTried,
    /// Unknown, and two worlds differ.
    Unknown,
    /// Unknown, and of too many worlds those that were tried agree.
    UnknownTried,
    /// Unknown though all worlds agree.
    Loose,
    /// A world takes too long to walk through.
    TooLong,
    /// They differ.
    Wrong,
}

/// What the worlds of one item gave.
#[derive(Debug, Default)]
struct Seen {
    fine: usize,
    passes: usize,
    attention: usize,
    /// Of the worlds that answer rare facts in the ordinary way.
    ordinary_fine: usize,
    ordinary_attention: usize,
    off_table: usize,
    is_too_long: bool,
}

impl Seen {
    fn add(&mut self, tried: &Tried) {
        let is_ordinary = usize::from(tried.rare.is_empty());
        self.is_too_long |= tried.is_too_long;
        self.off_table += usize::from(tried.is_off_table);
        if tried.outcome == Outcome::Attention {
            self.attention += 1;
            self.ordinary_attention += is_ordinary;
        } else {
            self.fine += 1;
            self.passes += usize::from(tried.outcome == Outcome::Pass);
            self.ordinary_fine += is_ordinary;
        }
    }

    fn is_mixed(&self) -> bool {
        self.fine > 0 && self.attention > 0
    }
}

/// Whether a world contradicts a verdict.
fn contradicts(rule: &Rule, verdict: &Verdict, tried: &Tried) -> bool {
    match verdict.outcome {
        Outcome::Unknown => false,
        _ if tried.is_off_table => false,
        Outcome::Pass => tried.outcome == Outcome::Attention,
        Outcome::NotApplicable if rule.level == Level::Note => tried.outcome == Outcome::Attention,
        Outcome::NotApplicable => tried.outcome != Outcome::NotApplicable,
        Outcome::Attention => {
            let presumed = |fact: &(ItemRef, _)| verdict.leans_on.contains(&Lean::Ordinary(fact.0, fact.1));
            tried.outcome != Outcome::Attention && !tried.rare.iter().any(presumed)
        }
    }
}

fn compared(plans: &Plans, made: &Made, number: u64, verdict: &Verdict, may_belong: bool) -> (Came, Option<String>) {
    let rule = &plans.code.rules[verdict.rule.0 as usize];
    let mut filler = Filler::new(&plans.code, &made.shop, rule, (verdict.item, may_belong));
    let mut seen = Seen::default();
    let mut wrong = None;
    let mut visit = |tried: Tried| {
        seen.add(&tried);
        let breaks = tried.broken.is_some() && !tried.is_too_long;
        if breaks || !tried.is_too_long && contradicts(rule, verdict, &tried) {
            wrong = Some(world_text(plans, &made.shop, &tried));
        }
        wrong.is_some() || seen.is_too_long || verdict.outcome == Outcome::Unknown && seen.is_mixed()
    };
    // The first few by chance find the figures that amounts are compared with.
    let mut is_over = false;
    filler.by_chance(number, 12, |tried| {
        let asks = !tried.answers.is_empty();
        is_over = visit(tried);
        is_over || !asks
    });
    let mut is_all = false;
    if !is_over {
        is_all = filler.in_turn(IN_TURN, |tried| {
            is_over = visit(tried);
            is_over
        });
    }
    if !is_over && !is_all {
        filler.by_chance(number + 1, BY_CHANCE, visit);
    }
    let came = match verdict.outcome {
        _ if wrong.is_some() => Came::Wrong,
        _ if seen.is_too_long => Came::TooLong,
        Outcome::Unknown if seen.is_mixed() => {
            // Where the ordinary worlds all need attention, it should have been presumed.
            let should = is_all && seen.ordinary_fine == 0 && seen.ordinary_attention > 0 && !rule.presumed.is_empty();
            if should { Came::Loose } else { Came::Unknown }
        }
        Outcome::Unknown if is_all => Came::Loose,
        Outcome::Unknown => Came::UnknownTried,
        _ if is_all => Came::DecidedAll,
        _ => Came::DecidedTried,
    };
    if came == Came::Loose && std::env::var("RINGOUT_LOOSE").is_ok() {
        let missing = verdict.missing.iter().map(|m| (plans.code.vocabulary.text(m.name), made.shop.called(m.item)));
        let missing: Vec<_> = missing.collect();
        println!("plan {number}: {} at {}: {seen:?} {missing:?}", rule.name, made.shop.called(verdict.item));
        filler.by_chance(number, 1, |tried| {
            println!("{}", world_text(plans, &made.shop, &tried));
            true
        });
    }
    let told = wrong.map(|world| {
        let (rule, item) = (&rule.name, made.shop.called(verdict.item));
        let Made { text, givens, changes, .. } = made;
        format!(
            "plan {number}: {rule} at {item} is {:?}, {:?}, but\n{world}\ngiven {givens:?}\n{text}\n{changes:#?}",
            verdict.outcome, verdict.leans_on
        )
    });
    (came, told)
}

/// A world as lines.
fn world_text(plans: &Plans, shop: &Shop, tried: &Tried) -> String {
    let mut text = format!("{:?} where\n", tried.outcome);
    for (question, answer) in &tried.answers {
        match question {
            Question::Fact(item, name) | Question::HasMore(item, name, _) | Question::IsMember(item, name, _) => {
                let known = (item.index as usize) < shop.count(item.kind);
                let called = if known { shop.called(*item) } else { format!("{item:?}") };
                text += &format!("  {} of {called}: {answer:?} ({question:?})\n", plans.code.vocabulary.text(*name));
            }
            _ => text += &format!("  {question:?}: {answer:?}\n"),
        }
    }
    text + &format!("  broken: {:?}", tried.broken)
}

/// The items that a rule is met on, and whether each is in its list only perhaps.
fn subjects(shop: &Shop, rule: &Rule) -> Vec<(ItemRef, bool)> {
    let all = rule.kinds.iter().flat_map(|kind| shop.items(kind)).map(|item| (item, false)).collect();
    let Some(Items::Word(owner, name)) = &rule.within else { return all };
    let ringout::law::code::Item::Only(kind) = owner else { panic!("a list of {owner:?}") };
    let Value::List(id) = shop.value(ItemRef { kind: *kind, index: 0 }, *name) else { return Vec::new() };
    let list = shop.list(id);
    let sure = list.sure.iter().map(|item| (*item, false));
    let members = sure.chain(list.possible.iter().map(|item| (*item, true)));
    members.filter(|(item, _)| rule.kinds.has(item.kind)).collect()
}

/// By rule, how often each came.
type Counts = BTreeMap<(usize, Came), usize>;

fn one_plan(plans: &Plans, number: u64) -> (Counts, Vec<String>) {
    let made = plans.plan(number);
    let mut counts = Counts::new();
    let mut wrong = Vec::new();
    let verdicts = judge(&plans.code, &made.shop, &Options::default());
    for (id, rule) in plans.code.rules.iter().enumerate() {
        let of_rule: Vec<&Verdict> = verdicts.iter().filter(|v| v.rule == RuleId(id as u32)).collect();
        let subjects = subjects(&made.shop, rule);
        if subjects.is_empty() {
            let is_waiting = of_rule.iter().all(|v| v.outcome == Outcome::Unknown && !rule.awaits.is_empty());
            assert!(is_waiting, "plan {number}: {} meets nothing and says {of_rule:?}", rule.name);
            continue;
        }
        let items: Vec<ItemRef> = of_rule.iter().map(|v| v.item).collect();
        let wanted: Vec<ItemRef> = subjects.iter().map(|(item, _)| *item).collect();
        assert_eq!(items, wanted, "plan {number}: what {} is met on", rule.name);
        for (verdict, (_, may_belong)) in of_rule.iter().zip(&subjects) {
            let (came, told) = compared(plans, &made, number, verdict, *may_belong);
            *counts.entry((id, came)).or_default() += 1;
            wrong.extend(told);
        }
    }
    (counts, wrong)
}

fn asked(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().map_or(usual, |n| n.parse().unwrap())
}

#[test]
fn a_second_evaluator_agrees() {
    let plans = Plans::new();
    let (first, count) = (asked("RINGOUT_FIRST", 0), asked("RINGOUT_PLANS", 24));
    let mut counts = Counts::new();
    let mut wrong: Vec<String> = Vec::new();
    let numbers: Vec<u64> = (first..first + count).collect();
    for some in numbers.chunks(100) {
        for (counted, told) in parallel::map(some, |number| one_plan(&plans, *number)) {
            counted.into_iter().for_each(|(key, n)| *counts.entry(key).or_default() += n);
            told.iter().for_each(|told| println!("{told}\n---"));
            wrong.extend(told);
        }
        if count > 100 {
            let total: usize = counts.values().sum();
            println!("{} plans, {total} verdicts, {} wrong", some.last().unwrap() + 1 - first, wrong.len());
        }
    }
    let mut by_came: BTreeMap<Came, usize> = BTreeMap::new();
    counts.iter().for_each(|((_, came), n)| *by_came.entry(*came).or_default() += n);
    println!("{count} plans from {first}: {by_came:?}");
    let met: std::collections::BTreeSet<usize> = counts.keys().map(|(rule, _)| *rule).collect();
    println!("{} of {} rules met something", met.len(), plans.code.rules.len());
    for (what, came) in [("loose", Came::Loose), ("untold", Came::UnknownTried), ("too long", Came::TooLong)] {
        let mut rules: Vec<(usize, &str)> = counts
            .iter()
            .filter(|((_, c), _)| *c == came)
            .map(|((rule, _), n)| (*n, plans.code.rules[*rule].name.as_str()))
            .collect();
        rules.sort_by_key(|(n, _)| std::cmp::Reverse(*n));
        println!("{what}: {:?}", rules.iter().take(25).collect::<Vec<_>>());
    }
    // A comparison that skips most of what it should compare proves nothing.
    let total: usize = counts.values().sum();
    let share = |came: Came| by_came.get(&came).map_or(0, |n| n * 100 / total.max(1));
    assert!(share(Came::DecidedAll) > 30 && share(Came::Unknown) > 25 && met.len() > 100, "too little is compared");
    assert!(
        wrong.is_empty(),
        "{} differ, such as\n{}",
        wrong.len(),
        wrong.iter().take(3).cloned().collect::<Vec<_>>().join("\n---\n")
    );
}
