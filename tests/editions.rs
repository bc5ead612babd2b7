//! One plan, five editions: what differs is what changed in the code, and nothing else. Sources stand in the case file.

mod common;

use common::check_text;
use ringout::law::verdict::Outcome;
use std::collections::{BTreeMap, BTreeSet};

const EDITIONS: [&str; 5] = ["NEC 2014", "NEC 2017", "NEC 2020", "NEC 2023", "NEC 2026"];

fn word(outcome: Option<Outcome>) -> &'static str {
    match outcome {
        None | Some(Outcome::NotApplicable) => "-",
        Some(Outcome::Pass) => "pass",
        Some(Outcome::Attention) => "attention",
        Some(Outcome::Unknown) => "unknown",
    }
}

#[test]
fn what_differs_between_editions_is_what_changed() {
    let text = include_str!("cases/editions.txt");
    let mut named: BTreeSet<String> = BTreeSet::new();
    let mut differing: BTreeMap<String, String> = BTreeMap::new();
    let mut wrong: Vec<String> = Vec::new();
    let mut count = 0;
    for case in text.split("\n== ").skip(1) {
        count += 1;
        let (head, plan) = case.split_once('\n').unwrap();
        let mut parts = head.rsplitn(3, ": ");
        let (wanted, at, title) = (parts.next().unwrap(), parts.next().unwrap(), parts.next().unwrap());
        let (rule, item) = at.split_once(" at ").unwrap_or_else(|| panic!("{head}"));
        named.insert(rule.to_string());
        let mut came: BTreeMap<(String, String), Vec<&str>> = BTreeMap::new();
        for (i, edition) in EDITIONS.iter().enumerate() {
            let checked = check_text("case", &plan.replace("{EDITION}", edition));
            let slips: Vec<_> = checked.shop.problems.iter().map(|p| p.message.clone()).collect();
            assert_eq!(slips, [""; 0], "{title}");
            for verdict in &checked.verdicts {
                let key = (checked.rule(verdict).name.clone(), checked.shop.head(verdict.item).name.clone());
                came.entry(key).or_insert_with(|| vec!["-"; EDITIONS.len()])[i] = word(Some(verdict.outcome));
            }
        }
        let got = came.get(&(rule.to_string(), item.to_string())).map_or("nothing".into(), |v| v.join(" "));
        if got != wanted {
            wrong.push(format!("{title}: {rule} at {item} gives {got}, not {wanted}"));
        }
        for ((rule, item), outcomes) in came {
            if outcomes.iter().any(|o| Some(o) != outcomes.first()) {
                differing.entry(rule).or_insert_with(|| format!("{title}: {item}: {}", outcomes.join(" ")));
            }
        }
    }
    let strange: Vec<String> = differing
        .iter()
        .filter(|(rule, _)| !named.contains(*rule))
        .map(|(rule, at)| format!("{rule} differs too ({at})"))
        .collect();
    assert!(wrong.is_empty() && strange.is_empty(), "{}\n{}", wrong.join("\n"), strange.join("\n"));
    assert!(count >= 18);
}
