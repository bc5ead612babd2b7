//! What `ringout rules check` proves of a pack without a plan, each from both sides: what can't be is told with both
//! places, what may well be is not.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use ringout::law::{self, proof};
use ringout::selftest;
use ringout::text::{Problem, Severity, Sources};

/// What is proved of a pack that can be read and compiled.
fn proved(text: &str) -> Vec<Problem> {
    let mut sources = Sources::default();
    let file = sources.add("stranger.rule", text);
    let (pack, problems) = law::read(file, text);
    assert!(problems.is_empty(), "{problems:?}\n{text}");
    let (code, problems) = law::compile(&pack);
    let errors: Vec<_> = problems.iter().filter(|p| p.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:?}\n{text}");
    proof::problems(&pack, &code.vocabulary)
}

/// A rule; `more` are its lines beside those that each has.
fn rule(name: &str, kind: &str, more: &str) -> String {
    format!(
        "rule {name} \"{name}\"\n  stage final\n  level required\n  for each {kind} x\n{}  else \"wrong\"\n",
        more.lines().map(|line| format!("  {line}\n")).collect::<String>()
    )
}

fn pair(one: &str, other: &str) -> Vec<Problem> {
    proved(&(rule("one", "run", one) + &rule("other", "run", other)))
}

fn is_told(problems: &[Problem], wanted: &str) -> bool {
    problems.iter().any(|problem| problem.message.contains(wanted))
}

#[test]
fn two_rules_that_cannot_both_be_met_are_told() {
    let deep = "value deep: at least 24 in\nneeds a \"deep\": x.cover within deep";
    let found = pair(deep, "value flat: at most 18 in\nneeds b \"flat\": x.cover within flat");
    assert!(is_told(&found, "`one` and `other` cannot both be met"), "{found:?}");
    assert!(found[0].message.contains("at least 24 in") && found[0].message.contains("at most 18 in"), "{found:?}");
    assert_eq!(found[0].also.len(), 1, "the place of the other");
    // Other ways to write the same.
    for flat in
        ["needs b \"f\": x.cover <= 1.5 ft", "needs b \"f\": 20 in > x.cover", "needs b \"f\": not x.cover >= 24 in"]
    {
        assert!(is_told(&pair(deep, flat), "cannot both be met"), "{flat}");
    }
    let steel = "needs a \"a\": x.method is EMT";
    for other in [
        "needs b \"b\": x.method is NM-B",
        "needs b \"b\": x.method is not EMT",
        "needs b \"b\": x.method is any of (NM-B, UF-B)",
    ] {
        assert!(is_told(&pair(steel, other), "cannot both be met"), "{other}");
    }
    assert!(is_told(
        &pair("needs a \"a\": x.is-existing", "needs b \"b\": not x.is-existing and x.is-sunlit"),
        "cannot both"
    ));
}

#[test]
fn two_rules_that_can_both_be_met_are_left_alone() {
    let deep = "value deep: at least 24 in\nneeds a \"deep\": x.cover within deep";
    for other in [
        // They touch at 24 in.
        "needs b \"b\": x.cover <= 24 in",
        // Of another word.
        "needs b \"b\": x.length <= 18 in",
        // One of two ways.
        "needs b \"b\": x.cover <= 18 in or x.is-existing",
        // An exception may let it off where the other holds.
        "needs b \"b\": x.cover <= 18 in\nexcept c \"c\": x.is-existing",
        // Not law in any edition of the other.
        "from NEC 2026\nneeds b \"b\", before NEC 2026: x.cover <= 18 in",
    ] {
        let found = pair(deep, other);
        assert!(!is_told(&found, "cannot both"), "{other}: {found:?}");
    }
    // Neither applies wherever the other does.
    let one = pair(
        &format!("where w \"w\": x.is-existing\n{deep}"),
        "where v \"v\": not x.is-existing\nneeds b \"b\": x.cover <= 18 in",
    );
    assert!(!is_told(&one, "cannot both"), "{one:?}");
    // Where one applies the other does too: the wider `where` covers the narrower.
    let covered = pair(
        &format!("where w \"w\": x.length >= 10 ft\n{deep}"),
        "where v \"v\": x.length >= 20 ft and x.is-existing\nneeds b \"b\": x.cover <= 18 in",
    );
    assert!(is_told(&covered, "cannot both"), "{covered:?}");
    let advice = rule("one", "run", deep)
        + &rule("other", "run", "needs b \"b\": x.cover <= 18 in").replace("required", "advised");
    assert!(proved(&advice).is_empty());
    let kinds =
        rule("one", "run", "needs a \"a\": x.is-existing") + &rule("other", "box", "needs b \"b\": not x.is-existing");
    assert!(proved(&kinds).is_empty());
    // A word with several values: both may be among them.
    let several = pair("needs a \"a\": x.missing-roles is hot", "needs b \"b\": x.missing-roles is neutral");
    assert!(several.is_empty(), "{several:?}");
    let by_edition = "value deep: at least 12 in, from NEC 2023 at least 24 in\nneeds a \"deep\": x.cover within deep";
    let early = pair(by_edition, "before NEC 2023\nneeds b \"b\": x.cover <= 18 in");
    assert!(early.is_empty(), "{early:?}");
    let late = pair(by_edition, "from NEC 2023\nneeds b \"b\": x.cover <= 18 in");
    assert!(is_told(&late, "(NEC 2023)"), "{late:?}");
}

