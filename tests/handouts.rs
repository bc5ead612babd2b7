//! What building departments and state offices tell owners to have right, as small plans: each case comes out as the
//! handout means it, and as unknown when the fact is left out. Sources stand in the case files.

use ringout::law::{self, syntax::layer::Layer};
use ringout::selftest;
use ringout::text::{Severity, Sources};
use std::collections::BTreeSet;
use std::path::Path;

/// A case of the file: the check's name, the rule that answers it, and its examples as a rule file writes them.
struct Case {
    check: String,
    rule: String,
    examples: String,
}

fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/handouts");
    let text = std::fs::read_to_string(folder.join("cases.txt")).unwrap();
    let mut cases: Vec<Case> = Vec::new();
    for line in text.lines().filter(|l| !l.starts_with('#')) {
        if let Some(head) = line.strip_prefix("== ") {
            let (check, rule) = head.split_once(": ").unwrap_or_else(|| panic!("{head}"));
            cases.push(Case { check: check.into(), rule: rule.into(), examples: String::new() });
        } else if let (Some(case), false) = (cases.last_mut(), line.is_empty()) {
            case.examples.push_str(line);
            case.examples.push('\n');
        }
    }
    cases
}

#[test]
fn every_case_comes_out_as_the_handout_means_it() {
    let mut sources = Sources::default();
    let mut pack = law::builtin(&mut sources);
    law::builtin_examples(&mut pack);
    pack.rules.iter_mut().for_each(|rule| rule.examples.clear());
    pack.defines.iter_mut().for_each(|define| define.examples.clear());
    let (code, _) = law::compile(&pack);
    let cases = cases();
    assert!(cases.len() >= 66, "{}", cases.len());
    let mut wrong: Vec<String> = Vec::new();
    for case in &cases {
        // The rule language reads examples where a rule has them.
        let text = format!(
            "rule x \"x\"\n  stage final\n  level required\n  for each box b\n  needs a \"a\": b.is-metal\n  else \"{{b}}\"\n  remedy \"-\"\n{}",
            case.examples
        );
        let file = sources.add(format!("handout {}", case.check), text.clone());
        let (read, problems) = law::read(file, &text);
        assert!(problems.iter().all(|p| p.severity != Severity::Error), "{}: {problems:?}", case.check);
        let read = read.rules.into_iter().next().unwrap();
        let rule =
            pack.rules.iter_mut().find(|r| r.name.node == case.rule || r.aliases.iter().any(|a| a.node == case.rule));
        let rule = rule.unwrap_or_else(|| panic!("{}: no rule {}", case.check, case.rule));
        for example in read.examples {
            // Each case has its own shared lines; a rule may answer several checks.
            rule.given.clone_from(&read.given);
            rule.examples.push(example);
        }
        let failures: Vec<String> = selftest::run(&pack, &code)
            .into_iter()
            .filter_map(|o| o.failure)
            .map(|p| format!("{}: {} ({})", sources.text(p.span), p.message, p.help.unwrap_or_default()))
            .collect();
        wrong.extend(failures.into_iter().map(|f| format!("{} by {}: {f}", case.check, case.rule)));
        for rule in &mut pack.rules {
            rule.examples.clear();
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What single offices ask beside the national code, as their layer would: the rule that each check is called after.
fn local(sources: &mut Sources) -> Layer {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/handouts/local-handouts.rule");
    let text = std::fs::read_to_string(path).unwrap();
    let file = sources.add("local-handouts.rule", text.as_str());
    let (layer, problems) = law::read_layer(file, &text);
    assert!(problems.is_empty(), "{problems:?}");
    layer.unwrap()
}

/// What an office asks beyond the code comes out by a layer as its handout means it: pass, fail and left out.
#[test]
fn what_single_offices_ask_comes_out_by_a_layer() {
    let mut sources = Sources::default();
    let mut pack = law::builtin(&mut sources);
    law::builtin_examples(&mut pack);
    let layer = local(&mut sources);
    for rule in &layer.pack.rules {
        let shown =
            |wanted: &str| rule.examples.iter().any(|e| sources.text(e.span).starts_with(&format!("example {wanted}")));
        assert!(shown("pass") && shown("attention") && shown("unknown"), "{}", rule.name.node);
    }
    let outcomes = selftest::run_layer(&pack, &layer, std::slice::from_ref(&layer));
    let wrong: Vec<String> = (outcomes.iter().filter_map(|o| o.failure.as_ref()))
        .map(|p| format!("{}: {}", sources.text(p.span), p.message))
        .collect();
    assert!(outcomes.len() >= 15 && wrong.is_empty(), "{} run; {}", outcomes.len(), wrong.join("\n"));
}

/// Every check of the collection has a case or a reason, and no reason stands beside a case.
#[test]
fn what_has_no_case_has_a_reason() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/handouts");
    let checks = std::fs::read_to_string(folder.join("checks.txt")).unwrap();
    let all: BTreeSet<&str> =
        checks.lines().filter(|l| !l.starts_with('#') && !l.is_empty()).map(|l| l.split(':').next().unwrap()).collect();
    let reasons: BTreeSet<&str> = checks
        .lines()
        .filter(|l| !l.starts_with('#') && l.contains(": "))
        .map(|l| l.split(':').next().unwrap())
        .collect();
    let cases = cases();
    let local = local(&mut Sources::default());
    let by_layer = local.pack.rules.iter().map(|rule| rule.name.node.as_str());
    let with: BTreeSet<&str> = cases.iter().map(|c| c.check.as_str()).chain(by_layer).collect();
    for check in &all {
        assert_ne!(with.contains(check), reasons.contains(check), "{check} needs a case or a reason, and one alone");
    }
    assert!(all.len() >= 71 && reasons.len() <= 5);
}
