//! Real situations, described by owners in public and judged by people who know, against what the pack says.
//!
//! Each plan in `tests/cases/scenarios` is the state that one situation describes. A comment
//! `#! attention s002.1 [feeder-egc]: …` stands above the line that it is about; its topic names the rules
//! that may speak to it (`topics.txt`), or the point itself does where people named a narrower or another
//! ground (`points.txt`). `fine` agrees when a rule of those passes there and none asks for attention; where
//! `points.txt` names the rules, also when they say that they do not apply. The judgments come from public threads and columns, gathered
//! by the project with their addresses; each was marked with high confidence there. Where the
//! pack disagrees, `disagreements.txt` says why; the test fails when the two drift apart.

mod common;

use common::{Checked, lines_of};
use ringout::law;
use ringout::law::code::{Rule, RuleId};
use ringout::law::verdict::{Outcome, Verdict};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// One `#!` comment.
#[derive(Debug)]
struct Expectation {
    verdict: String,
    id: String,
    topic: String,
    line: u32,
}

fn expectations(text: &str) -> Vec<Expectation> {
    let mut waiting: Vec<(String, String, String)> = Vec::new();
    let mut all = Vec::new();
    for (number, line) in lines_of(text) {
        let trimmed = line.trim();
        if let Some(rest) = trimmed.strip_prefix("#!") {
            let mut words = rest.split_whitespace();
            let (verdict, id) = (words.next().unwrap_or(""), words.next().unwrap_or(""));
            let topic = rest.split_once('[').and_then(|(_, t)| t.split_once(']')).map_or("", |(t, _)| t);
            waiting.push((verdict.into(), id.into(), topic.into()));
        } else if !trimmed.is_empty() && !trimmed.starts_with('#') {
            all.extend(waiting.drain(..).map(|(verdict, id, topic)| Expectation { verdict, id, topic, line: number }));
        }
    }
    assert!(waiting.is_empty(), "a comment at the end is about no line: {waiting:?}");
    all
}

