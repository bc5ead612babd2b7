//! The wording of every problem that compiling a pack can meet.
//!
//! A message begins in lower case, has no full stop, and shows the author's text in backticks;
//! what to do about it is help, apart.

mod names;
mod types;

pub(super) use names::*;
pub(super) use types::*;

use crate::law::syntax::CellContent;
use crate::quantity::Scale;
use crate::text::{Problem, Span};

/// `a panel`, `an area`.
pub(super) fn a(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {noun}")
}

/// `a length`, `an edition`.
pub(super) fn a_scale(scale: Scale) -> String {
    match scale {
        Scale::NUMBER => "a bare number".into(),
        Scale::Ratio(d) => match d.name() {
            Some("degrees") => "a difference in degrees".into(),
            Some("circular-mils") => "an amount of circular mils".into(),
            Some("per-degree") => "an amount per degree".into(),
            Some("resistance-per-length") => "a resistance per length".into(),
            Some(name) => a(name),
            None => "a product of units that has no name".into(),
        },
        Scale::WireSize => "a wire size".into(),
        Scale::TradeSize => "a trade size".into(),
        other => a(other.name()),
    }
}

/// The nearest known name, where one is near; otherwise what else helps.
fn meant(problem: Problem, typed: &str, near: Option<impl std::fmt::Display>, otherwise: Option<String>) -> Problem {
    let Some(near) = near else { return problem.maybe_help(otherwise) };
    let span = problem.span;
    let is_all = span.end.saturating_sub(span.start) as usize == typed.len();
    let problem = problem.help(format!("perhaps `{near}` is meant"));
    if is_all { problem.instead(span, near.to_string()) } else { problem }
}

fn listed<'t>(names: impl IntoIterator<Item = &'t str>) -> String {
    let mut names: Vec<String> = names.into_iter().map(|name| format!("`{name}`")).collect();
    let more = names.len().saturating_sub(12);
    names.truncate(12);
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!("{}{rest}", names.join(", "))
}

// Values and lists

pub(super) fn no_direction(span: Span, name: &str, value: Span) -> Problem {
    Problem::error(span, format!("`{name}` has no direction"))
        .help("`within` needs `at least X`, `at most X` or `A to B`; a plain figure is compared with `=`, `<` or `>`")
        .also(value, "the value")
}

