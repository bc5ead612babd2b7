//! Values as people read them.

use super::words::{join, plain};
use crate::law::code::Code;
use crate::law::evaluate::{End, Interval};
use crate::law::syntax::Cite;
use crate::law::verdict::Outcome;
use crate::quantity::{Rational, Scale};
use crate::shop::{Shop, Value};
use crate::words::{ChoiceId, Type};

/// `16 in`, `16 in to 20 in`, `at least 18 in`, `over 18 in`, `no limit`, `unknown`.
pub(super) fn interval(scale: Option<Scale>, interval: &Interval) -> String {
    match (interval.low, interval.high) {
        (End::At(n), End::NoLimit) if scale == Some(Scale::NUMBER) && !interval.low_is_open => {
            format!("{} or more", Scale::NUMBER.show(n))
        }
        _ => bounds(interval, |n| scale.map_or_else(|| n.to_string(), |s| s.show(n))),
    }
}

/// A share as people read it: `1.16 %`, `1.04 % to 1.28 %`, `at least 3 %`.
pub(super) fn percent(interval: &Interval) -> String {
    bounds(interval, |n| match n.times(Rational::whole(100)) {
        Some(hundredfold) => format!("{} %", hundredfold.decimal(2)),
        None => n.to_string(),
    })
}

fn bounds(interval: &Interval, show: impl Fn(Rational) -> String) -> String {
    let (low, high) = (interval.low, interval.high);
    match (low, high) {
        (End::At(n), _) if interval.is_decided() => show(n),
        (End::NoLimit, _) => "no limit".into(),
        (_, End::Below) => "none".into(),
        (End::Below, End::NoLimit) => "unknown".into(),
        (End::At(n), End::NoLimit) => format!("{} {}", if interval.low_is_open { "over" } else { "at least" }, show(n)),
        (End::Below, End::At(n)) => format!("{} {}", if interval.high_is_open { "under" } else { "at most" }, show(n)),
        (End::At(a), End::At(b)) => match (interval.low_is_open, interval.high_is_open) {
            // Ends that differ beyond the digits shown are one to a reader.
            (false, false) if show(a) == show(b) => show(a),
            (false, false) => format!("{} to {}", show(a), show(b)),
            (true, false) => format!("over {}, at most {}", show(a), show(b)),
            (false, true) => format!("at least {}, under {}", show(a), show(b)),
            (true, true) => format!("over {}, under {}", show(a), show(b)),
        },
    }
}

/// Values of a choice: `garage`, `storage or workshop`, `unknown` for all of them.
pub(super) fn choice(code: &Code, id: Option<ChoiceId>, bits: u64) -> String {
    let Some(values) = id.and_then(|id| code.vocabulary.choice(id)).map(|c| &c.values) else { return "unknown".into() };
    let is_in = |i: &usize| bits & 1u64.checked_shl(*i as u32).unwrap_or(0) != 0;
    let chosen: Vec<String> = (0..values.len()).filter(is_in).filter_map(|i| values.get(i).cloned()).collect();
    if chosen.is_empty() || chosen.len() == values.len() && values.len() > 1 {
        return "unknown".into();
    }
    join(&chosen, "or")
}

/// What a plan says of a fact.
pub(super) fn value(code: &Code, shop: &Shop, ty: Option<Type>, value: &Value) -> String {
    match (value, ty) {
        (Value::Unknown, _) => "unknown".into(),
        (Value::Absent, _) => "none".into(),
        (Value::YesNo(yes), _) => if *yes { "yes" } else { "no" }.into(),
        (Value::Number(_) | Value::Range(_), Some(Type::Quantity(scale))) => {
            interval(Some(scale), &Interval::of_value(value))
        }
        (Value::Range(r), _) if r.low.is_none() && r.high.is_none() => "there".into(),
        (Value::Number(_) | Value::Range(_), _) => interval(None, &Interval::of_value(value)),
        (Value::Choice(bits), Some(Type::Choice(id) | Type::Choices(id))) => choice(code, Some(id), *bits),
        (Value::Choice(_), _) => "unknown".into(),
        (Value::Item(item), _) => shop.called(*item),
        (Value::List(id), _) => {
            let list = shop.list(*id);
            let names: Vec<String> = list.sure.iter().map(|item| shop.head(*item).name.clone()).collect();
            match (names.is_empty(), list.is_open || !list.possible.is_empty()) {
                (true, false) => "none".into(),
                (true, true) => "not known".into(),
                (false, false) => join(&names, "and"),
                (false, true) => format!("{}, perhaps others", join(&names, "and")),
            }
        }
        (Value::Name(n), _) => shop.proper_name(*n).to_string(),
    }
}

/// An outcome in one word or two.
pub(super) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "pass",
        Outcome::Attention => "attention",
        Outcome::Unknown => "unknown",
        Outcome::NotApplicable => "does not apply",
    }
}

/// Where the code says so in one edition: `NEC 2023 310.16`. None where the number is not known.
pub(super) fn cite(cites: &[Cite], edition: i64) -> Option<String> {
    let cite = cites.iter().find(|c| c.first <= edition && edition <= c.last && !c.sections.is_empty())?;
    let doubt = if cite.is_memory { " (section from memory)" } else { "" };
    Some(format!("NEC {edition} {}{doubt}", cite.sections.join(", ")))
}

/// A table as sentences call it.
pub(super) fn table(table: &crate::law::code::Table) -> String {
    if table.title.is_empty() { plain(&table.name) } else { table.title.clone() }
}
