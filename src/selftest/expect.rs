//! What an example must give, held against what came out.

use super::set::tagged;
use crate::law::code::{Code, RuleId};
use crate::law::syntax::{Example, Expected, Missing};
use crate::law::verdict::{Outcome, Verdict};
use crate::shop::{ItemRef, Shop};
use crate::text::{Problem, Spanned};

/// Why the verdicts are not what the example says; none where they are.
pub(super) fn failure(
    code: &Code,
    id: RuleId,
    shop: &Shop,
    verdicts: &[Verdict],
    example: &Example,
) -> Option<Problem> {
    let wrong = |message: String| {
        Some(Problem::error(example.span, message).help(format!("it gives {}", told(code, shop, verdicts))))
    };
    let of = |outcome: Outcome| verdicts.iter().filter(move |v| v.outcome == outcome);
    match &example.expected {
        Expected::Pass | Expected::PassExcept(_)
            if of(Outcome::Attention).chain(of(Outcome::Unknown)).next().is_some() =>
        {
            wrong("this example does not pass everywhere".into())
        }
        Expected::Pass if of(Outcome::Pass).next().is_none() => wrong("nothing passes in this example".into()),
        Expected::Pass => None,
        Expected::PassExcept(name) => {
            let excepts = code.rules.get(id.0 as usize).map_or(&[][..], |r| r.excepts.as_slice());
            let index = excepts.iter().position(|e| e.name == name.node);
            if index.is_none() {
                return Some(Problem::error(name.span, format!("the rule has no exception `{}`", name.node)));
            }
            match of(Outcome::Pass).any(|v| v.exception == index) {
                true => None,
                false => wrong(format!("nothing passes by the exception `{}`", name.node)),
            }
        }
        Expected::Attention(None) => match of(Outcome::Attention).next() {
            Some(_) => None,
            None => wrong("nothing asks for attention in this example".into()),
        },
        Expected::Attention(Some(tag)) => {
            let items = tagged(shop, &tag.node);
            if items.is_empty() {
                return no_item(tag);
            }
            match of(Outcome::Attention).any(|v| items.contains(&v.item)) {
                true => None,
                false => wrong(format!("`{}` asks for no attention", tag.node)),
            }
        }
        Expected::Unknown(facts) => {
            if of(Outcome::Unknown).next().is_none() {
                return wrong("nothing is unknown in this example".into());
            }
            let lacking = facts.iter().find(|f| !of(Outcome::Unknown).any(|v| lists(v, f, shop)));
            match lacking {
                Some(fact) => wrong(format!("`{}` is not listed as missing", fact_text(fact))),
                None => None,
            }
        }
        Expected::NotApplicable(tag) => {
            let items = tag.as_ref().map(|tag| tagged(shop, &tag.node));
            if let (Some(tag), Some([])) = (tag, items.as_deref()) {
                return no_item(tag);
            }
            let meant = |v: &&Verdict| items.as_ref().is_none_or(|items| items.contains(&v.item));
            match verdicts.iter().filter(meant).find(|v| v.outcome != Outcome::NotApplicable) {
                Some(_) => wrong("the rule has something to say in this example".into()),
                None => None,
            }
        }
    }
}

fn no_item(tag: &Spanned<String>) -> Option<Problem> {
    Some(Problem::error(tag.span, format!("no item is called `{}`", tag.node)))
}

fn lists(verdict: &Verdict, fact: &Missing, shop: &Shop) -> bool {
    let items: Option<Vec<ItemRef>> = fact.item.as_ref().map(|tag| tagged(shop, &tag.node));
    verdict.missing.iter().any(|missing| {
        shop.vocabulary.text(missing.name) == fact.word.node
            && items.as_ref().is_none_or(|items| items.contains(&missing.item))
    })
}

fn fact_text(fact: &Missing) -> String {
    match &fact.item {
        Some(item) => format!("{} of {}", fact.word.node, item.node),
        None => fact.word.node.clone(),
    }
}

/// What came out, for the author: `pass at R1, unknown at R2 (missing has-gfci of breaker of C1)`.
fn told(code: &Code, shop: &Shop, verdicts: &[Verdict]) -> String {
    if verdicts.is_empty() {
        return "nothing: the rule meets no item of this plan".into();
    }
    let each: Vec<String> = verdicts
        .iter()
        .take(6)
        .map(|v| {
            let at = &shop.head(v.item).name;
            let missing: Vec<String> = v
                .missing
                .iter()
                .take(6)
                .map(|m| format!("{} of {}", code.vocabulary.text(m.name), shop.head(m.item).name))
                .collect();
            match (v.outcome, missing.is_empty()) {
                (Outcome::Pass, _) => format!("pass at {at}"),
                (Outcome::Attention, _) => format!("attention at {at}"),
                (Outcome::NotApplicable, _) => format!("\"does not apply\" at {at}"),
                (Outcome::Unknown, true) => format!("unknown at {at}"),
                (Outcome::Unknown, false) => format!("unknown at {at} (missing {})", missing.join(", ")),
            }
        })
        .collect();
    let more = if verdicts.len() > 6 { ", and more" } else { "" };
    format!("{}{more}", each.join(", "))
}