#[test]
fn a_rule_that_contradicts_itself_is_told() {
    let never = rule(
        "one",
        "run",
        "where w \"w\": x.is-existing\n      v \"v\": not x.is-existing\nneeds a \"a\": x.is-sunlit",
    );
    assert!(is_told(&proved(&never), "`one` meets nothing, ever"));
    let needs = rule("one", "run", "where w \"w\": x.length > 10 ft\nneeds a \"a\": x.length < 10 ft");
    assert!(is_told(&proved(&needs), "nothing can meet this"));
    let fine = rule("one", "run", "where w \"w\": x.length > 10 ft\nneeds a \"a\": x.length < 11 ft");
    assert!(proved(&fine).is_empty());
    let except = |test: &str| {
        proved(&rule(
            "one",
            "run",
            &format!("where w \"w\": x.length > 10 ft\nneeds a \"a\": x.is-sunlit\nexcept c \"c\": {test}"),
        ))
    };
    assert!(is_told(&except("x.length <= 10 ft"), "this exception can never hold"));
    assert!(except("x.length <= 12 ft").is_empty());
}

#[test]
fn what_lies_outside_every_edition_is_told() {
    let part = |bounds: &str| {
        proved(&rule("one", "run", &format!("needs a \"a\"{bounds}: x.is-sunlit\n      b \"b\": x.is-existing")))
    };
    assert!(is_told(&part(", before NEC 2014"), "never counts"));
    // Bounds that hold nothing by themselves are the reader's matter; these hold nothing within the rule's own.
    let narrowed = proved(&rule(
        "one",
        "run",
        "from NEC 2020\nneeds a \"a\", before NEC 2017: x.is-sunlit\n      b \"b\": x.is-existing",
    ));
    assert!(is_told(&narrowed, "never counts"), "{narrowed:?}");
    assert!(part(", from NEC 2017, before NEC 2020").is_empty());
    let row = |bounds: &str| {
        proved(&format!(
            "table t \"t\"\n  source \"x\"\n  key a: length, up\n  column b: length\n  beyond unknown\n  rows\n    a | b | when\n    \
             1 in | 2 in | \n    2 in | 3 in | {bounds}\n\n{}",
            rule("one", "run", "needs a \"a\": x.length <= t at (x.length)")
        ))
    };
    assert!(is_told(&row("before NEC 2014"), "this row of t never counts"));
    assert!(row("before NEC 2017").is_empty() || !is_told(&row("before NEC 2017"), "never counts"));
}

/// The built-in pack contradicts itself nowhere, and each of its rules was seen to have something to say.
#[test]
fn the_built_in_rules_hold_together() {
    let mut sources = Sources::default();
    let mut pack = law::builtin(&mut sources);
    law::builtin_examples(&mut pack);
    let (code, _) = law::compile(&pack);
    let found = proof::problems(&pack, &code.vocabulary);
    for problem in &found {
        println!("{}: {}", ringout::report::problems::at(&sources, problem.span), problem.message);
    }
    assert!(found.is_empty());
    let outcomes = selftest::run(&pack, &code);
    assert!(outcomes.len() > 1_000);
    assert!(selftest::idle(&pack, &outcomes).is_empty());
}

/// A rule whose examples are all about items that it is not about.
#[test]
fn a_rule_that_meets_nothing_in_its_examples_is_told() {
    let idle = |example: &str| {
        let text = rule(
            "one",
            "run",
            &format!("where w \"w\": x.method is NM-B\nneeds a \"a\": x.length <= 10 ft\n{example}"),
        );
        let mut sources = Sources::default();
        let file = sources.add("stranger.rule", text.as_str());
        let (pack, problems) = law::read(file, &text);
        assert!(problems.is_empty(), "{problems:?}");
        let (code, _) = law::compile(&pack);
        let outcomes = selftest::run(&pack, &code);
        assert!(outcomes.iter().all(|outcome| outcome.failure.is_none()), "{outcomes:?}");
        selftest::idle(&pack, &outcomes)
    };
    let away = "example not applicable\n  box B1, B2\n  run B1 to B2: 3/4 in EMT, 8 ft";
    assert!(is_told(&idle(away), "in none of its examples"));
    assert!(idle(&format!("{away}\nexample pass\n  box B1, B2\n  run B1 to B2: cable 12/2 NM-B, 8 ft")).is_empty());
}

/// A fact that is asked for in no rule: whoever writes its phrase into a plan would think that it counts.
#[test]
fn a_fact_of_which_nothing_speaks_is_told() {
    let fact = "fact run.is-shiny yes/no \"shiny\"\n  phrase shiny\n  ask \"Is {item} shiny?\"\n";
    let found = proved(&(fact.to_string() + &rule("one", "run", "needs a \"a\": x.length <= 10 ft")));
    assert!(is_told(&found, "no rule and no formula speaks of `is-shiny`"), "{found:?}");
    assert_eq!(found[0].severity, Severity::Warning);
    let found = proved(&(fact.to_string() + &rule("one", "run", "needs a \"a\": x.length <= 10 ft or not x.is-shiny")));
    assert!(found.is_empty(), "{found:?}");
    let term = "term is-odd of (r: run)\n  doc \"odd\"\n  means not r.is-shiny\n";
    let found = proved(&(fact.to_string() + term + &rule("one", "run", "needs a \"a\": x.is-odd")));
    assert!(found.is_empty(), "in a term: {found:?}");
}
