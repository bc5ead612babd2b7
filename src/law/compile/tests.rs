//! What compiling makes of small packs. Figures are made up; the mistakes are in `tests/rules_mistakes.rs`.

use super::*;
use crate::law::code::DefineId;
use crate::law::code::{Alternative, Body, ChoiceNode, NumberNode, Rule, TestNode};
use crate::law::read;
use crate::quantity::Rational;
use crate::text::FileId;
use crate::words::{Kind, NameId, name};

fn compiled(text: &str) -> Code {
    let (pack, slips) = read(FileId(0), text);
    assert!(slips.is_empty(), "{slips:#?}");
    let (code, problems) = compile(&pack);
    assert!(problems.is_empty(), "{problems:#?}");
    code
}

fn problems(text: &str) -> Vec<String> {
    let (pack, slips) = read(FileId(0), text);
    assert!(slips.is_empty(), "{slips:#?}");
    compile(&pack).1.into_iter().map(|problem| problem.message).collect()
}

/// A rule on panels around some clauses.
fn rule(clauses: &str) -> String {
    format!(
        "rule r \"a rule\"\n  why     x\n  stage   final\n  level   required\n{clauses}\n  else    \"{{p}} is not right\"\n"
    )
}

fn only(code: &Code) -> &Rule {
    assert_eq!(code.rules.len(), 1);
    &code.rules[0]
}

#[test]
fn words_of_defines_come_behind_what_they_call() {
    let code = compiled(
        "define outer of (p: panel) in A\n  doc \"x\"\n  = 2 * p.inner\n\
         define inner of (p: panel) in A\n  doc \"x\"\n  = p.bus-amps\n",
    );
    let names: Vec<&str> = code.defines.iter().map(|define| define.name.as_str()).collect();
    assert_eq!(names, ["inner", "outer"]);
    let outer = code.vocabulary.name("outer").unwrap();
    assert_eq!(code.define_of(Kind::Panel, outer), Some(DefineId(1)));
    assert_eq!(code.define_of(Kind::Box, outer), None);
    assert_eq!(code.words_by_define.len(), code.vocabulary.name_count());
}

/// A rule turns on the edition through a value of a define that a define calls, and through nothing else.
#[test]
fn what_turns_on_the_edition_is_followed() {
    let code = compiled(&format!(
        "define top of (p: panel) in A\n  doc \"x\"\n  value most: 20 A, from NEC 2021 40 A\n  = most\n\
         define twice-top of (p: panel) in A\n  doc \"x\"\n  = 2 * p.top\n\
         define still of (p: panel) in A\n  doc \"x\"\n  = p.bus-amps\n{}{}",
        rule("  for     each panel p\n  needs   a: p.bus-amps <= p.twice-top"),
        rule("  for     each panel p\n  needs   a: p.bus-amps <= p.still").replace("rule r", "rule s"),
    ));
    let turns = |place: usize| (code.rules[place].turns_on_edition, code.rules[place].turns_on_day);
    assert_eq!((turns(0), turns(1)), ((true, false), (false, false)));
    assert_eq!(code.editions, [2014, 2017, 2020, 2021, 2023, 2026]);
    assert!(code.days.is_empty());
}

/// Days come from bounds, from days that a condition names, and from keys of tables.
#[test]
fn days_are_collected() {
    let table = "table t \"t\"\n  source \"x\"\n  key day: date, down\n  column edition: edition\n  beyond unknown\n  \
                 rows\n    day | edition\n    1970-01-04 | NEC 2017\n";
    let code = compiled(&format!(
        "{table}{}",
        rule(
            "  for     permit\n  needs   a, before 1970-01-02: permit.date >= 1970-01-03\n          \
              b: permit.edition = t at (permit.date)"
        )
        .replace("{p}", "it")
    ));
    assert_eq!(code.days, [1, 2, 3]);
    let rule = only(&code);
    assert!(rule.turns_on_day && rule.turns_on_edition && rule.slots == 1);
    assert!(!code.editions.contains(&1970));
}

#[test]
fn ordinary_answers_are_presumed_where_they_deny() {
    let fact = "fact panel.is-odd yes/no \"x\"\n  phrase odd\n  ordinary no\n\
                term is-strange of (p: panel)\n  doc \"x\"\n  means p.is-odd and p.is-metal-clad\n\
                fact panel.is-metal-clad yes/no \"x\"\n  phrase metal clad\n";
    let code = compiled(&format!(
        "{fact}{}",
        rule("  for     each panel p\n  needs   a: p.bus-amps > 20 A\n  except  b: p.is-strange")
    ));
    let odd = code.vocabulary.name("is-odd").unwrap();
    assert_eq!(only(&code).presumed, [(Kinds::of(Kind::Panel), odd)]);

    let outside = format!("{fact}{}", rule("  for     each panel p\n  needs   a: p.is-strange"));
    assert_eq!(problems(&outside), ["`is-odd` has an ordinary answer, so that it may stand in exceptions only"]);
    for grants in ["not p.is-strange", "(count of q in shop.panels where q.is-odd) <= 2", "p.bus-amps = p.odd-amps"] {
        let define = "define odd-amps of (p: panel) in A\n  doc \"x\"\n  = if p.is-odd then 20 A else 30 A\n";
        let clauses = format!("  for     each panel p\n  needs   a: p.bus-amps > 20 A\n  except  b: {grants}");
        let told = problems(&format!("{fact}{define}{}", rule(&clauses)));
        let wanted = "the ordinary answer of `is-odd` could make this exception hold";
        assert!(told.iter().any(|message| message == wanted), "{grants}: {told:?}");
    }
    let denies =
        ["(count of q in shop.panels where q.is-odd) >= 2", "any q in shop.panels where q.is-odd: q.is-existing"];
    for denies in denies {
        let clauses = format!("  for     each panel p\n  needs   a: p.bus-amps > 20 A\n  except  b: {denies}");
        let term = rule("  for     each panel p\n  needs   a: p.bus-amps > 20 A\n  except  b: p.is-strange");
        compiled(&format!("{fact}{}{}", rule(&clauses), term.replace("rule r", "rule s")));
    }
}

