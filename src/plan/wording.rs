//! What the reader says of a line's form. Near misses have their own tables.

use super::syntax::{Keyword, Token};
use crate::text::{Problem, Span};

/// Phrases that take a colon; behind any other it is dropped where one thing follows.
pub(super) const OWNERS: &[&str] =
    &["stretch", "clear", "footing", "water pipe", "gas pipe", "other metal", "directory", "maker", "terminal", "note"];

pub(super) fn no_colon(span: Span, owner: &str) -> Problem {
    Problem::error(span, format!("`{owner}` takes no colon"))
        .help("a colon owns the rest of its line; without it a comma parts the phrases: `breaker 20 A, 2-pole`")
}

pub(super) fn second_list(span: Span) -> Problem {
    Problem::error(span, "a list owns the rest of its line").help("write this one on a line of its own")
}

pub(super) fn number_in_list(token: &Token, opener: &str) -> Problem {
    Problem::error(token.span, format!("`{}` is no name", token.text))
        .help(format!("`{opener}` owns the rest of its line: write other phrases on lines of their own"))
}

pub(super) fn names_side_by_side(first: &Token, second: &Token, is_feeds: bool) -> Problem {
    let help = match is_feeds {
        true => format!(
            "`{0}, {1}` if both hang on one splice, `{0} then {1}` if {1} is wired on through {0}",
            first.text, second.text
        ),
        false => format!("a comma parts names: `{}, {}`", first.text, second.text),
    };
    Problem::error(first.span.to(second.span), format!("nothing parts `{}` and `{}`", first.text, second.text))
        .help(help)
}

pub(super) fn no_colon_in_head(token: &Token, keyword: Keyword) -> Problem {
    Problem::error(token.span, format!("`{}` stands where only names may stand", token.text))
        .help(format!("a colon parts the names from what follows: `{} NAME: …`", keyword.text()))
}

pub(super) fn reserved(token: &Token) -> Problem {
    Problem::error(token.span, format!("`{}` is a word of the plan language and can't be a name", token.text))
        .help("names are short tags, such as `R1` or `north-lights`")
}

pub(super) fn unknown_kind(token: &Token, nearest: Option<&str>) -> Problem {
    let problem = Problem::error(token.span, format!("`{}` is no kind of item", token.text));
    match nearest {
        Some(word) => problem
            .help(format!("did you mean `{word}`? Until then its indented lines are unread too"))
            .instead(token.span, word),
        None => problem.help("an item begins with its kind, such as `panel`, `box` or `circuit`; a line that adds to an item is indented"),
    }
}

/// What stands nowhere in a plan: an arrow, a bracket.
pub(super) fn stray(text: &str, span: Span) -> Problem {
    let is_arrow = text.chars().all(|c| matches!(c, '-' | '>' | '–' | '—' | '→' | '='));
    let shown: String = text.chars().take(20).collect();
    Problem::error(span, format!("`{shown}` means nothing in a plan")).help(match is_arrow {
        true => "write `to` between the two ends of a run, and `then` between things fed one after the other",
        false => "a phrase is words, numbers with their units, and text in quotes",
    })
}

pub(super) fn no_such_day(token: &Token) -> Problem {
    Problem::error(token.span, format!("there is no day `{}`", token.text))
        .help("write year, month and day: `2027-05-02`")
}

/// A metric wire size is answered with its neighbors in gauge.
pub(super) fn metric_wire(token: &Token, neighbors: &str) -> Problem {
    Problem::error(token.span, format!("`{} mm2`: wire is sized in AWG or kcmil here", token.text)).help(neighbors)
}

pub(super) fn empty_list(tokens: &[Token], opener: &str) -> Problem {
    let span = tokens.iter().map(|t| t.span).reduce(Span::to).unwrap_or_default();
    let help = match opener {
        "feeds" => "on the same line: `feeds R1, R2`; a breaker that feeds nothing says `feeds nothing`",
        "holds" => "on the same line: `holds R1, R2`; an empty box says `holds nothing`",
        _ => "on the same line: `by way of B1`",
    };
    Problem::error(span, "this list names nothing").help(help)
}

pub(super) fn no_kind(span: Span) -> Problem {
    Problem::error(span, "an item begins with its kind")
        .help("for example `panel P1` or `circuit C1`; lines that add to it are indented")
}

pub(super) fn no_item_above(span: Span) -> Problem {
    Problem::error(span, "this line is indented and no item stands above it")
        .help("an item begins at the left edge, without a blank before it")
}

pub(super) fn long_line(span: Span, length: usize, most: usize) -> Problem {
    Problem::error(span, format!("this line is {length} bytes long"))
        .help(format!("a line may have {most}; part it into several"))
}

pub(super) fn control_character(span: Span, char: char) -> Problem {
    let what = match char {
        '\r' => "a carriage return without a line feed".to_string(),
        '\0' => "a NUL byte".to_string(),
        other => format!("the control character U+{:04X}", other as u32),
    };
    Problem::error(span, format!("this line holds {what}"))
        .help("a plan is plain text: letters, digits, punctuation, blanks and tabs; lines end with LF or CRLF")
}

pub(super) fn second_label(span: Span) -> Problem {
    Problem::error(span, "an item has one label").help("text that belongs to it stands below: `note \"…\"`")
}

pub(super) fn idle_colon(span: Span) -> Problem {
    Problem::error(span, "the colon at the end of this line owns nothing")
        .help("a colon stands behind a word such as `clear` or `stretch 12 ft`; leave it out here")
}
