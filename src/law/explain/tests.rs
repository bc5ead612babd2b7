//! What is told of verdicts made by hand. No figure here is one of a code.

use super::*;
use crate::law::code::*;
use crate::law::evaluate::tests::*;
use crate::law::evaluate::{Options, judge};
use crate::law::syntax::Comparison;
use crate::law::verdict::{Missing, Outcome, Verdict, Why};
use crate::shop::Shop;
use crate::shop::{How, Value};
use crate::text::FileId;
use crate::words::{Kind, name};

fn lines(why: &Why, depth: usize, out: &mut Vec<String>) {
    out.push(format!("{}{} = {}", "  ".repeat(depth), why.text, why.value));
    why.from.iter().for_each(|step| lines(step, depth + 1, out));
}

fn told(why: &Why) -> Vec<String> {
    let mut out = Vec::new();
    lines(why, 0, &mut out);
    out
}

fn limit_rule() -> Rule {
    let at_most = compare(amount(name::AMPS), Comparison::AtMost, 20);
    let mut made = rule(Kind::Receptacle, vec![TestNode::Not(Box::new(test(word(name::IS_LOCKING))))], vec![at_most]);
    let texts = made.texts.get_mut().unwrap();
    texts.title = "A limit".into();
    made.needs[0].title = "rating".into();
    made.excepts = vec![except(word(name::HAS_AFCI))];
    made.excepts[0].title = "arc-fault".into();
    texts.otherwise = Message {
        pieces: vec![
            Piece::Hole(Any::Item(Item::Letter(Slot(0)))),
            Piece::Text(" has ".into()),
            Piece::Hole(Any::Number(amount(name::AMPS), AMPS)),
            Piece::Text(": ".into()),
            Piece::Part,
        ],
    };
    made
}

/// The derivation shows each part, the fact behind it and the exception looked at; the nearest
/// limit is what would change it.
#[test]
fn attention_is_told() {
    let code = code(limit_rule());
    let mut shop = shop(&code, 1);
    said(&mut shop, name::IS_LOCKING, Value::YesNo(false), How::Planned, 1);
    said(&mut shop, name::AMPS, Value::Number(whole(30)), How::Planned, 2);
    said(&mut shop, name::HAS_AFCI, Value::YesNo(false), How::Planned, 3);
    let verdict = one(&code, &shop);
    assert_eq!(verdict.outcome, Outcome::Attention);
    let why = explain(&code, &shop, &verdict);
    assert_eq!(
        told(&why),
        [
            "A limit = attention",
            "  it is about receptacle R0 = yes",
            "    receptacle R0 is not locking = yes",
            "  rating = no",
            "    rating of receptacle R0 is at most 20 A = no",
            "      rating of receptacle R0 = 30 A",
            "  exception: arc-fault = no",
            "    receptacle R0 has an AFCI = no",
        ]
    );
    assert_eq!(message(&code, &shop, &code.rules[0].texts.otherwise, &verdict), "receptacle R0 has 30 A: rating");
    let changes = what_would_change(&code, &shop, &verdict);
    assert_eq!(
        changes,
        [Change {
            fact: Some(Missing { item: R0, name: name::AMPS }),
            what: "rating of receptacle R0".into(),
            answer: "at most 20 A".into(),
            text: "rating of receptacle R0 at most 20 A".into(),
            outcome: Outcome::Pass,
        }]
    );
}

/// For an unknown each answer is told with what it gives.
#[test]
fn answers_are_told() {
    let code = code(limit_rule());
    let mut shop = shop(&code, 1);
    said(&mut shop, name::IS_LOCKING, Value::YesNo(false), How::Planned, 1);
    said(&mut shop, name::HAS_AFCI, Value::YesNo(false), How::Planned, 3);
    let verdict = one(&code, &shop);
    let answers: Vec<(String, Outcome)> =
        what_would_change(&code, &shop, &verdict).into_iter().map(|c| (c.answer, c.outcome)).collect();
    assert_eq!(answers, [("at most 20 A".into(), Outcome::Pass), ("over 20 A".into(), Outcome::Attention)]);
    assert_eq!(question(&code, &shop, &verdict, verdict.missing[0]), "What is the rating of receptacle R0?");
}