/// The ordinary value of a choice: asking for it is what must not help.
#[test]
fn ordinary_values_of_choices() {
    let ordinary = "ordinary feeder.purpose: normal\n";
    let except = |test: &str| {
        let clauses = format!("  for     each feeder p\n  needs   a: p.handles <= 1\n  except  b: {test}");
        format!("{ordinary}{}", rule(&clauses))
    };
    for strict in ["p.purpose is standby", "p.purpose is not normal", "p.purpose is any of (standby, solar)"] {
        assert_eq!(only(&compiled(&except(strict))).presumed.len(), 1, "{strict}");
    }
    for grants in ["p.purpose is normal", "p.purpose is not standby", "p.purpose is any of (standby, normal)"] {
        let told = problems(&except(grants));
        assert_eq!(told, ["the ordinary answer of `purpose` could make this exception hold"], "{grants}");
    }
    // A circuit's purpose has no ordinary answer.
    let told = problems(&format!("{ordinary}{}", rule("  for     each circuit p\n  needs   a: p.purpose is normal")));
    assert_eq!(told, Vec::<String>::new());
}

#[test]
fn values_become_limits_and_steps() {
    let code = compiled(&rule(
        "  value   width \"w\": at least 30 in, from NEC 2020 36 in to 5 ft\n  value   amps: 20 A, from 2026-01-01 no limit\n  \
         for     each panel p\n  needs   width: p.clear-width within width\n          amps: p.bus-amps <= amps",
    ));
    let rule = only(&code);
    let TestNode::Within(_, limit, _) = &rule.needs[0].test.node else { panic!() };
    let ends = |place: usize| {
        let (bounds, ends) = &limit.steps[place];
        let value = |end: &Option<crate::law::code::Number>| match end.as_ref().map(|n| &n.node) {
            Some(NumberNode::Constant(value)) => Some(*value),
            _ => None,
        };
        (bounds.from, value(&ends.low), value(&ends.high))
    };
    assert_eq!(ends(0), (None, Some(Rational::whole(30)), None));
    assert_eq!(ends(1), (Some(Moment::Edition(2020)), Some(Rational::whole(36)), Some(Rational::whole(60))));
    let TestNode::Compare(_, _, amps, _) = &rule.needs[1].test.node else { panic!() };
    let NumberNode::Steps(steps) = &amps.node else { panic!() };
    assert!(matches!(steps[1].1.node, NumberNode::NoLimit));
    assert!(rule.turns_on_day && rule.turns_on_edition);
}

#[test]
fn bare_words_are_looked_up_in_the_choice() {
    let code = compiled(
        "list   wet of choice place: outdoors, from NEC 2020 overhead\n\
         define best of (m: choice metal) as choice metal\n  doc \"x\"\n  = if m is copper then copper else m\n\
         rule r \"r\"\n  why x\n  stage final\n  level required\n  for each run s\n  \
         where a: s.place is any of wet\n        b: s.method is any of (EMT, IMC)\n  \
         needs c: any w in s.conductors: best of (w.metal) is w.metal and w.metal is not aluminum\n  \
         else \"{s}\"\n",
    );
    let rule = only(&code);
    assert!(matches!(&rule.wheres[0].test.node, TestNode::IsInList(_, values, _) if values.len() == 2));
    assert!(matches!(&rule.wheres[1].test.node, TestNode::IsOneOf(_, bits, _) if bits.count_ones() == 2));
    assert!(matches!(&code.defines[0].body, Body::Choice(choice) if matches!(choice.node, ChoiceNode::If(_))));
}

/// A trade size is written like a length; wire sizes are a scale of their own.
#[test]
fn literals_take_the_scale_of_the_other_side() {
    let code = compiled(&rule(
        "  value   top: at most 2 in\n  for     each run p\n  needs   a: p.trade-size >= 1/2 in\n          \
         b: 3/4 in <= p.trade-size\n          c: p.trade-size within top",
    ));
    for part in &only(&code).needs {
        let scale = match &part.test.node {
            TestNode::Compare(_, _, _, scale) | TestNode::Within(_, _, scale) => *scale,
            _ => panic!(),
        };
        assert_eq!(scale, crate::quantity::Scale::TradeSize);
    }
    let told = problems(&rule("  for     each run p\n  needs   a: p.trade-size >= p.length"));
    assert_eq!(told, ["a length can't stand beside a trade size"]);
}

