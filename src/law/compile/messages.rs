//! All wording of the compiler. Messages begin lower case, quote what was written, and keep the help apart.

use crate::law::syntax::{TypeName, WordName};
use crate::quantity::Scale;
use crate::text::{Problem, Span, Spanned, nearest};
use crate::words::{Kind, Kinds, Vocabulary};

pub(super) fn unknown<'k>(what: &str, typed: &Spanned<String>, known: impl IntoIterator<Item = &'k str>) -> Problem {
    let problem = Problem::error(typed.span, format!("there is no {what} `{}`", typed.node));
    problem.maybe_help(nearest(&typed.node, known).map(|k| format!("did you mean `{k}`?")))
}

pub(super) fn unknown_word(typed: &Spanned<String>, kinds: Kinds, vocabulary: &Vocabulary) -> Problem {
    let plain = typed.node.strip_prefix("has-").unwrap_or(&typed.node);
    let known = vocabulary.words().iter().filter(|w| w.kinds.covers(kinds)).map(|w| vocabulary.text(w.name));
    let near = nearest(&typed.node, known).map(|k| format!("did you mean `{k}`?"));
    let elsewhere = vocabulary.name(plain).and_then(|name| {
        let kinds: Vec<&str> =
            Kind::ALL.into_iter().filter(|k| vocabulary.word(*k, name).is_some()).map(Kind::name).collect();
        (!kinds.is_empty()).then(|| format!("`{plain}` is a word of {}", kinds.join(", ")))
    });
    let help = near
        .or(elsewhere)
        .unwrap_or_else(|| "`ringout rules words` lists what each kind has; a new one is declared with `fact`".into());
    Problem::error(typed.span, format!("{kinds} has no word `{}`", typed.node)).help(help)
}

pub(super) fn differs_by_kind(typed: &Spanned<String>, kinds: Kinds) -> Problem {
    Problem::error(typed.span, format!("`{}` means different things for {kinds}", typed.node))
        .help("write one rule for each kind")
}

pub(super) fn twice(what: &str, name: &Spanned<String>) -> Problem {
    Problem::error(name.span, format!("there is another {what} `{}`", name.node)).help("names are given once in a pack")
}

pub(super) fn word_twice(word: &WordName, kind: Kind) -> Problem {
    Problem::error(word.name.span, format!("{kind} has a word `{}` already", word.name.node))
        .help("take another name, or use the word that is there")
}

pub(super) fn unknown_type(name: &TypeName) -> Problem {
    let problem = Problem::error(name.span, format!("`{}` is no type", name.words.join(" ")));
    problem.help("a type is yes/no, a measure (length, current …) or unit, `choice NAME`, or a kind of item")
}

pub(super) fn no_answer(answer: &Spanned<String>, ty: &str) -> Problem {
    Problem::error(answer.span, format!("`{}` is no answer to a fact of type {ty}", answer.node))
}

pub(super) fn bad_phrase(word: &WordName) -> Problem {
    let problem = Problem::error(word.span, format!("a phrase of `{}` can't be understood", word.name.node));
    problem.help("alternatives are parted by ` / `; blanks are AMOUNT, CHOICE, NAME, NAMES, WIRE; a constant stands behind ` = `")
}

pub(super) fn scales(span: Span, left: Scale, right: Scale) -> Problem {
    let problem = Problem::error(span, format!("{} is compared with {}", left.name(), right.name()));
    let bare = left == Scale::NUMBER || right == Scale::NUMBER;
    let other = if left == Scale::NUMBER { right } else { left };
    match other.shown_unit().0 {
        unit if bare && !unit.is_empty() => problem.help(format!("give the bare number its unit, such as `{unit}`")),
        _ => problem.help("both sides must measure the same"),
    }
}

pub(super) fn adds(span: Span, left: Scale, right: Scale) -> Problem {
    Problem::error(span, format!("{} and {} can't be added", left.name(), right.name()))
        .help("both must measure the same")
}

pub(super) fn no_product(span: Span) -> Problem {
    Problem::error(span, "this multiplies or divides to something that the trade has no measure for").help(
        "products and quotients must come to a length, current, power, number …; sizes and temperatures don't multiply",
    )
}

pub(super) fn expected(span: Span, wanted: &str, found: &str) -> Problem {
    Problem::error(span, format!("{wanted} was expected here, this is {found}"))
}

pub(super) fn not_a_value(typed: &Spanned<String>, choice: &str, values: &[String]) -> Problem {
    let problem = Problem::error(typed.span, format!("`{}` is no value of the choice `{choice}`", typed.node));
    problem.help(match nearest(&typed.node, values.iter().map(String::as_str)) {
        Some(value) => format!("did you mean `{value}`?"),
        None => format!("its values are: {}", values.join(", ")),
    })
}

pub(super) fn unguarded(span: Span, path: &str, has: &str) -> Problem {
    Problem::error(span, format!("`{path}` may be absent"))
        .help(format!("put `{has}` before it: in `where`, or with `and` on its left"))
}

pub(super) fn no_direction(name: &Spanned<String>) -> Problem {
    let problem = Problem::error(name.span, format!("`{}` has no direction to be within", name.node));
    problem.help("write the value as `at least …`, `at most …` or `A to B`, or compare with <= or >=")
}

pub(super) fn arity(name: &Spanned<String>, wanted: usize, found: usize) -> Problem {
    Problem::error(name.span, format!("`{}` takes {wanted}, and {found} stand here", name.node))
}

pub(super) fn no_overload(name: &Spanned<String>) -> Problem {
    Problem::error(name.span, format!("no define `{}` takes these", name.node))
        .help("look at the types of its parameters: `ringout rules words`")
}

pub(super) fn column_missing(table: &Spanned<String>, columns: &[String]) -> Problem {
    Problem::error(table.span, format!("table `{}` has several columns", table.node))
        .help(format!("name one: {}", columns.join(", ")))
}

pub(super) fn recursion(name: &Spanned<String>) -> Problem {
    Problem::error(name.span, format!("`{}` comes back to itself", name.node))
        .help("a formula may not use itself, not even through others")
}

pub(super) fn no_constant(span: Span) -> Problem {
    Problem::error(span, "the step of a rounding must be a plain number")
        .help("write it here, or name a value that has one")
}

pub(super) fn table_rows(span: Span, what: &str) -> Problem {
    Problem::error(span, what.to_string())
}

pub(super) fn not_only_exception(span: Span, word: &str) -> Problem {
    let problem = Problem::error(span, format!("`{word}` has an ordinary answer, so it may stand in exceptions only"));
    problem.help(
        "elsewhere a fact that nobody states must stay unknown; strike its `ordinary` line, or move it to an `except`",
    )
}

pub(super) fn not_strict(span: Span, word: &str) -> Problem {
    let problem =
        Problem::error(span, format!("taking the ordinary answer of `{word}` could make this exception hold"));
    problem.help("an ordinary answer may only deny an exception; turn the condition round")
}

pub(super) fn unused(span: Span, what: &str, name: &str) -> Problem {
    Problem::warning(span, format!("nothing uses the {what} `{name}`"))
}
