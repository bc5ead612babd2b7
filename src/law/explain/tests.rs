//! What is told of verdicts made by hand. No figure here is one of a code.

use super::*;
use crate::law::code::*;
use crate::law::evaluate::tests::*;
use crate::law::syntax::Comparison;
use crate::law::verdict::{Missing, Outcome, Why};
use crate::shop::{How, Value};
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
    made.title = "A limit".into();
    made.needs[0].title = "rating".into();
    made.excepts = vec![except(word(name::HAS_AFCI))];
    made.excepts[0].title = "arc-fault".into();
    made.otherwise = Message {
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
    assert_eq!(message(&code, &shop, &code.rules[0].otherwise, &verdict), "receptacle R0 has 30 A: rating");
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
