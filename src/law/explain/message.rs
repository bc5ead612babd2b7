use super::show;
use super::tree::{Teller, rule_of};
use super::words::{ask, join, noun, plain};
use crate::law::code::{Any, Code, Message, Piece, Rule};
use crate::law::evaluate::Interval;
use crate::law::evaluate::ground::Ground;
use crate::law::evaluate::memo::Memo;
use crate::law::evaluate::moment::Now;
use crate::law::verdict::{Missing, Verdict};
use crate::quantity::Scale;
use crate::shop::{How, ItemRef, Shop, Value};
use crate::words::Type;

/// A message with its holes filled for one verdict: items as `receptacle R1`, quantities with
/// their units, `{part}` as the titles of the parts that failed.
pub fn message(code: &Code, shop: &Shop, message: &Message, verdict: &Verdict) -> String {
    fill(code, shop, message, verdict, None)
}

/// In a question the letters that only the asked item has stand for that item.
fn fill(code: &Code, shop: &Shop, message: &Message, verdict: &Verdict, asked: Option<ItemRef>) -> String {
    let Some(rule) = rule_of(code, verdict.rule) else { return String::new() };
    let ground = Ground::new(code, shop);
    let mut memo = Memo::new();
    let Some(now) = moment_of(&ground, rule, verdict) else { return String::new() };
    let mut teller = Teller::new(&ground, &mut memo, now, rule);
    teller.enter_rule(rule, verdict.item);
    teller.more = digits_apart(&mut teller, rule, message);
    let mut text = String::new();
    for piece in &message.pieces {
        match piece {
            Piece::Text(piece) => text.push_str(piece),
            Piece::Part => text.push_str(&parts(rule, verdict)),
            Piece::Asked => text.push_str(&asked.map_or("it".to_string(), |item| shop.called(item))),
            Piece::Hole(any) => text.push_str(&teller.any_text(any)),
        }
    }
    text
}

/// How many digits more it takes so that quantities of a message look different where they differ, and so do the
/// sides of what its rule compares.
fn digits_apart(teller: &mut Teller, rule: &Rule, message: &Message) -> u32 {
    let mut told: Vec<(Scale, Interval)> = Vec::new();
    for piece in &message.pieces {
        if let Piece::Hole(Any::Number(number, scale)) = piece {
            told.push((*scale, teller.machine.number(number)));
        }
    }
    if told.is_empty() {
        return 0;
    }
    let now = teller.machine.now;
    let needs = rule.needs.iter().filter(|part| now.is_in(&part.bounds));
    let mut most = needs.map(|part| teller.digits_apart(&part.test)).max().unwrap_or(0);
    for (place, (scale, one)) in told.iter().enumerate() {
        for (_, other) in told.iter().skip(place).skip(1).filter(|(of, _)| of == scale) {
            most = most.max(show::digits_apart(Some(*scale), one, other));
        }
    }
    most
}

/// The moment in which a verdict stands: the newest possible one, or the newest with its outcome.
pub(super) fn moment_of(ground: &Ground, rule: &Rule, verdict: &Verdict) -> Option<Now> {
    let all: Vec<Now> = ground.moments.that_matter(rule.turns_on_edition, rule.turns_on_day).collect();
    let same = all.iter().zip(&verdict.worlds).rfind(|(_, (_, outcome))| *outcome == verdict.outcome);
    same.map(|(now, _)| *now).or(all.last().copied())
}

fn parts(rule: &Rule, verdict: &Verdict) -> String {
    let parts = verdict.parts.iter().filter_map(|part| rule.needs.get(*part));
    let titles: Vec<String> =
        parts.map(|part| if part.title.is_empty() { plain(&part.name) } else { part.title.clone() }).collect();
    join(&titles, "and")
}

/// The question that asks for a missing fact: the rule's own, the word's own, or one made of the word.
pub fn question(code: &Code, shop: &Shop, verdict: &Verdict, missing: Missing) -> String {
    let Missing { item, name } = missing;
    let own = rule_of(code, verdict.rule)
        .and_then(|rule| rule.texts.asks.iter().find(|(kinds, n, _)| *n == name && kinds.has(item.kind)));
    if let Some((_, _, asked)) = own {
        return fill(code, shop, asked, verdict, Some(item));
    }
    question_of(code, shop, missing)
}

/// The question for a missing fact outside any rule.
pub fn question_of(code: &Code, shop: &Shop, missing: Missing) -> String {
    let Missing { item, name } = missing;
    let called = shop.called(item);
    let Some(word) = code.vocabulary.word(item.kind, name) else {
        return format!("What is the {} of {called}?", noun(code.vocabulary.text(name)));
    };
    let text = code.vocabulary.text(name);
    // What somebody found is open here only because it may stand in what could not be read.
    if matches!(word.ty, Type::Choices(_)) && shop.source(item, name).how == How::Unread {
        return format!("A part of what the plan says of {called} could not be read: does it name {}?", noun(text));
    }
    if let Some(question) = &word.question {
        return question.replace("{item}", &called);
    }
    match word.ty {
        _ if word.is_part && *shop.fact(item, name) == Value::Unknown => ask(&called, &format!("has-{text}")),
        Type::YesNo => ask(&called, text),
        Type::Choice(id) => {
            let values = code.vocabulary.choice(id).map_or(&[][..], |c| &c.values);
            let bits = match shop.fact(item, name) {
                Value::Choice(bits) => *bits,
                _ => u64::MAX,
            };
            let is_left = |i: &usize| bits & 1u64.checked_shl(*i as u32).unwrap_or(0) != 0;
            let left: Vec<String> = (0..values.len()).filter(is_left).filter_map(|i| values.get(i).cloned()).collect();
            match left.len() {
                2..=6 => format!("What is the {} of {called}: {}?", noun(text), join(&left, "or")),
                _ => format!("What is the {} of {called}?", noun(text)),
            }
        }
        Type::List(_) | Type::Choices(_) => match shop.fact(item, name) {
            Value::List(id) if !shop.list(*id).sure.is_empty() => {
                let known = show::value(code, shop, Some(word.ty), shop.fact(item, name));
                let known = known.trim_end_matches(", perhaps others");
                format!("Are there other {} of {called} than {known}?", noun(text))
            }
            _ => format!("Which {} does {called} have, if any?", noun(text)),
        },
        Type::Item(_) => format!("Which is the {} of {called}?", noun(text)),
        Type::Quantity(_) | Type::Name => format!("What is the {} of {called}?", noun(text)),
    }
}