/// Rules and a plan as text, through the whole pipeline. The figures are made up.
fn compiled(rules: &str) -> Code {
    let (pack, problems) = crate::law::read(FileId(1), rules);
    assert!(problems.is_empty(), "{problems:?}");
    let (code, problems) = crate::law::compile(&pack);
    let errors: Vec<_> = problems.iter().filter(|p| p.severity == crate::text::Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:?}");
    code
}

fn planned(code: &Code, plan: &str) -> Shop {
    let read = crate::plan::read(FileId(0), plan);
    let mut shop = crate::shop::build(&read, &[], &[], code.vocabulary.clone());
    crate::wiring::complete(&mut shop);
    assert!(shop.problems.is_empty(), "{:?}", shop.problems);
    shop
}

const RULES: &str = r#"
table shares "Shares by rating"
  source  "made up for a test"
  cites   NEC 2014 to NEC 2026: Table 1
  key     amps: current, up
  column  share: current
  beyond  unknown
  rows
    amps | share
    15 A | 10 A
    20 A | 12 A
    30 A | 18 A

define share of (r: receptacle) in A
  doc    "what a receptacle of this rating gets"
  = shares at (r.amps) * 2

rule share-limit "A share of at most so much"
  why     Made up for a test.
  stage   final
  level   required
  value   most: at most 36 A, from NEC 2020 at most 20 A
  for     each receptacle r
  needs   share "its share": r.share within most
  else    "{r} gets {r.share}: {part}"
  ask     receptacle.amps: "What does {r} say on its face?"
"#;

/// A figure comes with its steps: the formula, the row with its section, the fact with its line.
#[test]
fn figures_show_their_steps() {
    let code = compiled(RULES);
    let shop = planned(&code, "receptacle R1: 5-20R\n");
    let r1 = shop.named("R1").unwrap();
    let share = code.define_of(Kind::Receptacle, code.vocabulary.name("share").unwrap()).unwrap();
    let told_of = figure(&code, &shop, share, r1);
    assert_eq!(told_of.text, "24 A");
    assert!(told_of.missing.is_empty() && told_of.candidates.is_empty());
    assert_eq!(
        told(&told_of.why),
        [
            "share of receptacle R1 = 24 A",
            "  12 A × 2 = 24 A",
            "  Shares by rating, row 20 A = 12 A",
            "    rating of receptacle R1 = 20 A",
        ]
    );
    assert_eq!(told_of.why.from[1].source.as_deref(), Some("NEC 2026 Table 1"));
}

/// What is not known of a figure is told with what it would be for each part of the answers.
#[test]
fn open_figures_show_candidates() {
    let code = compiled(RULES);
    let shop = planned(&code, "receptacle R1: duplex\n");
    let r1 = shop.named("R1").unwrap();
    let share = code.define_of(Kind::Receptacle, code.vocabulary.name("share").unwrap()).unwrap();
    let told_of = figure(&code, &shop, share, r1);
    assert_eq!((told_of.text.as_str(), told_of.value), ("unknown", None));
    assert_eq!(told_of.missing, [Missing { item: r1, name: name::AMPS }]);
    let candidates: Vec<(&str, &str)> =
        told_of.candidates.iter().map(|c| (c.answer.as_str(), c.text.as_str())).collect();
    assert_eq!(
        candidates,
        [
            ("at most 15 A", "20 A"),
            ("over 15 A, at most 20 A", "24 A"),
            ("over 20 A, at most 30 A", "36 A"),
            ("over 30 A", "unknown")
        ]
    );
}

/// Where the editions differ each stretch with one outcome is told apart.
#[test]
fn editions_are_told_apart() {
    let code = compiled(RULES);
    let shop = planned(&code, "receptacle R1: 5-20R\n");
    let verdict = one(&code, &shop);
    assert_eq!(verdict.outcome, Outcome::Unknown);
    let why = explain(&code, &shop, &verdict);
    let branches: Vec<(&str, &str)> = why.from.iter().map(|w| (w.text.as_str(), w.value.as_str())).collect();
    assert_eq!(branches, [("NEC 2014 to NEC 2017", "pass"), ("NEC 2020 to NEC 2026", "attention")]);
    let changes: Vec<String> = what_would_change(&code, &shop, &verdict).into_iter().map(|c| c.answer).collect();
    assert_eq!(changes.first().map(String::as_str), Some("NEC 2014"));
}

