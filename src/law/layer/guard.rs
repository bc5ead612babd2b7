//! What an edit quotes, held against what stands there.

use crate::law::compile::EDITIONS;
use crate::law::print;
use crate::law::syntax::layer::Quoted;
use crate::law::syntax::{Expr, Limit, Moment, Step};
use crate::text::{Problem, Span};
use std::collections::BTreeSet;

use super::When;

/// What a guard found.
pub(super) enum Found {
    /// What it quotes.
    Same,
    /// What the edit would make: the base says so already.
    Absorbed,
    /// Something else: what stands there today.
    Other(String),
}

/// A title or condition. `new` is what the edit would make of it, if it makes a condition.
pub(super) fn quoted(was: &Quoted, title: &str, test: Option<&Expr>, new: Option<&Expr>) -> Found {
    let text = test.map(print::expr);
    let is_same = match was {
        Quoted::Title(quoted) => words(quoted) == words(title),
        Quoted::Test(quoted) => text.as_ref().is_some_and(|text| *text == print::expr(quoted)),
    };
    if is_same {
        return Found::Same;
    }
    if new.is_some() && new.map(print::expr) == text {
        return Found::Absorbed;
    }
    Found::Other(match (was, text) {
        (Quoted::Test(_), Some(text)) => text,
        _ => format!("\"{title}\""),
    })
}

/// A text in quotes.
pub(super) fn title(was: &str, title: &str) -> Found {
    if words(was) == words(title) { Found::Same } else { Found::Other(format!("\"{title}\"")) }
}

/// A value, in each edition that the edit is for: one that differs by edition may be quoted whole or as it is there.
pub(super) fn steps(was: &[Step], now: &[Step], new: &[Step], when: &When) -> Found {
    let text = print::steps(now);
    if print::steps(was) == text {
        return Found::Same;
    }
    let has_day = |steps: &[Step]| steps.iter().any(|step| matches!(step.from, Some(Moment::Day(_))));
    let other = || if print::steps(new) == text { Found::Absorbed } else { Found::Other(text.clone()) };
    if has_day(was) || has_day(now) {
        return other();
    }
    let (mut is_wrong, mut is_absorbed) = (false, true);
    let mut told: BTreeSet<String> = BTreeSet::new();
    for year in editions(was, now).into_iter().filter(|year| when.has_edition(*year)) {
        let here = at(now, year).map(print::limit);
        if here == at(new, year).map(print::limit) {
            continue;
        }
        is_absorbed = false;
        is_wrong |= here != at(was, year).map(print::limit);
        told.extend(here);
    }
    if is_absorbed && !new.is_empty() {
        return Found::Absorbed;
    }
    match (is_wrong, told.len()) {
        (false, _) => Found::Same,
        // The same in every edition that counts: told as it stands there.
        (true, 1) => Found::Other(told.pop_first().unwrap_or(text)),
        (true, _) => Found::Other(text),
    }
}

/// The editions in which values can differ.
fn editions(a: &[Step], b: &[Step]) -> BTreeSet<i64> {
    let named = a.iter().chain(b).filter_map(|step| match step.from {
        Some(Moment::Edition(year)) => Some(year),
        _ => None,
    });
    EDITIONS.into_iter().chain(named).collect()
}

/// What a value is in an edition.
pub(super) fn at(steps: &[Step], year: i64) -> Option<&Limit> {
    let counts = |step: &&Step| match step.from {
        None => true,
        Some(Moment::Edition(from)) => from <= year,
        Some(Moment::Day(_)) => false,
    };
    steps.iter().rev().find(counts).map(|step| &step.limit)
}

/// Words alone: blanks and line ends make no difference.
pub(super) fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// An edit that quotes what is not there.
pub(super) fn out_of_date(place: Span, target: &str, part: &str, today: &str) -> Problem {
    Problem::error(place, format!("out of date: {part} of {target} says {today} today; the edit is not made"))
        .help(format!("look at the local text again; if it still holds, write `was {today}`"))
}
