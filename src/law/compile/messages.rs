//! The wording of every problem that compiling a pack can meet.
//!
//! A message begins in lower case, has no full stop, and shows the author's text in backticks;
//! what to do about it is help, apart.

use crate::law::syntax::{CellContent, Operator};
use crate::quantity::{Rational, Scale};
use crate::text::{Problem, Span};
use crate::words::{Kind, Kinds};

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

// Names

pub(super) fn unknown_name(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "known here are the letters behind `for each`, `any`, `all` and the like, values, `shop` and `permit`";
    meant(Problem::error(span, format!("`{name}` is not known")), name, near, Some(help.into()))
}

pub(super) fn unknown_word(
    span: Span,
    word: &str,
    kinds: Kinds,
    having: Kinds,
    near: Option<&str>,
    elsewhere: Kinds,
) -> Problem {
    if !having.is_empty() {
        let lacking = Kinds(kinds.0 & !having.0);
        return Problem::error(span, format!("a {lacking} has no `{word}`, only a {having} has"))
            .help(format!("the item may be any of {kinds}: use a word that all of them have"));
    }
    let message = format!("{} has no word `{word}`", a(&kinds.to_string()));
    let known = (!elsewhere.is_empty()).then(|| format!("`{word}` is a word of {elsewhere}"));
    let known = known.unwrap_or_else(|| "`ringout rules words` lists every word of each kind".into());
    meant(Problem::error(span, message), word, near, Some(known))
}

pub(super) fn unknown_fact(span: Span, word: &str, near: Option<&str>) -> Problem {
    let help = "`ringout rules words` lists every word of each kind";
    meant(Problem::error(span, format!("`{word}` is no word of any kind")), word, near, Some(help.into()))
}

pub(super) fn two_meanings(span: Span, word: &str, kinds: Kinds, types: &(String, String)) -> Problem {
    Problem::error(span, format!("`{word}` means different things for {kinds}: {} and {}", types.0, types.1))
        .help("write a rule for each kind, or use a word that means the same for all")
}

pub(super) fn unknown_kind(span: Span, name: &str, near: Option<&str>) -> Problem {
    let help = format!("the kinds are {}", listed(Kind::ALL.map(Kind::name)));
    meant(Problem::error(span, format!("`{name}` is no kind of thing")), name, near, Some(help))
}

pub(super) fn unknown_type(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "a type is `yes/no`, a scale such as `length` or `current`, a unit, `choice NAME`, or a kind";
    meant(Problem::error(span, format!("`{name}` is no type")), name, near, Some(help.into()))
}

pub(super) fn unknown_choice(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "declare it with `choice NAME: VALUE, VALUE`";
    meant(Problem::error(span, format!("there is no choice `{name}`")), name, near, Some(help.into()))
}

pub(super) fn unknown_value(span: Span, choice: &str, value: &str, near: Option<&str>, values: &[String]) -> Problem {
    let help = format!("its values are {}", listed(values.iter().map(String::as_str)));
    meant(Problem::error(span, format!("`{value}` is no value of choice `{choice}`")), value, near, Some(help))
}

pub(super) fn unknown_table(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no table `{name}`")), name, near, None)
}

pub(super) fn unknown_cell(span: Span, name: &str, table: &str, near: Option<&str>) -> Problem {
    meant(Problem::error(span, format!("a row of `{table}` has no `{name}`")), name, near, None)
}

pub(super) fn unknown_column(span: Span, name: &str, table: &str, columns: &[&str]) -> Problem {
    Problem::error(span, format!("table `{table}` has no column `{name}`"))
        .help(format!("its columns are {}", listed(columns.iter().copied())))
}

pub(super) fn which_column(span: Span, table: &str, columns: &[&str]) -> Problem {
    match columns.first() {
        None => Problem::error(span, format!("table `{table}` has no column to look up"))
            .help(format!("its rows can be met: `any t in {table}: …`")),
        Some(first) => Problem::error(span, format!("table `{table}` has several columns"))
            .help(format!("say which: `{table}.{first} at (…)`; there are {}", listed(columns.iter().copied()))),
    }
}

