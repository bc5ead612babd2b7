//! `set TAG.word = VALUE` of an example: what topology or a formula gives, stated outright.

use crate::law::syntax::Set;
use crate::quantity::{self, Quantity, Rational, Scale};
use crate::shop::{How, ItemRef, List, Shop, Source, Value};
use crate::text::{Problem, nearest};
use crate::words::{Kind, Kinds, Type, Word};

/// States the fact, whatever stood there.
pub(super) fn apply(set: &Set, shop: &mut Shop) -> Result<(), Problem> {
    let vocabulary = shop.vocabulary.clone();
    let unknown_word = || {
        Problem::error(set.word.span, format!("`{}` is no word of `{}`", set.word.node, set.item.node)).maybe_help(
            nearest(&set.word.node, vocabulary.words().iter().map(|w| vocabulary.text(w.name))).map(did_you_mean),
        )
    };
    let name = vocabulary.name(&set.word.node).ok_or_else(unknown_word)?;
    let items = tagged(shop, &set.item.node);
    if items.is_empty() {
        let hint = nearest(&set.item.node, shop.tags()).map(did_you_mean);
        return Err(Problem::error(set.item.span, format!("no item is called `{}`", set.item.node)).maybe_help(hint));
    }
    let item = items.into_iter().find(|i| vocabulary.word(i.kind, name).is_some()).ok_or_else(unknown_word)?;
    let word = vocabulary.word(item.kind, name).ok_or_else(unknown_word)?;
    let value = value(&set.value.node, word, shop).ok_or_else(|| {
        let what = vocabulary.type_text(word.ty);
        Problem::error(set.value.span, format!("`{}` is no {what}", set.value.node))
            .help(format!("`{}` of a {} is a {what}", set.word.node, item.kind))
    })?;
    let source = Source { how: How::Planned, place: set.value.span, claim: None, day: None };
    shop.set(item, name, value, source);
    Ok(())
}

fn did_you_mean(word: &str) -> String {
    format!("did you mean `{word}`?")
}

/// Items that a tag of an example stands for, the item itself before its parts: `R1`, `shop`;
/// `P1-B1` for the run between them; `F1-1` for a stretch; a circuit's for its breaker and wire.
pub(super) fn tagged(shop: &Shop, tag: &str) -> Vec<ItemRef> {
    let all = || Kind::ALL.into_iter().flat_map(|kind| shop.items(kind));
    let exact = |item: &ItemRef| {
        let name = shop.head(*item).name.as_str();
        name == tag
            || name.replace(" to ", "-") == tag
            || name
                .strip_prefix("stretch ")
                .and_then(|n| n.split_once(" of "))
                .is_some_and(|(n, of)| format!("{of}-{n}") == tag)
    };
    let mut found: Vec<ItemRef> = shop.named(tag).into_iter().collect();
    found.extend(all().filter(exact));
    let own = found.clone();
    found.extend(all().filter(|i| shop.head(*i).of.is_some_and(|of| own.contains(&of))));
    let mut seen = std::collections::HashSet::new();
    found.retain(|item| seen.insert(*item));
    found
}

fn value(text: &str, word: &Word, shop: &mut Shop) -> Option<Value> {
    if word.is_part && text == "none" {
        return Some(Value::Absent);
    }
    match word.ty {
        Type::YesNo => match text {
            "yes" => Some(Value::YesNo(true)),
            "no" => Some(Value::YesNo(false)),
            _ => None,
        },
        Type::Quantity(scale) => Some(Value::Number(amount(text, scale)?)),
        Type::Choice(id) => {
            let vocabulary = shop.vocabulary.clone();
            Some(Value::choice(vocabulary.choice(id)?.value(text)?))
        }
        Type::Choices(id) => {
            let vocabulary = shop.vocabulary.clone();
            let choice = vocabulary.choice(id)?;
            let each = names(text).map(|name| choice.value(name)).collect::<Option<Vec<u8>>>()?;
            let choices = each.into_iter().fold(0, |bits, value| bits | 1 << value.min(63));
            Some(Value::List(shop.add_list(List { choices, ..List::default() })))
        }
        Type::Item(kinds) => Some(Value::Item(one(text, kinds, shop)?)),
        Type::List(kinds) => {
            let sure = names(text).map(|name| one(name, kinds, shop)).collect::<Option<Vec<ItemRef>>>()?;
            Some(Value::List(shop.add_list(List { sure, ..List::default() })))
        }
        Type::Name => Some(shop.add_proper_name(text)),
    }
}

/// Names with commas; `nothing` is none.
fn names(text: &str) -> impl Iterator<Item = &str> {
    text.split(',').map(str::trim).filter(|n| !n.is_empty() && *n != "nothing")
}

fn one(tag: &str, kinds: Kinds, shop: &Shop) -> Option<ItemRef> {
    tagged(shop, tag).into_iter().find(|item| kinds.has(item.kind))
}

/// `7200 VA`, `6 AWG`, `3`, `NEC 2023`, `2026-09-01`, in base units.
pub(super) fn amount(text: &str, wanted: Scale) -> Option<Rational> {
    if let Some(year) = text.strip_prefix("NEC ").filter(|_| wanted == Scale::Edition) {
        return quantity::number(year);
    }
    if wanted == Scale::Date {
        return quantity::day(text).map(Rational::whole);
    }
    let Some((number, unit)) = text.split_once(' ') else {
        return quantity::number(text).filter(|_| wanted == Scale::NUMBER);
    };
    let Quantity { value, scale } = quantity::unit(number, unit)?;
    let is_trade_size = wanted == Scale::TradeSize && unit == "in";
    (scale == wanted || is_trade_size).then_some(value)
}
