//! Limits of judging: just at one all is worked out, just beyond it the verdict is unknown, or, where only a short cut ends,
//! the same. Each rule here holds whatever the plan leaves open, so that unknown comes from the limit alone.

use super::{rule, rules};
use ringout::law::{Options, verdict::Outcome, verdict::Verdict};

fn verdicts(pack: &str, plan: &str) -> Vec<Verdict> {
    let rules = rules(pack);
    assert!(rules.problems.is_empty(), "{:?}", rules.problems.first());
    let checked = ringout::check(&rules, "x.shop", plan, &Options::default());
    assert!(
        checked.plan.problems.is_empty() && checked.shop.problems.is_empty(),
        "{:?}",
        checked.shop.problems.first()
    );
    checked.verdicts
}

fn first(pack: &str, plan: &str) -> Outcome {
    verdicts(pack, plan)[0].outcome
}

fn facts(kind: &str, count: usize) -> String {
    (0..count).map(|i| format!("fact {kind}.is-x{i} yes/no \"x{i}\"\n  phrase xx{i}\n  ask \"x{i}?\"\n")).collect()
}

/// Whether an odd number of so many facts holds: no fact alone decides it.
fn odd(letter: &str, count: usize) -> String {
    (1..count)
        .fold(format!("{letter}.is-x0"), |x, i| format!("(if {x} then not {letter}.is-x{i} else {letter}.is-x{i})"))
}

/// A chain of facts, each of which matters where the one before does not hold: as many filled in together as there are.
#[test]
fn so_many_facts_are_filled_in_together() {
    let outcome = |n: usize| {
        let chain = |range: std::ops::Range<usize>, last: &str| {
            range.rev().fold(last.to_string(), |rest, i| format!("p.is-x{i} or (not p.is-x{i} and ({rest}))"))
        };
        // Only so many brackets may stand in one another; the rest stands in formulas.
        let define =
            |name: &str, text: String| format!("define {name} of (p: panel) as yes/no\n  doc \"x\"\n  = {text}\n");
        let pack = facts("panel", n)
            + &define("is-g2", chain(50..n, "yes"))
            + &define("is-g1", chain(25..50, "is-g2 of (p)"))
            + &rule("r", "panel p", &chain(0..25, "is-g1 of (p)"));
        first(&pack, "panel P1\n")
    };
    assert_eq!((outcome(64), outcome(65)), (Outcome::Pass, Outcome::Unknown));
}

const LISTED: &str = "shop: all receptacles listed\npanel P1\n";

/// Lists that are read again for each completion: one missing fact, read against a list of so many facts.
#[test]
fn so_much_is_read_for_one_verdict() {
    let outcome = |n: usize| {
        let needs = "all a in shop.receptacles: all b in shop.receptacles: \
                     p.is-x0 and b.is-duplex or not p.is-x0 and b.is-duplex";
        let pack = facts("panel", 1) + &rule("r", "panel p", needs);
        first(&pack, &format!("{LISTED}receptacle R1 to R{n}: duplex\n"))
    };
    assert_eq!(outcome(200), Outcome::Pass, "four facts for each pair: 160,000");
    assert_eq!(outcome(250), Outcome::Unknown, "250,000 facts are more than 200,000");
}

/// The same with lists of which nothing is read.
#[test]
fn so_much_is_gone_through_for_one_verdict() {
    let outcome = |n: usize, x: usize| {
        let odd = odd("p", x);
        let found = "any b in shop.receptacles: b is a";
        let needs = format!("all a in shop.receptacles: (({odd}) and ({found})) or (not ({odd}) and ({found}))");
        let pack = facts("panel", x) + &rule("r", "panel p", &needs);
        first(&pack, &format!("{LISTED}receptacle R1 to R{n}: duplex\n"))
    };
    // 900 times 450 members in each completion, twice that where it is open: 1.6 million with one fact, 6 with three.
    assert_eq!(outcome(900, 1), Outcome::Pass);
    assert_eq!(outcome(900, 3), Outcome::Unknown);
}

/// What all items that a rule meets may cost is shared among them: the more there are, the less each gets.
#[test]
fn so_much_is_read_for_one_rule() {
    let odd = odd("r", 6);
    let pack = facts("receptacle", 6) + &rule("r", "receptacle r", &format!("{odd} or not {odd}"));
    let outcomes = |n: usize| {
        let lines: String = (0..n / 500).map(|i| format!("receptacle R{i}-1 to R{i}-500\n")).collect();
        let mut all: Vec<Outcome> = verdicts(&pack, &lines).iter().map(|v| v.outcome).collect();
        assert_eq!(all.len(), n);
        all.dedup();
        all
    };
    // Twelve facts in each of 126 trials; of four million 2,500 items have 1,600 each.
    assert_eq!(outcomes(2_500), [Outcome::Pass]);
    assert_eq!(outcomes(3_000), [Outcome::Unknown]);
}

/// So many missing facts are named at each item: of a rule that meets few items all, of one that meets many no more than
/// anybody goes through; the verdict is unknown either way.
#[test]
fn so_many_missing_facts_are_named() {
    let pack = rule("r", "circuit c", "all r in shop.receptacles: r.is-duplex");
    let named = |circuits: usize| {
        let circuits: String = (0..circuits).map(|i| format!("circuit C{i}\n")).collect();
        let all = verdicts(&pack, &format!("{LISTED}receptacle R1 to R900\nreceptacle Q1 to Q300\n{circuits}"));
        assert!(all.iter().all(|v| v.outcome == Outcome::Unknown));
        all.iter().map(|v| v.missing.len()).min().unwrap()
    };
    // Two million in all.
    assert_eq!((named(1_666), named(1_667)), (1_200, 1_199));
}

/// Tables are looked up by a short way or, with more keys or rows than that holds, row by row: the answer is the same.
#[test]
fn tables_of_any_size_and_width_give_the_same() {
    let outcome = |keys: usize, rows: usize| {
        let heads: String = (0..keys).map(|k| format!("  key k{k}: length, exact\n")).collect();
        let names: Vec<String> = (0..keys).map(|k| format!("k{k}")).collect();
        let row = |i: usize| format!("    {} | {} in\n", vec![format!("{i} in"); keys].join(" | "), i + 1);
        let rows: String = (1..=rows).map(row).collect();
        let asked = vec!["p.handle-height"; keys].join(", ");
        let pack = format!(
            "table t \"t\"\n  source \"x\"\n  cites NEC 2014 to NEC 2026: Table 1.1, memory\n{heads}  column v: length\n\
             \x20 beyond unknown\n  rows\n    {} | v\n{rows}",
            names.join(" | ")
        ) + &rule("r", "panel p", &format!("t at ({asked}) = p.handle-height + 1 in"));
        move |height: usize| first(&pack, &format!("panel P1: {height} in up\n"))
    };
    // Up to eight keys, and up to 65,536 places for all their rows together.
    for (keys, rows) in [(8, 4), (9, 4), (2, 256), (2, 257)] {
        let at = outcome(keys, rows);
        for height in [1, 3, rows] {
            assert_eq!(at(height), Outcome::Pass, "{keys} keys, {rows} rows, {height}");
        }
        assert_eq!(at(rows + 1), Outcome::Unknown, "{keys} keys, {rows} rows");
    }
}
