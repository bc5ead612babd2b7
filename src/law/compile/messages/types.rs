//! What has another type than its place wants.

use super::{a, a_scale};
use crate::law::syntax::Operator;
use crate::quantity::{Rational, Scale};
use crate::text::{Problem, Span};
use crate::words::Kinds;

pub(in crate::law::compile) fn not_wanted(span: Span, found: &str, wanted: &str) -> Problem {
    Problem::error(span, format!("this is {found}, and {wanted} is wanted here"))
}

pub(in crate::law::compile) fn no_condition(span: Span, found: &str, is_list: bool) -> Problem {
    let help = if is_list { "say what of its members: `any x in LIST: …`" } else { "write what has to hold of it" };
    Problem::error(span, format!("this is {found}, and a condition is wanted here")).help(help)
}

pub(in crate::law::compile) fn two_scales(span: Span, found: Scale, wanted: Scale, other: Option<Span>) -> Problem {
    let (found, wanted) = (a_scale(found), a_scale(wanted));
    let problem = Problem::error(span, format!("{found} can't stand beside {wanted}"))
        .help("both sides have to measure the same thing");
    match other {
        Some(other) if other != span => problem.also(other, wanted),
        _ => problem,
    }
}

pub(in crate::law::compile) fn bare_number(span: Span, scale: Scale, written: Option<Rational>) -> Problem {
    let value = written.map_or("18".to_string(), |value| value.to_string());
    let help = match scale {
        Scale::WireSize => format!("write the size, for example `{value} AWG`"),
        Scale::TradeSize => format!("write the trade size, for example `{value} in`"),
        Scale::Edition => format!("write the edition, for example `NEC {value}`"),
        Scale::Date => "write a day, for example `2026-09-01`".to_string(),
        _ => format!("write the unit, for example `{value} {}`", scale.shown_unit().0),
    };
    Problem::error(span, format!("a bare number stands where {} is wanted", a_scale(scale))).help(help)
}

pub(in crate::law::compile) fn without_dimension(span: Span) -> Problem {
    Problem::error(span, "the units here come to nothing that has a name")
        .help("multiply and divide until a length, a current, a power or the like is left")
}

pub(in crate::law::compile) fn only_no_limit(span: Span) -> Problem {
    Problem::error(span, "`no limit` stands beside nothing that has a unit").help("compare it with a quantity")
}

pub(in crate::law::compile) fn no_limit_in_product(span: Span) -> Problem {
    Problem::error(span, "`no limit` can't be multiplied or divided, nor stand beside itself")
        .help("use it with `+`, `-`, `least of` and `largest of`")
}

pub(in crate::law::compile) fn no_order(span: Span, found: &str, has_is: bool) -> Problem {
    let help = if has_is { "compare it with `is`" } else { "compare quantities, or say `count of …`" };
    Problem::error(span, format!("{found} has no order")).help(help)
}

pub(in crate::law::compile) fn no_is(span: Span, found: &str, is_yes_no: bool) -> Problem {
    let help = if is_yes_no { "a yes or no stands alone, or behind `not`" } else { "compare it with `=`, `<` or `>`" };
    Problem::error(span, format!("`is` compares choices and items, and this is {found}")).help(help)
}

pub(in crate::law::compile) fn no_any_of(span: Span, found: &str) -> Problem {
    Problem::error(span, format!("`is any of` asks for a choice, and this is {found}"))
}

pub(in crate::law::compile) fn two_branches(span: Span, first: &str, second: &str, other: Span) -> Problem {
    Problem::error(span, format!("this is {second}, and the branch before it is {first}"))
        .help("both branches of an `if` give the same kind of value")
        .also(other, "the first branch")
}

pub(in crate::law::compile) fn word_of_list(span: Span, kinds: Kinds, word: &str) -> Problem {
    Problem::error(span, format!("a list has no word `{word}`, its members have"))
        .help(format!("say of which: `any x in …: x.{word}`, or `count of …`; the members are of kind {kinds}"))
}

pub(in crate::law::compile) fn word_of_no_item(span: Span, found: &str, word: &str) -> Problem {
    Problem::error(span, format!("{found} has no word `{word}`")).help("only items have words")
}

