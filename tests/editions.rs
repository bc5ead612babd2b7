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

/// What a case came to under every edition.
struct Found {
    rule: String,
    /// What came out otherwise than the case says.
    wrong: Option<String>,
    /// Rules whose verdict turns on the edition, with an item.
    differing: Vec<(String, String)>,
}

fn judged(case: &str) -> Found {
    let (head, plan) = case.split_once('\n').unwrap();
    let mut parts = head.rsplitn(3, ": ");
    let (wanted, at, title) = (parts.next().unwrap(), parts.next().unwrap(), parts.next().unwrap());
    let (rule, item) = at.split_once(" at ").unwrap_or_else(|| panic!("{head}"));
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
    let wrong = (got != wanted).then(|| format!("{title}: {rule} at {item} gives {got}, not {wanted}"));
    let is_turning = |outcomes: &[&str]| outcomes.iter().any(|o| Some(o) != outcomes.first());
    let differing = came.into_iter().filter(|(_, outcomes)| is_turning(outcomes));
    let differing = differing.map(|((rule, item), o)| (rule, format!("{title}: {item}: {}", o.join(" "))));
    Found { rule: rule.to_string(), wrong, differing: differing.collect() }
}

#[test]
fn what_differs_between_editions_is_what_changed() {
    let text = include_str!("cases/editions.txt");
    let cases: Vec<&str> = text.split("\n== ").skip(1).collect();
    assert!(cases.len() >= 18);
    let found = ringout::parallel::map(&cases, |case| judged(case));
    let named: BTreeSet<&str> = found.iter().map(|f| f.rule.as_str()).collect();
    let wrong: Vec<&str> = found.iter().filter_map(|f| f.wrong.as_deref()).collect();
    let differing: BTreeMap<&str, &str> =
        found.iter().flat_map(|f| &f.differing).map(|(rule, at)| (rule.as_str(), at.as_str())).collect();
    let strange: Vec<String> = differing
        .iter()
        .filter(|(rule, _)| !named.contains(*rule))
        .map(|(rule, at)| format!("{rule} differs too ({at})"))
        .collect();
    assert!(wrong.is_empty() && strange.is_empty(), "{}\n{}", wrong.join("\n"), strange.join("\n"));
}