pub(super) fn unknown_call(span: Span, name: &str, is_word: bool, near: Option<String>) -> Problem {
    let problem = Problem::error(span, format!("there is no define `{name}` to call"));
    match is_word {
        true => problem.help(format!("it is a word of one item: write `x.{name}`")),
        false => meant(problem, name, near, None),
    }
}

pub(super) fn unknown_limit(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "write it above, for example `value depth: at least 18 in`";
    meant(Problem::error(span, format!("there is no value `{name}`")), name, near, Some(help.into()))
}

pub(super) fn unknown_list(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no list `{name}`")), name, near, None)
}

pub(super) fn unknown_part(span: Span, name: &str, near: Option<&str>) -> Problem {
    let help = "`of PART` names a part of `needs`; without it the exception frees the whole rule";
    meant(Problem::error(span, format!("`needs` has no part `{name}`")), name, near, Some(help.into()))
}

pub(super) fn unknown_except(span: Span, name: &str, near: Option<&str>) -> Problem {
    meant(Problem::error(span, format!("the rule has no exception `{name}`")), name, near, None)
}

pub(super) fn unknown_given(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no `given {name}`")), name, near, None)
}

pub(super) fn example_of_several(span: Span, formula: &str) -> Problem {
    Problem::error(span, format!("`{formula}` takes more than one thing, so an example can't ask for it"))
        .help("show it by an example of a formula or rule that uses it")
}

pub(super) fn unknown_rule(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no rule `{name}`")), name, near, None)
}

pub(super) fn unknown_stage(span: Span, name: &str, near: Option<&str>) -> Problem {
    let help = "the stages are footing, trench, rough-in, final and permit";
    meant(Problem::error(span, format!("`{name}` is no stage")), name, near, Some(help.into()))
}

pub(super) fn unknown_level(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is no level")).help("the levels are required, advised and note")
}

pub(super) fn unknown_evidence(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is no kind of evidence")).help("it is seen, measured or on-paper")
}

pub(super) fn whole_row(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a row of a table, not a value"))
        .help(format!("name one of its keys or columns: `{name}.column`"))
}

pub(super) fn list_alone(span: Span, name: &str, is_choice: bool) -> Problem {
    let help = if is_choice { format!("write `x is any of {name}`") } else { format!("write `any of {name}`") };
    Problem::error(span, format!("`{name}` is a list")).help(help)
}

pub(super) fn table_alone(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a table"))
        .help(format!("look a value up, `{name} at (…)`, or go through its rows, `any t in {name}: …`"))
}

pub(super) fn value_alone(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a value of a choice, and nothing here asks for one"))
        .help(format!("write what it is compared with: `x.word is {name}`"))
}

pub(super) fn item_without_test(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` has no condition"))
        .help("a list of conditions has `NAME: CONDITION`; a list of values says `of choice NAME` in its head")
}

// Twice

pub(super) fn twice(span: Span, what: &str, name: &str, other: Span) -> Problem {
    Problem::error(span, format!("a second {what} `{name}`"))
        .help(format!("each {what} has a name of its own"))
        .also(other, "the first")
}

pub(super) fn word_twice(span: Span, word: &str, kind: Kind, other: Option<Span>) -> Problem {
    let problem = Problem::error(span, format!("{} has a word `{word}` already", a(kind.name())));
    match other {
        Some(other) => problem.help("rename one of the two").also(other, "the first"),
        None => problem.help("it is a word that the program itself knows: use it, or take another name"),
    }
}

pub(super) fn brought_by_part(span: Span, word: &str, kind: Kind) -> Problem {
    let part = word.strip_prefix("has-").unwrap_or(word);
    Problem::error(span, format!("{} has `{word}` already", a(kind.name())))
        .help(format!("it comes with the part `{part}`: take another name"))
}

pub(super) fn choice_twice(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("there is a choice `{name}` already")).help(format!("write `choice {name} adds …`"))
}

pub(super) fn value_twice(span: Span, choice: &str, value: &str) -> Problem {
    Problem::error(span, format!("choice `{choice}` has a value `{value}` already")).help("leave it out")
}

pub(super) fn letter_twice(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` stands for something else here")).help("take another letter")
}

