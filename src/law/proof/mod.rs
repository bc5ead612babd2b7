//! What can be proved of a pack without a plan: rules that can't both be met, parts that can never count,
//! facts that nothing speaks of.
//!
//! A rule is looked at in one edition after the other. Conditions joined by `and` are taken apart; what compares an
//! expression with a figure, a choice or yes and no becomes a [`Bound`] on that expression, anything else stands for
//! itself by its text. Nothing is said unless it is sure: a condition that is not understood proves nothing.

mod bound;
mod facts;
mod unused;

use super::compile::EDITIONS;
use super::syntax::{Bounds, Moment, Pack, Part, Rule};
use crate::text::{Problem, Span};
use crate::words::{Type, Vocabulary};
use bound::Bound;
use facts::{Facts, Reading};
use std::collections::HashSet;

/// Contradictions and parts that can never count, in the order of their places. A contradiction of two rules is an
/// error that names both; what never counts is a warning.
pub fn problems(pack: &Pack, vocabulary: &Vocabulary) -> Vec<Problem> {
    let mut found = unused::facts(pack);
    // `is` of a word with several values says that one of them is among these.
    let of_several = vocabulary.words().iter().filter(|word| matches!(word.ty, Type::Choices(_)));
    let pack = &Known { pack, of_several: of_several.map(|word| vocabulary.text(word.name)).collect() };
    for rule in &pack.pack.rules {
        never(rule, &mut found);
        alone(pack, rule, &mut found);
    }
    for table in &pack.pack.tables {
        for row in table.rows.iter().filter(|row| is_never(&row.bounds)) {
            found.push(Problem::warning(
                row.span,
                format!("this row of {} never counts: no edition and no day lies within its bounds", table.name.node),
            ));
        }
    }
    together(pack, &mut found);
    found.sort_by_key(|problem| problem.span);
    found
}

/// A pack, and what its words are.
struct Known<'p> {
    pack: &'p Pack,
    of_several: HashSet<&'p str>,
}

/// Whether no edition or day lies within bounds.
fn is_never(bounds: &Bounds) -> bool {
    match (bounds.from, bounds.before) {
        (Some(Moment::Edition(a)), Some(Moment::Edition(b))) | (Some(Moment::Day(a)), Some(Moment::Day(b))) => a >= b,
        (None, Some(Moment::Edition(b))) => EDITIONS.first().is_some_and(|first| b <= *first),
        _ => false,
    }
}

/// Parts of a rule outside every edition, and exceptions and items outside the rule's own bounds.
fn never(rule: &Rule, found: &mut Vec<Problem>) {
    let parts = rule.wheres.iter().chain(&rule.needs).map(|part| ("condition", part.test.span, part.bounds));
    let excepts = rule.excepts.iter().map(|except| ("exception", except.name.span, except.bounds));
    let items = rule.lists.iter().flat_map(|list| &list.items).map(|item| ("item", item.name.span, item.bounds));
    for (what, place, own) in parts.chain(excepts).chain(items) {
        let narrowed =
            Bounds { from: later(own.from, rule.bounds.from), before: sooner(own.before, rule.bounds.before) };
        if is_never(&own) || is_never(&narrowed) {
            let message =
                format!("this {what} of {} never counts: its bounds hold no edition of the rule", rule.name.node);
            found.push(Problem::warning(place, message));
        }
    }
}

fn later(a: Option<Moment>, b: Option<Moment>) -> Option<Moment> {
    match (a, b) {
        (Some(Moment::Edition(a)), Some(Moment::Edition(b))) => Some(Moment::Edition(a.max(b))),
        _ => a.or(b),
    }
}

fn sooner(a: Option<Moment>, b: Option<Moment>) -> Option<Moment> {
    match (a, b) {
        (Some(Moment::Edition(a)), Some(Moment::Edition(b))) => Some(Moment::Edition(a.min(b))),
        _ => a.or(b),
    }
}

