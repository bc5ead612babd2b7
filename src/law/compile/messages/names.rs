//! Names that nothing has, or that two have.

use super::{a, listed, meant};
use crate::text::{Problem, Span};
use crate::words::{Kind, Kinds};

pub(in crate::law::compile) fn unknown_name(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "known here are the letters behind `for each`, `any`, `all` and the like, values, `shop` and `permit`";
    meant(Problem::error(span, format!("`{name}` is not known")), name, near, Some(help.into()))
}

pub(in crate::law::compile) fn unknown_word(
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

pub(in crate::law::compile) fn unknown_fact(span: Span, word: &str, near: Option<&str>) -> Problem {
    let help = "`ringout rules words` lists every word of each kind";
    meant(Problem::error(span, format!("`{word}` is no word of any kind")), word, near, Some(help.into()))
}

pub(in crate::law::compile) fn two_meanings(span: Span, word: &str, kinds: Kinds, types: &(String, String)) -> Problem {
    Problem::error(span, format!("`{word}` means different things for {kinds}: {} and {}", types.0, types.1))
        .help("write a rule for each kind, or use a word that means the same for all")
}

pub(in crate::law::compile) fn unknown_kind(span: Span, name: &str, near: Option<&str>) -> Problem {
    let help = format!("the kinds are {}", listed(Kind::ALL.map(Kind::name)));
    meant(Problem::error(span, format!("`{name}` is no kind of thing")), name, near, Some(help))
}

pub(in crate::law::compile) fn unknown_type(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "a type is `yes/no`, a scale such as `length` or `current`, a unit, `choice NAME`, or a kind";
    meant(Problem::error(span, format!("`{name}` is no type")), name, near, Some(help.into()))
}

pub(in crate::law::compile) fn unknown_choice(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "declare it with `choice NAME: VALUE, VALUE`";
    meant(Problem::error(span, format!("there is no choice `{name}`")), name, near, Some(help.into()))
}

pub(in crate::law::compile) fn unknown_value(
    span: Span,
    choice: &str,
    value: &str,
    near: Option<&str>,
    values: &[String],
) -> Problem {
    let help = format!("its values are {}", listed(values.iter().map(String::as_str)));
    meant(Problem::error(span, format!("`{value}` is no value of choice `{choice}`")), value, near, Some(help))
}

pub(in crate::law::compile) fn unknown_table(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no table `{name}`")), name, near, None)
}

pub(in crate::law::compile) fn unknown_cell(span: Span, name: &str, table: &str, near: Option<&str>) -> Problem {
    meant(Problem::error(span, format!("a row of `{table}` has no `{name}`")), name, near, None)
}

pub(in crate::law::compile) fn unknown_column(span: Span, name: &str, table: &str, columns: &[&str]) -> Problem {
    Problem::error(span, format!("table `{table}` has no column `{name}`"))
        .help(format!("its columns are {}", listed(columns.iter().copied())))
}

pub(in crate::law::compile) fn which_column(span: Span, table: &str, columns: &[&str]) -> Problem {
    match columns.first() {
        None => Problem::error(span, format!("table `{table}` has no column to look up"))
            .help(format!("its rows can be met: `any t in {table}: …`")),
        Some(first) => Problem::error(span, format!("table `{table}` has several columns"))
            .help(format!("say which: `{table}.{first} at (…)`; there are {}", listed(columns.iter().copied()))),
    }
}

pub(in crate::law::compile) fn unknown_call(span: Span, name: &str, is_word: bool, near: Option<String>) -> Problem {
    let problem = Problem::error(span, format!("there is no define `{name}` to call"));
    match is_word {
        true => problem.help(format!("it is a word of one item: write `x.{name}`")),
        false => meant(problem, name, near, None),
    }
}

pub(in crate::law::compile) fn unknown_limit(span: Span, name: &str, near: Option<String>) -> Problem {
    let help = "write it above, for example `value depth: at least 18 in`";
    meant(Problem::error(span, format!("there is no value `{name}`")), name, near, Some(help.into()))
}

pub(in crate::law::compile) fn unknown_list(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no list `{name}`")), name, near, None)
}

pub(in crate::law::compile) fn unknown_part(span: Span, name: &str, near: Option<&str>) -> Problem {
    let help = "`of PART` names a part of `needs`; without it the exception frees the whole rule";
    meant(Problem::error(span, format!("`needs` has no part `{name}`")), name, near, Some(help.into()))
}

pub(in crate::law::compile) fn unknown_except(span: Span, name: &str, near: Option<&str>) -> Problem {
    meant(Problem::error(span, format!("the rule has no exception `{name}`")), name, near, None)
}

pub(in crate::law::compile) fn unknown_given(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no `given {name}`")), name, near, None)
}

pub(in crate::law::compile) fn example_of_several(span: Span, formula: &str) -> Problem {
    Problem::error(span, format!("`{formula}` takes more than one thing, so an example can't ask for it"))
        .help("show it by an example of a formula or rule that uses it")
}

pub(in crate::law::compile) fn unknown_rule(span: Span, name: &str, near: Option<String>) -> Problem {
    meant(Problem::error(span, format!("there is no rule `{name}`")), name, near, None)
}

pub(in crate::law::compile) fn unknown_stage(span: Span, name: &str, near: Option<&str>) -> Problem {
    let help = "the stages are footing, trench, rough-in, final and permit";
    meant(Problem::error(span, format!("`{name}` is no stage")), name, near, Some(help.into()))
}

pub(in crate::law::compile) fn unknown_level(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is no level")).help("the levels are required, advised and note")
}

pub(in crate::law::compile) fn unknown_evidence(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is no kind of evidence")).help("it is seen, measured or on-paper")
}

pub(in crate::law::compile) fn whole_row(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a row of a table, not a value"))
        .help(format!("name one of its keys or columns: `{name}.column`"))
}

pub(in crate::law::compile) fn list_alone(span: Span, name: &str, is_choice: bool) -> Problem {
    let help = if is_choice { format!("write `x is any of {name}`") } else { format!("write `any of {name}`") };
    Problem::error(span, format!("`{name}` is a list")).help(help)
}

pub(in crate::law::compile) fn table_alone(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a table"))
        .help(format!("look a value up, `{name} at (…)`, or go through its rows, `any t in {name}: …`"))
}

pub(in crate::law::compile) fn value_alone(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` is a value of a choice, and nothing here asks for one"))
        .help(format!("write what it is compared with: `x.word is {name}`"))
}

pub(in crate::law::compile) fn item_without_test(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` has no condition"))
        .help("a list of conditions has `NAME: CONDITION`; a list of values says `of choice NAME` in its head")
}

/// `for PURPOSE` behind a word that is no term.
pub(in crate::law::compile) fn no_purpose(place: Span, word: &str) -> Problem {
    Problem::error(place, format!("`{word}` is a fact: only a term means this or that for a purpose"))
        .help(format!("leave out `for …`, or define `term {word}`"))
}

pub(in crate::law::compile) fn twice(span: Span, what: &str, name: &str, other: Span) -> Problem {
    Problem::error(span, format!("a second {what} `{name}`"))
        .help(format!("each {what} has a name of its own"))
        .also(other, "the first")
}

pub(in crate::law::compile) fn word_twice(span: Span, word: &str, kind: Kind, other: Option<Span>) -> Problem {
    let problem = Problem::error(span, format!("{} has a word `{word}` already", a(kind.name())));
    match other {
        Some(other) => problem.help("rename one of the two").also(other, "the first"),
        None => problem.help("it is a word that the program itself knows: use it, or take another name"),
    }
}

pub(in crate::law::compile) fn brought_by_part(span: Span, word: &str, kind: Kind) -> Problem {
    let part = word.strip_prefix("has-").unwrap_or(word);
    Problem::error(span, format!("{} has `{word}` already", a(kind.name())))
        .help(format!("it comes with the part `{part}`: take another name"))
}

pub(in crate::law::compile) fn choice_twice(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("there is a choice `{name}` already")).help(format!("write `choice {name} adds …`"))
}

pub(in crate::law::compile) fn value_twice(span: Span, choice: &str, value: &str) -> Problem {
    Problem::error(span, format!("choice `{choice}` has a value `{value}` already")).help("leave it out")
}

pub(in crate::law::compile) fn letter_twice(span: Span, name: &str) -> Problem {
    Problem::error(span, format!("`{name}` stands for something else here")).help("take another letter")
}

pub(in crate::law::compile) fn value_and_choice(span: Span, name: &str, choice: &str, other: Span) -> Problem {
    Problem::warning(span, format!("`{name}` is a value of choice `{choice}`, and of this rule or define"))
        .help("the choice is taken here; rename the other, so that nobody has to guess")
        .also(other, "the value of that name")
}

pub(in crate::law::compile) fn value_and_part(span: Span, name: &str, other: Span) -> Problem {
    Problem::warning(span, format!("`{name}` is a value and a part"))
        .help("both work, and readers mix them up: rename one")
        .also(other, "the part")
}
