//! How long the stages of a check take, and what a rule costs on one item.
//!
//! `cargo bench` prints a table. It asserts nothing: times of a shared machine prove little.

use ringout::law::code::RuleId;
use ringout::law::evaluate::Judge;
use ringout::law::verdict::Outcome;
use ringout::law::{Options, judge};
use ringout::text::{FileId, Sources};
use ringout::{Rules, law, plan, shop, wiring};
use std::hint::black_box;
use std::time::{Duration, Instant};

const PLANS: [(&str, &str); 3] = [
    ("larkspur", include_str!("../../examples/larkspur.shop")),
    ("sound", include_str!("../../examples/sound.shop")),
    ("half-known", include_str!("../../examples/half-known.shop")),
];

/// The median of a few runs.
fn median<T>(runs: usize, mut run: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            black_box(run());
            start.elapsed()
        })
        .collect();
    times.sort();
    times[runs / 2]
}

fn main() {
    let load = median(9, || law::builtin(&mut Sources::default()));
    let pack = law::builtin(&mut Sources::default());
    println!("builtin pack {load:?}, compile {:?}", median(9, || law::compile(&pack)));
    let rules = Rules::builtin();
    for (name, text) in PLANS {
        let file = FileId(999);
        let read = plan::read(file, text);
        let build = || shop::build(&read, &[], &[], rules.code.vocabulary.clone());
        let mut whole = build();
        wiring::complete(&mut whole);
        let all = median(9, || judge(&rules.code, &whole, &Options::default()));
        let verdicts = judge(&rules.code, &whole, &Options::default());
        let unknown = verdicts.iter().filter(|v| v.outcome == Outcome::Unknown).count();
        println!(
            "{name}: read {:?}, build {:?}, wiring {:?}, judge {all:?} for {} verdicts, {unknown} unknown",
            median(9, || plan::read(file, text)),
            median(9, build),
            median(9, || wiring::complete(&mut build())),
            verdicts.len(),
        );
        each_rule(&rules, &whole);
    }
}

/// The quick way for every rule on every item, and the rules that take longest in all.
fn each_rule(rules: &Rules, shop: &shop::Shop) {
    let mut judge_once = Judge::new(&rules.code, shop);
    let (mut met, mut spent) = (0usize, Duration::ZERO);
    let mut slowest: Vec<(Duration, usize, &str)> = Vec::new();
    for (number, rule) in rules.code.rules.iter().enumerate() {
        let id = RuleId(number as u32);
        let items: Vec<_> = rule.kinds.iter().flat_map(|kind| shop.items(kind)).collect();
        if items.is_empty() {
            continue;
        }
        judge_once.quick_outcomes(id, &items, |_| {});
        let quick = median(25, || judge_once.quick_outcomes(id, &items, |outcome| _ = black_box(outcome)));
        met += items.len();
        spent += quick;
        let options = Options { rules: Some(vec![id]), ..Options::default() };
        slowest.push((median(3, || judge(&rules.code, shop, &options)), items.len(), &rule.name));
    }
    println!("  quick way: {met} times a rule on an item, {} ns each", spent.as_nanos() as usize / met.max(1));
    slowest.sort_by_key(|(time, ..)| std::cmp::Reverse(*time));
    for (time, items, name) in slowest.iter().take(6) {
        println!("  {time:?} for {name} on {items} items");
    }
}
