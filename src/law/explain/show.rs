//! Values as people read them.

use super::words::{join, plain};
use crate::law::code::{Code, Define};
use crate::law::evaluate::{End, Interval};
use crate::law::syntax::Cite;
use crate::law::verdict::Outcome;
use crate::quantity::{Rational, Scale, Toward};
use crate::shop::{Shop, Value};
use crate::words::{ChoiceId, Type};

/// How exactly a quantity is shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Digits {
    /// Digits more than usual.
    pub more: u32,
    /// Which way one value goes that has more: down where it is a most, up where it is a least.
    pub toward: Toward,
    /// Whether it has one digit more where that shows it as it is: a limit of 18.75 A.
    pub is_limit: bool,
}

impl Digits {
    pub const USUAL: Digits = Digits { more: 0, toward: Toward::Nearest, is_limit: false };

    /// As a figure of this name is shown: what may be at most is never rounded up, what must be at least never down.
    pub fn of_figure(name: &str) -> Digits {
        let (toward, is_limit) = match name.split_once('-').map_or("", |(first, _)| first) {
            "largest" => (Toward::Down, true),
            "least" => (Toward::Up, true),
            "spare" => (Toward::Down, false),
            _ => (Toward::Nearest, false),
        };
        Digits { more: 0, toward, is_limit }
    }
}

/// `16 in`, `16 in to 20 in`, `at least 18 in`, `over 18 in`, `no limit`, `unknown`.
pub(super) fn interval(scale: Option<Scale>, interval: &Interval, digits: Digits) -> String {
    match (interval.low, interval.high) {
        (End::At(n), End::NoLimit) if scale == Some(Scale::NUMBER) && !interval.low_is_open => {
            format!("{} or more", Scale::NUMBER.show_toward(n, digits.more, Toward::Down))
        }
        _ => bounds(interval, digits, |n, more, toward| match scale {
            Some(scale) => scale.show_toward(n, more, toward),
            None => n.decimal_toward(more.saturating_add(6), toward),
        }),
    }
}

/// A share as people read it: `1.16 %`, `1.04 % to 1.28 %`, `at least 3 %`.
pub(super) fn percent(interval: &Interval, digits: Digits) -> String {
    bounds(interval, digits, |n, more, toward| match n.times(Rational::whole(100)) {
        Some(hundredfold) => format!("{} %", hundredfold.decimal_toward(more.saturating_add(2), toward)),
        None => n.to_string(),
    })
}

/// Ends are rounded outward, so that what is said to lie between them does.
fn bounds(interval: &Interval, digits: Digits, show: impl Fn(Rational, u32, Toward) -> String) -> String {
    let Digits { more, toward, is_limit } = digits;
    let least = |n| show(n, more, Toward::Down);
    let most = |n| show(n, more, Toward::Up);
    let nearest = |n| show(n, more, Toward::Nearest);
    match (interval.low, interval.high) {
        (End::At(n), _) if interval.is_decided() => {
            let is_whole = |more: u32| show(n, more, Toward::Down) == show(n, more, Toward::Up);
            show(n, more.saturating_add(u32::from(is_limit && is_whole(more.saturating_add(1)))), toward)
        }
        (End::NoLimit, _) => "no limit".into(),
        (_, End::Below) => "none".into(),
        (End::Below, End::NoLimit) => "unknown".into(),
        (End::At(n), End::NoLimit) => {
            format!("{} {}", if interval.low_is_open { "over" } else { "at least" }, least(n))
        }
        (End::Below, End::At(n)) => {
            format!("{} {}", if interval.high_is_open { "under" } else { "at most" }, most(n))
        }
        (End::At(a), End::At(b)) => match (interval.low_is_open, interval.high_is_open) {
            // Ends that differ beyond the digits shown are one to a reader.
            (false, false) if nearest(a) == nearest(b) => nearest(a),
            (false, false) => format!("{} to {}", least(a), most(b)),
            (true, false) => format!("over {}, at most {}", least(a), most(b)),
            (false, true) => format!("at least {}, under {}", least(a), most(b)),
            (true, true) => format!("over {}, under {}", least(a), most(b)),
        },
    }
}

/// Most digits that are added to tell two quantities apart.
const MORE_CAP: u32 = 6;

/// How many digits more it takes to show two quantities apart that have no value in common: what is over a limit
/// must not look as if it met it.
pub(super) fn digits_apart(scale: Option<Scale>, a: &Interval, b: &Interval) -> u32 {
    let (lower, upper) = match (a.high < b.low, b.high < a.low) {
        (true, _) => (a, b),
        (_, true) => (b, a),
        _ => return 0,
    };
    let (End::At(below), End::At(above)) = (lower.high, upper.low) else { return 0 };
    let show = |n: Rational, more: u32, toward: Toward| match scale {
        Some(scale) => scale.show_toward(n, more, toward),
        None => n.decimal_toward(more.saturating_add(6), toward),
    };
    let ways = [Toward::Nearest, Toward::Down, Toward::Up];
    let is_apart = |more: &u32| {
        ways.iter().all(|toward| show(below, *more, *toward) != show(above, *more, *toward))
            && show(below, *more, Toward::Up) != show(above, *more, Toward::Down)
    };
    (0..MORE_CAP).find(is_apart).unwrap_or(MORE_CAP)
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
            interval(Some(scale), &Interval::of_value(value), Digits::USUAL)
        }
        (Value::Range(r), _) if r.low.is_none() && r.high.is_none() => "there".into(),
        (Value::Number(_) | Value::Range(_), _) => interval(None, &Interval::of_value(value), Digits::USUAL),
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

/// Where a formula comes from: the code in one edition, else what it says of itself.
pub(super) fn source_of(define: &Define, edition: i64) -> Option<String> {
    cite(&define.cites, edition).or_else(|| define.source.clone())
}

/// The same of a table.
pub(super) fn source_of_table(table: &crate::law::code::Table, edition: i64) -> Option<String> {
    cite(&table.cites, edition).or_else(|| (!table.source.is_empty()).then(|| table.source.clone()))
}

/// A table as sentences call it.
pub(super) fn table(table: &crate::law::code::Table) -> String {
    if table.title.is_empty() { plain(&table.name) } else { table.title.clone() }
}
