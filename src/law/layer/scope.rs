//! When an edit counts: editions, days of the permit, and a condition.

use crate::law::compile::EDITIONS;
use crate::law::print;
use crate::law::syntax::layer::{Reach, Scope, Standing};
use crate::law::syntax::{Comparison, Expr, Node};
use crate::quantity::{Quantity, Rational, Scale, day_text};
use crate::text::{Span, Spanned};

/// When an edit counts; all of it must hold.
#[derive(Clone, Debug, Default)]
pub struct When {
    /// Editions by their years, each range up to the second one excluded; any edition if empty.
    pub editions: Vec<(i64, Option<i64>)>,
    /// From this day of the permit on.
    pub from: Option<i64>,
    /// Up to this day, excluded.
    pub before: Option<i64>,
    /// Conditions beside.
    pub tests: Vec<Expr>,
}

impl When {
    /// The bounds of a head, narrowed by those of a block. `withdrawn DAY` and `absorbed in NEC X` are bounds too.
    pub fn of(head: &Scope, block: &Scope) -> When {
        let later = |a: Option<i64>, b: Option<i64>| a.into_iter().chain(b).max();
        let sooner = |a: Option<i64>, b: Option<i64>| a.into_iter().chain(b).min();
        let mut when = When {
            editions: ranges(block.over.as_ref().or(head.over.as_ref())),
            from: later(head.from, block.from),
            before: sooner(head.before, block.before),
            tests: Vec::new(),
        };
        match block.status.as_ref().or(head.status.as_ref()).map(|status| &status.node.standing) {
            Some(Standing::Withdrawn(Some(day))) => when.before = sooner(when.before, Some(*day)),
            Some(Standing::Absorbed(year)) => when.end_at(*year),
            _ => {}
        }
        when
    }

    fn end_at(&mut self, year: i64) {
        if self.editions.is_empty() {
            self.editions.push((i64::MIN, None));
        }
        self.editions.retain_mut(|(first, end)| {
            *end = Some(end.map_or(year, |end| end.min(year)));
            *first < year
        });
        if self.editions.is_empty() {
            // Nothing is left: a range that holds no edition.
            self.editions.push((i64::MIN, Some(i64::MIN)));
        }
    }

    /// Whether it counts everywhere and always.
    pub fn is_always(&self) -> bool {
        self.is_by_edition() && self.editions.is_empty()
    }

    /// Whether nothing but the edition decides.
    pub fn is_by_edition(&self) -> bool {
        self.from.is_none() && self.before.is_none() && self.tests.is_empty()
    }

    /// Whether it counts in an edition, as far as that decides.
    pub fn has_edition(&self, year: i64) -> bool {
        self.editions.is_empty()
            || self.editions.iter().any(|(first, end)| *first <= year && end.is_none_or(|end| year < end))
    }

    /// Whether it counts on a day of the permit, as far as that decides.
    pub fn has_day(&self, day: i64) -> bool {
        self.from.is_none_or(|from| from <= day) && self.before.is_none_or(|before| day < before)
    }

    /// As a condition of the rule language; none where it counts always.
    pub fn test(&self, span: Span) -> Option<Expr> {
        let mut all = Vec::new();
        let of_range = |(first, end): &(i64, Option<i64>)| {
            let from = (*first > i64::MIN).then(|| compare(edition(span), Comparison::AtLeast, year(*first, span)));
            let to = end.map(|end| compare(edition(span), Comparison::Less, year(end, span)));
            and(from.into_iter().chain(to).collect(), span)
        };
        all.extend(or(self.editions.iter().filter_map(of_range).collect(), span));
        all.extend(self.from.map(|day| compare(date(span), Comparison::AtLeast, on(day, span))));
        all.extend(self.before.map(|day| compare(date(span), Comparison::Less, on(day, span))));
        all.extend(self.tests.iter().cloned());
        and(all, span)
    }

    /// In words: `NEC 2020, NEC 2023 and later; permits from 2020-07-01; where …`.
    pub fn text(&self) -> String {
        let mut all = Vec::new();
        let range = |(first, end): &(i64, Option<i64>)| match (*first, *end) {
            (i64::MIN, Some(i64::MIN)) => "no edition".to_string(),
            (i64::MIN, Some(end)) => format!("before NEC {end}"),
            (first, Some(end)) => {
                let last = EDITIONS.into_iter().rfind(|year| *year < end).filter(|year| *year > first);
                last.map_or(format!("NEC {first}"), |last| format!("NEC {first} to NEC {last}"))
            }
            (first, None) => format!("NEC {first} and later"),
        };
        if !self.editions.is_empty() {
            all.push(self.editions.iter().map(range).collect::<Vec<_>>().join(", "));
        }
        all.extend(self.from.map(|day| format!("permits from {}", day_text(day))));
        all.extend(self.before.map(|day| format!("permits before {}", day_text(day))));
        all.extend(self.tests.iter().map(|test| format!("where {}", print::expr(test))));
        all.join("; ")
    }
}

/// The editions of `over` as ranges; each reaches up to the next edition that is known.
fn ranges(over: Option<&Vec<Reach>>) -> Vec<(i64, Option<i64>)> {
    let mut all: Vec<(i64, Option<i64>)> = over
        .into_iter()
        .flatten()
        .map(|reach| {
            let next = EDITIONS.into_iter().find(|year| *year > reach.year);
            (reach.year, if reach.is_open { None } else { next })
        })
        .collect();
    all.sort_unstable();
    let mut joined: Vec<(i64, Option<i64>)> = Vec::new();
    for range in all {
        match joined.last_mut() {
            Some((_, None)) => break,
            Some((_, end)) if end.is_some_and(|end| end >= range.0) => *end = end.zip(range.1).map(|(a, b)| a.max(b)),
            _ => joined.push(range),
        }
    }
    joined
}

/// `a and b and …`; none of none.
pub(super) fn and(mut all: Vec<Expr>, span: Span) -> Option<Expr> {
    match all.len() {
        0 | 1 => all.pop(),
        _ => Some(made(Node::And(all), span)),
    }
}

/// `a or b or …`; none of none.
pub(super) fn or(mut all: Vec<Expr>, span: Span) -> Option<Expr> {
    match all.len() {
        0 | 1 => all.pop(),
        _ => Some(made(Node::Or(all), span)),
    }
}

/// An expression that an edit makes, at the place of the edit.
pub(super) fn made(node: Node, span: Span) -> Expr {
    Expr { node: Box::new(node), span }
}

/// `owner.word`.
pub(super) fn word(owner: &str, word: &str, span: Span) -> Expr {
    let owner = made(Node::Name(owner.into()), span);
    made(Node::Word(owner, Spanned { node: word.into(), span }), span)
}

fn compare(left: Expr, sign: Comparison, right: Expr) -> Expr {
    let span = left.span;
    made(Node::Compare(sign, left, right), span)
}

fn edition(span: Span) -> Expr {
    word("permit", "edition", span)
}

fn date(span: Span) -> Expr {
    word("permit", "date", span)
}

fn year(year: i64, span: Span) -> Expr {
    made(Node::Quantity(Quantity { value: Rational::whole(year), scale: Scale::Edition }), span)
}

fn on(day: i64, span: Span) -> Expr {
    made(Node::Quantity(Quantity { value: Rational::whole(day), scale: Scale::Date }), span)
}