/// A rule's own question comes first, and says the item that it is about.
#[test]
fn rules_ask_in_their_own_words() {
    let code = compiled(RULES);
    let shop = planned(&code, "shop\n  code NEC 2023\nreceptacle R1: duplex\n");
    let verdict = one(&code, &shop);
    assert_eq!(question(&code, &shop, &verdict, verdict.missing[0]), "What does receptacle R1 say on its face?");
    let shop = planned(&code, "shop\n  code NEC 2023\nreceptacle R1: 5-20R\n");
    let verdict = one(&code, &shop);
    assert_eq!(message(&code, &shop, &code.rules[0].texts.otherwise, &verdict), "receptacle R1 gets 24 A: its share");
}

const CLOSE: &str = r#"
define largest-part of (q: equipment) in A
  doc    "the most that a part of it may take"
  = q.nameplate-current * 1.25

rule small-machine "A machine of at most so much"
  why     Made up for a test.
  stage   final
  level   required
  for     each equipment q
  needs   plate "its plate": q.nameplate-current <= 12.5 A
  else    "{q} takes {q.nameplate-current}"
"#;

/// What bounds something is rounded outward, and what may be at most never up: 0.25 A or more is not "at least 0.3 A", and
/// 1.25 times 15 A is 18.75 A, under which 18.8 A is not.
#[test]
fn bounds_are_rounded_outward() {
    use crate::law::evaluate::{End, Interval};
    use crate::quantity::{Dimension, Rational, Scale};
    let amps = Some(Scale::Ratio(Dimension::CURRENT));
    let at = |a, b| End::At(Rational::constant(a, b));
    let shown = |low, high| show::interval(amps, &Interval::between(low, high), show::Digits::USUAL);
    assert_eq!(shown(at(1, 4), End::NoLimit), "at least 0.25 A");
    assert_eq!(shown(at(5, 4), End::NoLimit), "at least 1.2 A");
    assert_eq!(shown(End::Below, at(1873, 100)), "at most 18.8 A");
    assert_eq!(shown(at(1878, 100), at(2171, 100)), "18.7 A to 21.8 A");
    assert_eq!(shown(at(1878, 100), at(1879, 100)), "18.8 A");
    let code = compiled(CLOSE);
    let largest = |amps: &str| {
        let shop = planned(&code, &format!("shop\n  code NEC 2023\nequipment Q1: heater, 240 V, {amps}\n"));
        let name = code.vocabulary.name("largest-part").unwrap();
        figure(&code, &shop, code.define_of(Kind::Equipment, name).unwrap(), shop.named("Q1").unwrap())
    };
    assert_eq!(largest("15 A").text, "18.75 A");
    assert_eq!(told(&largest("15 A").why)[1], "  15 A × 1.25 = 18.75 A");
    assert_eq!(largest("13.31 A").text, "16.6 A", "16.6375 A");
}

/// What is over a limit by less than the digits shown is shown with more of them, in the message, in the derivation and in
/// what would change it.
#[test]
fn a_comparison_does_not_contradict_its_verdict() {
    let code = compiled(CLOSE);
    let shop = planned(&code, "shop\n  code NEC 2023\nequipment Q1: heater, 240 V, 12.54 A\n");
    let verdict = law_verdict(&code, &shop, "small-machine");
    assert_eq!(verdict.outcome, Outcome::Attention);
    assert_eq!(
        message(&code, &shop, &rule_called(&code, "small-machine").texts.otherwise, &verdict),
        "equipment Q1 takes 12.54 A"
    );
    let lines = told(&explain(&code, &shop, &verdict)).join("\n");
    assert!(lines.contains("nameplate current of equipment Q1 = 12.54 A"), "{lines}");
    assert!(lines.contains("is at most 12.5 A = no"), "{lines}");
    let far = planned(&code, "shop\n  code NEC 2023\nequipment Q1: heater, 240 V, 14.04 A\n");
    let verdict = law_verdict(&code, &far, "small-machine");
    assert_eq!(
        message(&code, &far, &rule_called(&code, "small-machine").texts.otherwise, &verdict),
        "equipment Q1 takes 14 A"
    );
}

fn rule_called<'c>(code: &'c Code, name: &str) -> &'c Rule {
    code.rules.iter().find(|rule| rule.name == name).unwrap()
}

fn law_verdict(code: &Code, shop: &Shop, name: &str) -> Verdict {
    let all = judge(code, shop, &Options::default());
    all.into_iter().find(|verdict| rule_called(code, name).name == code.rules[verdict.rule.0 as usize].name).unwrap()
}