/// Two letters at once have two slots; the next quantifier takes the slot again.
#[test]
fn slots_are_used_again() {
    let code = compiled(&rule(
        "  for     each panel p\n  needs   a: any c in p.circuits: any r in c.receptacles: r.amps > 0 A and c.is-branch\n          \
         b: any c in p.circuits: c.is-branch",
    ).replace(" and c.is-branch", ""));
    assert_eq!(only(&code).slots, 3);
}

#[test]
fn lists_of_ways_keep_names_and_bounds() {
    let code = compiled(&rule(
        "  list    ways\n            old \"the old way\", before NEC 2020: p.is-existing\n            new: p.bus-amps > 0 A\n  \
         for     each panel p\n  needs   a: any of ways",
    ));
    let TestNode::Any(ways) = &only(&code).needs[0].test.node else { panic!() };
    let shown = |way: &Alternative| (way.name.clone(), way.title.clone(), way.bounds.before);
    assert_eq!(shown(&ways[0]), ("old".into(), "the old way".into(), Some(Moment::Edition(2020))));
    assert_eq!(shown(&ways[1]), ("new".into(), "new".into(), None));
    assert!(only(&code).turns_on_edition);
}

/// A list sees the rule's own letter, not the one of the quantifier that it stands in.
#[test]
fn lists_do_not_see_inner_letters() {
    let told = problems(&rule(
        "  list    ways\n            inner: c.is-branch\n  for     each panel p\n  needs   a: any c in p.circuits: any of ways",
    ));
    assert_eq!(told, ["`c` is not known"]);
}

/// One slip gives one problem, however many speak of it; and none of them is in the code.
#[test]
fn what_depends_on_a_slip_stays_silent() {
    let text = format!(
        "define a of (p: panel) in A\n  doc \"x\"\n  = p.bus-ams\n\
         define b of (p: panel) in A\n  doc \"x\"\n  = p.a + p.a\n{}",
        rule("  for     each panel p\n  needs   a: p.b > 20 A and p.a > 10 A")
    );
    assert_eq!(problems(&text), ["a panel has no word `bus-ams`"]);
    let (code, _) = compile(&read(FileId(0), &text).0);
    assert!(code.defines.is_empty() && code.rules.is_empty());
}

/// A chain of defines that is longer than the stack may be is refused, wherever it begins.
#[test]
fn chains_have_an_end() {
    let mut text = String::from("define d0 of (p: panel) in A\n  doc \"x\"\n  = p.bus-amps\n");
    for n in 1..2000 {
        text.push_str(&format!("define d{n} of (p: panel) in A\n  doc \"x\"\n  = 1 * p.d{}\n", n - 1));
    }
    let forward = problems(&text);
    assert_eq!(forward.len(), 1, "{forward:?}");
    assert!(forward[0].starts_with("too deep"), "{forward:?}");
    let backward: Vec<&str> = text.split_inclusive("define ").collect();
    let mut turned: Vec<String> =
        backward.iter().map(|d| format!("define {}", d.trim_end_matches("define "))).collect();
    turned.reverse();
    let turned = turned.into_iter().filter(|d| d != "define ").collect::<String>();
    let told = problems(&turned);
    assert!(!told.is_empty() && told.iter().all(|message| message.starts_with("too deep")), "{told:?}");
}

#[test]
fn the_permit_stands_in_the_world() {
    let code =
        compiled(&rule("  for     permit\n  needs   a: permit.edition >= NEC 2020").replace("{p}", "{permit.date}"));
    let TestNode::Compare(_, edition, _, _) = &only(&code).needs[0].test.node else { panic!() };
    assert!(matches!(edition.node, NumberNode::Edition));
    // What only a message prints does not make the rule turn on it.
    assert!(!only(&code).turns_on_day);
}

#[test]
fn points_end_with_the_item() {
    let code =
        compiled(&rule("  for     each panel p\n  needs   a: p.bus-amps > 0 A\n  points  p.has-main, p, p.bus-amps"));
    let points: Vec<NameId> = only(&code).points.iter().map(|(_, name)| *name).collect();
    assert_eq!(points, [name::MAIN]);
}

/// Of an optimized build: `cargo test --release -- --ignored compiling`.
#[test]
#[ignore = "a measure of an optimized build"]
fn compiling_takes_a_millisecond_or_two() {
    let pack = crate::law::builtin(&mut crate::text::Sources::default());
    let mut best = std::time::Duration::MAX;
    for _ in 0..2000 {
        let start = std::time::Instant::now();
        let code = compile(&pack);
        best = best.min(start.elapsed());
        drop(code);
    }
    println!("{} rules, {} defines, {} tables: {best:?}", pack.rules.len(), pack.defines.len(), pack.tables.len());
    assert!(best < std::time::Duration::from_millis(4), "{best:?}");
}