/// Rules by topic, and topics that no rule of the pack is about.
fn topics(folder: &Path) -> BTreeMap<String, BTreeSet<String>> {
    let text = std::fs::read_to_string(folder.join("topics.txt")).unwrap();
    text.lines()
        .filter(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .map(|l| {
            let (topic, rules) = l.split_once(':').unwrap_or_else(|| panic!("`{l}` has no colon"));
            (
                topic.trim().to_string(),
                rules.split(',').map(|r| r.trim().to_string()).filter(|r| !r.is_empty()).collect(),
            )
        })
        .collect()
}

/// The rules that a point is about, in place of those of its topic. `None`: no rule asks for anything there.
fn points(folder: &Path) -> BTreeMap<String, Option<BTreeSet<String>>> {
    let text = std::fs::read_to_string(folder.join("points.txt")).unwrap();
    text.lines()
        .filter(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .map(|l| {
            let (point, rest) = l.split_once(": ").unwrap_or_else(|| panic!("`{l}` has no colon"));
            let (rules, why) = rest.split_once(" | ").unwrap_or_else(|| panic!("`{l}` says no why"));
            assert!(why.len() > 20, "{point} has no reason");
            let rules = (rules != "none").then(|| rules.split(", ").map(String::from).collect());
            (point.to_string(), rules)
        })
        .collect()
}

/// What the rules say at that line, each outcome once.
fn said(checked: &Checked, rules: &BTreeSet<String>, line: u32) -> Vec<Outcome> {
    let about = |v: &&Verdict| {
        let rule = checked.rule(v);
        let named = rules.iter().any(|id| rule.is_called(id));
        named && checked.touches(v, line)
    };
    checked.verdicts.iter().filter(about).map(|v| v.outcome).collect()
}

/// Attention weighs most, then unknown, then pass.
fn weightiest(outcomes: &[Outcome]) -> Option<Outcome> {
    [Outcome::Attention, Outcome::Unknown, Outcome::Pass, Outcome::NotApplicable]
        .into_iter()
        .find(|o| outcomes.contains(o))
}

/// Only the rules that some point of the plan is about: the others cost most of the time.
fn check_points(path: &Path, text: &str, rules: &BTreeSet<&String>) -> Checked {
    let (sources, code) = &*common::PACK;
    let is_wanted = |r: &Rule| rules.iter().any(|id| r.is_called(id));
    let ids = code.rules.iter().enumerate().filter(|(_, r)| is_wanted(r)).map(|(i, _)| RuleId(i as u32)).collect();
    let options = law::Options { rules: Some(ids), ..law::Options::default() };
    common::check_against(code, sources.clone(), &path.display().to_string(), text, &options)
}

/// The share that agrees, in percent: it may only rise. The aim is 97.
const AGREEING: usize = 97;

#[test]
fn the_pack_agrees_with_people_who_know() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/scenarios");
    let topics = topics(&folder);
    let known: BTreeMap<String, String> = std::fs::read_to_string(folder.join("disagreements.txt"))
        .unwrap()
        .lines()
        .filter(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .map(|l| l.split_once(": ").map_or((l.to_string(), String::new()), |(a, b)| (a.to_string(), b.to_string())))
        .collect();
    for (id, reason) in &known {
        assert!(reason.len() > 20, "{id} disagrees without a reason");
    }

    let points = points(&folder);
    let mut unused: BTreeSet<&String> = points.keys().collect();
    let rules_of = |e: &Expectation| match points.get(&e.id) {
        Some(Some(rules)) => rules,
        _ => topics.get(&e.topic).unwrap_or_else(|| panic!("{}: topic `{}` is not in topics.txt", e.id, e.topic)),
    };
    for rules in topics.values().chain(points.values().flatten()) {
        for rule in rules {
            let is_known = |r: &Rule| r.is_called(rule);
            assert!(common::PACK.1.rules.iter().any(is_known), "there is no rule `{rule}`");
        }
    }

    let files: Vec<_> = common::shop_files(&folder).into_iter().collect();
    let all = ringout::parallel::map(&files, |path| {
        let text = std::fs::read_to_string(path).unwrap();
        let wanted = expectations(&text);
        let rules: BTreeSet<&String> = wanted.iter().flat_map(rules_of).collect();
        (!wanted.is_empty()).then(|| {
            let checked = check_points(path, &text, &rules);
            (wanted, checked)
        })
    });

    let mut total = 0;
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    let mut lost: Vec<String> = Vec::new();
    for (path, checked) in files.iter().zip(all) {
        let Some((wanted, checked)) = checked else { continue };
        for e in wanted {
            unused.remove(&e.id);
            if e.verdict == "local" {
                continue;
            }
            total += 1;
            let outcomes = said(&checked, rules_of(&e), e.line);
            let outcome = weightiest(&outcomes);
            let is_silent = outcome.is_none_or(|o| o == Outcome::NotApplicable);
            let agrees = match e.verdict.as_str() {
                "attention" => outcome == Some(Outcome::Attention),
                "fine" if points.get(&e.id) == Some(&None) => is_silent,
                // A topic holds several rules; that one of them still asks something spoils no `fine`.
                "fine" => match outcome {
                    Some(Outcome::Attention) | None => false,
                    Some(Outcome::NotApplicable) => points.contains_key(&e.id),
                    _ => outcomes.contains(&Outcome::Pass),
                },
                "unknown" => outcome == Some(Outcome::Unknown),
                other => panic!("{}: `{other}` is no verdict", path.display()),
            };
            // No reason excuses a pass; silence at the line needs one.
            let is_excused = is_silent && known.contains_key(&e.id);
            let is_seen = matches!(outcome, Some(Outcome::Attention | Outcome::Unknown));
            if e.verdict == "attention" && !is_seen && !is_excused {
                lost.push(format!("{} {} [{}] line {}: came out {outcome:?}", path.display(), e.id, e.topic, e.line));
            }
            if !agrees {
                found.insert(
                    e.id.clone(),
                    format!(
                        "[{}] expected {}, came out {outcome:?} at line {} of {}",
                        e.topic,
                        e.verdict,
                        e.line,
                        path.display()
                    ),
                );
            }
        }
    }
    let agreeing = total - found.len();
    println!("{agreeing} of {total} expectations agree ({} percent)", agreeing * 100 / total.max(1));
    let new: Vec<String> =
        found.iter().filter(|(id, _)| !known.contains_key(*id)).map(|(id, what)| format!("{id} {what}")).collect();
    let gone: Vec<&String> = known.keys().filter(|id| !found.contains_key(*id)).collect();
    assert!(new.is_empty(), "{} new disagreements:\n{}", new.len(), new.join("\n"));
    assert!(gone.is_empty(), "these agree now, strike them from disagreements.txt: {gone:?}");
    assert!(unused.is_empty(), "points.txt names points that no plan holds: {unused:?}");
    assert!(lost.is_empty(), "judged wrong by people, not seen here:\n{}", lost.join("\n"));
    assert!(agreeing * 100 >= total * AGREEING, "only {agreeing} of {total} agree");
}