pub(super) fn value_and_choice(span: Span, name: &str, choice: &str, other: Span) -> Problem {
    Problem::warning(span, format!("`{name}` is a value of choice `{choice}`, and of this rule or define"))
        .help("the choice is taken here; rename the other, so that nobody has to guess")
        .also(other, "the value of that name")
}

pub(super) fn value_and_part(span: Span, name: &str, other: Span) -> Problem {
    Problem::warning(span, format!("`{name}` is a value and a part"))
        .help("both work, and readers mix them up: rename one")
        .also(other, "the part")
}

// Types

pub(super) fn not_wanted(span: Span, found: &str, wanted: &str) -> Problem {
    Problem::error(span, format!("this is {found}, and {wanted} is wanted here"))
}

pub(super) fn no_condition(span: Span, found: &str, is_list: bool) -> Problem {
    let help = if is_list { "say what of its members: `any x in LIST: …`" } else { "write what has to hold of it" };
    Problem::error(span, format!("this is {found}, and a condition is wanted here")).help(help)
}

pub(super) fn two_scales(span: Span, found: Scale, wanted: Scale, other: Option<Span>) -> Problem {
    let (found, wanted) = (a_scale(found), a_scale(wanted));
    let problem = Problem::error(span, format!("{found} can't stand beside {wanted}"))
        .help("both sides have to measure the same thing");
    match other {
        Some(other) if other != span => problem.also(other, wanted),
        _ => problem,
    }
}