pub(in crate::law::compile) fn no_arithmetic(span: Span, operator: Operator, x: Scale, y: Scale) -> Problem {
    let verb = match operator {
        Operator::Plus => "added",
        Operator::Minus => "subtracted",
        Operator::Times => "multiplied",
        Operator::Over => "divided",
    };
    let help = match (x, y) {
        (Scale::Temperature, _) | (_, Scale::Temperature) => {
            "two temperatures differ by degrees, and degrees are added as `30 degrees F`"
        }
        _ => "sizes, days and editions are compared, never reckoned with",
    };
    Problem::error(span, format!("{} and {} can't be {verb}", a_scale(x), a_scale(y))).help(help)
}

pub(in crate::law::compile) fn no_sum(span: Span, scale: Scale) -> Problem {
    Problem::error(span, format!("{} can't be summed", a_scale(scale))).help("use `least of` or `largest of`")
}

pub(in crate::law::compile) fn no_rounding(span: Span, scale: Scale) -> Problem {
    Problem::error(span, format!("{} can't be rounded to a step", a_scale(scale))).help("use `up to TABLE`")
}

pub(in crate::law::compile) fn no_step(span: Span) -> Problem {
    Problem::error(span, "a step is a written figure over zero").help("for example `rounded up to 1`")
}

pub(in crate::law::compile) fn no_share(span: Span) -> Problem {
    Problem::error(span, "the share is a written figure over 0 and up to 1").help("for example `from 0.8`")
}

pub(in crate::law::compile) fn no_steps(span: Span, table: &str) -> Problem {
    Problem::error(span, format!("the first key or column of `{table}` is no quantity"))
        .help("`up to` and `down to` go along a table of sizes")
}

pub(in crate::law::compile) fn no_list(span: Span, found: &str) -> Problem {
    Problem::error(span, format!("this is {found}, and a list of items is wanted here"))
}

pub(in crate::law::compile) fn letter_of_values(span: Span) -> Problem {
    Problem::error(span, "this is a list of values of a choice, whose members are no items")
        .help("ask `LIST is VALUE`, `LIST is any of (…)`, or `count of LIST`")
}

pub(in crate::law::compile) fn strange_members(span: Span, kinds: Kinds, members: Kinds) -> Problem {
    Problem::error(span, format!("this list holds {members}, and the rule is met on {kinds}"))
}

pub(in crate::law::compile) fn no_letter(span: Span, kinds: Kinds) -> Problem {
    Problem::error(span, format!("`for {kinds}` needs a letter")).help(format!("write `for each {kinds} x`"))
}

pub(in crate::law::compile) fn rank_of_what(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is no letter of an item")).help("write `rank of q in LIST by q.word`")
}

pub(in crate::law::compile) fn rank_of_stranger(span: Span, name: &str, kinds: Kinds, members: Kinds) -> Problem {
    Problem::error(span, format!("`{name}` is {}, and the list holds {members}", a(&kinds.to_string())))
}

pub(in crate::law::compile) fn how_many_keys(span: Span, table: &str, names: &[&str], found: usize) -> Problem {
    Problem::error(span, format!("table `{table}` is looked up with {} keys, not {found}", names.len()))
        .help(format!("write `{table} at ({})`", names.join(", ")))
}

pub(in crate::law::compile) fn how_many_arguments(span: Span, name: &str, types: &[String], found: usize) -> Problem {
    Problem::error(span, format!("`{name}` takes {}, not {found}", types.len()))
        .help(format!("it takes {}", types.join(", then ")))
}

pub(in crate::law::compile) fn cell_of_names(span: Span) -> Problem {
    Problem::error(span, "proper names stand in keys only").help("use a choice where a table gives a word")
}

pub(in crate::law::compile) fn call_of_item(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` gives an item, and takes more than one thing"))
        .help("a define that gives an item has one item as its parameter")
}

pub(in crate::law::compile) fn result_type(span: Span, ty: &str) -> Problem {
    Problem::error(span, format!("a define can't give {ty}"))
        .help("it gives a yes or no, a quantity, a choice or an item")
}

pub(in crate::law::compile) fn parameter_type(span: Span, ty: &str) -> Problem {
    Problem::error(span, format!("a define can't take {ty}")).help("it takes items, quantities, choices and yes or no")
}

pub(in crate::law::compile) fn no_hole(span: Span, found: &str) -> Problem {
    Problem::error(span, format!("{found} can't be printed")).help("print the item, or a count")
}

pub(in crate::law::compile) fn no_point(span: Span) -> Problem {
    Problem::error(span, "`points` names facts, such as `r.has-gfci`, or the item")
}
