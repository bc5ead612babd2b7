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

/// Outcomes under every edition, by rule and item.
fn by_edition(title: &str, plan: &str) -> BTreeMap<(String, String), Vec<&'static str>> {
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
    came
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
    let came = by_edition(title, plan);
    let got = came.get(&(rule.to_string(), item.to_string())).map_or("nothing".into(), |v| v.join(" "));
    let wrong = (got != wanted).then(|| format!("{title}: {rule} at {item} gives {got}, not {wanted}"));
    let is_turning = |outcomes: &[&str]| outcomes.iter().any(|o| Some(o) != outcomes.first());
    let differing = came.into_iter().filter(|(_, outcomes)| is_turning(outcomes));
    let differing = differing.map(|((rule, item), o)| (rule, format!("{title}: {item}: {}", o.join(" "))));
    Found { rule: rule.to_string(), wrong, differing: differing.collect() }
}

#[test]
fn what_differs_between_editions_is_what_changed() {
    let text = include_str!("cases/editions/each.txt");
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

/// One shop that holds nearly everything that an edition changed: the verdicts that differ are those, each as it should be.
#[test]
fn one_plan_differs_by_the_changes_and_by_nothing_else() {
    let came = by_edition("one plan", include_str!("cases/editions/one.shop"));
    let differs = |outcomes: &&Vec<&str>| outcomes.iter().any(|o| Some(o) != outcomes.first());
    let differing: BTreeSet<String> = (came.iter().filter(|(_, outcomes)| differs(outcomes)))
        .map(|((rule, item), outcomes)| format!("{rule} at {item}: {}", outcomes.join(" ")))
        .collect();
    let lines = include_str!("cases/editions/one.txt").lines().filter(|l| !l.starts_with('#') && !l.is_empty());
    let wanted: Vec<(&str, &str)> = lines.map(|l| l.split_once(" | ").unwrap_or_else(|| panic!("{l}"))).collect();
    let numbers: BTreeSet<u32> = wanted.iter().filter_map(|(number, _)| number.parse().ok()).collect();
    let applying: BTreeSet<u32> = (1..=16).filter(|number| *number != 7).collect();
    assert_eq!(numbers, applying, "of the seventeen changes, those that apply to this plan");
    let wanted: BTreeSet<String> = wanted.iter().map(|(_, what)| what.to_string()).collect();
    let only = |a: &BTreeSet<String>, b: &BTreeSet<String>| a.difference(b).cloned().collect::<Vec<_>>();
    let (too_much, lacking) = (only(&differing, &wanted), only(&wanted, &differing));
    assert!(too_much.is_empty() && lacking.is_empty(), "also differing: {too_much:#?}\nnot differing so: {lacking:#?}");
}