/// What a rule contradicts by itself: a `where` that can't hold, a `needs` that can't be met where it applies, an
/// exception that can't hold there.
fn alone(pack: &Known<'_>, rule: &Rule, found: &mut Vec<Problem>) {
    let mut told: HashSet<Span> = HashSet::new();
    let years: Vec<i64> = EDITIONS.into_iter().filter(|year| counts(&rule.bounds, *year) == Some(true)).collect();
    let all_years = |meets: &dyn Fn(&Reading) -> bool| {
        !years.is_empty() && years.iter().all(|year| meets(&Reading::of(pack, rule, *year)))
    };
    if all_years(&|reading| reading.wheres.clash(&Facts::default()).is_some()) {
        found.push(Problem::warning(
            rule.name.span,
            format!("`{}` meets nothing, ever: its `where` lines contradict one another", rule.name.node),
        ));
        return;
    }
    for part in &rule.needs {
        let never_met = |reading: &Reading| {
            let own = reading.facts(&part.test);
            counts(&part.bounds, reading.year) == Some(true) && reading.wheres.clash(&own).is_some()
        };
        let is_let_off = !rule.excepts.is_empty();
        if !is_let_off && all_years(&never_met) && told.insert(part.test.span) {
            let message =
                format!("nothing can meet this: where `{}` applies, its `where` lines deny it", rule.name.node);
            found.push(
                Problem::error(part.test.span, message).help("every item that the rule is about would need attention"),
            );
        }
    }
    for except in &rule.excepts {
        let never_holds = |reading: &Reading| {
            counts(&except.bounds, reading.year) == Some(false)
                || reading.wheres.clash(&reading.facts(&except.test)).is_some()
        };
        if all_years(&never_holds) && told.insert(except.test.span) {
            let message = format!("this exception can never hold: the `where` lines of `{}` deny it", rule.name.node);
            found.push(Problem::warning(except.test.span, message));
        }
    }
}

/// Whether bounds hold an edition; none where a day decides.
fn counts(bounds: &Bounds, year: i64) -> Option<bool> {
    let (mut holds, mut is_sure) = (true, true);
    for (moment, is_from) in [(bounds.from, true), (bounds.before, false)] {
        match moment {
            Some(Moment::Edition(at)) => holds &= if is_from { at <= year } else { year < at },
            Some(Moment::Day(_)) => is_sure = false,
            None => {}
        }
    }
    match (holds, is_sure) {
        (false, _) => Some(false),
        (true, true) => Some(true),
        (true, false) => None,
    }
}

/// Two required rules of one kind of item, of which one applies wherever the other does, and that ask for what can't
/// both be. A rule with an exception is left out: it may let off what the other asks for.
fn together(pack: &Known<'_>, found: &mut Vec<Problem>) {
    let is_plain = |rule: &&Rule| {
        rule.level.node == "required"
            && rule.excepts.is_empty()
            && rule.evidence.is_empty()
            && rule.subject.within.is_none()
    };
    let rules: Vec<&Rule> = pack.pack.rules.iter().filter(is_plain).collect();
    let mut told: HashSet<(Span, Span)> = HashSet::new();
    for year in EDITIONS {
        let readings: Vec<(&Rule, Reading, Vec<Facts>)> = rules
            .iter()
            .filter(|rule| counts(&rule.bounds, year) == Some(true))
            .map(|rule| {
                let reading = Reading::of(pack, rule, year);
                let needs = rule.needs.iter().map(|part| needed(&reading, part, year)).collect();
                (*rule, reading, needs)
            })
            .filter(|(_, _, needs): &(_, _, Vec<Facts>)| needs.iter().any(|facts| !facts.bounds.is_empty()))
            .collect();
        for (i, (a, read_a, needs_a)) in readings.iter().enumerate() {
            for (b, read_b, needs_b) in readings.iter().skip(i).skip(1) {
                if !share_a_kind(a, b)
                    || !(read_a.wheres.covers(&read_b.wheres) || read_b.wheres.covers(&read_a.wheres))
                {
                    continue;
                }
                for (part_a, facts_a) in a.needs.iter().zip(needs_a) {
                    for (part_b, facts_b) in b.needs.iter().zip(needs_b) {
                        let Some((what, one, other)) = facts_a.clash(facts_b) else { continue };
                        if told.insert((part_a.test.span, part_b.test.span)) {
                            found.push(both(a, b, (part_a, one), (part_b, other), &what, year));
                        }
                    }
                }
            }
        }
    }
}

fn needed(reading: &Reading, part: &Part, year: i64) -> Facts {
    if counts(&part.bounds, year) == Some(true) { reading.facts(&part.test) } else { Facts::default() }
}

fn share_a_kind(a: &Rule, b: &Rule) -> bool {
    a.subject.kinds.iter().any(|kind| b.subject.kinds.contains(kind))
}

fn both(
    a: &Rule,
    b: &Rule,
    (part, one): (&Part, &Bound),
    (other_part, other): (&Part, &Bound),
    what: &str,
    year: i64,
) -> Problem {
    let what = what.trim_start_matches("_.");
    let message = format!(
        "`{}` and `{}` cannot both be met: {what} {one} here, {other} there (NEC {year})",
        a.name.node, b.name.node
    );
    Problem::error(part.test.span, message)
        .help("one of the two applies wherever the other does: change one, or say in a `where` what it is not about")
        .also(other_part.test.span, "the other")
}
