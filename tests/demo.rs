//! The three demo plans against the answers that were worked out by hand for them.
//!
//! `tests/published/demo_verdicts.csv` holds a verdict for each rule at each item, reckoned with the published tables
//! and a pencil before the program existed. `demo_differences.txt` names each row where the pack says
//! something else, with the reason; the test fails when a row differs unnamed, or is named and agrees.

mod common;

use common::Checked;
use ringout::law::verdict::{Outcome, Verdict};
use ringout::shop::ItemRef;
use ringout::words::Kind;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

struct Row {
    plan: String,
    rule: String,
    item: String,
    verdict: String,
}

fn rows() -> Vec<Row> {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/demo_verdicts.csv"))
        .unwrap();
    text.lines()
        .filter(|l| !l.starts_with('#'))
        .map(|l| {
            let mut cells = l.splitn(5, ',').map(|c| c.trim_matches('"').to_string());
            let mut next = || cells.next().unwrap_or_default();
            Row { plan: next(), rule: next(), item: next(), verdict: next() }
        })
        .collect()
}

/// The tag of an item as the sheet writes it: `feeder F1 stretch 2`, `panel P1`, `shop`.
fn tag(checked: &Checked, item: ItemRef) -> String {
    let head = checked.shop.head(item);
    match item.kind {
        Kind::Shop | Kind::Permit => "shop".into(),
        Kind::Run if head.name.starts_with("stretch ") => {
            let mut words = head.name.split(' ').skip(1);
            let (number, of) = (words.next().unwrap_or(""), words.nth(1).unwrap_or(""));
            format!("feeder {of} stretch {number}")
        }
        Kind::Pulled => format!("pulled {}", head.of.map_or("", |run| checked.shop.head(run).name.as_str())),
        kind => format!("{kind} {}", head.name),
    }
}

/// Whether a verdict is about the item of a row: the item itself, what it is a part of, or the only
/// supply, disconnect or conductor that stands for it.
fn is_about(checked: &Checked, verdict: &Verdict, wanted: &str) -> bool {
    let mut item = Some(verdict.item);
    while let Some(i) = item {
        if tag(checked, i) == wanted {
            return true;
        }
        item = checked.shop.head(i).of;
    }
    false
}

fn worst(outcomes: &[Outcome]) -> Outcome {
    [Outcome::Attention, Outcome::Unknown, Outcome::Pass]
        .into_iter()
        .find(|o| outcomes.contains(o))
        .unwrap_or(Outcome::NotApplicable)
}

#[test]
fn verdicts_equal_the_hand_worked_ones() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let known: BTreeMap<String, String> = std::fs::read_to_string(root.join("tests/published/demo_differences.txt"))
        .unwrap()
        .lines()
        .filter(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .map(|l| l.split_once(": ").map_or((l.to_string(), String::new()), |(a, b)| (a.to_string(), b.to_string())))
        .collect();
    let mut differ: BTreeMap<String, String> = BTreeMap::new();
    let mut compared = 0;
    let mut plans: BTreeMap<String, Checked> = BTreeMap::new();
    for row in rows() {
        let checked = plans
            .entry(row.plan.clone())
            .or_insert_with(|| common::check(&root.join(format!("examples/{}.shop", row.plan))));
        let rule = row.rule.trim_start_matches("(new) ");
        let is_rule = |v: &&Verdict| checked.rule(v).is_called(rule);
        if !checked.code.rules.iter().any(|r| r.is_called(rule)) {
            continue;
        }
        compared += 1;
        let all: Vec<&Verdict> = checked.verdicts.iter().filter(is_rule).collect();
        let mut here: Vec<Outcome> =
            all.iter().filter(|v| is_about(checked, v, &row.item)).map(|v| v.outcome).collect();
        if here.is_empty() && row.verdict != "not applicable" || row.item == "none" {
            // The sheet names the panel or the shop where the rule is met on a disconnect or a list.
            here = all.iter().map(|v| v.outcome).collect();
        }
        let came = match worst(&here) {
            Outcome::Pass => "pass",
            Outcome::Attention => "attention",
            Outcome::Unknown => "unknown",
            Outcome::NotApplicable => "not applicable",
        };
        if came != row.verdict {
            let key = format!("{} {} {}", row.plan, rule, row.item);
            differ.insert(key, format!("sheet says {}, pack says {came}", row.verdict));
        }
    }
    println!("{compared} rows compared, {} differ", differ.len());
    for (row, reason) in &known {
        assert!(reason.len() > 20, "{row} differs without a reason");
    }
    let new: Vec<String> =
        differ.iter().filter(|(k, _)| !known.contains_key(*k)).map(|(k, v)| format!("{k}: {v}")).collect();
    let gone: BTreeSet<&String> = known.keys().filter(|k| !differ.contains_key(*k)).collect();
    assert!(new.is_empty(), "{} rows differ:\n{}", new.len(), new.join("\n"));
    assert!(gone.is_empty(), "these rows agree now, strike them from demo_differences.txt: {gone:?}");
    assert!(compared > 500, "only {compared} rows were compared");
}

#[test]
fn nothing_is_wrong_or_open_in_the_sound_plan() {
    let checked = common::check(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/sound.shop"));
    let open: Vec<String> = checked
        .verdicts
        .iter()
        .filter(|v| matches!(v.outcome, Outcome::Attention | Outcome::Unknown))
        .map(|v| format!("{:?} {} at {}", v.outcome, checked.rule(v).name, checked.shop.called(v.item)))
        .collect();
    assert!(open.is_empty(), "{open:#?}");
    assert!(checked.shop.problems.is_empty(), "{:#?}", checked.shop.problems);
}