pub(super) fn bare_number(span: Span, scale: Scale, written: Option<Rational>) -> Problem {
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

pub(super) fn without_dimension(span: Span) -> Problem {
    Problem::error(span, "the units here come to nothing that has a name")
        .help("multiply and divide until a length, a current, a power or the like is left")
}

pub(super) fn only_no_limit(span: Span) -> Problem {
    Problem::error(span, "`no limit` stands beside nothing that has a unit").help("compare it with a quantity")
}

pub(super) fn no_limit_in_product(span: Span) -> Problem {
    Problem::error(span, "`no limit` can't be multiplied or divided, nor stand beside itself")
        .help("use it with `+`, `-`, `least of` and `largest of`")
}

pub(super) fn no_order(span: Span, found: &str, has_is: bool) -> Problem {
    let help = if has_is { "compare it with `is`" } else { "compare quantities, or say `count of …`" };
    Problem::error(span, format!("{found} has no order")).help(help)
}

pub(super) fn no_is(span: Span, found: &str, is_yes_no: bool) -> Problem {
    let help = if is_yes_no { "a yes or no stands alone, or behind `not`" } else { "compare it with `=`, `<` or `>`" };
    Problem::error(span, format!("`is` compares choices and items, and this is {found}")).help(help)
}

pub(super) fn no_any_of(span: Span, found: &str) -> Problem {
    Problem::error(span, format!("`is any of` asks for a choice, and this is {found}"))
}

pub(super) fn two_branches(span: Span, first: &str, second: &str, other: Span) -> Problem {
    Problem::error(span, format!("this is {second}, and the branch before it is {first}"))
        .help("both branches of an `if` give the same kind of value")
        .also(other, "the first branch")
}

pub(super) fn word_of_list(span: Span, kinds: Kinds, word: &str) -> Problem {
    Problem::error(span, format!("a list has no word `{word}`, its members have"))
        .help(format!("say of which: `any x in …: x.{word}`, or `count of …`; the members are of kind {kinds}"))
}

pub(super) fn word_of_no_item(span: Span, found: &str, word: &str) -> Problem {
    Problem::error(span, format!("{found} has no word `{word}`")).help("only items have words")
}

pub(super) fn no_arithmetic(span: Span, operator: Operator, x: Scale, y: Scale) -> Problem {
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

pub(super) fn no_sum(span: Span, scale: Scale) -> Problem {
    Problem::error(span, format!("{} can't be summed", a_scale(scale))).help("use `least of` or `largest of`")
}

pub(super) fn no_rounding(span: Span, scale: Scale) -> Problem {
    Problem::error(span, format!("{} can't be rounded to a step", a_scale(scale))).help("use `up to TABLE`")
}

pub(super) fn no_step(span: Span) -> Problem {
    Problem::error(span, "a step is a written figure over zero").help("for example `rounded up to 1`")
}

pub(super) fn no_share(span: Span) -> Problem {
    Problem::error(span, "the share is a written figure over 0 and up to 1").help("for example `from 0.8`")
}

pub(super) fn no_steps(span: Span, table: &str) -> Problem {
    Problem::error(span, format!("the first key or column of `{table}` is no quantity"))
        .help("`up to` and `down to` go along a table of sizes")
}

pub(super) fn no_list(span: Span, found: &str) -> Problem {
    Problem::error(span, format!("this is {found}, and a list of items is wanted here"))
}

pub(super) fn letter_of_values(span: Span) -> Problem {
    Problem::error(span, "this is a list of values of a choice, whose members are no items")
        .help("ask `LIST is VALUE`, `LIST is any of (…)`, or `count of LIST`")
}

pub(super) fn strange_members(span: Span, kinds: Kinds, members: Kinds) -> Problem {
    Problem::error(span, format!("this list holds {members}, and the rule is met on {kinds}"))
}

pub(super) fn no_letter(span: Span, kinds: Kinds) -> Problem {
    Problem::error(span, format!("`for {kinds}` needs a letter")).help(format!("write `for each {kinds} x`"))
}

pub(super) fn rank_of_what(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is no letter of an item")).help("write `rank of q in LIST by q.word`")
}

pub(super) fn rank_of_stranger(span: Span, name: &str, kinds: Kinds, members: Kinds) -> Problem {
    Problem::error(span, format!("`{name}` is {}, and the list holds {members}", a(&kinds.to_string())))
}

pub(super) fn how_many_keys(span: Span, table: &str, names: &[&str], found: usize) -> Problem {
    Problem::error(span, format!("table `{table}` is looked up with {} keys, not {found}", names.len()))
        .help(format!("write `{table} at ({})`", names.join(", ")))
}

pub(super) fn how_many_arguments(span: Span, name: &str, types: &[String], found: usize) -> Problem {
    Problem::error(span, format!("`{name}` takes {}, not {found}", types.len()))
        .help(format!("it takes {}", types.join(", then ")))
}

pub(super) fn cell_of_names(span: Span) -> Problem {
    Problem::error(span, "proper names stand in keys only").help("use a choice where a table gives a word")
}

pub(super) fn call_of_item(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` gives an item, and takes more than one thing"))
        .help("a define that gives an item has one item as its parameter")
}

pub(super) fn result_type(span: Span, ty: &str) -> Problem {
    Problem::error(span, format!("a define can't give {ty}"))
        .help("it gives a yes or no, a quantity, a choice or an item")
}

pub(super) fn parameter_type(span: Span, ty: &str) -> Problem {
    Problem::error(span, format!("a define can't take {ty}")).help("it takes items, quantities, choices and yes or no")
}

pub(super) fn no_hole(span: Span, found: &str) -> Problem {
    Problem::error(span, format!("{found} can't be printed")).help("print the item, or a count")
}

pub(super) fn no_point(span: Span) -> Problem {
    Problem::error(span, "`points` names facts, such as `r.has-gfci`, or the item")
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