pub(super) fn two_ends(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` has two ends, and one figure is wanted here"))
        .help(format!("test it with `within {name}`"))
}

pub(super) fn ends_crossed(span: Span) -> Problem {
    Problem::error(span, "nothing lies between these two").help("the smaller figure comes first")
}

pub(super) fn list_of_values(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a list of values")).help(format!("write `x is any of {name}`"))
}

pub(super) fn list_of_conditions(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a list of conditions")).help(format!("write `any of {name}`"))
}

pub(super) fn list_of_other_choice(span: Span, name: &str, have: &str, want: &str, list: Span) -> Problem {
    Problem::error(span, format!("`{name}` lists values of {have}, and this is {want}")).also(list, "the list")
}

pub(super) fn list_by_edition(span: Span) -> Problem {
    Problem::error(span, "a list of values can't be held against a list that differs by edition")
        .help("write one condition for each edition")
}

// Guards

pub(super) fn unguarded(span: Span, part: &str) -> Problem {
    Problem::error(span, format!("`{part}` may not be there"))
        .help(format!("ask first: `where has-{part}` in a rule, `x.has-{part} and …`, or `if x.has-{part} then …`"))
}

// Defines

pub(super) fn circle(span: Span, names: &[&str]) -> Problem {
    let name = names.first().copied().unwrap_or_default();
    Problem::error(span, format!("`{name}` is defined by way of itself"))
        .help(format!("the circle is {}", names.join(" → ")))
}

pub(super) fn too_deep(span: Span, most: usize) -> Problem {
    Problem::error(span, format!("too deep: at most {most} expressions stand in one another, defines included"))
        .help("make a define of a part of it that calls nothing deep")
}

pub(super) fn too_many_letters(span: Span) -> Problem {
    Problem::error(span, "too many letters at once").help("make a define of a part of it")
}

// Words

pub(super) fn prefix(span: Span, name: &str, is_yes_no: bool) -> Problem {
    if is_yes_no {
        Problem::error(span, format!("`{name}` is a yes or no, and its name does not say so"))
            .help(format!("begin it with `is-` or `has-`: sentences are made from the name, for example `is-{name}`"))
    } else {
        Problem::error(span, format!("`{name}` is named like a yes or no"))
            .help("only yes/no words begin with `is-` or `has-`")
    }
}

pub(super) fn bad_phrase(span: Span, phrase: &str, ty: &str, bad: usize) -> Problem {
    let which = if bad == 1 { "one form".to_string() } else { format!("{bad} forms") };
    Problem::error(span, format!("{which} of the phrase `{phrase}` can't be read"))
        .help(format!("the word is {ty}: a form has its blank (AMOUNT, CHOICE, NAME, WIRE) or `= VALUE`"))
}

pub(super) fn bad_ordinary(span: Span, answer: &str, ty: &str, is_part: bool) -> Problem {
    let help = if is_part {
        "of a part it is `none`"
    } else {
        "of a yes or no it is `yes` or `no`, of a choice one of its values; others have none"
    };
    Problem::error(span, format!("`{answer}` can't be the ordinary answer of {ty}")).help(help)
}

pub(super) fn too_many_names(span: Span) -> Problem {
    Problem::error(span, "too many words in one pack").help("leave some files out")
}

pub(super) fn too_many_values(span: Span, choice: &str, most: usize) -> Problem {
    Problem::error(span, format!("choice `{choice}` has more than {most} values")).help("make two choices of it")
}

pub(super) fn rare_outside(span: Span, word: &str) -> Problem {
    Problem::error(span, format!("`{word}` has an ordinary answer, so that it may stand in exceptions only"))
        .help("here the ordinary answer could let something pass: take `ordinary` away, or ask for another fact")
}

pub(super) fn rare_grants(span: Span, word: &str) -> Problem {
    Problem::error(span, format!("the ordinary answer of `{word}` could make this exception hold"))
        .help("an ordinary answer may only deny an exception: ask the other way round, or take `ordinary` away")
}

// Tables

pub(super) fn no_order_of_key(span: Span, name: &str, ty: &str) -> Problem {
    Problem::error(span, format!("key `{name}` is {ty}, which has no order")).help("such a key is `exact`")
}

pub(super) fn cells_missing(span: Span, wanted: usize) -> Problem {
    Problem::error(span, format!("this row does not have {wanted} cells")).help("a cell without a value is `-`")
}

pub(super) fn cell_type(span: Span, content: &CellContent, wanted: &str) -> Problem {
    let found = match content {
        CellContent::Quantity(q) => format!("this is {}", a_scale(q.scale)),
        CellContent::NoLimit => "this is `no limit`".to_string(),
        CellContent::Word(word) => format!("this is the word `{word}`"),
    };
    Problem::error(span, format!("{found}, and {wanted} is wanted in this cell"))
}

pub(super) fn not_ascending(span: Span, key: &str, table: &str, other: Span) -> Problem {
    Problem::error(span, format!("key `{key}` of `{table}` goes down here"))
        .help("rows that are met up or down stand in ascending order")
        .also(other, "the row before it")
}

pub(super) fn row_twice(span: Span, other: Span) -> Problem {
    Problem::error(span, "a second row with these keys")
        .help("one of the two needs other keys, or `from` and `before` that part them")
        .also(other, "the first")
}

pub(super) fn gap(span: Span, end: i64, begin: i64, other: Span) -> Problem {
    Problem::error(span, format!("nothing holds for these keys from NEC {end} to NEC {begin}"))
        .help("let one row begin where the other ends, or write `-` for the time between")
        .also(other, "the row that ends")
}

pub(super) fn too_wide(span: Span, most: usize) -> Problem {
    Problem::error(span, format!("a table has at most {most} keys and columns"))
}

// Rules

pub(super) fn unnamed(span: Span) -> Problem {
    Problem::error(span, "this part has no name")
        .help("a part without a name can't be amended: write `NAME: CONDITION`")
}

pub(super) fn cites_overlap(span: Span, a: (i64, i64), b: (i64, i64)) -> Problem {
    Problem::error(
        span,
        format!("two citations speak of the same edition: NEC {} to NEC {} and NEC {} to NEC {}", a.0, a.1, b.0, b.1),
    )
    .help("each edition has one line of `cites`")
}

pub(super) fn cites_backwards(span: Span, first: i64, last: i64) -> Problem {
    Problem::error(span, format!("a citation runs from NEC {first} back to NEC {last}"))
        .help("the older edition comes first")
}

pub(super) fn examples_missing(span: Span, rule: &str, missing: &[String], is_strict: bool) -> Problem {
    let problem = if is_strict { Problem::error } else { Problem::warning };
    problem(span, format!("rule `{rule}` is not shown by examples: {} missing", missing.join(", ")))
        .help("untested, a rule that is wrong looks like one that is right")
}

pub(super) fn stranger(span: Span, letter: &str) -> Problem {
    Problem::warning(span, format!("this does not speak of `{letter}`, and stands behind `any {letter}`"))
        .help("`any x in L: …` reaches as far right as it can: put brackets round what belongs to it")
}

pub(super) fn unused(span: Span, what: &str, name: &str) -> Problem {
    Problem::warning(span, format!("{what} `{name}` is used by nothing"))
}
